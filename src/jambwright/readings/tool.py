"""A measuring tool of the survey: how far it is trusted, its last check, and what fitted frames told of it."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, field_validator, model_validator

from jambwright.basis.border import Strict
from jambwright.basis.envelope import Day, Name, counted, within

Known = Annotated[float, within("known_mm")]

NO_LENGTHS = ("level", "straight_edge")
"""Kinds that read no length."""
FARTHEST_OFF_MM = 25.0
"""Farther off it is a misread, not the tool. House rule."""


class ToolCheck(Strict):
    """A length that is known, read with the tool: a steel rule, or the tape itself from its 100 mm mark."""

    known_mm: Known
    read_mm: Known | Annotated[list[Known], counted("repeats", 1)]
    """What the tool said; a list where it was read more than once."""
    on: Day
    by: Name | None = None
    correct: bool = False
    """Accepted: what it reads long is taken off every length read with it, what it reads short put on."""

    @property
    def values_mm(self) -> tuple[float, ...]:
        """Everything that was read."""
        return tuple(self.read_mm) if isinstance(self.read_mm, list) else (self.read_mm,)

    @model_validator(mode="after")
    def _near(self) -> ToolCheck:
        far = max(self.values_mm, key=lambda mm: abs(mm - self.known_mm))
        if abs(far - self.known_mm) > FARTHEST_OFF_MM:
            off = abs(far - self.known_mm)
            raise ValueError(
                f"{far:g} mm was read where {self.known_mm:g} is known, {off:g} mm off: no tool that may be used is "
                "so far off. Read it again, or write the length that is known."
            )
        return self


class Learned(Strict):
    """What fitted frames have told of a tool, as a person accepted it."""

    bias_mm: Annotated[float, within("bias_mm")]
    """How much it reads long; below 0 where it reads short."""
    error_mm: Annotated[float, within("error_mm")]
    """Standard error of that."""
    openings: Annotated[int, Field(ge=1, le=1_000_000)]
    """How many it was found from."""
    on: Day
    """When it was accepted."""
    by: Name | None = None


class Tool(Strict):
    """A measuring tool and how far it is trusted."""

    name: Name
    kind: Literal["tape", "laser", "level", "straight_edge", "folding_rule"] = "tape"
    accuracy_class: Literal["I", "II", "III"] | None = None
    sigma_mm: Annotated[float, within("sigma_mm")] | None = None
    """Standard deviation of one reading; from kind and class when left out."""
    check: ToolCheck | None = None
    """The last time it was held against a known length."""
    learned: Learned | None = None
    """Counts where no check is accepted."""

    @field_validator("check", mode="before")
    @classmethod
    def _blank_is_no_check(cls, check: Any) -> Any:
        return None if check == {} else check

    @model_validator(mode="after")
    def _reads_lengths(self) -> Tool:
        if self.kind in NO_LENGTHS and (self.check or self.learned):
            raise ValueError(
                "A level or straight-edge is checked by turning it round, not by a known length. Take `check` and "
                "`learned` out; write `sigma_mm` where it is worse than usual."
            )
        return self
