"""`opening-outline` and `frame-size`: from readings to the outline and to the frame to order."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal, Self

from pydantic import Field, field_validator, model_validator

from jambwright.basis.border import Strict
from jambwright.basis.clause import Clause
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.frame.order_size import OrderSize, order_size
from jambwright.opening import Outline, adjust
from jambwright.opening.largest import Gaps
from jambwright.readings import Reading, ReadingLine
from jambwright.readings.reading import PLACES
from jambwright.readings.tools import Trust

Sigma = Annotated[float, Field(gt=0)]
NotNegative = Annotated[float, Field(ge=0)]
Pair = tuple[float, float]

LEAST_SQUARES = Clause("Weighted least squares with Baarda's reliability measures", "", "from memory, high")
LARGEST = Clause("Largest rectangle by linear programming", "", "calculated")


class Readings(Strict):
    """Readings of one opening and how far they are trusted."""

    readings: Annotated[list[ReadingLine], Field(min_length=1)]
    tape_sigma_mm: Sigma | dict[str, Sigma] = 1.0
    """Standard deviation of one length, or by kind of reading."""
    level_sigma_mm: Sigma = 1.0
    """Of one level, plumb or bow."""
    bow_sigma_mm: NotNegative = 3.0
    """Of a bow that was not read; 0 holds the edges straight."""

    @field_validator("tape_sigma_mm")
    @classmethod
    def _kinds_known(cls, value: Any) -> Any:
        return _known_kinds(value)

    def outline(self) -> Outline:
        """The adjusted outline."""
        trust = Trust(
            tape_mm=self.tape_sigma_mm, level_mm=self.level_sigma_mm, bow_prior_mm=self.bow_sigma_mm
        )
        return adjust([_reading(line) for line in self.readings], trust=trust)


def _known_kinds(value: Any) -> Any:
    unknown = set(value) - set(PLACES) if isinstance(value, dict) else set()
    if unknown:
        raise ValueError(f"`{min(unknown)}` is no kind of reading; known are {', '.join(PLACES)}.")
    return value


def _reading(line: ReadingLine) -> Reading:
    values = line.mm if isinstance(line.mm, list) else [line.mm]
    return Reading(kind=line.kind, at=line.at, values_mm=tuple(values))


class AdjustedLine(Answer):
    """One reading after the adjustment."""

    kind: str
    at: str
    mm: float
    adjusted_mm: float
    residual_mm: float
    """Adjusted minus read."""
    redundancy: float
    w: float
    """Positive when the reading is too long."""
    smallest_detectable_mm: float | None
    """None when nothing checks the reading."""


class SuspectLine(Answer):
    """A reading that is likely wrong."""

    kind: str
    at: str
    read_mm: float
    likely_mm: float
    w: float


class OutlineAnswer(Answer):
    """The adjusted outline and what its readings are worth."""

    corners_mm: dict[str, Pair]
    mid_edges_mm: dict[str, Pair]
    readings: list[AdjustedLine]
    variance_factor: float | None
    degrees_of_freedom: int
    p_value: float | None
    suspects: list[SuspectLine]
    verdict: Literal["agree", "measure again", "too few readings to tell"]


def _outline_answer(given: Readings) -> OutlineAnswer:
    outline = given.outline()
    return OutlineAnswer(
        corners_mm=outline.corners_mm,
        mid_edges_mm=outline.mid_edges_mm,
        readings=[
            AdjustedLine(**{name: getattr(r, name) for name in AdjustedLine.model_fields})
            for r in outline.readings
        ],
        variance_factor=outline.variance_factor,
        degrees_of_freedom=outline.degrees_of_freedom,
        p_value=outline.p_value,
        suspects=[],
        verdict="agree" if outline.square_measured else "too few readings to tell",
    )


def _outline_working(given: Readings) -> Working:
    work = Working()
    outline = given.outline()
    for r in outline.readings:
        work.note(
            f"{r.kind} {r.at}", "adjusted = read + residual", r.adjusted_mm, "mm", LEAST_SQUARES,
            read_mm=r.mm, residual_mm=r.residual_mm, sigma_mm=r.sigma_mm, redundancy=r.redundancy, w=r.w,
        )  # fmt: skip
    for name, point in outline.corners_mm.items():
        work.note(name, "corner of the adjusted outline", point, "mm", LEAST_SQUARES)
    work.note(
        "s0²", "weighted square sum / degrees of freedom", outline.variance_factor, "", LEAST_SQUARES,
        degrees_of_freedom=outline.degrees_of_freedom, p_value=outline.p_value,
    )  # fmt: skip
    return work


class GapsAsked(Strict):
    """Gap wanted on each side, mm."""

    left: NotNegative
    right: NotNegative
    head: NotNegative
    bottom: NotNegative


class FrameSize(Strict):
    """Readings of an opening, or its exact outline, and the gaps wanted round the frame."""

    readings: Annotated[list[ReadingLine], Field(min_length=1)] | None = None
    tape_sigma_mm: Sigma | dict[str, Sigma] = 1.0
    level_sigma_mm: Sigma = 1.0
    bow_sigma_mm: NotNegative = 3.0
    polygon_mm: list[Pair] | None = None
    """Corners in turn, taken as exact."""
    gap_mm: GapsAsked
    sill_height_mm: NotNegative = 0.0
    round_down_to_mm: Annotated[float, Field(gt=0)] = 1.0
    confidence: Annotated[float, Field(gt=0, lt=1)] = 0.99
    """Wanted chance that the frame goes in with every gap kept."""
    prefer: Literal["width", "height", "area"] = "area"
    """Which of two frames of equal width + height to take."""

    @field_validator("tape_sigma_mm")
    @classmethod
    def _kinds_known(cls, value: Any) -> Any:
        return _known_kinds(value)

    @model_validator(mode="after")
    def _one_source(self) -> Self:
        if (self.readings is None) == (self.polygon_mm is None):
            raise ValueError("give either `readings` or `polygon_mm`, and not both.")
        return self

    def size(self) -> OrderSize:
        """The frame to order."""
        if self.readings is None:
            outline: Any = self.polygon_mm
        else:
            outline = Readings(
                readings=self.readings,
                tape_sigma_mm=self.tape_sigma_mm,
                level_sigma_mm=self.level_sigma_mm,
                bow_sigma_mm=self.bow_sigma_mm,
            ).outline()
        return order_size(
            outline,
            gaps_mm=Gaps(**self.gap_mm.model_dump()),
            sill_height_mm=self.sill_height_mm,
            round_down_to_mm=self.round_down_to_mm,
            confidence=self.confidence,
            prefer=self.prefer,
        )


class FrameSizeAnswer(Answer):
    """The frame to order and where it stands."""

    order_width_mm: float
    order_height_mm: float
    """Frame without sill."""
    overall_height_mm: float
    """Frame with sill."""
    place_mm: Pair
    """The frame's bottom left."""
    gaps_mm: dict[str, dict[str, float]]
    probability_fits: float | None
    prefer: str


