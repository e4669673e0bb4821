"""`opening-outline` and `arch`: what the readings of an opening say, and arched heads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Annotated, Any

from pydantic import Field, field_validator

from jambwright.basis.border import NotNegative, Strict
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation, filled
from jambwright.frame.order_size import misread_effects
from jambwright.opening import Outline, adjust, advise, search
from jambwright.opening.advice import Word
from jambwright.opening.arch import (
    Arch,
    ArchKind,
    arch,
    inside,
)
from jambwright.opening.outline_steps import note_outline
from jambwright.readings import EVERY_PLACE, PLACES, Reading, ReadingLine, Trust
from jambwright.readings.written import TO_THE_MILLIMETRE, written_to

Sigma = Annotated[float, Field(gt=0, le=1000)]
ReadingLines = Annotated[
    list[ReadingLine], Field(min_length=1, max_length=sum(map(len, EVERY_PLACE.values())))
]
"""A place is read in one line, its repeats in it."""
Pair = tuple[float, float]


class Readings(Strict):
    """Readings of one opening and how far they are trusted."""

    readings: ReadingLines
    tape_sigma_mm: Sigma | dict[str, Sigma] = 1.0
    """Standard deviation of one length, or by kind of reading."""
    level_sigma_mm: Sigma = 1.0
    """Of one level, plumb or bow."""
    bow_sigma_mm: NotNegative = 3.0
    """Of a bow that was not read; 0 holds the edges straight."""

    @field_validator("tape_sigma_mm")
    @classmethod
    def _kinds_known(cls, value: Any) -> Any:
        return known_kinds(value)

    def trust(self) -> Trust:
        """How far each reading is trusted: figures written coarsely less, where no other trust is given."""
        told = "tape_sigma_mm" in self.model_fields_set
        return Trust(
            tape_mm=self.tape_sigma_mm,
            level_mm=self.level_sigma_mm,
            bow_prior_mm=self.bow_sigma_mm,
            written_to=TO_THE_MILLIMETRE if told else written_to(self.taken()),
        )

    def taken(self) -> list[Reading]:
        """The readings."""
        return [_reading(line) for line in self.readings]

    def outline(self) -> Outline:
        """The adjusted outline."""
        return adjust(self.taken(), trust=self.trust())


def known_kinds(value: Any) -> Any:
    """Refuse a trust by kind that names an unknown kind."""
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
    effect_on_width_mm: float | None
    """What a misread just too small to notice does to the frame's width."""
    effect_on_height_mm: float | None


class SuspectLine(Answer):
    """A reading that is likely wrong."""

    kind: str
    at: str
    read_mm: float
    likely_mm: float
    w: float
    chance: float
    cause: str


class ExplanationLine(Answer):
    """One way the readings may have gone wrong."""

    chance: float
    cause: str
    changes: list[dict[str, str | float]]


class PlaceLine(Answer):
    """A place that can be read."""

    kind: str
    at: str


class OutlineAnswer(Answer):
    """The adjusted outline and what its readings are worth."""

    corners_mm: dict[str, Pair]
    mid_edges_mm: dict[str, Pair]
    readings: list[AdjustedLine]
    variance_factor: float | None
    degrees_of_freedom: int
    p_value: float | None
    suspects: list[SuspectLine]
    verdict: Word
    explanations: list[ExplanationLine]
    """More than one when the readings can't tell which."""
    measure_next: PlaceLine | None
    """The one reading that would tell most."""
    unchecked: list[PlaceLine]
    """Readings that no other reading checks."""
    square_measured: bool
    level_measured: bool
    say: list[str]


def _outline_answer(given: Readings, work: Working) -> OutlineAnswer:
    outline = given.outline()
    note_outline(work, outline)
    findings = search(outline, given.taken(), given.trust())
    advice = advise(outline, findings, given.trust())
    return OutlineAnswer(
        corners_mm=outline.corners_mm,
        mid_edges_mm=outline.mid_edges_mm,
        readings=_adjusted_lines(outline),
        variance_factor=outline.variance_factor,
        degrees_of_freedom=outline.degrees_of_freedom,
        p_value=outline.p_value,
        suspects=[filled(SuspectLine, suspect) for suspect in findings.suspects],
        verdict=advice.word,
        explanations=[
            ExplanationLine(chance=e.chance, cause=e.cause, changes=[asdict(change) for change in e.changes])
            for e in findings.explanations
        ],
        measure_next=_place(advice.measure_next) if advice.measure_next else None,
        unchecked=[_place(place) for place in advice.unchecked],
        square_measured=outline.square_measured,
        level_measured=outline.level_measured,
        say=list(advice.say),
    )


def _adjusted_lines(outline: Outline) -> list[AdjustedLine]:
    effects = misread_effects(outline)
    lines = []
    for r in outline.readings:
        on_width, on_height = effects.get((r.kind, r.at), (None, None))
        lines.append(filled(AdjustedLine, r, effect_on_width_mm=on_width, effect_on_height_mm=on_height))
    return lines


def _place(place: tuple[str, str]) -> PlaceLine:
    return PlaceLine(kind=place[0], at=place[1])


class ArchAsked(Strict):
    """An arched head."""

    span_mm: Annotated[float, Field(ge=50, le=20_000)]
    rise_mm: Annotated[float, Field(ge=1, le=20_000)]
    gap_mm: Annotated[float, Field(ge=0, le=20_000)] = 0.0
    """Between opening and frame, square to the head and at the springing."""
    kind: ArchKind = "segmental"

    def arches(self, work: Working) -> tuple[Arch, Arch]:
        """The opening's and the frame's."""
        outer = arch(self.kind, span_mm=self.span_mm, rise_mm=self.rise_mm, work=work, of=" opening")
        return outer, inside(outer, self.gap_mm, work=work, of=" frame")


class ArchAnswer(Answer):
    """The arch of the opening and of the frame inside the gap."""

    radius_mm: float
    angle_deg: float
    """Of the whole arc; of each of the two arcs of a gothic head."""
    arc_mm: float
    quarter_rise_mm: float
    """Rise at the quarter points: a reading more than 5 mm off it wants a template."""
    frame_span_mm: float
    frame_rise_mm: float
    frame_radius_mm: float
    frame_angle_deg: float
    frame_arc_mm: float
    frame_quarter_rise_mm: float


def _arch_answer(given: ArchAsked, work: Working) -> ArchAnswer:
    outer, frame = given.arches(work)
    own = {name: getattr(outer, name) for name in ("radius_mm", "angle_deg", "arc_mm", "quarter_rise_mm")}
    names = ("span_mm", "rise_mm", "radius_mm", "angle_deg", "arc_mm", "quarter_rise_mm")
    return ArchAnswer(**own, **{f"frame_{name}": getattr(frame, name) for name in names})


EXAMPLE_READINGS: list[Mapping[str, Any]] = [
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
        example={"readings": EXAMPLE_READINGS},
    ),
    Calculation(
        name="arch",
        summary="Radius, angle and length of an arched head, and of a frame inside it.",
        asks=ArchAsked,
        answers=ArchAnswer,
        run=_arch_answer,
        example={"span_mm": 1200, "rise_mm": 200, "gap_mm": 5},
    ),
)
