"""YAML or JSON text to plain values, safely: no tags, no repeated keys, bounded size and depth."""

from __future__ import annotations

from typing import Any

import yaml

from jambwright.basis.problems import BadInput

LARGEST_CHARACTERS = 4_000_000
DEEPEST = 40


_TRUE_OR_FALSE, _WORD = "tag:yaml.org,2002:bool", "tag:yaml.org,2002:str"

_SafeLoader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class _Loader(_SafeLoader):  # type: ignore[misc]  # the C loader is there or not by platform
    """Refuses keys written twice: the first value would be lost without a word."""

    def construct_mapping(self, node: Any, deep: bool = False) -> Any:
        """Build one mapping of plain, unrepeated keys."""
        seen: set[Any] = set()
        for key_node, _ in node.value:
            if key_node.tag == _TRUE_OR_FALSE:
                # as a field name `on` is a word, though YAML 1.1 reads it as true
                key_node.tag = _WORD
            key = self.construct_object(key_node, deep=True)
            if not isinstance(key, str | int | float):
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
    >>> parse_tree("{on: 7, fan: on}")
    {'on': 7, 'fan': True}
    """
    if len(text) > LARGEST_CHARACTERS:
        raise BadInput.one("file", f"The file is over {LARGEST_CHARACTERS // 1_000_000} MB; split it.")
    try:
        _refuse_traps(text)
        return yaml.load(text, _Loader)  # the loader above is a safe loader
    except yaml.MarkedYAMLError as error:
        raise _unreadable(error.problem_mark, error.problem or "this can't be read") from None
    except (yaml.YAMLError, ValueError) as error:
        if isinstance(error, BadInput):
            raise
        raise BadInput.one("file", f"The file can't be read: {error}") from None


def _refuse_traps(text: str) -> None:
    """Aliases, by which a small file unfolds to a huge tree, tags, and endless nesting."""
    depth = 0
    for event in yaml.parse(text, _SafeLoader):
        if isinstance(event, yaml.AliasEvent):
            raise _unreadable(event.start_mark, "an alias (*name) is used; write the values out")
        tag = getattr(event, "tag", None)
        if tag and not tag.startswith("tag:yaml.org,2002:"):
            raise _unreadable(event.start_mark, f"the tag {tag} is not for a survey; remove it")
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        if depth > DEEPEST:
            raise _unreadable(event.start_mark, f"nested more than {DEEPEST} deep; nothing in a survey is")


def _unreadable(mark: Any, what: str) -> BadInput:
    where = f"Line {mark.line + 1}, column {mark.column + 1}: " if mark else ""
    return BadInput.one("file", f"The file can't be read. {where}{what}.")
