"""`frame-size`: the largest true frame in an opening, and the chance that it goes in."""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import Field, field_validator, model_validator

from jambwright.basis.border import NotNegative, Strict
from jambwright.basis.problems import BadInput, Problem
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation, filled
from jambwright.calc.opening import EXAMPLE_READINGS, Pair, ReadingLines, Readings, Sigma, known_kinds
from jambwright.frame.chance import MakerTolerance
from jambwright.frame.order_size import OrderSize, order_size, second_reading_gains
from jambwright.frame.size_steps import note_size
from jambwright.opening import Gaps, Outline, advise, search
from jambwright.opening.advice import Word

MOST_CORNERS = 500
"""Of an outline given exactly, curves drawn as chains among them."""


class GapsAsked(Strict):
    """Gap wanted on each side, mm."""

    left: NotNegative
    right: NotNegative
    head: NotNegative
    bottom: NotNegative


class FrameSize(Strict):
    """Readings of an opening, or its exact outline, and the gaps wanted round the frame."""

    readings: ReadingLines | None = None
    tape_sigma_mm: Sigma | dict[str, Sigma] = 1.0
    level_sigma_mm: Sigma = 1.0
    bow_sigma_mm: NotNegative = 3.0
    polygon_mm: Annotated[list[Pair], Field(max_length=MOST_CORNERS)] | None = None
    """Corners in turn, taken as exact."""
    gap_mm: GapsAsked
    sill_height_mm: NotNegative = 0.0
    round_down_to_mm: Annotated[float, Field(ge=1e-6, le=100)] = 1.0
    confidence: Annotated[float, Field(gt=0, lt=1)] = 0.99
    """Wanted chance that the frame goes in with every gap kept."""
    prefer: Literal["width", "height", "area"] = "area"
    """Which of two frames of equal width + height to take."""
    widest_gap_mm: GapsAsked | None = None
    """Greatest gap that the joint allows on each side."""
    maker_size_mm: NotNegative = 2.0
    """How far a delivered frame may be off in width and height, plus or minus."""
    maker_diagonal_mm: NotNegative = 2.0
    """How far its diagonals may differ, plus or minus."""
    tape_common_mm: NotNegative = 0.5
    """Standard deviation of the error that all lengths read with one tape share."""

    @field_validator("tape_sigma_mm")
    @classmethod
    def _kinds_known(cls, value: Any) -> Any:
        return known_kinds(value)

    @model_validator(mode="after")
    def _one_source(self) -> Self:
        if (self.readings is None) == (self.polygon_mm is None):
            raise ValueError("give either `readings` or `polygon_mm`, and not both.")
        return self

    def measured(self) -> Readings | None:
        """The readings, where the outline is not given exactly."""
        if self.readings is None:
            return None
        return Readings(
            readings=self.readings,
            tape_sigma_mm=self.tape_sigma_mm,
            level_sigma_mm=self.level_sigma_mm,
            bow_sigma_mm=self.bow_sigma_mm,
        )

    def gaps(self) -> Gaps:
        """The gaps wanted."""
        return Gaps(**self.gap_mm.model_dump())

    def maker(self) -> MakerTolerance:
        """How far a delivered frame may be off."""
        return MakerTolerance(size_mm=self.maker_size_mm, diagonal_mm=self.maker_diagonal_mm)

    def size(self, outline: Outline | None) -> OrderSize:
        """The frame to order."""
        return order_size(
            outline or self.polygon_mm or [],
            gaps_mm=self.gaps(),
            sill_height_mm=self.sill_height_mm,
            round_down_to_mm=self.round_down_to_mm,
            confidence=self.confidence,
            prefer=self.prefer,
            widest_gaps_mm=Gaps(**self.widest_gap_mm.model_dump()) if self.widest_gap_mm else None,
            maker=self.maker(),
            common_mm=self.tape_common_mm,
        )


class GainLine(Answer):
    """What reading one place again would gain."""

    kind: str
    at: str
    mm: float


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
    probability_fits: float
    prefer: str
    governs: str = ""
    """Which parts of the opening most often bar a frame that does not go in."""
    second_reading_gains: list[GainLine] = []
    """What a second reading would add to width + height, most first."""
    verdict: Word | None = None
    """On the readings."""
    say: list[str] = []
    """What was assumed instead of measured, and what to measure again."""


def _size_answer(given: FrameSize, work: Working) -> FrameSizeAnswer:
    measured = given.measured()
    if measured is None:
        size = given.size(None)
        note_size(work, size)
        return FrameSizeAnswer(**_size_fields(size))
    outline = measured.outline()
    findings = search(outline, measured.taken(), measured.trust())
    suspects = [suspect.say for suspect in findings.suspects]
    try:
        size = given.size(outline)
    except BadInput as bad:
        # a misread is the likeliest reason that nothing fits
        raise BadInput([*bad.problems, *(Problem("readings", say) for say in suspects)]) from None
    note_size(work, size)
    gains = second_reading_gains(
        outline,
        gaps_mm=given.gaps(),
        confidence=given.confidence,
        maker=given.maker(),
        common_mm=given.tape_common_mm,
    )
    return FrameSizeAnswer(
        **_size_fields(size),
        governs=size.governs,
        second_reading_gains=[filled(GainLine, gain) for gain in gains],
        verdict=advise(outline, findings, measured.trust()).word,
        say=[*size.rests_on, *suspects],
    )


def _size_fields(size: OrderSize) -> dict[str, Any]:
    return {
        "order_width_mm": size.width_mm,
        "order_height_mm": size.height_mm,
        "overall_height_mm": size.overall_height_mm,
        "place_mm": size.place_mm,
        "gaps_mm": {side: dict(gaps) for side, gaps in size.gaps_mm.items()},
        "probability_fits": size.probability_fits,
        "prefer": size.prefer,
    }


CALCULATIONS = (
    Calculation(
        name="frame-size",
        summary="The largest true frame in an opening with the wanted gaps.",
        asks=FrameSize,
        answers=FrameSizeAnswer,
        run=_size_answer,
        example={"readings": EXAMPLE_READINGS, "gap_mm": {"left": 5, "right": 5, "head": 5, "bottom": 5}},
    ),
)
