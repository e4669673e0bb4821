"""What holds the frame in the wall: the wind on each fixing, what it can carry, the screw across the gap."""

from jambwright.checks.fixings.beam import Load, Supported, continuous_beam, line_load
from jambwright.checks.fixings.pane_loads import Edges, beside, grid, pane, stacked
from jambwright.checks.fixings.reactions import SIDES, Side, frame_reactions

__all__ = [
    "SIDES",
    "Edges",
    "Load",
    "Side",
    "Supported",
    "beside",
    "continuous_beam",
    "frame_reactions",
    "grid",
    "line_load",
    "pane",
    "stacked",
]
