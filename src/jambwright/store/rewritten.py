"""A readings file written anew with its comments, order and style kept, only what differs changed."""

from __future__ import annotations

import io
import json
from collections.abc import Mapping
from typing import Any

from jambwright.basis.problems import BadInput
from jambwright.basis.tree import CORE_STARTS, parse_tree
from jambwright.store.trees import plain, to_yaml

WIDE = 10_000
"""Longer than any line of a readings file, so that none is broken anew."""


def rewritten(text: str, tree: Mapping[str, Any]) -> str:
    """The text of a YAML or JSON readings file with the values of ``tree`` in it.

    Comments stay where they can; where they can't, the values go before them.

    >>> print(rewritten("a: 1 # read twice\\nb: [1, 2]\\n", {"a": 1, "b": [1, 3]}), end="")
    a: 1 # read twice
    b: [1, 3]
    """
    if text.lstrip().startswith("{"):
        return json.dumps(plain(tree), indent=1, ensure_ascii=False) + "\n"
    from ruamel.yaml.error import YAMLError

    try:
        kept = _with_comments(text, tree)
    except YAMLError:
        return to_yaml(tree)
    return kept if parse_tree(kept) == tree else to_yaml(tree)


def _with_comments(text: str, tree: Mapping[str, Any]) -> str:
    from ruamel.yaml import YAML
    from ruamel.yaml.resolver import VersionedResolver
    from ruamel.yaml.util import load_yaml_guess_indent

    class AsTheReader(VersionedResolver):
        """Takes for figures what the reader takes for figures, and a day for the text it is."""

        @property
        def versioned_resolver(self) -> Any:
            return CORE_STARTS

    keeper = YAML()
    keeper.Resolver = AsTheReader
    keeper.preserve_quotes = True
    keeper.width = WIDE
    _, indent, offset = load_yaml_guess_indent(text)
    keeper.indent(mapping=2, sequence=indent or 4, offset=offset if indent else 2)
    document = keeper.load(text)
    _lay_over(document, tree)
    out = io.StringIO()
    keeper.dump(document, out)
    return out.getvalue()


def _lay_over(document: Any, tree: Any) -> None:
    """Make a loaded document hold the values of the tree, touching only what differs."""
    if isinstance(tree, Mapping):
        for gone in [name for name in document if name not in tree]:
            del document[gone]
        for name, value in tree.items():
            _set(document, name, value, there=name in document)
    else:
        del document[len(tree) :]
        for number, value in enumerate(tree):
            if number < len(document):
                _set(document, number, value, there=True)
            else:
                document.append(_quoted(value))


def _set(document: Any, at: str | int, value: Any, *, there: bool) -> None:
    standing = document[at] if there else None
    alike = (isinstance(standing, dict) and isinstance(value, Mapping)) or (
        isinstance(standing, list) and isinstance(value, list)
    )
    if alike:
        _lay_over(standing, value)
    elif not there or standing != value or isinstance(standing, bool) != isinstance(value, bool):
        document[at] = _quoted(value)


def _quoted(value: Any) -> Any:
    """Texts that would be read as something else, such as `on` or `2026-05-04`, in quotes."""
    from ruamel.yaml.scalarstring import SingleQuotedScalarString

    if isinstance(value, Mapping):
        return {name: _quoted(inner) for name, inner in value.items()}
    if isinstance(value, list):
        return [_quoted(inner) for inner in value]
    return SingleQuotedScalarString(value) if isinstance(value, str) and not _plain_text(value) else value


def _plain_text(value: str) -> bool:
    try:
        return bool(parse_tree(value) == value)
    except BadInput:
        return False
