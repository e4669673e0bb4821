"""What the signs of a drawing mean, as a line of signs and words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from jambwright.paper.dimension import ROW_MM, SMALL_MM
from jambwright.paper.edge_marks import boxed
from jambwright.paper.lettering import advance_mm
from jambwright.paper.scene import Area, Circle, Item, Line, Point, Scene, Words, rectangle
from jambwright.paper.symbols import SIGN_MM, arrow, block, fixing

BETWEEN_MM = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One sign drawn about a point, its width on paper, and its meaning."""

    sign: Callable[[Point], Sequence[Item]]
    width_mm: float
    means: str

    @property
    def length_mm(self) -> float:
        """Sign and words together."""
        return self.width_mm + 1.0 + advance_mm(self.means, SMALL_MM)


def fitting_signs(*, lugs: bool, nibs: bool = False) -> list[Entry]:
    """The signs of the opening's drawing; lugs and nibs only where there are any."""
    signs = [Entry(sign=lambda at: fixing(at, 1), width_mm=SIGN_MM, means="screw")]
    if lugs:
        signs.append(
            Entry(
                sign=lambda at: fixing(at, 1, "lug"), width_mm=SIGN_MM, means="lug or strap into the reveal"
            )
        )
    return [
        *signs,
        _lettered("150", "mm from the frame's bottom or left end"),
        Entry(sign=lambda at: boxed(at, "5+1", 1), width_mm=7.0, means="packers there, mm"),
        _lettered("← 7", "true gap, mm"),
        *([Entry(sign=_dashed, width_mm=7.0, means="edge of the nib in front")] if nibs else []),
    ]


def joint_signs(*, rod: bool, tape: bool) -> list[Entry]:
    """The signs of the joint sections; rod and tape only where there is any."""
    backed = [
        *([Entry(sign=_round, width_mm=3.0, means="backing rod")] if rod else []),
        *([Entry(sign=_upright, width_mm=2.0, means="bond-breaker tape")] if tape else []),
    ]
    return [
        Entry(sign=_black, width_mm=3.0, means="sealant; under a sill packer"),
        *backed,
        Entry(sign=_zigzag, width_mm=8.0, means="foam"),
    ]


def _black(at: Point) -> Sequence[Item]:
    return (Area(points=rectangle(at[0] - 1.5, at[1] - 1.0, 3.0, 2.0), ink="packer"),)


def _round(at: Point) -> Sequence[Item]:
    return (Circle(centre=at, radius_mm=1.3, ink="block"),)


def _upright(at: Point) -> Sequence[Item]:
    return (Line(points=rectangle(at[0] - 0.5, at[1] - 1.3, 1.0, 2.6), ink="block", closed=True),)


def _zigzag(at: Point) -> Sequence[Item]:
    points = tuple((at[0] - 4.0 + 2.0 * n, at[1] + (1.0 if n % 2 else -1.0)) for n in range(5))
    return (Line(points=points, ink="glass"),)


def _dashed(at: Point) -> Sequence[Item]:
    return (Line(points=((at[0] - 3.5, at[1]), (at[0] + 3.5, at[1])), ink="hidden"),)


def block_signs() -> list[Entry]:
    """The signs of the blocks drawing."""
    return [
        _block("carries", setting=True),
        _block("keeps in place", setting=False),
        Entry(sign=_diagonal, width_mm=6.0, means="heel to toe"),
    ]


def _block(means: str, *, setting: bool) -> Entry:
    return Entry(
        sign=lambda at: (block(at, 4.0, 1.7, setting=setting, upright=False),), width_mm=4.0, means=means
    )


def _diagonal(at: Point) -> Sequence[Item]:
    return arrow((at[0] - 3.0, at[1]), (at[0] + 3.0, at[1]), 1)


def _lettered(text: str, means: str) -> Entry:
    width = advance_mm(text, SMALL_MM)
    return Entry(sign=lambda at: (Words(at=at, text=text, size_mm=SMALL_MM),), width_mm=width, means=means)


def legend(entries: Sequence[Entry], width_mm: float) -> Scene:
    """The entries in a row, in further rows where the width asks for it."""
    items: list[Item] = []
    x, y = 0.0, 0.0
    for entry in entries:
        if x and x + entry.length_mm > width_mm:
            x, y = 0.0, y - ROW_MM - 0.6
        items += entry.sign((x + entry.width_mm / 2, y))
        start = (x + entry.width_mm + 1.0, y)
        items.append(Words(at=start, text=entry.means, size_mm=SMALL_MM, align="left"))
        x += entry.length_mm + BETWEEN_MM
    return Scene(title="Signs", items=tuple(items), scale=1)
