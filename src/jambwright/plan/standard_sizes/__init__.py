"""Standard sizes over an estate: how few sizes serve all openings, and which so many lose least of the gap.

An opening takes any size that is no larger than what fits it and smaller by no more than the largest loss an edge.
Exact in one dimension; in two proven where time allows, else with the best bound found.
"""

from jambwright.plan.standard_sizes.assortment import Assortment, Miscounted, recount
from jambwright.plan.standard_sizes.planning import standard_lengths, standard_sizes

__all__ = ["Assortment", "Miscounted", "recount", "standard_lengths", "standard_sizes"]
