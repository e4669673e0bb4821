"""Cutting bars to length: the least stock for all pieces of one profile, with kerf, end trim and joints.

The plan is exact where ``proven_optimal`` says so; otherwise it comes with the best bound found in the time.
"""

from jambwright.plan.cutting.job import Bar, Cut, CutPlan, CuttingJob, Piece, Proof, Stock, check_job
from jambwright.plan.cutting.planning import less_done, plan_cuts, plan_plainly, useful
from jambwright.plan.cutting.recount import recount

__all__ = [
    "Bar",
    "Cut",
    "CutPlan",
    "CuttingJob",
    "Piece",
    "Proof",
    "Stock",
    "check_job",
    "less_done",
    "plan_cuts",
    "plan_plainly",
    "recount",
    "useful",
]
