"""The plain facts the rules ask for. ``None`` means not known, and gives ``unknown``, never a pass."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from jambwright.checks.regulations.clear import ClearOpening
from jambwright.checks.regulations.edition import Work
from jambwright.checks.verdict import Rests
from jambwright.frame.glazing_unit import PaneKind
from jambwright.readings.survey import Appliance, Direction, Mechanical, Nation, RoomUse
from jambwright.readings.wanted import UnitKind
from jambwright.readings.ways import Hinge, way_of

Day = date
"""The type, where a field is named like it."""
RoomKind = RoomUse | Literal["habitable"]
"""A room's use, or `habitable` for any living or sleeping room."""
Restrictor = Literal["none", "releasable", "key", "fixed"]
PanePlace = Literal["window", "door", "side_panel"]
EnergyKind = Literal["window", "door", "fire_door", "rooflight"]
Band = Literal["A++", "A+", "A", "B", "C", "D", "E", "F", "G"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomPlace:
    """Where a room lies on the way out of the house."""

    use: RoomKind | None = None
    storey: int | None = None
    floor_above_ground_mm: float | None = None
    hall_to_exit: bool | None = None
    """Ground storey: the room opens to a hall that leads straight to the final exit."""
    protected_stair: bool | None = None
    """Upper storey: the room opens to a protected stair."""
    inner_room: bool = False
    """The only way out is through another room."""
    flat: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OldEscape:
    """The biggest opener of the old window, fully open."""

    clear_width_mm: float | None = None
    clear_height_mm: float | None = None
    bottom_above_floor_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class EscapeFacts:
    """One opener as a way out. ``frame_clear_*`` is rebate to rebate with the sash out of the way."""

    room_needs: bool | None = None
    room: RoomPlace | None = None
    """Asked when ``room_needs`` is not said."""
    hinge: Hinge | None = None
    roof_window: bool = False
    frame_clear_width_mm: float | None = None
    frame_clear_height_mm: float | None = None
    obstruction_mm: float | None = None
    open_angle_deg: float | None = None
    bottom_above_floor_mm: float | None = None
    clear_width_mm: float | None = None
    clear_height_mm: float | None = None
    """Clear sizes off the maker's sheet; both together replace the geometry."""
    slid: ClearOpening | None = None
    """What sashes or panes as placed leave clear when slid open, which replaces the geometry too."""
    restrictor: Restrictor | None = None
    slides_as_door: bool = False
    """It is a door all the same: one steps out through it."""
    both_leaves: bool = False
    """Judged with both leaves of a pair open."""
    old: OldEscape | None = None
    rests_on: Rests = ()
    """What its figures are by, where they were neither measured nor ordered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GuardingFacts:
    """One opener over a drop."""

    kind: UnitKind = "window"
    bottom_above_floor_mm: float | None = None
    drop_outside_mm: float | None = None
    bottom_above_ground_mm: float | None = None
    """Bottom of the part that opens above the ground outside; the drop stands in where it is not known."""
    top_above_ground_mm: float | None = None
    cleaned_inside: bool | None = None
    """Both faces of the glass can be reached from inside."""
    children: bool | None = None
    room_needs_escape: bool | None = None
    restrictor: Restrictor | None = None
    guard_height_mm: float | None = None
    """Top of a guard or fixed guarding glass above the floor, where there is one."""
    old_bottom_above_floor_mm: float | None = None
    over_street: bool = False
    """It opens out over a street."""
    sill_above_floor_mm: float | None = None
    """Structural sill as measured; whatever frame stands on it starts no lower."""
    rests_on: Rests = ()
    """What its figures are by, where they were neither measured nor ordered."""

    @property
    def is_door(self) -> bool:
        """Whether it is a door: guards at doors have rules of their own."""
        return self.kind == "door"


@dataclass(frozen=True, slots=True, kw_only=True)
class GlassFacts:
    """One leaf of glass."""

    kind: PaneKind | None = None
    thickness_mm: float | None = None
    en12600_class: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PaneFacts:
    """One pane or glazed unit as seen, bead to bead; heights above the inside floor."""

    light: str = ""
    """Mark of the light it sits in."""
    cut_from: str = ""
    """Mark of the light it would be cut from, for one under a transom that is not ordered yet."""
    place: PanePlace | None = None
    bottom_above_floor_mm: float | None = None
    top_above_floor_mm: float | None = None
    width_mm: float | None = None
    height_mm: float | None = None
    from_door_edge_mm: float | None = None
    outline_mm: tuple[tuple[float, float], ...] | None = None
    """True outline where it is no rectangle: x from the nearest door edge, y above the floor."""
    leaves: tuple[GlassFacts, ...] = ()
    """Every leaf that a person can strike, from inside or outside."""
    leaded: bool = False
    by_bath: bool = False
    outside_floor_mm: float | None = None
    """Level of the ground outside against the inside floor; + is higher."""
    sill_above_floor_mm: float | None = None
    """Structural sill as measured; no pane above it reaches lower."""
    rests_on: Rests = ()
    """What its figures are by, where they were neither measured nor ordered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenerFacts:
    """One opening part that airs the room; the sizes are those of the part that opens."""

    width_mm: float | None = None
    height_mm: float | None = None
    hinge: Hinge | None = None
    open_angle_deg: float | None = None
    stroke_mm: float | None = None
    """Travel of the free edge, where it is known instead of the angle."""
    rests_on: Rests = ()
    """What its figures are by, where they were neither measured nor ordered."""
    top_above_floor_mm: float | None = None

    @property
    def opens(self) -> bool:
        """Whether it opens, as far as is known."""
        return self.hinge is None or way_of(self.hinge).opens


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomAir:
    """The air of one room: every ventilator and opener in its windows and outside doors."""

    name: str = ""
    use: RoomKind | None = None
    floor_area_m2: float | None = None
    mechanical: Mechanical | None = None
    old_vent_mm2: float | None = None
    """Equivalent area before; left out when not known, which is taken as none."""
    vents: tuple[float, ...] | None = None
    """Equivalent area of each, mm²."""
    openers: tuple[OpenerFacts, ...] | None = None
    old_openers: tuple[OpenerFacts, ...] | None = None
    extract_fan: bool | None = None
    vent_above_floor_mm: float | None = None
    other_means: bool = False
    """The house is said to be ventilated in another way, to be shown to building control."""
    night_latch_only: bool = False
    """What looks like ventilation is only the two-position lock of a sash."""
    protected_look: bool = False
    """Listed building or conservation area."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EnergyFacts:
    """One window or door against the energy limits."""

    kind: EnergyKind | None = None
    timber: bool = False
    glass_only: bool = False
    """New glass in the old frame."""
    glazed_share: float | None = None
    u_w_m2k: float | None = None
    band: Band | None = None
    old_u_w_m2k: float | None = None
    """Of the unit taken out, where it is known."""
    centre_pane_u_w_m2k: float | None = None
    secondary_low_e: bool = False
    protected_look: bool = False
    """Listed building or conservation area: the look must be kept."""
    u_modelled_w_m2k: float | None = None
    """Beside a declared U-value."""
    rests_on: Rests = ()
    """What its figures are by, where they were neither measured nor ordered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlueFacts:
    """A flue terminal near the opening, and the vent that feeds an appliance."""

    appliance: Appliance | None = None
    direction: Direction | None = None
    input_kw: float | None = None
    to_opener_mm: float | None = None
    to_frame_mm: float | None = None
    old_to_opener_mm: float | None = None
    """Distance to the nearest opener before; a fixed light made an opener is a change."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AccessFacts:
    """A door as a way in."""

    old_level_threshold: bool = False
    upstand_mm: float | None = None
    clear_width_mm: float | None = None
    old_clear_width_mm: float | None = None
    rests_on: Rests = ()
    """What its figures are by, where they were neither measured nor ordered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FireFacts:
    """An opening as a hole in a wall facing the neighbour."""

    to_boundary_m: float | None = None
    opening_area_m2: float | None = None
    old_opening_area_m2: float | None = None
    wall_unprotected_area_m2: float | None = None
    """All openings of the wall that faces the boundary, as they will be."""
    cavity_closed: bool | None = None
    """The cavity edge is closed by timber, steel, board or mineral wool, not by the frame alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LightFacts:
    """One light of the order. A fixed light carries the sizes it would have as an opener."""

    mark: str
    hinge: Hinge = "fixed"
    frame_clear_width_mm: float | None = None
    frame_clear_height_mm: float | None = None
    obstruction_mm: float | None = None
    open_angle_deg: float | None = None
    bottom_above_floor_mm: float | None = None
    bottom_above_ground_mm: float | None = None
    sash_width_mm: float | None = None
    sash_height_mm: float | None = None
    clear_width_mm: float | None = None
    clear_height_mm: float | None = None
    """Clear sizes that the maker declares."""
    slid: ClearOpening | None = None
    """Of the leaf of sliding sashes or panes at which it is told: what they leave clear when slid open."""
    restrictor: Restrictor | None = None
    vents_mm2: tuple[float, ...] = ()
    pair: Literal["", "master", "slave"] = ""
    """Which of several leaves it is. What can be passed or aired through is told at the master: the slave of a pair
    opens only after it, and sliding sashes and panes leave their clear opening only once."""
    told_at_another: bool = False
    """What it leaves clear, and airs by, is told at another leaf of its light."""
    clear_of_both: bool = False
    """What it leaves clear is with both leaves of a stable door open."""
    both_frame_width_mm: float | None = None
    """Of a master leaf: the clear frame with both leaves open."""
    turns_inside: bool = False
    """It opens inwards or turns, so that its outer face can be reached from the room."""
    rests_on: Rests = ()
    """What its figures are by, where they were neither measured nor ordered."""

    @property
    def opens(self) -> bool:
        """Whether it is no fixed light."""
        return way_of(self.hinge).opens


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningFacts:
    """Everything the rules ask about one opening, in plain figures."""

    nation: Nation
    date: date
    notice_date: Day | None = None
    start_date: Day | None = None
    certified: bool | None = None
    """The firm certifies its work itself."""
    kind: UnitKind = "window"
    room: RoomPlace = RoomPlace()
    room_needs_escape: bool | None = None
    floor_area_m2: float | None = None
    mechanical: Mechanical | None = None
    extract_fan: bool | None = None
    lights: tuple[LightFacts, ...] = ()
    panes: tuple[PaneFacts, ...] = ()
    other_vents_mm2: tuple[float, ...] = ()
    """Ventilators in the other openings of the room."""
    other_openers: tuple[OpenerFacts, ...] = ()
    old_openers: tuple[OpenerFacts, ...] | None = None
    """What aired the room before; left out when not known."""
    air_told_at: str | None = None
    """Name of the opening of the same room under which the room's air is told."""
    sill_above_floor_mm: float | None = None
    other_glass_m2: float = 0.0
    """Glass in the other openings of the room."""
    drop_outside_mm: float | None = None
    top_above_ground_mm: float | None = None
    guard_height_mm: float | None = None
    children: bool | None = None
    over_street: bool = False
    old: OldEscape | None = None
    old_vent_mm2: float | None = None
    combustion_vent: bool = False
    """The old window held a permanently open vent that feeds an appliance."""
    permanent_vent_mm2: float | None = None
    """Non-closable vent in the new one."""
    energy: EnergyFacts = EnergyFacts()
    flue: FlueFacts | None = None
    access: AccessFacts | None = None
    fire: FireFacts | None = None
    product_tested: bool | None = None
    """Proved against break-in; left out when not known."""
    protected_look: bool = False

    @property
    def work(self) -> Work:
        """When the work is done and on what, which decides the edition of every rule."""
        return Work(
            on=self.date,
            notice=self.notice_date,
            start=self.start_date,
            flat=self.room.flat,
            certified=self.certified,
        )

    @property
    def openers(self) -> tuple[LightFacts, ...]:
        """The lights that open."""
        return tuple(light for light in self.lights if light.opens)


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseFacts:
    """What the rules ask about the house and the work as a whole."""

    nation: Nation
    date: date
    built_year: int | None = None
    notice_date: Day | None = None
    start_date: Day | None = None
    storeys: int | None = None
    listed: bool | None = None
    conservation_area: bool | None = None
    flat: bool = False
    new_side_window_clear_below_mm: float | None = None
    """New upper window to the side: up to which height above the floor it opens or is clear glass."""
    registered_installer: bool | None = None
    doors: bool | None = None
    """External doors are replaced as well."""
    smaller_parts: tuple[str, ...] = ()
    """Windows of which the part that opens is made smaller than it was."""
    structure_changed: bool = False
    """An opening is widened, or a bay or frame bears load."""
    lintel_missing: tuple[str, ...] = ()
    """Openings over which no lintel was found."""
    heaviest_kg: float | None = None

    @property
    def work(self) -> Work:
        """When the work is done and on what, which decides the edition of every rule."""
        return Work(
            on=self.date,
            notice=self.notice_date,
            start=self.start_date,
            flat=self.flat,
            certified=self.registered_installer,
        )
