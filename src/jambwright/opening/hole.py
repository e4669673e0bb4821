"""What a frame must go into, however it was measured: one outline, or two with nibs between them."""

from __future__ import annotations

from typing import Protocol

from jambwright.opening.belief import Belief
from jambwright.opening.shape import Floats
from jambwright.opening.space import Space


class Hole(Protocol):
    """A space whose edges move with parameters that are known so well. ``Outline`` and ``BehindNibs`` are holes."""

    @property
    def parameters(self) -> Floats:
        """Where the space stands, (u,)."""
        ...

    @property
    def square_measured(self) -> bool:
        """False when the readings leave open how far it is out of square."""
        ...

    @property
    def level_measured(self) -> bool:
        """False when no level or plumb ties it to gravity."""
        ...

    def space(self) -> Space:
        """The space for a frame; ``BadInput`` when there is none."""
        ...

    def bends(self) -> Floats:
        """Gradients of the space's points by the parameters, (m, 2, u)."""
        ...

    def belief(self) -> Belief:
        """What is believed of the parameters, with what is known of any opening counted in."""
        ...
