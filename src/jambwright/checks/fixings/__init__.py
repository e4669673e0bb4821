"""What holds the frame in the wall: the wind on each fixing, what it can carry, the screw across the gap.

Also the way of the weight through packers, the length of screw, and screws pulled from timber.
"""

from jambwright.checks.fixings.beam import Load, Supported, continuous_beam, line_load
from jambwright.checks.fixings.check import (
    DeclaredResistance,
    Face,
    declared_verdict,
    fixing_verdict,
    no_figure_verdict,
)
from jambwright.checks.fixings.packers import PackedWeight, weight_on_packers, weight_verdict
from jambwright.checks.fixings.pane_loads import BarLoad, Edges, beside, grid, pane, stacked
from jambwright.checks.fixings.reactions import SIDES, Side, frame_reactions
from jambwright.checks.fixings.resistance import (
    SUBSTRATES,
    FixingInWall,
    allowed_reaction_n,
    factor,
    fixing_in,
    fixings_for,
)
from jambwright.checks.fixings.screw_length import screw_length_mm
from jambwright.checks.fixings.timber import screw_withdrawal_n

__all__ = [
    "SIDES",
    "SUBSTRATES",
    "BarLoad",
    "DeclaredResistance",
    "Edges",
    "Face",
    "FixingInWall",
    "Load",
    "PackedWeight",
    "Side",
    "Supported",
    "allowed_reaction_n",
    "beside",
    "continuous_beam",
    "declared_verdict",
    "factor",
    "fixing_in",
    "fixing_verdict",
    "fixings_for",
    "frame_reactions",
    "grid",
    "line_load",
    "no_figure_verdict",
    "pane",
    "screw_length_mm",
    "screw_withdrawal_n",
    "stacked",
    "weight_on_packers",
    "weight_verdict",
]
