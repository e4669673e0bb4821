"""Survey trees as text: the same YAML as the command line's, and back without loss."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

import yaml

from jambwright.basis.characters import mended_tree
from jambwright.basis.tree import CORE_STARTS, WORD


def plain(tree: Any) -> Any:
    """The tree as it can be kept: dates as ISO 8601 text, as JSON has them, and no odd characters.

    >>> plain({"date_of_work": date(2026, 5, 4)})
    {'date_of_work': '2026-05-04'}
    """
    return mended_tree(_dated(tree))


def _dated(tree: Any) -> Any:
    if isinstance(tree, Mapping):
        return {key: _dated(value) for key, value in tree.items()}
    if isinstance(tree, list):
        return [_dated(value) for value in tree]
    return tree.isoformat() if isinstance(tree, date) else tree


def to_yaml(tree: Any) -> str:
    """YAML text that reads back as the same tree.

    >>> print(to_yaml({"width": {"bottom": 1210, "top": [1209, 1210.5]}}), end="")
    width:
      bottom: 1210
      top: [1209, 1210.5]
    """
    return yaml.dump(tree, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=110)


class _Dumper(yaml.SafeDumper):
    """Writes short lists of figures on one line and never an alias, which the reader refuses.

    A text in quotes wherever YAML 1.1 or 1.2 would take it for something else: `1e5`, `08`, `2026-05-04`.
    """

    def resolve(self, kind: Any, value: Any, implicit: Any) -> Any:
        """What a value without quotes is."""
        said = super().resolve(kind, value, implicit)  # type: ignore[no-untyped-call]  # stubs say nothing of it
        if said != WORD or kind is not yaml.ScalarNode or not implicit[0]:
            return said
        forms = CORE_STARTS.get(value[:1], [])
        return next((tag for tag, form in forms if form.match(value)), said)

    def ignore_aliases(self, data: Any) -> bool:
        """Write the value out every time."""
        del data
        return True


def _list(dumper: yaml.SafeDumper, items: list[Any]) -> yaml.Node:
    figures = all(isinstance(item, int | float) for item in items)
    return dumper.represent_sequence("tag:yaml.org,2002:seq", items, flow_style=figures)


_Dumper.add_representer(list, _list)
