"""What ``rules`` takes, group by group. A field left out of a group is ``unknown``, never a pass."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, field_validator, model_validator

from jambwright.basis.border import NotNegative, Positive, Strict
from jambwright.basis.envelope import counted, most
from jambwright.basis.problems import BadInput
from jambwright.checks.regulations import facts, impact_class
from jambwright.frame.glazing_unit import PaneKind
from jambwright.readings.survey import Appliance, Direction, Mechanical, Nation
from jambwright.readings.wanted import UnitKind
from jambwright.readings.ways import Hinge

Angle = Annotated[float, Field(gt=0, le=180)]
Share = Annotated[float, Field(ge=0, le=1)]


def _day(value: Any) -> Any:
    if value is None or isinstance(value, str | date):
        return value
    raise ValueError(f"{value!r} is not a date; write it as 2026-05-01.")


class OldIn(Strict):
    """The biggest opener of the old window, fully open."""

    clear_width_mm: NotNegative | None = None
    clear_height_mm: NotNegative | None = None
    bottom_above_floor_mm: NotNegative | None = None


class RoomPlaceIn(Strict):
    """Where the room lies on the way out; asked when `room_needs` is left out."""

    use: facts.RoomKind | None = None
    storey: Annotated[int, Field(ge=0)] | None = None
    floor_above_ground_mm: NotNegative | None = None
    hall_to_exit: bool | None = None
    protected_stair: bool | None = None
    inner_room: bool = False
    flat: bool = False


class EscapeIn(Strict):
    """One opener as a way out. A field left out gives `unknown`."""

    room_needs: bool | None = None
    room: RoomPlaceIn | None = None
    hinge: Hinge | None = None
    roof_window: bool = False
    frame_clear_width_mm: Positive | None = None
    """Rebate to rebate, sash out of the way."""
    frame_clear_height_mm: Positive | None = None
    obstruction_mm: NotNegative | None = None
    """What hinge and sash still block, fully open; for a slider the meeting rail and stops."""
    open_angle_deg: Angle | None = None
    bottom_above_floor_mm: NotNegative | None = None
    clear_width_mm: NotNegative | None = None
    """Clear sizes off the maker's sheet; both together replace the geometry."""
    clear_height_mm: NotNegative | None = None
    restrictor: facts.Restrictor | None = None
    old: OldIn | None = None


class GuardingIn(Strict):
    """One opening over a drop."""

    kind: UnitKind = "window"
    bottom_above_floor_mm: NotNegative | None = None
    drop_outside_mm: NotNegative | None = None
    bottom_above_ground_mm: NotNegative | None = None
    """Bottom of the part that opens above the ground; the drop stands in when left out."""
    top_above_ground_mm: NotNegative | None = None
    """Top of the glass above the ground, for how it is cleaned."""
    cleaned_inside: bool | None = None
    """Both faces can be reached from inside."""
    children: bool | None = None
    restrictor: facts.Restrictor | None = None
    guard_height_mm: NotNegative | None = None
    old_bottom_above_floor_mm: NotNegative | None = None
    over_street: bool = False


class GlassIn(Strict):
    """The glass of one pane."""

    kind: PaneKind | None = None
    thickness_mm: Positive | None = None
    en12600_class: str | None = None
    """As marked, such as 1(C)3; the usual class of its kind when left out."""

    @field_validator("en12600_class")
    @classmethod
    def _is_class(cls, text: str | None) -> str | None:
        if text is not None:
            try:
                impact_class(text)
            except BadInput as bad:
                raise ValueError(bad.problems[0].bare) from None
        return text


class PaneIn(Strict):
    """One pane, bead to bead; heights above the inside floor."""

    place: facts.PanePlace | None = None
    bottom_above_floor_mm: NotNegative | None = None
    top_above_floor_mm: Positive | None = None
    from_door_edge_mm: NotNegative | None = None
    width_mm: Positive | None = None
    height_mm: Positive | None = None
    glass: GlassIn | None = None
    leaded: bool = False
    by_bath: bool = False
    outside_floor_mm: float | None = None
    """Level of the ground outside against the inside floor; + is higher."""

    @model_validator(mode="after")
    def _top_over_bottom(self) -> PaneIn:
        bottom, top = self.bottom_above_floor_mm, self.top_above_floor_mm
        if bottom is not None and top is not None and top <= bottom:
            raise ValueError(f"the top ({top:g} mm) is not above the bottom ({bottom:g} mm); check both.")
        return self


class OpenerIn(Strict):
    """One opening part; sizes of the part that opens. The angle governs where a stroke is given too."""

    width_mm: Positive | None = None
    height_mm: Positive | None = None
    hinge: Hinge | None = None
    open_angle_deg: Angle | None = None
    stroke_mm: NotNegative | None = None
    top_above_floor_mm: NotNegative | None = None


