"""Lights: from the wanted layout to bars, sight openings, sashes and glass at true sizes.

Everything is in frame coordinates: origin at the frame's bottom left outer corner, seen from outside.
"""

from __future__ import annotations

import string
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from jambwright.basis.clause import clause
from jambwright.basis.problems import BadInput
from jambwright.basis.units import round_down_mm
from jambwright.frame.kinds import KINDS, Hole, Leaf
from jambwright.frame.profiles import ProfileSystem
from jambwright.frame.rect import Rect, round_all
from jambwright.readings.wanted import Across, Down, LayoutNode, Light
from jambwright.readings.ways import Way, way_of

LayoutPath = tuple[str | int, ...]
"""Names and numbers that lead from the wanted layout to one of its parts."""

OWN_FIELDS = {
    "horns": "vertical_sash", "balance": "vertical_sash", "lower_sash_mm": "vertical_sash",
    "lower_leaf_mm": "stable_door", "lower_infill": "stable_door",
    "fold_left": "bi_fold", "fold_right": "bi_fold",
    "slab_glass_width_mm": "slab", "slab_glass_height_mm": "slab",
}  # fmt: skip
"""Fields of a light that only lights made so have."""

SMALLEST_SIGHT_MM = 60.0
"""A light narrower than this in either direction can't be glazed. Common practice, no published source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A mullion (upright) or transom (level): its centre line and how far it runs."""

    kind: Literal["mullion", "transom"]
    at_mm: float
    from_mm: float
    to_mm: float

    @property
    def length_mm(self) -> float:
        """Length between the members it ends on."""
        return self.to_mm - self.from_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedLight:
    """One light at its place. ``glass`` is the size to order; ``sight`` and ``daylight`` what is seen."""

    mark: str
    wanted: Light
    door_leaf: bool
    sight: Rect
    """The hole in the frame: frame or bar sight line to sight line."""
    sash: Rect | None
    daylight: Rect
    """Visible glass or panel."""
    glass: Rect
    """Edges of the glass or panel in its rebate."""
    part: Rect
    """Its share of the frame, from outer edge or a bar's centre line to the next."""
    path: LayoutPath
    """The way to it in the wanted layout: ``("across", 1, "down", 0)``."""
    leaf: str = ""
    """Of a light of several leaves, which stand at one path, this one's way of opening; else empty."""
    follows: bool = False
    """Another leaf of its light tells their ventilator."""
    without_handle: bool = False
    """It is moved by another leaf, or lifted."""
    horn_mm: float = 0.0
    """How far its horns hang below its meeting rail; 0 for none."""

    @property
    def moves(self) -> Way:
        """How it opens as ordered; of several leaves how this one does."""
        return way_of(self.leaf or self.wanted.opens)

    @property
    def way(self) -> Way:
        """How it opens; a door leaf as a door."""
        return way_of(self.moves.leaf) if self.door_leaf and self.moves.leaf else self.moves

    @property
    def opens(self) -> bool:
        """Whether it moves: a pane of a slider that stands has a sash as well."""
        return self.moves.opens

    @property
    def swings(self) -> Literal["out", "in"] | None:
        """Which way it swings; nothing for what stands or slides."""
        return self.wanted.swing if self.moves.hinges else None

    @property
    def slides_past(self) -> bool:
        """Whether it is a sash or pane of several that slide past each other, or one that stands among them."""
        return bool(self.leaf) and self.made in ("vertical_sash", "slider")

    @property
    def hung_last(self) -> bool:
        """Whether it goes into the frame after the frame is fixed: what slides past another, and what folds."""
        return self.slides_past or self.made == "bi_fold"

    @property
    def is_paired(self) -> bool:
        """Whether it is one of two leaves that hang across from each other."""
        return bool(self.leaf) and self.made == "pair"

    @property
    def made(self) -> str:
        """The kind of light it is, or is a leaf of, by which it was placed."""
        return way_of(self.wanted.opens).made


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """All bars and lights of one frame."""

    bars: tuple[Bar, ...]
    lights: tuple[PlacedLight, ...]

    def centre_lines_mm(self, kind: Literal["mullion", "transom"]) -> tuple[float, ...]:
        """Centre lines of the bars of one kind, sorted, each once."""
        return tuple(sorted({bar.at_mm for bar in self.bars if bar.kind == kind}))

    @property
    def pairs(self) -> tuple[tuple[PlacedLight, PlacedLight], ...]:
        """Every pair of leaves that meet without a mullion, the master first."""
        masters = (light for light in self.lights if light.is_paired and not light.follows)
        return tuple((master, self.partner(master)) for master in masters)

    def partner(self, leaf: PlacedLight) -> PlacedLight:
        """The other leaf of a pair."""
        return next(each for each in self.leaves_at(leaf.path) if each.mark != leaf.mark)

    def leaves_at(self, path: LayoutPath) -> tuple[PlacedLight, ...]:
        """All leaves of the wanted light at that path, in the order of their marks."""
        return tuple(light for light in self.lights if light.path == path)

    def part_width_mm(self, path: LayoutPath) -> float:
        """How wide a part of the wanted layout is made, split again or not."""
        return self.part_rect(path).width_mm

    def part_rect(self, path: LayoutPath) -> Rect:
        """A part of the wanted layout as it is made, from outer edge or a bar's centre line to the next."""
        return round_all([light.part for light in self._within(path)])

    def seen_rect(self, path: LayoutPath, what: Literal["sight", "glass"]) -> Rect:
        """What is seen of a part: from its first sight line or edge of visible glass to its last."""
        lights = self._within(path)
        return round_all([light.sight if what == "sight" else light.daylight for light in lights])

    def _within(self, path: LayoutPath) -> list[PlacedLight]:
        return [light for light in self.lights if light.path[: len(path)] == path]


