"""What the HTTP interface takes and gives, beyond the survey's own models."""

from __future__ import annotations

from typing import Annotated, Any, get_args

from pydantic import AfterValidator, AwareDatetime, Field

from jambwright.basis.border import Strict
from jambwright.basis.characters import one_line
from jambwright.readings import ReadingSet, Tool
from jambwright.readings.seen import Suspicion
from jambwright.store import Change, House, HouseLine, Kept, Person, Photo, PlanLine, Role

Id = Annotated[str, Field(pattern=r"^[A-Za-z0-9_-]{1,64}$")]
Name = Annotated[str, Field(min_length=1, max_length=60, pattern=r"\S"), AfterValidator(one_line)]
OfPicture = Annotated[float, Field(ge=0, le=1)]
"""A place in a picture: part of its width or height."""
Tree = dict[str, Any]
"""A survey, or part of one, as in the readings file."""


class ProblemLine(Strict):
    """One thing wrong."""

    field: str
    say: str
    kind: str


class Refused(Strict):
    """Why nothing was done."""

    problems: list[ProblemLine]


class NewHouse(Strict):
    """A house to add: an empty one by its label, or a whole survey."""

    id: Annotated[str, Field(pattern=r"^[0-9a-f]{16}$")] | None = None
    """Chosen by a device without signal; sent again, the same house is given."""

    label: Name | None = None
    survey: Tree | None = None
    practice: bool = False


class HouseShown(Strict):
    """A house with its survey and versions."""

    id: str
    label: str
    version: int
    practice: bool
    survey: Tree
    marks: dict[str, int]
    """Version of each opening."""
    fitted: dict[str, Any]
    """Readings of the fitted frames by opening."""

    @classmethod
    def of(cls, house: House) -> HouseShown:
        """From the store's house."""
        return cls(
            id=house.id, label=house.label, version=house.version, practice=house.practice,
            survey=house.tree, marks=dict(house.marks), fitted=dict(house.fitted),
        )  # fmt: skip


class NewMark(Strict):
    """The mark an opening is to have from now on."""

    id: Annotated[str, Field(pattern=r"^[A-Za-z0-9_-]{1,16}$")]


class PlaceShown(Strict):
    """A field of the readings file."""

    path: str
    words: str


class ReasonShown(Strict):
    """One reason that shuts a gate: the finding, and what opens the gate."""

    word: str
    say: str
    opens: str
    whose: str
    """The house in words, where the finding is one on the house."""
    places: list[PlaceShown] = []
    """Where in the readings file it is mended."""


class ByGate(Strict):
    """Reasons that shut each gate, gravest first; none where it is open."""

    ordering: list[ReasonShown] = []
    work: list[ReasonShown] = []


class GateWords(Strict):
    """What each gate says in a few words."""

    ordering: str
    work: str


class LookShown(Strict):
    """One thing that is looked at when a unit comes."""

    path: str
    """Of its field, within `delivered`."""
    allowed: str
    least_mm: float | None
    most_mm: float | None
    """What a figure may be."""
    right: str | bool | None
    """The answer that is as ordered; none for a figure."""


class LightShown(Strict):
    """The glass of one light."""

    mark: str
    make_up: str


class DeliveryShown(Strict):
    """What is looked at of an ordered unit before anybody signs for it."""

    looks: list[LookShown]
    diagonals_mm: float
    """What the frame's may differ by."""
    lights: list[LightShown]


class OpeningStops(Strict):
    """Both gates of an opening, the reasons of the house among its own."""

    state: GateWords
    stops: ByGate
    instead: list[str]
    """What could be ordered instead."""
    ordered: bool
    delivery: DeliveryShown | None
    """None for one that is fitted or not read, and by a plan kept before there was a list."""


