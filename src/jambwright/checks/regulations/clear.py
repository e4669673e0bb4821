"""What a light leaves to climb through, whichever way it opens."""

from __future__ import annotations

from dataclasses import dataclass, field

from jambwright.basis.working import Working

GEOMETRY = ("frame_clear_width_mm", "frame_clear_height_mm", "obstruction_mm", "open_angle_deg")
DECLARED = ("clear_width_mm", "clear_height_mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class ClearOpening:
    """What is left to climb through. The straight measure governs; the angled one is named beside it."""

    width_mm: float
    height_mm: float
    angled_width_mm: float
    angled_height_mm: float
    inputs: tuple[str, ...] = GEOMETRY
    """Names of the facts it was found from."""
    working: Working = field(default_factory=Working, compare=False)

    @property
    def area_m2(self) -> float:
        """Clear area by the governing measure."""
        return self.width_mm * self.height_mm * 1e-6
