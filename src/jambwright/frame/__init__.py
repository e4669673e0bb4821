"""What to order: the frame's size and place, its lights, glass, masses and sill."""

from jambwright.frame.chance import MakerTolerance
from jambwright.frame.faces import Lapped, Reveal, clashes, lapped
from jambwright.frame.glazing_unit import (
    HOW_TO,
    Cavity,
    GlazingUnit,
    Pane,
    PaneKind,
    make_up_pattern,
    parse_glazing,
)
from jambwright.frame.order_size import Gain, OrderSize, misread_effects, order_size, second_reading_gains

__all__ = [
    "HOW_TO",
    "Cavity",
    "Gain",
    "GlazingUnit",
    "Lapped",
    "MakerTolerance",
    "OrderSize",
    "Pane",
    "PaneKind",
    "Reveal",
    "clashes",
    "lapped",
    "make_up_pattern",
    "misread_effects",
    "order_size",
    "parse_glazing",
    "second_reading_gains",
]
