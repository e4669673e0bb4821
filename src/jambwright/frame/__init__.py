"""What to order: the frame's size and place, its lights, glass, masses and sill."""

from jambwright.frame.order_size import OrderSize, order_size

__all__ = ["OrderSize", "order_size"]
