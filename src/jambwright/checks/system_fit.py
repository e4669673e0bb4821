"""What of a system sheet goes into one light: the hinge that carries its sash, the ventilators that fit its head."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from jambwright.basis.clause import clause
from jambwright.basis.working import Working
from jambwright.checks.figures import HAIR
from jambwright.frame.frame import Frame
from jambwright.frame.layout import PlacedLight
from jambwright.readings.system_sheet import HingeOnSheet, SashOnSheet, SystemSheet, VentOnSheet

AT_EDGE_MM = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Sash:
    """What the limits bind: a sash with its glass or panel, or the glass of a fixed light."""

    width_mm: float
    height_mm: float
    mass_kg: float

    @property
    def ratio(self) -> float:
        """Width over height."""
        return self.width_mm / self.height_mm

    @property
    def area_m2(self) -> float:
        """Its area."""
        return 1e-6 * self.width_mm * self.height_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class VentsFitted:
    """Ventilators of one kind side by side in one head."""

    count: int
    vent: VentOnSheet

    @property
    def words(self) -> str:
        """As the maker reads it."""
        vent = self.vent
        where = "frame" if vent.place == "frame_head" else "sash"
        return f"{self.count} x {vent.each_mm2:g} mm², {vent.length_mm:g} mm long, in the head of the {where}"


@dataclass(frozen=True, slots=True, kw_only=True)
class FromSheet:
    """What goes into one light by its system's sheet, in the maker's words; empty where the sheet tells nothing."""

    hinge: str = ""
    vents: str = ""
    fitted: VentsFitted | None = None
    steel: bool = False
    """The sash gets steel for its size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Beyond:
    """A limit that a sash breaks."""

    rule: str
    called: str
    """What is bound, with its article."""
    bound: Literal["least", "most"]
    found: float
    limit: float
    unit: str


_MEASURES: Mapping[str, tuple[str, str, str, Callable[[Sash], float]]] = {
    "kg": ("mass", "a mass", "kg", lambda sash: sash.mass_kg),
    "width_mm": ("width", "a width", "mm", lambda sash: sash.width_mm),
    "height_mm": ("height", "a height", "mm", lambda sash: sash.height_mm),
    "area_m2": ("area", "an area", "m²", lambda sash: sash.area_m2),
    "ratio": ("ratio", "a width over height", "", lambda sash: sash.ratio),
}
"""By the end of a limit's name: its rule, what it binds in words, its unit, and how that is found."""
_BOUNDS: Mapping[str, Literal["least", "most"]] = {"least": "least", "most": "most"}


def beyond(limits: SashOnSheet, sash: Sash) -> Iterator[Beyond]:
    """Every limit of its kind that a sash breaks."""
    for name in type(limits).model_fields:
        start, _, of = name.partition("_")
        limit = getattr(limits, name) if start in _BOUNDS else None
        if limit is None:
            continue
        rule, called, unit, measure = _MEASURES[of]
        bound, found = _BOUNDS[start], measure(sash)
        if (found > limit + HAIR) if bound == "most" else (found < limit - HAIR):
            yield Beyond(rule=rule, called=called, bound=bound, found=found, limit=limit, unit=unit)


def from_sheet(frame: Frame, sheet: SystemSheet) -> dict[str, FromSheet]:
    """Hinge, ventilators and steel of every light the sheet tells something of, by mark."""
    found = {light.mark: _from_sheet(frame, light, sheet) for light in frame.layout.lights}
    return {mark: each for mark, each in found.items() if each != FromSheet()}


def frame_has_steel(frame: Frame, sheet: SystemSheet) -> bool:
    """Whether the outer frame gets steel for its size."""
    over = sheet.frame_reinforced_over_mm
    return over is not None and max(frame.width_mm, frame.height_mm) > over


def _from_sheet(frame: Frame, light: PlacedLight, sheet: SystemSheet) -> FromSheet:
    limits = sheet.sash(kind_of(light)) if light.sash else None
    hinge = hinge_of(frame, light, limits) if limits and light.opens else None
    vents = vents_of(frame, light, sheet, light.wanted.vent_mm2) if light.wanted.vent_mm2 else None
    over = limits.reinforced_over_mm if limits else None
    longer = max(light.sash.width_mm, light.sash.height_mm) if light.sash else 0.0
    return FromSheet(
        hinge=hinge.name if hinge else "",
        vents=vents.words if vents else "",
        fitted=vents,
        steel=over is not None and longer > over,
    )


def kind_of(light: PlacedLight) -> str:
    """What it is in the words of a sheet."""
    return (light.way.sheet or light.way.kind) if light.sash else "fixed"


def sash_of(frame: Frame, light: PlacedLight) -> Sash:
    """The sash of a light; of a fixed one its glass."""
    rect = light.sash or light.glass
    kg = sash_kg(pieces_kg=_pieces_kg(frame, light))
    return Sash(width_mm=rect.width_mm, height_mm=rect.height_mm, mass_kg=kg)


@clause(
    "Sum of the pieces", "sash with its glass or panel", unit="kg", formula="m = Σ pieces", how="calculated"
)
def sash_kg(*, pieces_kg: Sequence[float]) -> float:
    """Mass of a sash with its hardware and its glass or panel, kg.

    >>> sash_kg(pieces_kg=[9.6, 14.83])
    24.43
    """
    return sum(pieces_kg)


def _pieces_kg(frame: Frame, light: PlacedLight) -> list[float]:
    return [piece.mass_kg for piece in frame.pieces if piece.light == light.mark]


