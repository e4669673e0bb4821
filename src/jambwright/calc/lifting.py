"""Lifting by name."""

from __future__ import annotations

import re
from typing import Annotated, Any, get_args

from pydantic import BeforeValidator, Field

from jambwright.basis import Working
from jambwright.basis.border import Positive, Strict
from jambwright.calc.calculation import Answer, Calculation
from jambwright.checks import lifting
from jambwright.checks.verdict import Word


def _zone(value: Any) -> Any:
    """``knuckle-elbow``, ``between knuckle and elbow`` and ``elbow to knuckle`` are one zone."""
    if not isinstance(value, str):
        return value
    words = re.sub(r"\b(between|and|to|mid|the)\b", " ", re.sub(r"[^a-z]", " ", value.lower())).split()
    wanted = sorted(words)
    return next((zone for zone in get_args(lifting.Zone) if sorted(zone.split("_")) == wanted), value)


class LiftInput(Strict):
    """A piece to lift and who lifts it."""

    mass_kg: Positive
    people: Annotated[int, Field(ge=1, le=20)] = 2
    zone: Annotated[lifting.Zone, BeforeValidator(_zone)] = "knuckle_elbow"
    """The least of the zones the hands pass through."""
    reach: lifting.Reach = "close"
    """Hands close to the body, or arms out."""
    women: Annotated[int, Field(ge=0)] = 0
    """How many of the people are women."""
    twist_deg: Annotated[float, Field(ge=0, le=180)] = 0.0
    lifts_per_minute: Annotated[float, Field(ge=0)] = 0.0


class LiftAnswer(Answer):
    """The lift against the filter; the filter is not a safe limit."""

    allowed_kg: float
    verdict: Word
    people_needed: int | None
    """`null` when no team of up to three stays within the filter."""
    what_to_do: str


def _lift(given: LiftInput, work: Working) -> LiftAnswer:
    found = lifting.lift(**given.model_dump(), work=work)
    return LiftAnswer(
        allowed_kg=found.allowed_kg, verdict=found.word, people_needed=found.people_needed,
        what_to_do=found.what_to_do,
    )  # fmt: skip


CALCULATIONS = (
    Calculation(
        name="lifting",
        summary="A lift against the handling filter: people needed and what to do.",
        asks=LiftInput,
        answers=LiftAnswer,
        run=_lift,
        example={"mass_kg": 50.4, "people": 2, "zone": "knuckle_elbow"},
    ),
)