def _size_answer(given: FrameSize) -> FrameSizeAnswer:
    size = given.size()
    return FrameSizeAnswer(
        order_width_mm=size.width_mm,
        order_height_mm=size.height_mm,
        overall_height_mm=size.overall_height_mm,
        place_mm=size.place_mm,
        gaps_mm={side: dict(gaps) for side, gaps in size.gaps_mm.items()},
        probability_fits=size.probability_fits,
        prefer=size.prefer,
    )


def _size_working(given: FrameSize) -> Working:
    work = Working()
    size = given.size()
    work.note("W", "largest width with the gaps, rounded down", size.width_mm, "mm", LARGEST)
    work.note(
        "H", "largest height with the gaps less the sill, rounded down", size.height_mm, "mm", LARGEST,
        sill_height_mm=size.sill_height_mm,
    )  # fmt: skip
    return work


_CORNERS: list[Mapping[str, Any]] = [
    {"kind": "width", "at": "bottom", "mm": 1210},
    {"kind": "width", "at": "middle", "mm": 1211},
    {"kind": "width", "at": "top", "mm": 1210},
    {"kind": "height", "at": "left", "mm": 1052},
    {"kind": "height", "at": "centre", "mm": 1051},
    {"kind": "height", "at": "right", "mm": 1052},
    {"kind": "diagonal", "at": "rising", "mm": 1603},
    {"kind": "diagonal", "at": "falling", "mm": 1604},
    {"kind": "level", "at": "sill", "mm": 1},
    {"kind": "plumb", "at": "left", "mm": -2},
]

CALCULATIONS = (
    Calculation(
        name="opening-outline",
        summary="Adjust the readings of an opening together and find the ones that disagree.",
        asks=Readings,
        answers=OutlineAnswer,
        run=_outline_answer,
        working=_outline_working,
        example={"readings": _CORNERS},
    ),
    Calculation(
        name="frame-size",
        summary="The largest true frame in an opening with the wanted gaps.",
        asks=FrameSize,
        answers=FrameSizeAnswer,
        run=_size_answer,
        working=_size_working,
        example={"readings": _CORNERS, "gap_mm": {"left": 5, "right": 5, "head": 5, "bottom": 5}},
    ),
)
