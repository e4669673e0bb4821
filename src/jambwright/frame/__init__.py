"""What to order: the frame's size and place, its lights, glass, masses and sill."""

from jambwright.frame.glazing_unit import Cavity, GlazingUnit, Pane, PaneKind, parse_glazing

__all__ = ["Cavity", "GlazingUnit", "Pane", "PaneKind", "parse_glazing"]
