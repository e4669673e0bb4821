"""The lightest make-up of a stock list that passes wind, climate, impact class and U-value together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from jambwright.basis import Problem, table
from jambwright.basis.problems import raise_if_any
from jambwright.checks.figures import Figures, Floats, outside
from jambwright.checks.glass.cases import order_cases
from jambwright.checks.glass.check import UnitCheck, check_unit
from jambwright.checks.regulations.safety_glass import impact_class, usual_class
from jambwright.frame import GlazingUnit, Pane, parse_glazing

IMPACT_CLASSES = (1, 2, 3)
"""Of EN 12600, 1 the strongest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockGlass:
    """One make-up that can be ordered."""

    id: str
    unit: GlazingUnit


def stock_glass() -> tuple[StockGlass, ...]:
    """The generic stock list, lightest first.

    >>> stock_glass()[0].id
    'D44'
    """
    listed = [StockGlass(id=row["id"], unit=parse_glazing(row["make_up"])) for row in table("glass_stock")]
    return tuple(sorted(listed, key=lambda glass: glass.unit.mass_kg_m2))


@dataclass(frozen=True, slots=True, kw_only=True)
class GlassChoice:
    """What was chosen for each pane of glass, and how every make-up of the stock did. Rows follow ``stock``."""

    stock: tuple[StockGlass, ...]
    checks: tuple[UnitCheck, ...]
    holds: NDArray[np.bool_]
    """(stock, openings): strong and stiff enough."""
    safe: NDArray[np.bool_]
    """(stock, openings): has the impact classes."""
    warm: NDArray[np.bool_]
    """(stock, openings): within the U-value limit."""

    @property
    def chosen(self) -> NDArray[np.intp]:
        """Place in ``stock`` of the lightest that passes everything, -1 where none does; one an opening."""
        passes = self.holds & self.safe & self.warm
        return np.where(passes.any(axis=0), passes.argmax(axis=0), -1)

    def why_not(self, stock: int, opening: int = 0) -> list[str]:
        """What a make-up fails on, in words; empty when it passes."""
        faults = self.checks[stock].faults(opening)
        if not self.safe[stock, opening]:
            faults.append("its impact class is too low")
        if not self.warm[stock, opening]:
            faults.append("its U-value is over the limit or was not given")
        return faults


def choose_glass(
    *,
    width_mm: Figures,
    height_mm: Figures,
    in_pa: Figures,
    out_pa: Figures,
    altitude_change_m: Figures = 0.0,
    class_outside: Figures = 0,
    class_inside: Figures = 0,
    u_limit_w_m2k: Figures = np.inf,
    u_w_m2k: Mapping[str, float] | None = None,
    stock: Sequence[StockGlass] | None = None,
) -> GlassChoice:
    """Try every make-up of the stock on every pane of glass and keep the lightest that passes all.

    Figures are one value or arrays, one an opening. ``in_pa`` is positive, ``out_pa`` negative, both as they
    occur: the load factors that decide for a house come on top. ``altitude_change_m`` is that of the house over
    the works. ``class_outside`` and ``class_inside`` are the EN 12600 classes wanted of the outer and inner
    pane: 1, 2, 3, or 0 for none. ``u_w_m2k`` gives the U-value by stock id; with a limit, a make-up without one
    is not chosen.

    Raises ``BadInput`` for sizes that glass is not made in and for classes there are not.
    """
    raise_if_any(
        [*_class_problems("class_outside", class_outside), *_class_problems("class_inside", class_inside)]
    )
    by_mass = tuple(sorted(stock if stock is not None else stock_glass(), key=lambda s: s.unit.mass_kg_m2))
    figures = (
        width_mm,
        height_mm,
        in_pa,
        out_pa,
        altitude_change_m,
        class_outside,
        class_inside,
        u_limit_w_m2k,
    )
    width, height, blown_in, blown_out, altitude, outside, inside, limit = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(figure, dtype=float)) for figure in figures)
    )
    cases = order_cases(in_pa=blown_in, out_pa=blown_out, altitude_change_m=altitude)
    checks = tuple(check_unit(s.unit, width_mm=width, height_mm=height, cases=cases) for s in by_mass)
    u_values = [(u_w_m2k or {}).get(s.id, np.nan) for s in by_mass]
    return GlassChoice(
        stock=by_mass,
        checks=checks,
        holds=np.stack([np.asarray(check.passes) for check in checks]),
        safe=_reaches(outside, [s.unit.panes[0] for s in by_mass])
        & _reaches(inside, [s.unit.panes[-1] for s in by_mass]),
        warm=np.isinf(limit) | (np.reshape(u_values, (-1, 1)) <= limit),
    )


def _class_problems(field: str, wanted: Figures) -> Iterator[Problem]:
    yield from outside(field, wanted, 0, max(IMPACT_CLASSES), "", "Give 1, 2, 3, or 0 for none.")


def _reaches(wanted: Floats, panes: list[Pane]) -> NDArray[np.bool_]:
    """(stock, openings): whether the pane has the class wanted of it; the class is the usual one of its kind."""
    reached = []
    for pane in panes:
        usual = usual_class(pane.kind, pane.thickness_mm)
        ranks = [usual is not None and impact_class(usual).at_least(rank) for rank in IMPACT_CLASSES]
        # nothing wanted is always reached
        reached.append(np.array([True, *ranks])[wanted.astype(int)])
    return np.stack(reached)
