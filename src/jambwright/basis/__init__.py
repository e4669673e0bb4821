"""Ground: units, sources, working, problems and the one reader of packaged tables. Used by all, uses none."""

from jambwright.basis.clause import Clause, Sourced, clause
from jambwright.basis.problems import BadInput, Problem
from jambwright.basis.tables import Pedigree, Table, table
from jambwright.basis.working import Step, Working

__all__ = [
    "BadInput",
    "Clause",
    "Pedigree",
    "Problem",
    "Sourced",
    "Step",
    "Table",
    "Working",
    "clause",
    "table",
]
