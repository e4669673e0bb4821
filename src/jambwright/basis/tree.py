"""YAML 1.2 or JSON text to plain values, safely: no tags, no repeated keys, bounded size and depth.

Figures, true and false are read as the core schema of YAML 1.2 reads them: ``01610`` is 1610, ``15:04`` and ``yes``
are texts. Names of fields are always texts. What braces would cut off without a word is refused.
"""

from __future__ import annotations

import json
import re
from typing import Any

import yaml

from jambwright.basis.problems import BadInput

LARGEST_CHARACTERS = 4_000_000
DEEPEST = 40
MOST_VALUES = 60_000
"""Figures, words and lists of a file; the largest house has half as many."""
LONGEST_FIGURE = 60
"""Characters of one figure; none that is meant has more."""

NULL, TRUE_OR_FALSE, WHOLE, FIGURE, WORD = (
    f"tag:yaml.org,2002:{name}" for name in ("null", "bool", "int", "float", "str")
)
CORE = (
    (NULL, re.compile(r"^(?:~|null|Null|NULL|)$"), ("~", "n", "N", "")),
    (TRUE_OR_FALSE, re.compile(r"^(?:true|True|TRUE|false|False|FALSE)$"), tuple("tTfF")),
    (WHOLE, re.compile(r"^(?:[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+)$"), tuple("-+0123456789")),
    (
        FIGURE,
        re.compile(
            r"^(?:[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?"
            r"|[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN))$"
        ),
        tuple("-+.0123456789"),
    ),
)
"""What a text without quotes is, by the core schema (YAML 1.2.2, 10.3.2), and what it can start with."""
CORE_STARTS: dict[str, list[tuple[str, re.Pattern[str]]]] = {
    start: [(tag, form) for tag, form, starts in CORE if start in starts]
    for start in {start for _, _, starts in CORE for start in starts}
}

UNDERSCORED = re.compile(r"^[-+]?\d[\d_]*_[\d_.]*$")
THOUSANDS = re.compile(r" [1-9]\d{0,2},\d{3}$")
LOOKS_LIKE_A_FIGURE = re.compile(r"^[-+]?\d+(?:\.\d*)?$")

MEANT = (
    ("expected ',' or '}'", "a comma or a closing } is missing before this"),
    ("expected ',' or ']'", "a comma or a closing ] is missing before this"),
    ("mapping values are not allowed", "a colon stands where none can; check the indent, or put the text in quotes"),
    ("expected ':'", "a colon is missing after a field's name"),
    ("tab character", "a tab stands in the indent; indent with spaces, not tabs"),
    ("escape c", "after a backslash in double quotes stands no sign that can be; use single quotes"),
    ("block sequence entries", "a list's - stands where none can; begin a line with it"),
    ("cannot start any token", "no value starts with this sign; put it in quotes, and indent with spaces, not tabs"),
    ("unexpected end of stream", "a quote is opened and never closed"),
    ("expected key", "the indent does not fit the lines above"),
    ("expected '-' indicator", "the indent does not fit the lines above"),
    ("expected <document start>", "what stands here does not belong to the lines above; check the indent"),
    ("another document", "a second document starts here (---); keep one"),
    ("control characters", "it holds a character that can't be written; type it again"),
)  # fmt: skip
"""What the reader of YAML says, and what a fitter can do about it."""
ANYTHING_ELSE = "this can't be read; check colons, quotes, braces and the indent"

_SafeLoader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class _Loader(_SafeLoader):  # type: ignore[misc]  # the C loader is there or not by platform
    """Refuses keys written twice, the first value would be lost without a word, and what braces cut off."""

    yaml_implicit_resolvers = CORE_STARTS

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.text = text

    def construct_mapping(self, node: Any, deep: bool = False) -> Any:
        """Build one mapping of unrepeated names."""
        seen: set[str] = set()
        before = ""
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode):
                raise _unreadable(key_node.start_mark, "a field name must be a plain word")
            key_node.tag = WORD
            key = str(key_node.value)
            if (
                node.flow_style
                and ":" not in self.text[key_node.end_mark.index : value_node.start_mark.index]
            ):
                raise _unreadable(key_node.start_mark, _cut_off(key, before))
            if key in seen:
                raise _unreadable(key_node.start_mark, f"`{key[:LONGEST_FIGURE]}` is written twice; keep one")
            seen.add(key)
            before = f"{key}: {value_node.value}" if isinstance(value_node, yaml.ScalarNode) else ""
        return super().construct_mapping(node, deep)


