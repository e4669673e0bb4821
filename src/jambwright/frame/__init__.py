"""What to order: the frame's size and place, its lights, glass, masses and sill."""

from jambwright.frame.chance import MakerTolerance
from jambwright.frame.faces import BothFaces, Reveal, order_between
from jambwright.frame.order_size import (
    Gain,
    OrderSize,
    misread_effects,
    order_size,
    second_reading_gains,
)

__all__ = [
    "BothFaces",
    "Gain",
    "MakerTolerance",
    "OrderSize",
    "Reveal",
    "misread_effects",
    "order_between",
    "order_size",
    "second_reading_gains",
]
