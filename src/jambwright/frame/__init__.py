"""What to order: the frame's size and place, its lights, glass, masses and sill."""

from jambwright.frame.glazing_unit import Cavity, GlazingUnit, Pane, PaneKind, parse_glazing
from jambwright.frame.order_size import OrderSize, order_size

__all__ = ["Cavity", "GlazingUnit", "OrderSize", "Pane", "PaneKind", "order_size", "parse_glazing"]
