"""What to order: the frame's size and place, its lights, glass, masses and sill."""

from jambwright.frame.chance import MakerTolerance
from jambwright.frame.faces import BothFaces, Reveal, order_between
from jambwright.frame.glazing_unit import Cavity, GlazingUnit, Pane, PaneKind, parse_glazing
from jambwright.frame.order_size import Gain, OrderSize, misread_effects, order_size, second_reading_gains

__all__ = [
    "BothFaces",
    "Cavity",
    "Gain",
    "GlazingUnit",
    "MakerTolerance",
    "OrderSize",
    "Pane",
    "PaneKind",
    "Reveal",
    "misread_effects",
    "order_between",
    "order_size",
    "parse_glazing",
    "second_reading_gains",
]
