"""Characters that no paper, file or screen can hold, and values with them taken out."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from typing import Any

ODD = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
"""All that XML 1.0 (fifth edition, 2.2 Characters) leaves out: control characters, halves of a pair, non-characters."""
IN_PLACE = "\ufffd"


def mended(text: str) -> str:
    """The text with a mark in place of every character that can't be written.

    >>> mended("crack" + chr(7) + " " + chr(0xD83D))
    'crack� �'
    """
    return ODD.sub(IN_PLACE, text)


def one_line(text: str) -> str:
    """The text on one line, commas where it broke.

    >>> one_line(" 1 Sample  Row\\r\\n(invented)\\n")
    '1 Sample Row, (invented)'
    """
    lines = (" ".join(line.split()) for line in text.splitlines())
    return ", ".join(line for line in lines if line)


def mended_tree(tree: Any) -> Any:
    """Plain values with every text mended, names too; a figure that is none (NaN, infinity) becomes its word.

    >>> mended_tree({"mm": float("nan"), "how": "tape"})
    {'mm': 'nan', 'how': 'tape'}
    """
    if isinstance(tree, str):
        return mended(tree)
    if isinstance(tree, float) and not math.isfinite(tree):
        return str(tree)
    if isinstance(tree, Mapping):
        return {mended(str(name)): mended_tree(value) for name, value in tree.items()}
    if isinstance(tree, list | tuple):
        return [mended_tree(value) for value in tree]
    return tree


def odd_places(tree: Any, at: tuple[str, ...] = ()) -> Iterator[tuple[str, str]]:
    """Field and odd character (``U+0007``) of every text that holds one."""
    if isinstance(tree, str) and (found := ODD.search(tree)):
        yield ".".join(at), f"U+{ord(found[0]):04X}"
    inner = tree.items() if isinstance(tree, Mapping) else enumerate(tree) if isinstance(tree, list) else ()
    for name, value in inner:
        yield from odd_places(value, (*at, mended(str(name))))
