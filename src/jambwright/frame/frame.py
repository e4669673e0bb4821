"""The frame to order for one opening: size and place, lights, glass, sill and the mass of every piece."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from jambwright.basis.clause import Clause, clause
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.frame.balances import Balance, balances_of
from jambwright.frame.glazing_unit import GlazingUnit, parse_glazing
from jambwright.frame.layout import Layout, PlacedLight, lay_out
from jambwright.frame.order_size import OrderSize
from jambwright.frame.profiles import ProfileSystem, profile_system
from jambwright.frame.rect import Rect
from jambwright.frame.sill import Sill, plan_sill
from jambwright.readings.specified import Needs, Specified, specified
from jambwright.readings.survey import Opening
from jambwright.readings.systems import system_sheet
from jambwright.readings.usual import Defaults
from jambwright.readings.wanted import Colour, SillWanted, UnitKind

LIP_AND_BEAD_MM = 20.0
"""What outer lip and inner bead take of a frame's depth. Common practice, no published source."""

PIECES = Clause("Sum of the pieces", "", "calculated")


def spoken_piece(called: str, light: str | None, state: str) -> str:
    """What is carried in words.

    >>> spoken_piece("sash", "A", "unglazed"), spoken_piece("sill", None, "")
    ('sash A, unglazed', 'sill')
    """
    named = f"{called} {light}" if light else called
    return f"{named}, {state}" if state else named


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Something that is carried: the outer frame, a sash without its glass, a pane, the sill."""

    kind: Literal["frame", "sash", "glass", "panel", "sill"]
    called: str
    """In plain words, without the light: a sash may be a door leaf."""
    mass_kg: float
    light: str | None = None
    """Mark of the light it belongs to; ``None`` for what belongs to the whole frame."""

    @property
    def state(self) -> str:
        """How it is carried, where that must be said."""
        return "unglazed" if self.kind == "sash" else ""

    @property
    def name(self) -> str:
        """All of it in words."""
        return spoken_piece(self.called, self.light, self.state)


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """What is wanted in one opening after the house's defaults are filled in."""

    kind: UnitKind
    profile: ProfileSystem
    colour: Colour
    glass: str
    sill: SillWanted | None
    set_back_mm: float
    joint_mm: float | None
    """The firm's joint a side; ``None`` where it goes by material, colour and size."""
    sills_mm: tuple[float, ...] = ()
    """Depths of the sills that go with the system; none where any of the usual stock does."""
    specified: Specified = field(default_factory=Specified)


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """One frame as ordered, seen from outside; its own coordinates start at its bottom left outer corner."""

    opening_id: str
    chosen: Chosen
    size: OrderSize
    layout: Layout
    glazing: Mapping[str, GlazingUnit | None]
    """By light mark; ``None`` for a panel."""
    sill: Sill | None
    pieces: tuple[Piece, ...]
    balances: tuple[Balance, ...] = ()
    """What each sliding sash hangs on."""

    @property
    def width_mm(self) -> float:
        """Order width."""
        return self.size.width_mm

    @property
    def height_mm(self) -> float:
        """Order height, without the sill."""
        return self.size.height_mm

    @property
    def whole_kg(self) -> float:
        """Frame with sashes and glass, without the sill."""
        return sum(piece.mass_kg for piece in self.pieces if piece.kind != "sill")

    def infill_kg(self, light: str) -> float:
        """Mass of the glass or panel of one light, by its mark; of a solid slab all of it."""
        return next(p.mass_kg for p in self.pieces if p.light == light and p.kind in ("glass", "panel"))

    @property
    def has(self) -> frozenset[Needs]:
        """What of it a specification may speak of."""
        panes = [light for light in self.layout.lights if self.glazing[light.mark]]
        has: dict[Needs, bool] = {
            "unit": True,
            "glass": bool(panes),
            "obscure": any(light.wanted.obscure for light in panes),
            "bars": bool(panes) and (self.chosen.specified.bars or "none") != "none",
            "openers": any(light.opens for light in self.layout.lights),
            "door": self.chosen.kind == "door",
            "sill": self.sill is not None,
        }
        return frozenset(name for name, held in has.items() if held)

    @property
    def outer(self) -> Rect:
        """The frame's outer edges."""
        return Rect(x_mm=0, y_mm=0, width_mm=self.width_mm, height_mm=self.height_mm)


@clause("Mass of a length of profile", unit="kg", formula="m = length × kg/m", how="calculated")
def length_mass_kg(*, length_mm: float, mass_kg_m: float) -> float:
    """Mass of a run of profile, kg.

    >>> length_mass_kg(length_mm=4800.0, mass_kg_m=2.1)
    10.08
    """
    return 1e-3 * length_mm * mass_kg_m


def choose(opening: Opening, defaults: Defaults, *, nib_back_mm: float | None = None) -> Chosen:
    """Fill what an opening leaves open from the house's defaults. A door stands on its threshold: no sill.

    ``nib_back_mm`` is the back of the nibs of a rebated reveal, which the frame is set against.
    """
    stands_back_mm = defaults.set_back_mm if nib_back_mm is None else nib_back_mm
    wanted = opening.wanted
    profile = wanted.profile or defaults.profile
    sill = wanted.sill or (defaults.sill if wanted.kind == "window" and opening.old_sill == "none" else None)
    set_back = opening.set_back_mm if opening.set_back_mm is not None else stands_back_mm
    return Chosen(
        kind=wanted.kind,
        profile=profile_system(profile, defaults.systems),
        colour=wanted.colour or defaults.colour,
        glass=wanted.glass or defaults.glass,
        sill=sill if sill and sill.kind == "frame_sill" else None,
        set_back_mm=set_back,
        joint_mm=defaults.joint_mm,
        sills_mm=tuple(system_sheet(profile, defaults.systems).sill_depths_mm or ()),
        specified=specified(wanted.specified, defaults.specified),
    )


