"""`square-up`: which packer by how much brings a racked frame square."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from jambwright.basis.border import Positive, Strict
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.handover import AsRead, Moved, Packer, square_up, square_words

Size = Annotated[float, Field(ge=150, le=6500)]
Off = Annotated[float, Field(ge=-200, le=200)]
Side = Literal["left", "right", "head", "bottom"]
Sides = Side | Literal["sill"]


class Diagonals(Strict):
    """Corner to corner, outside of the frame."""

    rising: Positive
    """Bottom left to top right."""
    falling: Positive
    """Top left to bottom right."""


class Jambs(Strict):
    """Top minus bottom; + is top leaning right as seen from outside."""

    left: Off | None = None
    right: Off | None = None


class Faces(Strict):
    """Top minus bottom, out of the wall; + is top towards the outside."""

    left: Off
    right: Off


class Rails(Strict):
    """Right end minus left end; + is right end high."""

    sill: Off | None = None
    head: Off | None = None


class PackerGiven(Strict):
    """A packer, or stack of packers, as it stands."""

    side: Sides
    """`sill` and `bottom` are one."""
    at_mm: Annotated[float, Field(ge=0, le=6500)]
    """From the bottom, or from the left end."""
    thickness_mm: Annotated[float, Field(ge=0, le=200)] | None = None
    """As much as is wanted can be taken out when left out."""


class SquareUpInput(Strict):
    """A frame in its opening, before it is fixed for good."""

    width_mm: Size
    height_mm: Size
    diagonals_mm: Diagonals
    plumb_mm: Jambs = Jambs()
    level_mm: Rails = Rails()
    face_plumb_mm: Faces | None = None
    """For a twist."""
    packers: Annotated[list[PackerGiven], Field(max_length=100)] = []
    """Taken 150 mm from the corners and at mid height, with enough behind them, when left out."""

    @model_validator(mode="after")
    def _each_place_once(self) -> SquareUpInput:
        places = [(_side(p.side), p.at_mm) for p in self.packers]
        twice = next((place for place in places if places.count(place) > 1), None)
        if twice:
            raise ValueError(f"the {twice[0]} at {twice[1]:g} mm is listed twice; give each stack once.")
        return self


class ChangeLine(Answer):
    """One packer to change."""

    side: Sides
    at_mm: float
    by_mm: float
    """+ is thicker. Sill first; the sides are moved by this once it is level."""
    thickness_mm: float | None = None
    """Of the stack afterwards, where it was given."""


class After(Answer):
    """What the changes leave, as far as the readings tell."""

    diagonals_mm: dict[str, float]
    plumb_mm: dict[str, float]
    level_mm: dict[str, float]


class SquareUpAnswer(Answer):
    """The changes and what they reach."""

    changes: list[ChangeLine]
    after: After
    out_of_square_mm: float
    """How far the head stands to the right of square once the sill is level."""
    misfit_mm: float | None
    """Diagonals as read less what plumb and level make of them; `null` where these were not read."""
    twist_mm: float | None
    set_out: list[ChangeLine]
    """For a twist: how far each fixing is set towards the outside."""
    mended: bool
    """Everything within 1 mm afterwards, by readings that agree."""
    measure_again: bool
    why: str


def _side(given: Sides) -> Side:
    return "bottom" if given == "sill" else given


def _run(given: SquareUpInput, work: Working) -> SquareUpAnswer:
    read = AsRead(
        width_mm=given.width_mm,
        height_mm=given.height_mm,
        diagonals_mm=given.diagonals_mm.model_dump(),
        plumb_mm=given.plumb_mm.model_dump(exclude_none=True),
        level_mm=given.level_mm.model_dump(exclude_none=True),
        face_plumb_mm=given.face_plumb_mm.model_dump() if given.face_plumb_mm else {},
        packers=[
            Packer(side=_side(p.side), at_mm=p.at_mm, thickness_mm=p.thickness_mm) for p in given.packers
        ],
    )
    found = square_up(read, work)
    # a side goes back by the name it came with
    own: dict[Side, Sides] = {"bottom": "sill", **{_side(p.side): p.side for p in given.packers}}
    return SquareUpAnswer(
        changes=[_line(moved, own) for moved in found.changes],
        after=After(
            diagonals_mm=dict(found.diagonals_mm),
            plumb_mm=dict(found.plumb_mm),
            level_mm=dict(found.level_mm),
        ),
        out_of_square_mm=found.out_of_square_mm,
        misfit_mm=found.misfit_mm,
        twist_mm=found.twist_mm,
        set_out=[_line(moved, own) for moved in found.set_out],
        mended=found.mended,
        measure_again=found.read_again,
        why=" ".join(square_words(read, found)),
    )


def _line(moved: Moved, own: dict[Side, Sides]) -> ChangeLine:
    told = {"side": own.get(moved.side, moved.side), "at_mm": moved.at_mm, "by_mm": moved.by_mm}
    after = {} if moved.thickness_mm is None else {"thickness_mm": moved.thickness_mm}
    return ChangeLine.model_validate(told | after)


CALCULATIONS = (
    Calculation(
        name="square-up",
        summary="Which packer by how much brings a racked frame square, plumb and level.",
        asks=SquareUpInput,
        answers=SquareUpAnswer,
        run=_run,
        example={
            "width_mm": 1200,
            "height_mm": 1050,
            "diagonals_mm": {"rising": 1597, "falling": 1592},
            "level_mm": {"sill": 2},
            "packers": [
                {"side": side, "at_mm": at, "thickness_mm": 5} for side in ("left", "right") for at in (150, 525, 900)
            ],
        },
    ),
)  # fmt: skip
