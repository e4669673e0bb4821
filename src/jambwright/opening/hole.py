"""What a frame must go into, however it was measured: one outline, or two with nibs between them."""

from __future__ import annotations

from typing import Protocol

from jambwright.opening.room import Room
from jambwright.opening.shape import Floats


class Hole(Protocol):
    """A room whose edges move with parameters that are known so well. ``Outline`` and ``BehindNibs`` are holes."""

    @property
    def parameters(self) -> Floats:
        """Where the room stands, (u,)."""
        ...

    @property
    def square_measured(self) -> bool:
        """False when the readings leave open how far it is out of square."""
        ...

    @property
    def level_measured(self) -> bool:
        """False when no level or plumb ties it to gravity."""
        ...

    def room(self) -> Room:
        """The room for a frame; ``BadInput`` when there is none."""
        ...

    def bends(self) -> Floats:
        """Gradients of the room's points by the parameters, (m, 2, u)."""
        ...

    def belief(self) -> tuple[Floats, Floats]:
        """Mean and covariance of the parameters, with what is known of any opening counted in."""
        ...
