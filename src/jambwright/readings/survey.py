"""The readings file: site, house, rooms, defaults, tools and openings. Versioned; YAML or JSON alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, PrivateAttr, field_validator

from jambwright.basis.border import Strict, formed
from jambwright.basis.characters import one_line
from jambwright.basis.envelope import Day, Name, Note, Words, counted, within
from jambwright.basis.tables import table
from jambwright.readings.accepted import Accepted
from jambwright.readings.cleared import Cleared
from jambwright.readings.delivered import Delivered
from jambwright.readings.done import Done, is_done
from jambwright.readings.ordering import OrderAsked
from jambwright.readings.reading import ReadingSet
from jambwright.readings.seen import Seen
from jambwright.readings.system_sheet import SystemSheet
from jambwright.readings.systems import system_sheet
from jambwright.readings.tool import Tool
from jambwright.readings.usual import Defaults, Wall
from jambwright.readings.wanted import Wanted

Nation = Literal["england", "wales", "scotland", "northern_ireland", "ireland"]
RoomUse = Literal[
    "living", "bedroom", "kitchen", "kitchen_living", "bathroom", "wc", "utility", "hall", "landing", "stair",
    "study", "dining", "store",
]  # fmt: skip
HeatingKind = Literal[
    "gas_condensing", "gas_not_condensing", "gas_new", "oil", "oil_condensing", "lpg_condensing",
    "electric_direct", "heat_pump_air", "wood_pellets",
]  # fmt: skip
Facing = Literal["north", "north_east", "east", "south_east", "south", "south_west", "west", "north_west"]
Mechanical = Literal["none", "extract", "balanced"]
Appliance = Literal["gas_fanned", "gas_natural", "oil"]
Direction = Literal["below", "above", "beside"]
OldMaterial = Literal["timber", "steel", "aluminium", "pvcu", "other"]
WayOut = Literal["hall", "protected_stair", "open_stair", "other_room"]
LintelKind = Literal["steel", "concrete", "timber", "stone", "brick_arch", "none", "unknown"]


class Indoor(Strict):
    """Indoor climate of the heated rooms."""

    temperature_c: Annotated[float, within("temperature_c")] = 20.0
    humidity_class: Annotated[int, Field(ge=1, le=5)] = 3


class Site(Strict):
    """Where the house stands."""

    label: Annotated[Words, AfterValidator(one_line)]
    nation: Nation = "england"
    altitude_m: Annotated[float, within("altitude_m")] = 0.0
    distance_to_sea_km: Annotated[float, within("distance_to_sea_km")] | None = None
    distance_in_town_km: Annotated[float, within("distance_in_town_km")] = 0.0
    wind_map_speed_ms: Annotated[float, within("wind_map_speed_ms")] | None = None
    """Fundamental speed off the national wind map."""
    terrain: Literal["0", "I", "II", "III", "IV"] | None = None
    """Terrain category of EN 1991-1-4, for nations without the UK annex."""
    climate_region: Name | None = None
    indoor: Indoor = Indoor()


class Room(Strict):
    """One room and who may be disturbed in it when."""

    name: Name
    use: RoomUse
    storey: Annotated[int, within("storey")] = 0
    floor_area_m2: Annotated[float, within("floor_area_m2")] | None = None
    floor_above_ground_mm: Annotated[float, within("floor_above_ground_mm")] | None = None
    """Above the lowest ground beside the house; asked above the first floor."""
    way_out: WayOut | None = None
    """Where its door leads: a hall straight to the final exit, a stair, or only into another room."""
    extract_fan: bool | None = None
    disturb: Words = ""
    """In plain words: `night worker asleep until 14:00`."""


class HeatingNow(Strict):
    """How the house is heated and what the fuel costs, off the owner's bill."""

    kind: HeatingKind
    efficiency: Annotated[float, Field(gt=0, le=8)] | None = None
    """Heat out over fuel in, 0.84 or 2.8 for a heat pump; the usual of its kind when left out."""
    price_per_kwh: Annotated[float, within("price_per_kwh")] | None = None
    """Of the fuel, in your money."""


class House(Strict):
    """The building."""

    kind: Literal["detached", "semi_detached", "end_terrace", "mid_terrace", "bungalow", "flat"] = "detached"
    built_year: Annotated[int, Field(ge=1000, le=2100)] | None = None
    storeys: Annotated[int, within("storeys")] = 2
    breadth_m: Annotated[float, within("breadth_m")] | None = None
    depth_m: Annotated[float, within("depth_m")] | None = None
    height_m: Annotated[float, within("height_m")] | None = None
    listed: bool | None = None
    conservation_area: bool | None = None
    children: bool | None = None
    """Children under five live in or often visit the house."""
    mechanical_ventilation: Mechanical = "none"
    rooms: Annotated[list[Room], counted("rooms")] = []
    front_faces: Facing | None = None
    """Which way the front looks; needed for the sun."""
    heating: HeatingNow | None = None
    quotes: dict[str, Annotated[float, within("quotes")]] = {}
    """Price of the whole job, in the same money, by option of the comparison: `as_ordered` and others."""

    @field_validator("quotes")
    @classmethod
    def _options_known(cls, quotes: dict[str, float]) -> dict[str, float]:
        known = table("glass_options").column("option")
        wrong = [name for name in quotes if name not in known]
        if wrong:
            raise ValueError(f"`{wrong[0]}` is not an option; known are {', '.join(known)}.")
        return quotes


