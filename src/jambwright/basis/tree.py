"""YAML or JSON text to plain values, safely: no tags, no repeated keys, bounded size and depth."""

from __future__ import annotations

from typing import Any

import yaml

from jambwright.basis.problems import BadInput

LARGEST_CHARACTERS = 4_000_000
DEEPEST = 40


class _Loader(yaml.CSafeLoader if hasattr(yaml, "CSafeLoader") else yaml.SafeLoader):  # type: ignore[misc]  # the C loader is there or not by platform
    """Refuses aliases (a small file could unfold to a huge tree) and keys written twice."""

    def compose_node(self, parent: Any, index: Any) -> Any:
        """Compose one node, unless it is an alias."""
        if self.check_event(yaml.AliasEvent):
            event = self.peek_event()
            raise _unreadable(event.start_mark, "an alias (*name) is used; write the values out")
        return super().compose_node(parent, index)

    def construct_mapping(self, node: Any, deep: bool = False) -> Any:
        """Build one mapping; a key written twice would silently lose the first value."""
        seen: set[Any] = set()
        for key_node, _ in node.value:
            key = self.construct_object(key_node, deep=True)
            if not isinstance(key, str | int | float | bool):
                raise _unreadable(key_node.start_mark, "a field name must be a plain word")
            if key in seen:
                raise _unreadable(key_node.start_mark, f"`{key}` is written twice; keep one")
            seen.add(key)
        return super().construct_mapping(node, deep)


def parse_tree(text: str) -> Any:
    """Plain values of a YAML or JSON text.

    Raises ``BadInput`` with the line when the text can't be read.

    >>> parse_tree("width: {bottom: 1210, top: [1209, 1210]}")
    {'width': {'bottom': 1210, 'top': [1209, 1210]}}
    """
    if len(text) > LARGEST_CHARACTERS:
        raise BadInput.one("file", f"The file is over {LARGEST_CHARACTERS // 1_000_000} MB; split it.")
    try:
        tree = yaml.load(text, _Loader)  # the loader above is a safe loader
    except yaml.MarkedYAMLError as error:
        raise _unreadable(error.problem_mark, error.problem or "this can't be read") from None
    except (yaml.YAMLError, RecursionError, ValueError) as error:
        raise BadInput.one("file", f"The file can't be read: {error}") from None
    if _depth(tree) > DEEPEST:
        raise BadInput.one("file", f"The file is nested more than {DEEPEST} deep; nothing in a survey is.")
    return tree


def _unreadable(mark: Any, what: str) -> BadInput:
    where = f"Line {mark.line + 1}, column {mark.column + 1}: " if mark else ""
    return BadInput.one("file", f"{where}{what}.")


def _depth(tree: Any) -> int:
    deepest, level = 0, [tree]
    while level:
        deepest += 1
        inner: list[Any] = []
        for value in level:
            if isinstance(value, dict):
                inner.extend(value.values())
            elif isinstance(value, list):
                inner.extend(value)
        level = inner
    return deepest
