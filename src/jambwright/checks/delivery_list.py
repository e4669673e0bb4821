"""What of a unit is looked at when it comes, and the limits it is held against: from the frame as ordered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from jambwright.basis.clause import Clause
from jambwright.basis.tables import Row, table
from jambwright.checks.verdict import Rest
from jambwright.frame.frame import Frame
from jambwright.frame.glazing_unit import GlazingUnit, Pane
from jambwright.frame.rect import Rect
from jambwright.readings.system_sheet import FrameMaterial

PanePlace = Literal["outside", "middle", "inside"]
SafetyKind = Literal["toughened", "laminated"]
METAL = ("aluminium", "steel")
THREE = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Within:
    """A size as ordered, what it may be when it comes, mm, and who says so."""

    ordered_mm: float
    least_mm: float
    most_mm: float
    source: Clause

    def holds(self, mm: float) -> bool:
        """Whether a size that was read is within it."""
        return self.least_mm <= mm <= self.most_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class GlassToCheck:
    """The glass of one light as ordered."""

    light: str
    make_up: str
    obscure: bool
    pattern: str | None
    """Of obscure glass, by its maker's name, where it was said."""
    marks: Mapping[PanePlace, SafetyKind]
    """Panes that must bear a mark."""
    not_judged: tuple[PanePlace, ...]
    """Panes of a kind whose mark is in no table."""
    coated: tuple[int, ...]
    """Coated faces, counted from outside."""
    thickness: Within | None
    """None where no limit is known."""
    width: Within | None
    height: Within | None
    """Of glass that comes loose."""
    diagonals: Within | None
    """Their difference."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryList:
    """All that is looked at of one unit before anybody signs for it."""

    width: Within
    height: Within
    """Of the frame without its sill."""
    diagonals: Within
    """Their difference."""
    opens: Mapping[str, str]
    """By light how it is hung, seen from outside; those that do not open left out."""
    swings: Mapping[str, str]
    """By light which way it swings; what slides left out."""
    colour: str
    colour_outside: str | None
    colour_inside: str | None
    """By the maker's names, where they were said."""
    trims: str | None
    """What of them comes with it, where it was said."""
    vents_mm2: Mapping[str, float]
    """By light the equivalent area of its vent."""
    sill_length_mm: float | None
    sill_depth_mm: float | None
    glass: tuple[GlassToCheck, ...]

    @property
    def colours(self) -> str:
        """The colour as ordered, with the maker's names where they were said."""
        faces = {"outside": self.colour_outside, "inside": self.colour_inside}
        return ", ".join([self.colour, *(f"{face} {name}" for face, name in faces.items() if name)])


def delivery_list(frame: Frame) -> DeliveryList:
    """What is looked at of a frame when it comes."""
    lights, sill, material = frame.layout.lights, frame.sill, frame.chosen.profile.material
    said = frame.chosen.specified
    moving = [light for light in lights if light.moves.opens]
    diagonals = _row("frame_diagonals", "metal" if material in METAL else "other")
    assert diagonals is not None
    return DeliveryList(
        width=frame_side(material, frame.width_mm),
        height=frame_side(material, frame.height_mm),
        diagonals=_about(0.0, diagonals),
        opens={light.mark: light.moves.words for light in moving},
        swings={light.mark: light.swings for light in moving if light.swings},
        colour=frame.chosen.colour,
        colour_outside=said.colour_outside,
        colour_inside=said.colour_inside,
        trims=said.trims,
        vents_mm2={light.mark: light.wanted.vent_mm2 for light in lights if light.wanted.vent_mm2},
        sill_length_mm=sill.length_mm if sill else None,
        sill_depth_mm=sill.depth_mm if sill else None,
        glass=tuple(
            glass_to_check(light.mark, unit, light.glass, obscure=light.wanted.obscure, pattern=said.pattern)
            for light in lights
            if (unit := frame.glazing[light.mark])
        ),
    )


