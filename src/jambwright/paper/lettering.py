"""How much room lettering takes: true advance widths of the sheet's typeface."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from pathlib import Path
from typing import Literal

FAMILY = "Source Sans Pro"
ASCENT = 0.70
"""Top of capitals, figures and tall letters above the base line, as a share of the body."""
CAPITAL = 0.65
"""Height of figures and capitals as a share of the body."""
_TAILED = frozenset("gjpqyQ,;()[]/")
_UNKNOWN_EM = 0.6


def font_folder() -> Path:
    """The folder the typeface's files are in."""
    import font_source_sans_pro

    return Path(font_source_sans_pro.font_directory)


def advance_mm(text: str, size_mm: float, *, bold: bool = False) -> float:
    """Length of a line of lettering in paper millimetres.

    >>> advance_mm("1195 × 1045", 3.0)
    14.61
    """
    widths = _advances(bold)
    return size_mm * sum(widths.get(ord(mark), _UNKNOWN_EM) for mark in text)


def descent(text: str) -> float:
    """How far the lettering reaches below its base line, as a share of the body; plain figures do not."""
    return 0.21 if _TAILED.intersection(text) else 0.02


def seat_shift_mm(seat: Literal["base", "middle", "top"], size_mm: float) -> float:
    """From the point a line of lettering is placed by, up to its base line."""
    return {"base": 0.0, "middle": -CAPITAL / 2, "top": -CAPITAL}[seat] * size_mm


@functools.cache
def _advances(bold: bool) -> Mapping[int, float]:
    from fontTools.ttLib import TTFont

    weight = "Bold" if bold else "Regular"
    with TTFont(font_folder() / f"SourceSansPro-{weight}.ttf", lazy=True) as font:
        unit = font["head"].unitsPerEm
        advances = font["hmtx"].metrics
        return {code: advances[glyph][0] / unit for code, glyph in font.getBestCmap().items()}
