"""What the hole is: its shape, the adjusted outline, the largest true frame in it, its surroundings."""

from jambwright.opening.advice import Advice, advise
from jambwright.opening.behind_nibs import BehindNibs, Nib
from jambwright.opening.belief import Belief
from jambwright.opening.contacts import gap_at, reach
from jambwright.opening.hole import Hole
from jambwright.opening.largest import Prefer, largest_rectangle
from jambwright.opening.misread import Findings, Suspect, evidence, search
from jambwright.opening.outline import Adjusted, Outline, adjust
from jambwright.opening.planning import Planned, reliability, what_to_measure
from jambwright.opening.rectangle import RectangleShape
from jambwright.opening.scales import BETS, SCALES, Scales
from jambwright.opening.shape import SIDES, Shape, Side
from jambwright.opening.space import Gaps, Point, Rectangle, Space, space_of

__all__ = [
    "BETS",
    "SCALES",
    "SIDES",
    "Adjusted",
    "Advice",
    "BehindNibs",
    "Belief",
    "Findings",
    "Gaps",
    "Hole",
    "Nib",
    "Outline",
    "Planned",
    "Point",
    "Prefer",
    "Rectangle",
    "RectangleShape",
    "Scales",
    "Shape",
    "Side",
    "Space",
    "Suspect",
    "adjust",
    "advise",
    "evidence",
    "gap_at",
    "largest_rectangle",
    "reach",
    "reliability",
    "search",
    "space_of",
    "what_to_measure",
]
