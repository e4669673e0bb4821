"""Kinds of light whose sash and glass are placed each in its own way: one module a kind.

A kind that is new needs a module here, its rows in the tables of ways, and a sign for the drawings.
"""

from __future__ import annotations

from jambwright.frame.kinds import bi_fold, pair, single, slab, slider, stable_door, vertical_sash
from jambwright.frame.kinds.leaf import Hole, Kind, Leaf

KINDS: dict[str, Kind] = {
    "single": single.leaves,
    "pair": pair.leaves,
    "vertical_sash": vertical_sash.leaves,
    "slider": slider.leaves,
    "slab": slab.leaves,
    "stable_door": stable_door.leaves,
    "bi_fold": bi_fold.leaves,
}
"""By the name in the table of ways of opening."""

__all__ = ["KINDS", "Hole", "Kind", "Leaf"]
