"""What a kind of light is given to stand in, and the leaves it puts there."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from jambwright.basis.problems import BadInput
from jambwright.basis.tables import Row, table
from jambwright.frame.profiles import ProfileSystem
from jambwright.frame.rect import Rect
from jambwright.readings.wanted import Light


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A part of the frame between centre lines or outer edges, with the face width on each edge."""

    rect: Rect
    left_mm: float
    right_mm: float
    head_mm: float
    bottom_mm: float

    @property
    def sight(self) -> Rect:
        """The hole from sight line to sight line."""
        return self.rect.inset(
            left_mm=self.left_mm, right_mm=self.right_mm, top_mm=self.head_mm, bottom_mm=self.bottom_mm
        )

    def beside(self, lines_mm: Sequence[float]) -> list[Hole]:
        """What is left of it between upright lines, from the left; no face stands on a line."""
        edges = [self.rect.x_mm, *lines_mm, self.rect.right_mm]
        return [
            replace(
                self,
                rect=replace(self.rect, x_mm=low, width_mm=high - low),
                left_mm=self.left_mm if low == edges[0] else 0.0,
                right_mm=self.right_mm if high == edges[-1] else 0.0,
            )
            for low, high in pairwise(edges)
        ]

    def halved_at(self, line_mm: float) -> tuple[Hole, Hole]:
        """What is left of it above and below a level line; no face stands on the line."""
        rect = self.rect
        upper = replace(rect, y_mm=line_mm, height_mm=rect.top_mm - line_mm)
        lower = replace(rect, height_mm=line_mm - rect.y_mm)
        return replace(self, rect=upper, bottom_mm=0.0), replace(self, rect=lower, head_mm=0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaf:
    """One leaf of a light, or the whole of it."""

    way: str
    """Its way of opening."""
    hole: Hole
    """What it shuts."""
    sash: Rect | None
    """Its own frame; ``None`` where glass sits in the outer frame."""
    daylight: Rect
    """Visible glass or panel."""
    wanted: Light
    """What is asked of it: what a light of several leaves has once is told at one of them."""
    follows: bool = False
    """Another leaf of the light tells its ventilator."""
    without_handle: bool = False
    """It is moved by another leaf, or lifted."""
    horn_mm: float = 0.0
    """How far its horns hang below its meeting rail; 0 for none."""
    cover_mm: float | None = None
    """How far what fills it runs behind what is seen of it; as the profile's rebate covers glass when left out."""


def row_of(name: str, profile: ProfileSystem, what: str) -> Row:
    """The row of a profile system, or of the one it is like, in a table of sections.

    Raises ``BadInput`` that says ``what`` it has none for.
    """
    held = {row["profile"]: row for row in table(name)}
    found = held.get(profile.name) or held.get(profile.like)
    if found is None:
        say = (
            f"profile: {profile.title} is held without {what}; choose one of {', '.join(held)}, or another way "
            "of opening."
        )
        raise BadInput.one("wanted.profile", say)
    return found


Kind = Callable[[Hole, Light, ProfileSystem], Sequence[Leaf]]
"""Places the leaves of a light. Raises ``BadInput`` where what is asked of it can't be made."""
