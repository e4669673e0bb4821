"""The one door to the solvers: a clock, linear and integer programmes, a constraint model.

Whatever comes out of here is counted again in plain Python before anyone is shown it
(``cutting.recount``, ``crew.recount``): a solver is believed on its bound, never on its plan.
"""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

Status = Literal["optimal", "feasible", "infeasible", "unknown"]

LEAST_UNITS, LEAST_NET_SECONDS = 0.01, 0.01

SEED = 7
NET_SECONDS = 240.0
"""After so long a search ends whatever it was granted; on a machine that is not overloaded it never comes to that."""


@dataclass(frozen=True, slots=True)
class Clock:
    """Seconds that were granted, counted from the start."""

    seconds: float
    started: float = field(default_factory=time.monotonic)

    @property
    def spent(self) -> float:
        """Seconds since the start."""
        return time.monotonic() - self.started

    @property
    def left(self) -> float:
        """Seconds still to go, never below zero."""
        return max(0.0, self.seconds - self.spent)

    @property
    def over(self) -> bool:
        """Whether the time is used up."""
        return self.left <= 0.0

    def share(self, part: float) -> Clock:
        """A clock of its own over a part of what is left."""
        return Clock(self.left * part)


@dataclass(slots=True, kw_only=True)
class Grant:
    """Search work that may be done, in the solver's own units: the same work is done on any machine, however busy.

    An ordinary machine does one unit in one to three seconds. The clock is only an outer net.
    """

    units: float
    """Still to go."""
    clock: Clock = field(default_factory=lambda: Clock(NET_SECONDS))
    stopped_by_clock: bool = False
    """The net held a search back: next time something else may be found."""
    part_of: Grant | None = None

    def share(self, part: float) -> Grant:
        """A grant of its own over a part of what is left."""
        return Grant(units=self.units * part, clock=self.clock, part_of=self)

    def spend(self, units: float, *, stopped_by_clock: bool = False) -> None:
        """Note work that was done."""
        self.units = max(0.0, self.units - units)
        self.stopped_by_clock |= stopped_by_clock
        if self.part_of:
            self.part_of.spend(units, stopped_by_clock=stopped_by_clock)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a solver said: how far it came, its values, and the best bound it proved."""

    status: Status
    values: tuple[int, ...]
    """One a variable, in the order they were given; empty without a solution."""
    bound: float
    """No solution of the model costs less."""

    @property
    def found(self) -> bool:
        """Whether there is a solution to look at."""
        return self.status in ("optimal", "feasible")


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One variable of a covering programme: its cost and how much of each row it covers."""

    cost: float
    covers: Mapping[int, int]