Openers = Annotated[list[OpenerIn], Field(max_length=100)]
Marks = Annotated[list[str], Field(max_length=most("openings"))]


class RoomIn(Strict):
    """Ventilators and openers of one room."""

    use: facts.RoomKind | None = None
    floor_area_m2: Positive | None = None
    old_vent_mm2: NotNegative | None = None
    """Equivalent area before; taken as none when left out."""
    vents: Annotated[list[NotNegative], Field(max_length=100)] | None = None
    """Equivalent area of each ventilator, mm²; an empty list for none."""
    openers: Openers | None = None
    old_openers: Openers | None = None
    extract_fan: bool | None = None
    vent_above_floor_mm: NotNegative | None = None
    other_means: bool = False
    """Said to be ventilated in another way, to be shown to building control."""
    night_latch_only: bool = False


class VentilationIn(Strict):
    """The air of the rooms."""

    rooms: Annotated[list[RoomIn], Field(min_length=1, max_length=most("rooms"))]
    mechanical: Mechanical | None = None


class EnergyIn(Strict):
    """One window or door; either route that meets is enough."""

    kind: facts.EnergyKind | None = None
    timber: bool = False
    glass_only: bool = False
    """New glass in the old frame."""
    glazed_share: Share | None = None
    u_w_m2k: Positive | None = None
    band: facts.Band | None = None
    old_u_w_m2k: Positive | None = None
    """Of the unit taken out."""
    centre_pane_u_w_m2k: Positive | None = None
    secondary_low_e: bool = False


class FlueIn(Strict):
    """A flue terminal; `direction` is where it lies from the opening."""

    appliance: Appliance | None = None
    input_kw: Positive | None = None
    to_opener_mm: NotNegative | None = None
    to_frame_mm: NotNegative | None = None
    direction: Direction | None = None
    old_to_opener_mm: NotNegative | None = None


class AccessIn(Strict):
    """A door as a way in."""

    old_level_threshold: bool = False
    upstand_mm: NotNegative | None = None
    clear_width_mm: Positive | None = None
    old_clear_width_mm: Positive | None = None


class FireIn(Strict):
    """A hole in a wall facing the neighbour."""

    to_boundary_m: NotNegative | None = None
    opening_area_m2: Positive | None = None
    old_opening_area_m2: Positive | None = None
    wall_unprotected_area_m2: Positive | None = None
    cavity_closed: bool | None = None


class SecurityIn(Strict):
    """Proof against break-in."""

    product_tested: bool | None = None


class HeritageIn(Strict):
    """Protected looks. Also relaxes energy and ventilation where the character would be harmed."""

    listed: bool | None = None
    conservation_area: bool | None = None
    flat: bool = False
    new_side_window_clear_below_mm: NotNegative | None = None


class NotifyIn(Strict):
    """Who is told of the work."""

    registered_installer: bool | None = None
    flat: bool = False
    doors: bool | None = None
    """External doors are replaced as well."""
    smaller_parts: Marks = []
    """Windows of which the part that opens is made smaller than it was."""
    structure_changed: bool = False


class HazardIn(Strict):
    """Hazards before work."""

    built_year: Annotated[int, Field(ge=1000, le=2100)] | None = None
    storeys: Annotated[int, Field(ge=1)] | None = None
    lintel_missing: Marks = []
    structure_changed: bool = False
    heaviest_kg: Positive | None = None


class RulesIn(Strict):
    """Nation, day of the work, and at least one group of facts; what is missing in it is `unknown`."""

    nation: Nation
    date: Annotated[facts.Day, BeforeValidator(_day)]
    notice_date: Annotated[facts.Day | None, BeforeValidator(_day)] = None
    """When the notice or the plans went to building control; asked where the edition hangs on it."""
    start_date: Annotated[facts.Day | None, BeforeValidator(_day)] = None
    """When the work starts; the day of the work when left out."""
    escape: EscapeIn | None = None
    guarding: GuardingIn | None = None
    safety_glass: Annotated[list[PaneIn], counted("openings", 1)] | None = None
    ventilation: VentilationIn | None = None
    energy: Annotated[list[EnergyIn], counted("openings", 1)] | None = None
    flue: FlueIn | None = None
    access: AccessIn | None = None
    fire: FireIn | None = None
    security: SecurityIn | None = None
    heritage: HeritageIn | None = None
    notify: NotifyIn | None = None
    hazard: HazardIn | None = None

    @model_validator(mode="after")
    def _something_to_check(self) -> RulesIn:
        days = ("date", "notice_date", "start_date")
        groups = [name for name in type(self).model_fields if name not in ("nation", *days)]
        if all(getattr(self, name) is None for name in groups):
            raise ValueError(f"nothing to check; give at least one of {', '.join(groups)}.")
        return self