def rest_of(limit: Within, what: str) -> Rest:
    """A limit as a finding rests on it; common practice stands in for the maker's own."""
    return Rest(what=what, how=limit.source.how, ask="ask the maker for his limits", of_product=True)


def frame_side(material: FrameMaterial, side_mm: float) -> Within:
    """What one side of a frame of that material may be when it comes."""
    row = _row("frame_side", "pvcu" if material == "pvcu" else "other", side_mm=side_mm)
    assert row is not None
    return _about(side_mm, row)


def glass_to_check(
    mark: str, unit: GlazingUnit, glass: Rect, *, obscure: bool = False, pattern: str | None = None
) -> GlassToCheck:
    """What is looked at of the glass of one light."""
    panes = _places(unit)
    kinds = table("delivery_marks").column("kind")
    longest = max(glass.width_mm, glass.height_mm)
    thickest = max(pane.thickness_mm for pane in unit.panes)
    sides = [_glass_side(unit, mm, thickest) for mm in (glass.width_mm, glass.height_mm)]
    return GlassToCheck(
        light=mark,
        make_up=str(unit),
        obscure=obscure,
        pattern=pattern if obscure else None,
        marks={place: _safety(pane) for place, pane in panes.items() if pane.kind in kinds},
        not_judged=(
            *(place for place, pane in panes.items() if pane.kind not in (*kinds, "annealed")),
            *(("middle",) if len(unit.panes) > THREE else ()),
        ),
        coated=unit.low_e,
        thickness=_thickness(unit),
        width=sides[0],
        height=sides[1],
        diagonals=_glass_diagonals(unit, longest),
    )


def _safety(pane: Pane) -> SafetyKind:
    return "toughened" if pane.kind == "toughened" else "laminated"


def _places(unit: GlazingUnit) -> dict[PanePlace, Pane]:
    """The panes whose marks can be told apart: of more than three those between can't."""
    found: dict[PanePlace, Pane] = {"outside": unit.panes[0]}
    if len(unit.panes) == THREE:
        found["middle"] = unit.panes[1]
    return found | ({"inside": unit.panes[-1]} if len(unit.panes) > 1 else {})


def _thickness(unit: GlazingUnit) -> Within | None:
    counted = {2: "two", 3: "three"}.get(len(unit.panes))
    plain = all(pane.kind == "annealed" for pane in unit.panes)
    row = _row("unit_thickness", f"{counted} {'annealed' if plain else 'other'}")
    return _about(unit.thickness_mm, row) if row else None


def _glass_side(unit: GlazingUnit, side_mm: float, thickest_mm: float) -> Within | None:
    of = ("unit_side", "any") if unit.cavities else ("pane_side", unit.panes[0].kind)
    row = _row(*of, side_mm=side_mm, thick_mm=thickest_mm)
    return _about(side_mm, row) if row else None


def _glass_diagonals(unit: GlazingUnit, longest_mm: float) -> Within | None:
    """The widest limit of its panes: which of them is out of square can't be told from outside."""
    rows = [
        _row("pane_diagonals", pane.kind, side_mm=longest_mm, thick_mm=pane.thickness_mm)
        for pane in unit.panes
    ]
    known = [row for row in rows if row]
    return _about(0.0, max(known, key=lambda row: float(row["most_mm"]))) if len(known) == len(rows) else None


def _row(item: str, of: str, *, side_mm: float = 0.0, thick_mm: float = 0.0) -> Row | None:
    """The first row of that item that reaches so far; ``None`` where no limit is known."""
    reach = {"to_side_mm": side_mm, "to_thick_mm": thick_mm}
    rows = (row for row in table("delivery_limits") if (row["item"], row["of"]) == (item, of))
    far = (row for row in rows if all(row[end] is None or mm <= row[end] for end, mm in reach.items()))
    return next(far, None)


def _about(ordered_mm: float, row: Row) -> Within:
    source = table("delivery_limits").source(row)
    return Within(
        ordered_mm=ordered_mm,
        least_mm=ordered_mm + row["least_mm"],
        most_mm=ordered_mm + row["most_mm"],
        source=source,
    )