class GrowingProgramme:
    """``min c x`` with rows ``A x >= b`` (or ``<=`` where the row is a limit), ``x >= 0``, columns added as
    they are found. The solver keeps its basis from one solution to the next."""

    def __init__(self, needs: Sequence[float], limits: Mapping[int, float]) -> None:
        """``needs``: right-hand sides of the rows to cover. ``limits``: rows (numbered on) not to exceed."""
        self._lp = _solver("GLOP")
        no_end = self._lp.infinity()
        self._rows = [self._lp.Constraint(float(need), no_end) for need in needs]
        self._limits = {row: self._lp.Constraint(-no_end, float(most)) for row, most in limits.items()}
        self._objective = self._lp.Objective()
        self._objective.SetMinimization()
        self._columns: dict[int, Any] = {}
        self._added = 0

    def add(self, column: Column) -> int:
        """Add a column; its number."""
        variable = self._lp.NumVar(0.0, self._lp.infinity(), "")
        self._objective.SetCoefficient(variable, float(column.cost))
        for row, amount in column.covers.items():
            constraint = self._limits[row] if row in self._limits else self._rows[row]
            constraint.SetCoefficient(variable, float(amount))
        self._columns[self._added] = variable
        self._added += 1
        return self._added - 1

    def need(self, row: int, amount: float) -> None:
        """Change how much of a row is needed."""
        self._rows[row].SetLb(float(amount))

    def limit(self, row: int, most: float) -> None:
        """Change the limit of a row."""
        self._limits[row].SetUb(float(most))

    def forbid(self, number: int) -> None:
        """Take a column out of use for good."""
        self._columns.pop(number).SetUb(0.0)

    def solve(self) -> LinearAnswer:
        """Solve as it stands."""
        self._lp.Solve()
        return LinearAnswer(
            value=self._objective.Value(),
            amounts={number: column.solution_value() for number, column in self._columns.items()},
            prices=[row.dual_value() for row in self._rows],
            limit_prices={row: limit.dual_value() for row, limit in self._limits.items()},
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class LinearAnswer:
    """Solution of a linear programme with the price of each row."""

    value: float
    amounts: Mapping[int, float]
    """Of every column in use, by its number."""
    prices: list[float]
    limit_prices: Mapping[int, float]


def solve_covering(
    columns: Sequence[Column],
    needs: Sequence[int],
    limits: Mapping[int, int],
    *,
    at_most: float,
    any_will_do: bool,
    seconds: float,
) -> Outcome:
    """Whole numbers of columns that cover every row at least cost, and at no more than ``at_most``.

    Rows are numbered as in ``GrowingProgramme``. With ``any_will_do`` the first solution is the answer.
    """
    mip = _solver("SCIP")
    no_end = mip.infinity()
    rows = [mip.Constraint(float(need), no_end) for need in needs]
    upper = {row: mip.Constraint(-no_end, float(most)) for row, most in limits.items()}
    ceiling = mip.Constraint(-no_end, float(at_most))
    objective = mip.Objective()
    objective.SetMinimization()
    variables = []
    for column in columns:
        variable = mip.IntVar(0.0, no_end, "")
        ceiling.SetCoefficient(variable, float(column.cost))
        if not any_will_do:
            objective.SetCoefficient(variable, float(column.cost))
        for row, amount in column.covers.items():
            (upper[row] if row in upper else rows[row]).SetCoefficient(variable, float(amount))
        variables.append(variable)
    if any_will_do:
        mip.SetSolverSpecificParametersAsString(_FIRST_SOLUTION)
    mip.SetTimeLimit(max(1, int(seconds * 1000)))
    status = _MIP_STATUS.get(mip.Solve(_exactly()), "unknown")
    found = status in ("optimal", "feasible")
    return Outcome(
        status=status,
        values=tuple(round(v.solution_value()) for v in variables) if found else (),
        bound=objective.BestBound() if found else float("-inf"),
    )


_FIRST_SOLUTION = """
separating/maxrounds = 0
separating/maxroundsroot = 0
presolving/maxrounds = 0
branching/pscost/priority = 1000000
"""
"""Without an objective, cuts and presolve only slow the way down to a solution (measured)."""

# status numbers of the linear solver's wrapper: OPTIMAL, FEASIBLE, INFEASIBLE
_MIP_STATUS: dict[int, Status] = {0: "optimal", 1: "feasible", 2: "infeasible"}


def solve_median(
    served: Sequence[int],
    by: Sequence[int],
    costs: Sequence[float],
    *,
    choices: int,
    most: int,
    seconds: float,
) -> Outcome:
    """At most ``most`` of the choices that serve all at least cost; values are 1 for a choice taken, else 0.

    ``served``, ``by`` and ``costs`` tell, pair by pair, who can be served by which choice at what cost.
    """
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    pairs, ends = len(served), max(served) + 1
    at = np.arange(pairs)
    ones = np.ones(pairs)
    taken = pairs + np.array(by)
    once = coo_array((ones, (served, at)), shape=(ends, pairs + choices))
    only_by_taken = coo_array(
        (np.concatenate([ones, -ones]), (np.tile(at, 2), np.concatenate([at, taken]))),
        shape=(pairs, pairs + choices),
    )
    count = np.concatenate([np.zeros(pairs), np.ones(choices)])[None]
    found = milp(
        np.concatenate([costs, np.zeros(choices)]),
        integrality=np.concatenate([np.zeros(pairs), np.ones(choices)]),
        bounds=Bounds(0, 1),
        constraints=[
            LinearConstraint(once.tocsr(), 1, 1),
            LinearConstraint(only_by_taken.tocsr(), -np.inf, 0),
            LinearConstraint(count, 0, most),
        ],
        options={"time_limit": max(0.05, seconds), "mip_rel_gap": 0.0},
    )
    bound = found.get("mip_dual_bound")
    status: Status = {0: "optimal", 2: "infeasible"}.get(found.status, "unknown")  # type: ignore[assignment]  # both are words of Status
    if found.x is not None and status != "optimal":
        status = "feasible"
    return Outcome(
        status=status,
        values=() if found.x is None else tuple(int(value > 0.5) for value in found.x[pairs:]),
        bound=float("-inf") if bound is None else float(bound),
    )


def solve_constraints(
    model: Any,
    variables: Sequence[Any],
    *,
    grant: Grant,
    many_small: bool = False,
    from_both_ends: bool = False,
) -> Outcome:
    """Solve a constraint model with an objective to minimise; values in the order of ``variables``.

    The same model with the same grant gives the same answer, unless the clock of the grant ends the search.

    ``many_small``: one of many models with little time for each, so none of it goes into probing.
    ``from_both_ends``: two workers take turns, one looks for plans and one raises the bound, by propagation alone.
    For a shortest time under limited resources, where linear relaxations say little and the proof is the hard
    part (measured on the published projects).
    """
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    units = max(LEAST_UNITS, grant.units)
    solver.parameters.max_deterministic_time = units
    solver.parameters.max_time_in_seconds = max(LEAST_NET_SECONDS, grant.clock.left)
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = SEED
    if many_small:
        solver.parameters.cp_model_probing_level = 0
    if from_both_ends:
        solver.parameters.num_workers = len(_BOTH_ENDS)
        solver.parameters.interleave_search = True
        solver.parameters.subsolvers.extend(_BOTH_ENDS)
        solver.parameters.use_lns = False
        solver.parameters.use_strong_propagation_in_disjunctive = True
        solver.parameters.use_dynamic_precedence_in_disjunctive = True
    status = _CP_STATUS.get(solver.solve(model), "unknown")
    found = status in ("optimal", "feasible")
    settled = status in ("optimal", "infeasible")
    done = float(solver.response_proto.deterministic_time)
    grant.spend(done, stopped_by_clock=not settled and done < units and grant.clock.over)
    return Outcome(
        status=status,
        values=tuple(solver.value(v) for v in variables) if found else (),
        bound=solver.best_objective_bound,
    )


_BOTH_ENDS = ("no_lp", "objective_lb_search_no_lp")

_CP_STATUS: dict[Any, Status] = {4: "optimal", 2: "feasible", 3: "infeasible"}


def _exactly() -> Any:
    """No gap left open: the wrapper's own default would call a plan optimal at a ten-thousandth."""
    from ortools.linear_solver import pywraplp

    parameters = pywraplp.MPSolverParameters()
    parameters.SetDoubleParam(parameters.RELATIVE_MIP_GAP, 0.0)
    return parameters


def _solver(name: str) -> Any:
    from ortools.linear_solver import pywraplp

    solver = pywraplp.Solver.CreateSolver(name)
    if solver is None:
        raise RuntimeError(f"OR-Tools came without {name}; install the wheel from the package index")
    return solver