def note_light(work: Working, frame: Frame, light: PlacedLight, sheet: SystemSheet) -> None:
    """The mass that is held against the sheet, and what of the sheet goes into a light."""
    mark = light.mark
    work.step(f"m {mark}", sash_kg, pieces_kg=[round(kg, 3) for kg in _pieces_kg(frame, light)])
    limits = sheet.sash(kind_of(light)) if light.sash else None
    hinge = hinge_of(frame, light, limits) if limits and light.opens else None
    if hinge and hinge.most_kg is not None:
        work.note(f"m_most {mark}", f"mass that {hinge.name} carries", hinge.most_kg, "kg", sheet.source)
    wanted = light.wanted.vent_mm2
    if wanted and (fitted := vents_of(frame, light, sheet, wanted)):
        vent = fitted.vent
        work.step(f"vents {mark}", head_for_vents_mm, count=fitted.count, length_mm=vent.length_mm,
                  ends_mm=vent.ends_mm)  # fmt: skip


def against_hinge(hinge: HingeOnSheet, sash: Sash, light: PlacedLight) -> Iterator[str]:
    """Why a hinge does not take a sash; nothing where it does."""
    along = light.way.swings_on or "width"
    size = sash.height_mm if along == "height" else sash.width_mm
    if hinge.most_kg is not None and sash.mass_kg > hinge.most_kg + HAIR:
        yield f"carries at most {hinge.most_kg:g} kg"
    if hinge.most_mm is not None and size > hinge.most_mm + HAIR:
        yield f"is for a sash at most {hinge.most_mm:g} mm {_ALONG[along]}"
    if hinge.least_mm is not None and size < hinge.least_mm - HAIR:
        yield f"is for a sash at least {hinge.least_mm:g} mm {_ALONG[along]}"
    asked = light.wanted.open_angle_deg
    if asked is not None and hinge.open_angle_deg is not None and asked > hinge.open_angle_deg + HAIR:
        yield f"opens to {hinge.open_angle_deg:g}°, {asked:g}° is asked"
    blocks = light.wanted.obstruction_mm
    if blocks is not None and hinge.obstruction_mm is not None and blocks < hinge.obstruction_mm - HAIR:
        yield f"leaves {hinge.obstruction_mm:g} mm blocked, {blocks:g} mm is asked"


_ALONG = {"width": "wide", "height": "high"}


def hinge_of(frame: Frame, light: PlacedLight, limits: SashOnSheet) -> HingeOnSheet | None:
    """The hinge asked for, else the first that takes the sash; ``None`` where none does or none are listed."""
    sash = sash_of(frame, light)
    return next(
        (each for each in hinges_for(light, limits) if not any(against_hinge(each, sash, light))), None
    )


def hinges_for(light: PlacedLight, limits: SashOnSheet) -> list[HingeOnSheet]:
    """Those that may be taken: the one asked for by name, else all."""
    asked = light.wanted.hinge
    return [each for each in limits.hinges if asked in (None, each.name)]


@clause("Common practice", "slot ventilators in a head", unit="mm", formula="n length + 2 × ends",
        how="common practice, no published source")  # fmt: skip
def head_for_vents_mm(*, count: int, length_mm: float, ends_mm: float) -> float:
    """Straight head that ventilators side by side take.

    >>> head_for_vents_mm(count=2, length_mm=380.0, ends_mm=60.0)
    880.0
    """
    return count * length_mm + 2 * ends_mm


def head_mm(frame: Frame, light: PlacedLight, vent: VentOnSheet) -> float:
    """Straight head that is there for a ventilator; 0 where that head is not there.

    Of the frame it runs from its corner or the middle of a mullion to the next, of a sash from corner to corner.
    """
    if vent.place == "sash_head":
        return light.sash.width_mm if light.sash else 0.0
    part = frame.layout.part_rect(light.path)
    if part.top_mm < frame.height_mm - AT_EDGE_MM:
        return 0.0
    return part.width_mm


def vents_of(frame: Frame, light: PlacedLight, sheet: SystemSheet, wanted_mm2: float) -> VentsFitted | None:
    """The fewest ventilators that give as much and fit the head; ``None`` where none do."""
    fitting = [
        VentsFitted(count=count, vent=vent)
        for vent in sheet.vents or ()
        if head_wanted_mm(vent, count := _count(vent, wanted_mm2)) <= head_mm(frame, light, vent) + HAIR
    ]
    return min(fitting, key=lambda each: (each.count, each.vent.each_mm2), default=None)


def least_head_mm(sheet: SystemSheet, wanted_mm2: float) -> float:
    """The shortest head that holds as much, of whatever ventilators."""
    return min(head_wanted_mm(vent, _count(vent, wanted_mm2)) for vent in sheet.vents or ())


def head_wanted_mm(vent: VentOnSheet, count: int) -> float:
    """Straight head for so many of one ventilator."""
    return head_for_vents_mm(count=count, length_mm=vent.length_mm, ends_mm=vent.ends_mm)


def most_vents_mm2(frame: Frame, light: PlacedLight, sheet: SystemSheet) -> float:
    """The most equivalent area that fits the head of a light."""
    found = [0.0]
    for vent in sheet.vents or ():
        room = head_mm(frame, light, vent) - 2 * vent.ends_mm + HAIR
        found.append(max(0, math.floor(room / vent.length_mm)) * vent.each_mm2)
    return max(found)


def _count(vent: VentOnSheet, wanted_mm2: float) -> int:
    return max(1, math.ceil(wanted_mm2 / vent.each_mm2 - 1e-9))