class Lintel(Strict):
    """What carries the wall over the opening."""

    kind: LintelKind = "unknown"
    may_drill: bool = False
    """The lintel's maker allows fixings into it."""


class Flue(Strict):
    """A flue terminal near an opening."""

    appliance: Appliance
    input_kw: Annotated[float, within("input_kw")] | None = None
    to_opener_mm: Annotated[float, within("to_opener_mm")] | None = None
    to_frame_mm: Annotated[float, within("to_frame_mm")] | None = None
    direction: Direction


class Nibs(Strict):
    """A rebated reveal: how far the outer leaf laps in past the inner reveal on each side, 0 for none.

    Read with the old frame still in: from one line on the glass to the outer leaf outside, and from the same
    line to the reveal inside; the nib is the difference. Left out, jambs and head are taken from
    ``wall.reveal_rebate_mm``, with a wide margin.
    """

    left: Annotated[float, within("nib")] | None = None
    right: Annotated[float, within("nib")] | None = None
    head: Annotated[float, within("nib")] | None = None
    sill: Annotated[float, within("nib")] = 0.0
    """An upstand in front of the frame's foot; 0 where the frame stands on the outer sill."""


class Standing(Strict):
    """What stands in the opening now: the evidence for 'no worse than before'."""

    opens: Words | None = None
    """How the old window or door opens."""
    openers: Annotated[int, Field(ge=0, le=40)] | None = None
    """How many of its lights open."""
    material: OldMaterial | None = None
    glazing: Literal["single", "double", "secondary", "unknown"] = "unknown"
    clear_width_mm: Annotated[float, within("clear_width_mm")] | None = None
    """Clear width of its biggest opener, fully open."""
    clear_height_mm: Annotated[float, within("clear_height_mm")] | None = None
    bottom_above_floor_mm: Annotated[float, within("bottom_above_floor_mm")] | None = None
    """Bottom of the clear opening above the inside floor."""
    vents_mm2: Annotated[float, within("vents_mm2")] | None = None
    """Equivalent area of its background vents, 0 for none, left out when not looked at."""
    combustion_vent: bool = False
    """A permanently open vent that feeds an appliance."""
    safety_marks: bool | None = None
    level_threshold: bool = False


class Ordered(Strict):
    """Size of a frame off the order, without its sill."""

    width_mm: Annotated[float, within("width_mm")]
    height_mm: Annotated[float, within("height_mm")]