def _cut_off(word: str, before: str) -> str:
    """A word in braces with no colon: what followed a comma in the value before it."""
    shown, after = word[:LONGEST_FIGURE], before[:LONGEST_FIGURE]
    if not after:
        return f"`{shown}` stands in braces without a value; write a colon and its value after it"
    if LOOKS_LIKE_A_FIGURE.match(word):
        thousands = f", or {after}{shown} for thousands" if THOUSANDS.search(f"{before},{word}") else ""
        return (
            f"`{after}` is followed by a comma and `{shown}`; "
            f"write a decimal point, not a comma: {after}.{shown}{thousands}"
        )
    return f"`{after}` is followed by a comma and `{shown}`; put a text that holds a comma in quotes"


def _whole(_: Any, node: Any) -> int:
    text = _short(node)
    base = {"0o": 8, "0x": 16}.get(text[:2], 10)
    return int(text[2:] if base != 10 else text, base)


def _figure(_: Any, node: Any) -> float:
    text = _short(node).lower()
    return float(text.replace(".inf", "inf").replace(".nan", "nan"))


def _short(node: Any) -> str:
    if len(node.value) > LONGEST_FIGURE:
        raise _unreadable(node.start_mark, f"a figure of {len(node.value)} digits; check it")
    return str(node.value)


def _word(_: Any, node: Any) -> str:
    text = str(node.value)
    if not node.style and UNDERSCORED.match(text):
        shown = text[:LONGEST_FIGURE]
        raise _unreadable(node.start_mark, f"`{shown}`: write a figure without _, or a text in quotes")
    return text


_Loader.add_constructor(WHOLE, _whole)
_Loader.add_constructor(FIGURE, _figure)
_Loader.add_constructor(WORD, _word)


def parse_json(text: str | bytes) -> Any:
    """JSON that a program wrote. Raises ``ValueError`` where it can't be read, as where it is nested without end."""
    try:
        return json.loads(text)
    except RecursionError:
        raise ValueError("nested too deep") from None


def parse_tree(text: str) -> Any:
    """Plain values of a YAML or JSON text.

    Raises ``BadInput`` with the line when the text can't be read.

    >>> parse_tree("width: {bottom: 1210, top: [1209, 1210]}")
    {'width': {'bottom': 1210, 'top': [1209, 1210]}}
    >>> parse_tree("{on: 01610, fan: on, listed: true, at: 15:04}")
    {'on': 1610, 'fan': 'on', 'listed': True, 'at': '15:04'}
    """
    if len(text) > LARGEST_CHARACTERS:
        raise BadInput.one("file", f"The file is over {LARGEST_CHARACTERS // 1_000_000} MB; split it.")
    try:
        _refuse_traps(text)
        return yaml.load(text, _Loader)  # the loader above is a safe loader
    except yaml.MarkedYAMLError as error:
        raise _unreadable(error.problem_mark, _meant(error.problem or "")) from None
    except (yaml.YAMLError, ValueError) as error:
        if isinstance(error, BadInput):
            raise
        raise BadInput.one("file", f"The file can't be read: {_meant(str(error))}.") from None


def _meant(said: str) -> str:
    return next((words for part, words in MEANT if part in said), ANYTHING_ELSE)


def _refuse_traps(text: str) -> None:
    """Aliases, by which a small file unfolds to a huge tree, tags, and endless nesting."""
    depth = 0
    for count, event in enumerate(yaml.parse(text, _SafeLoader)):
        if count > MOST_VALUES:
            raise _unreadable(
                event.start_mark, f"over {MOST_VALUES:,} values; no house has so many. Split it"
            )
        if isinstance(event, yaml.AliasEvent):
            raise _unreadable(event.start_mark, "an alias (*name) is used; write the values out")
        tag = getattr(event, "tag", None)
        if tag:
            raise _unreadable(
                event.start_mark, f"the tag {tag[:LONGEST_FIGURE]} is not for a survey; remove it"
            )
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        if depth > DEEPEST:
            raise _unreadable(event.start_mark, f"nested more than {DEEPEST} deep; nothing in a survey is")


def _unreadable(mark: Any, what: str) -> BadInput:
    where = f"Line {mark.line + 1}, column {mark.column + 1}: " if mark else ""
    return BadInput.one("file", f"The file can't be read. {where}{what}.")
