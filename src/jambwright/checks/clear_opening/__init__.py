"""Clear opening of every kind of window and door: what is left to pass, climb and air through."""

from jambwright.checks.clear_opening.kinds import KINDS, Clear, Kind, clear_of
from jambwright.checks.clear_opening.sizes import Sizes
from jambwright.checks.clear_opening.way_out import WayOut, way_out

__all__ = ["KINDS", "Clear", "Kind", "Sizes", "WayOut", "clear_of", "way_out"]