class Opening(Strict):
    """One opening in the wall: where it is, what was read, what stands there, what is wanted."""

    id: Annotated[
        str, formed(r"^[A-Za-z0-9_-]{1,16}$", "letters without accents, figures, - and _, 16 at most")
    ]
    """Short mark, used on labels and file names."""
    room: Name
    note: Note = ""
    elevation: Literal["front", "back", "left", "right"] = "front"
    """Face of the house, left and right as seen from the front."""
    from_corner_m: Annotated[float, within("from_corner_m")] = 0.0
    """Nearest edge of the opening to the nearest corner of the house; 0 is the safe value for wind."""
    along_mm: Annotated[float, within("along_mm")] | None = None
    """Left edge of the opening from the left end of its face, seen from outside: where it is drawn."""
    wall: Wall | None = None
    lintel: Lintel = Lintel()
    set_back_mm: Annotated[float, within("set_back_mm")] | None = None
    outside: ReadingSet = ReadingSet()
    """Readings of the outer face: where the frame goes in, or between the nibs of a rebated reveal."""
    inside: ReadingSet | None = None
    """Readings plaster to plaster; in a rebated reveal they set the frame, which goes in from inside."""
    nibs: Nibs = Nibs()
    not_read: Annotated[dict[Name, Words], counted("settled")] = {}
    """Readings that could not be taken, and why: `width middle: hidden by plaster`."""
    reveal_depth_mm: Annotated[float, within("reveal_depth_mm")] | None = None
    """Wall face to the back of the outer reveal."""
    sill_above_floor_mm: Annotated[float, within("sill_above_floor_mm")] | None = None
    """Structural sill above the inside finished floor."""
    drop_outside_mm: Annotated[float, within("drop_outside_mm")] | None = None
    """Structural sill above the ground or roof outside."""
    guard_height_mm: Annotated[float, within("guard_height_mm")] | None = None
    """Top of a guard across it, above the inside floor, where there is one."""
    over_street: bool = False
    """What opens outwards would open over a street."""
    old_sill: Literal["none", "stone", "tile", "concrete", "timber"] = "none"
    """A sill that stays under the new frame."""
    beside_door_mm: Annotated[float, within("beside_door_mm")] | None = None
    """To the edge of the nearest door, for a window beside one."""
    by_bath: bool = False
    to_boundary_m: Annotated[float, within("to_boundary_m")] | None = None
    flue: Flue | None = None
    seen: Seen = Seen()
    now: Standing = Standing()
    wanted: Wanted = Wanted()
    """What is ordered: as asked, with the proposals that were accepted."""
    accepted: Annotated[list[Accepted], counted("proposals")] = []
    """Proposals put into `wanted`, the oldest first; taken back, they leave what was asked."""
    ordered: Ordered | None = None
    """The frame as ordered; marked `ordered`, it stays so whatever is read later."""
    delivered: Delivered | None = None
    """What was found when the ordered unit came; one that is made again keeps it until the new one is looked at."""
    done: Annotated[list[Done], counted("settled")] = []
    """What is already settled and must not change when the plan is made again."""
    cleared: Annotated[list[Cleared], counted("settled")] = []
    """What stopped this opening and is settled."""

    @field_validator("inside")
    @classmethod
    def _blank_is_not_read(cls, inside: ReadingSet | None) -> ReadingSet | None:
        return inside if inside and any(True for _ in inside.readings()) else None

    @field_validator("delivered")
    @classmethod
    def _blank_is_not_delivered(cls, delivered: Delivered | None) -> Delivered | None:
        return delivered if delivered != Delivered() else None

    def is_done(self, stage: Done) -> bool:
        """Whether a stage is settled: it is marked, or a later one that can't be without it.

        >>> Opening.model_construct(done=["fitted"]).is_done("ordered")
        True
        """
        return is_done(self.done, stage)

    @property
    def ordered_mm(self) -> tuple[float, float] | None:
        """Width and height the frame is already ordered at; ``None`` while it is free or they are not written."""
        if self.ordered is None or not self.is_done("ordered"):
            return None
        return self.ordered.width_mm, self.ordered.height_mm

    @property
    def name(self) -> str:
        """Mark and room, as on every paper: ``W3 front bedroom``."""
        return f"{self.id} {self.room}"

    def faces(self) -> Iterator[tuple[Literal["outside", "inside"], ReadingSet]]:
        """The faces that were read, by name."""
        yield "outside", self.outside
        if self.inside is not None:
            yield "inside", self.inside


class Survey(Strict):
    """A whole readings file."""

    jambwright: Literal[1]
    """Version of this layout."""
    note: Note = ""
    date_of_work: Day | None = None
    """When the work is done, from 2000 to 2099; it decides which edition of a rule applies."""
    notice_date: Day | None = None
    """When the notice or the plans went to building control; asked where an edition may still apply by it."""
    start_date: Day | None = None
    """When the work starts; the day of the work when left out."""
    registered_installer: bool | None = None
    """The firm is registered to certify the work itself."""
    site: Site
    house: House = House()
    defaults: Defaults = Defaults()
    order: OrderAsked = OrderAsked()
    """The head of the order to the maker."""
    tools: Annotated[list[Tool], counted("tools")] = []
    cleared: Annotated[list[Cleared], counted("settled")] = []
    """What stopped the whole house and is settled."""
    openings: Annotated[list[Opening], counted("openings", 1)]

    _faces: tuple[ReadingSet, ...] | None = PrivateAttr(None)

    @property
    def faces(self) -> tuple[ReadingSet, ...]:
        """Every face that was read of the whole house, also where this is a part of it."""
        if self._faces is not None:
            return self._faces
        return tuple(
            face for each in self.openings for face in (each.outside, each.inside) if face is not None
        )

    def part(self, openings: Sequence[Opening]) -> Survey:
        """Some of its openings, with what the readings of the others say of walls and tools."""
        return self.model_copy(update={"openings": list(openings)}).within(self)

    def within(self, house: Survey) -> Survey:
        """The same as a part of that house, whose other openings speak for its walls and tools too."""
        made = self.model_copy()
        made._faces = house.faces
        return made

    def room(self, name: str) -> Room | None:
        """The room of that name, where it is listed."""
        return next((room for room in self.house.rooms if room.name == name), None)

    def system_of(self, opening: Opening) -> SystemSheet:
        """The sheet of the system an opening is made of."""
        return system_sheet(opening.wanted.profile or self.defaults.profile, self.defaults.systems)

    def wall_of(self, opening: Opening) -> Wall:
        """The wall round an opening: its own, else the one of the house."""
        return opening.wall or self.defaults.wall