class GatesShown(Strict):
    """What stops the order and the work, by the latest plan that can be read."""

    plan: str | None
    """The plan made last, whether it can be read or not."""
    version: int | None = None
    """Version of the readings the gates rest on; none when there is no plan that can be read."""
    of: int
    """Version of the house when this was answered."""
    changed: bool = False
    """Whether the readings have changed since that plan; a frame read as fitted changes none of them."""
    made: str = ""
    who: str = ""
    latest: bool = True
    """False when the plan made last can't be read and these are of one before, or of none."""
    house: ByGate = ByGate()
    openings: dict[str, OpeningStops] = {}


class ChangeSent(Strict):
    """What a person did to one field; sent again until it is answered."""

    id: Id
    path: Annotated[str, Field(max_length=400)]
    was: Any = None
    """What stood there when the person changed it."""
    value: Any = None
    """What stands there now; null takes it away."""
    at: AwareDatetime
    """When it was typed, by the device's clock."""
    typed: Annotated[str, Field(max_length=80)] | None = None
    settles: Id | None = None
    """The clash that this decides."""

    def change(self, person: Person, device: str) -> Change:
        """As the store takes it, signed by the session."""
        return Change(
            id=self.id, path=self.path, was=self.was, value=self.value, typed=self.typed,
            settles=self.settles, at=self.at.isoformat(), who=person.name, device=device,
        )  # fmt: skip


class ChangesSent(Strict):
    """Changes of one device in the order they were made."""

    device: Id
    changes: Annotated[list[ChangeSent], Field(min_length=1, max_length=200)]


class ChangesAnswered(Strict):
    """What became of each change, and the house as it now is."""

    outcomes: list[Kept]
    house: HouseShown


class History(Strict):
    """Changes of a house, the newest first, and the clashes nobody has decided yet."""

    changes: list[Kept]
    clashes: list[Kept]


class Me(Strict):
    """Who this session is, and the token its pages send along."""

    name: str
    role: Role
    token: str


class ReadingCheck(Strict):
    """Readings of one opening to be looked at, whether they have been kept or not."""

    name: Annotated[str, Field(max_length=80)] = ""
    """Mark and room, to speak of it by."""
    outside: ReadingSet
    tools: list[Tool] = []
    tape: str | None = None
    """Name of the tool that is meant where a reading names none."""


class PhotoLines(Strict):
    """Caption, lines and further marks of a photo; what is left out stays."""

    caption: Annotated[str, Field(max_length=200)] | None = None
    drawn: Annotated[list[list[tuple[OfPicture, OfPicture]]], Field(max_length=200)] | None = None
    shows: Annotated[list[Suspicion], Field(max_length=len(get_args(Suspicion)))] = []
    """Put to what it shows already; taken back under the answers of its opening."""


class PhotoShows(Strict):
    """What a photo is marked to show, each a field of what may be suspected at an opening."""

    shows: Annotated[list[Suspicion], Field(max_length=len(get_args(Suspicion)))] = []


class Answered(Strict):
    """The maker's answer beside the order."""

    agrees: bool
    say: list[str]
    """Every difference, and what is not confirmed, a sentence each."""
    differences: list[Tree]
    """By item, light and field: `was` is ordered, `now` answered."""


class Started(Strict):
    """Long work that was started; watch it under its number."""

    work: str


class Invited(Strict):
    """An address that lets a device in once."""

    address: str
    code: str
    """Its QR code as SVG."""
    only_here: bool
    """The program is served to this machine alone: no phone can open the address."""
    known: bool
    """There is somebody of that name: it lets in another device of theirs."""


class NewLogin(Strict):
    """Someone to let in."""

    name: Name
    role: Role


__all__ = [
    "ChangeSent", "ChangesAnswered", "ChangesSent", "GatesShown", "History", "HouseLine", "HouseShown", "Id", "Invited",
    "Kept", "Me", "NewHouse", "NewLogin", "NewMark", "Photo", "PhotoLines", "PhotoShows", "PlanLine", "ReadingCheck",
    "Refused", "Started", "Tree",
]  # fmt: skip