_Found = tuple[Hole, Light, LayoutPath]


def lay_out(
    wanted: LayoutNode, *, width_mm: float, height_mm: float, profile: ProfileSystem, door: bool, low: bool
) -> Layout:
    """Place bars, sashes and glass of a frame of that outer size.

    Raises ``BadInput`` when fixed sizes do not fit or a light would be too small to glaze.
    """
    face = profile.frame_face_mm
    bottom = (profile.threshold_low_mm if low else profile.threshold_mm) if door else face
    whole = Hole(
        rect=Rect(x_mm=0, y_mm=0, width_mm=width_mm, height_mm=height_mm),
        left_mm=face, right_mm=face, head_mm=face, bottom_mm=bottom,
    )  # fmt: skip
    bars: list[Bar] = []
    found = list(_split(wanted, whole, profile, bars, ()))
    found.sort(key=lambda each: (-round(each[0].rect.top_mm), each[0].rect.x_mm))
    marks = _marks()
    lights = tuple(
        placed for field, light, path in found for placed in _placed(marks, field, light, path, profile, door)
    )
    return Layout(bars=tuple(bars), lights=lights)


def _marks() -> Iterator[str]:
    yield from string.ascii_uppercase
    yield from (a + b for a in string.ascii_uppercase for b in string.ascii_uppercase)


def _split(
    node: LayoutNode, field: Hole, profile: ProfileSystem, bars: list[Bar], path: LayoutPath
) -> Iterator[_Found]:
    if isinstance(node, Light):
        yield field, node, path
    elif isinstance(node, Across):
        yield from _split_across(node, field, profile, bars, path)
    else:
        yield from _split_down(node, field, profile, bars, path)


def _split_across(
    node: Across, field: Hole, profile: ProfileSystem, bars: list[Bar], path: LayoutPath
) -> Iterator[_Found]:
    half, rect = profile.bar_face_mm / 2, field.rect
    x, last = rect.x_mm, len(node.across) - 1
    for index, (part, size) in enumerate(
        zip(node.across, part_sizes_mm(node.across, rect.width_mm), strict=True)
    ):
        if index:
            bars.append(
                Bar(
                    kind="mullion",
                    at_mm=x,
                    from_mm=rect.y_mm + field.bottom_mm,
                    to_mm=rect.top_mm - field.head_mm,
                )
            )
        inner = Hole(
            rect=Rect(x_mm=x, y_mm=rect.y_mm, width_mm=size, height_mm=rect.height_mm),
            left_mm=half if index else field.left_mm,
            right_mm=half if index < last else field.right_mm,
            head_mm=field.head_mm,
            bottom_mm=field.bottom_mm,
        )
        yield from _split(part, inner, profile, bars, (*path, "across", index))
        x += size


def _split_down(
    node: Down, field: Hole, profile: ProfileSystem, bars: list[Bar], path: LayoutPath
) -> Iterator[_Found]:
    half, rect = profile.bar_face_mm / 2, field.rect
    top, last = rect.top_mm, len(node.down) - 1
    for index, (part, size) in enumerate(
        zip(node.down, part_sizes_mm(node.down, rect.height_mm), strict=True)
    ):
        if index:
            bars.append(
                Bar(
                    kind="transom",
                    at_mm=top,
                    from_mm=rect.x_mm + field.left_mm,
                    to_mm=rect.right_mm - field.right_mm,
                )
            )
        inner = Hole(
            rect=Rect(x_mm=rect.x_mm, y_mm=top - size, width_mm=rect.width_mm, height_mm=size),
            left_mm=field.left_mm,
            right_mm=field.right_mm,
            head_mm=half if index else field.head_mm,
            bottom_mm=half if index < last else field.bottom_mm,
        )
        yield from _split(part, inner, profile, bars, (*path, "down", index))
        top -= size