def make_frame(opening: Opening, chosen: Chosen, size: OrderSize, *, opening_width_mm: float) -> Frame:
    """The frame of one opening. ``opening_width_mm`` is the least width at the sill.

    Raises ``BadInput`` when the layout does not fit the size or a glass make-up can't be read.
    """
    wanted = opening.wanted
    layout = lay_out(
        wanted.layout,
        width_mm=size.width_mm,
        height_mm=size.height_mm,
        profile=chosen.profile,
        door=chosen.kind == "door",
        low=wanted.threshold == "low",
    )
    glazing = {light.mark: _glazing(light, chosen) for light in layout.lights}
    sill = None
    if chosen.sill:
        sill = plan_sill(
            chosen.sill,
            opening_width_mm=opening_width_mm,
            frame_width_mm=size.width_mm,
            seat_mm=chosen.profile.sill_seat_mm,
            set_back_mm=chosen.set_back_mm,
            stock_mm=chosen.sills_mm,
        )
    pieces = _pieces(size, chosen.profile, layout, glazing, sill)
    return Frame(
        opening_id=opening.id,
        chosen=chosen,
        size=size,
        layout=layout,
        glazing=glazing,
        sill=sill,
        pieces=pieces,
        balances=tuple(balances_of(layout.lights, _by_light(pieces), chosen.profile.material)),
    )


def _by_light(pieces: Sequence[Piece]) -> dict[str, float]:
    """Mass of each light: its sash, where it has one, with its glass."""
    masses: dict[str, float] = defaultdict(float)
    for piece in pieces:
        if piece.light:
            masses[piece.light] += piece.mass_kg
    return masses


def _glazing(light: PlacedLight, chosen: Chosen) -> GlazingUnit | None:
    """Raises ``BadInput`` where the make-up can't be read or the frame can't hold it."""
    if light.wanted.infill == "panel":
        return None
    unit = parse_glazing(light.wanted.glass or chosen.glass)
    most_mm = chosen.profile.frame_depth_mm - LIP_AND_BEAD_MM
    if unit.thickness_mm > most_mm:
        say = (
            f"light {light.mark}: glass {unit} is {unit.thickness_mm:g} mm thick; {chosen.profile.title} takes at most "
            f"{most_mm:g} mm between lip and bead. Check the make-up, or choose a deeper frame."
        )
        raise BadInput.one("wanted.glass", say)
    return unit


def _called(light: PlacedLight) -> str:
    """What is carried of a light that has a sash."""
    if light.moves.clear == "slide_across":
        return "sliding pane"
    if not light.opens:
        return "standing pane"
    if light.made == "bi_fold":
        return "folding leaf"
    if light.made == "slab":
        return "door slab"
    return "door leaf" if light.door_leaf else "sash"


def _pieces(
    size: OrderSize,
    profile: ProfileSystem,
    layout: Layout,
    glazing: Mapping[str, GlazingUnit | None],
    sill: Sill | None,
) -> tuple[Piece, ...]:
    masses = {row["item"]: float(row["value"]) for row in table("masses")}
    perimeter = 2 * (size.width_mm + size.height_mm)
    bars_mm = sum(bar.length_mm for bar in layout.bars)
    frame_kg = length_mass_kg(length_mm=perimeter, mass_kg_m=profile.frame_kg_m)
    frame_kg += length_mass_kg(length_mm=bars_mm, mass_kg_m=profile.bar_kg_m)
    pieces = [Piece(called="outer frame", kind="frame", mass_kg=frame_kg)]
    for light in layout.lights:
        if light.made == "slab":
            pieces += _slab_pieces(light, glazing[light.mark], profile, masses["slab_kg_m2"])
            continue
        if light.sash:
            kg = length_mass_kg(length_mm=1e3 * light.sash.perimeter_m, mass_kg_m=profile.sash_kg_m)
            kg += profile.hardware_kg if light.opens else 0.0
            pieces.append(Piece(called=_called(light), kind="sash", mass_kg=kg, light=light.mark))
        unit = glazing[light.mark]
        per_m2 = unit.mass_kg_m2 if unit else masses["panel_kg_m2"]
        pieces.append(
            Piece(
                called="glass" if unit else "panel",
                kind="glass" if unit else "panel",
                mass_kg=light.glass.area_m2 * per_m2,
                light=light.mark,
            )
        )
    if sill:
        kg = length_mass_kg(length_mm=sill.length_mm, mass_kg_m=masses["sill_kg_m"])
        pieces.append(Piece(called="sill", kind="sill", mass_kg=kg))
    return tuple(pieces)


def _slab_pieces(
    light: PlacedLight, unit: GlazingUnit | None, profile: ProfileSystem, slab_kg_m2: float
) -> list[Piece]:
    """A slab by its area, hardware with it: solid it is one piece, else the slab round its light, and its glass."""
    assert light.sash is not None
    if unit is None:
        kg = light.sash.area_m2 * slab_kg_m2 + profile.hardware_kg
        return [Piece(called=_called(light), kind="panel", mass_kg=kg, light=light.mark)]
    kg = (light.sash.area_m2 - light.glass.area_m2) * slab_kg_m2 + profile.hardware_kg
    glass_kg = light.glass.area_m2 * unit.mass_kg_m2
    return [
        Piece(called=_called(light), kind="sash", mass_kg=kg, light=light.mark),
        Piece(called="glass", kind="glass", mass_kg=glass_kg, light=light.mark),
    ]
