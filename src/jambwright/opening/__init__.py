"""What the hole is: its shape, the adjusted outline, the largest true frame in it, its surroundings."""

from jambwright.opening.largest import Gaps, Point, Rectangle, Room, gap_at, largest_rectangle, room_of
from jambwright.opening.outline import Adjusted, Outline, adjust
from jambwright.opening.rectangle import RectangleShape
from jambwright.opening.shape import SIDES, Shape, Side

__all__ = [
    "SIDES",
    "Adjusted",
    "Gaps",
    "Outline",
    "Point",
    "Rectangle",
    "RectangleShape",
    "Room",
    "Shape",
    "Side",
    "adjust",
    "gap_at",
    "largest_rectangle",
    "room_of",
]