def part_sizes_mm(parts: Sequence[LayoutNode], whole_mm: float) -> list[float]:
    """Size of each part of a split, centre line to centre line or outer edge; fixed sizes first."""
    left_over = whole_mm - sum(part.mm or 0.0 for part in parts)
    shares = sum(part.share for part in parts if part.mm is None)
    if left_over < 0 or (shares == 0 and left_over > 0.5):
        fixed = " + ".join(f"{part.mm:g}" for part in parts if part.mm)
        raise BadInput.one(
            "wanted.layout",
            f"layout: fixed parts {fixed} mm do not make up {whole_mm:g} mm; "
            "change one, or leave one part without a size to take the rest.",
        )
    return [part.mm if part.mm is not None else left_over * part.share / shares for part in parts]


@clause(
    "Common practice", "glass is ordered in whole millimetres, rounded down", unit="mm",
    formula="daylight + 2 × cover, rounded down", how="common practice, no published source",
)  # fmt: skip
def pane_mm(*, daylight_mm: float, cover_mm: float) -> float:
    """One side of a pane from what is seen of it and how far its rebate covers it, mm.

    >>> pane_mm(daylight_mm=570.6, cover_mm=12.0)
    594.0
    """
    return round_down_mm(daylight_mm + 2 * cover_mm)


def _as_ordered(daylight: Rect, cover_mm: float) -> Rect:
    """The pane in the middle of its rebate, at the one size it has on every paper."""
    glass = daylight.grown(cover_mm)
    width = pane_mm(daylight_mm=daylight.width_mm, cover_mm=cover_mm)
    height = pane_mm(daylight_mm=daylight.height_mm, cover_mm=cover_mm)
    return Rect(
        x_mm=glass.x_mm + (glass.width_mm - width) / 2,
        y_mm=glass.y_mm + (glass.height_mm - height) / 2,
        width_mm=width,
        height_mm=height,
    )


def _placed(
    marks: Iterator[str], hole: Hole, light: Light, path: LayoutPath, profile: ProfileSystem, door: bool
) -> Iterator[PlacedLight]:
    """One light, or the leaves of which it is made, each with its own mark."""
    way = way_of(light.opens)
    _refuse_fields_of_others(light, way)
    if way.only_in_doors and not door:
        say = (
            f"layout: a {way.family} goes into the frame of a door; order a door, or another way of opening."
        )
        raise BadInput.one("wanted.layout", say)
    for leaf in KINDS[way.made](hole, light, profile):
        yield _place(next(marks), leaf, path, profile, door)


def _refuse_fields_of_others(light: Light, way: Way) -> None:
    """What only one kind of light has and was asked of another would reach no maker."""
    for name, kind in OWN_FIELDS.items():
        if getattr(light, name) is not None and way.made != kind:
            say = (
                f"layout: {name} was asked of a light that is {way.words}; leave it out, or choose a way of "
                "opening that has it."
            )
            raise BadInput.one(f"wanted.layout.{name}", say)


def _place(mark: str, leaf: Leaf, path: LayoutPath, profile: ProfileSystem, door: bool) -> PlacedLight:
    asked, daylight = leaf.wanted, leaf.daylight
    if min(daylight.width_mm, daylight.height_mm) < SMALLEST_SIGHT_MM:
        raise BadInput.one(
            "wanted.layout",
            f"layout: light {mark} would show only {daylight.width_mm:.0f} x {daylight.height_mm:.0f} mm of glass; "
            "make it larger or leave a bar out.",
        )
    return PlacedLight(
        mark=mark,
        wanted=asked,
        door_leaf=asked.leaf == "door" or (asked.leaf is None and door and way_of(leaf.way).is_leaf_of_doors),
        sight=leaf.hole.sight,
        sash=leaf.sash,
        daylight=daylight,
        glass=_as_ordered(daylight, profile.glass_cover_mm if leaf.cover_mm is None else leaf.cover_mm),
        part=leaf.hole.rect,
        path=path,
        leaf=leaf.way if leaf.way != asked.opens else "",
        follows=leaf.follows,
        without_handle=leaf.without_handle,
        horn_mm=leaf.horn_mm,
    )
