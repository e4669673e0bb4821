"""The small pictures beside what is asked, as they are printed: those of the screens, in black on white."""

from __future__ import annotations

import functools
import re
from collections.abc import Mapping
from importlib import resources

from jambwright.paper.lettering import FAMILY

INKS: Mapping[str, str] = {
    "ink": "#000000", "focus": "#000000", "doubt": "#000000", "quiet": "#555555", "wall": "#c8c8c8", "sill": "#e4e4e4",
    "frame-white": "#ffffff", "card": "#ffffff", "glass": "#ffffff", "frame-dark": "#000000",
}  # fmt: skip
"""What each colour of the screens becomes: nothing is told apart by colour alone."""
WIDE, HIGH = 240, 150
MARGIN = 14
"""Left of a picture, for lettering that is larger here than on a screen."""
PRINTED_MM = 32.0
"""Width on paper at which the lettering is 8 point."""
_BODY = round(8 * 25.4 / 72 * (WIDE + MARGIN) / PRINTED_MM, 1)
_STYLE = (
    f'fill="none" stroke-width="2" stroke-linejoin="round" font-family="{FAMILY}" font-weight="bold" '
    f'font-size="{_BODY}"'
)


@functools.cache
def help_picture(name: str) -> str:
    """The picture of that name as SVG. Raises ``KeyError`` where none is drawn."""
    return _pictures()[name]


@functools.cache
def _pictures() -> dict[str, str]:
    # a file of the screens, read where it lies: one drawing of each picture, no second copy
    drawn = (resources.files("jambwright") / "web" / "static" / "help.svg").read_text(encoding="utf-8")
    symbols = re.findall(rf'<symbol id="(\w+)" viewBox="0 0 {WIDE} {HIGH}">(.*?)</symbol>', drawn, re.DOTALL)
    return {name: _printed(inner) for name, inner in symbols}


def _printed(inner: str) -> str:
    inked = re.sub(r"var\(--([\w-]+)\)", lambda found: INKS[found[1]], inner)
    width = WIDE + MARGIN
    box = f'viewBox="{-MARGIN} 0 {width} {HIGH}" width="{width}" height="{HIGH}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {box}><g {_STYLE}>{inked}</g></svg>'
