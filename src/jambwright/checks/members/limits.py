"""How far a bar may bend: limits by class as data, each with its source."""

from __future__ import annotations

from typing import Any

import numpy as np

from jambwright.basis import BadInput, Clause, clause, table
from jambwright.checks.figures import Figures


def limit_words(rule: str) -> tuple[str, Clause]:
    """What a limit is called on paper and where it is from."""
    rows = table("bar_limits")
    row = rows.find(rule=rule)
    return row["words"], rows.source(row)


@clause(
    "Deflection limits of bars", "", unit="mm", formula="w_lim = min(L / n + plus, cap)",
    how="from memory, medium",
)  # fmt: skip
def deflection_limit_mm(*, span_mm: Figures, rule: str) -> Figures:
    """Deflection allowed by a rule of the table ``bar_limits``. Raises ``BadInput`` for an unknown rule.

    >>> [deflection_limit_mm(span_mm=3500.0, rule=rule) for rule in ("class_c", "unit_uk", "curtain")]
    [11.67, 15.0, 16.67]
    """
    rows = [row for row in table("bar_limits") if row["rule"] == rule] or [
        table("bar_limits").find(rule=rule)
    ]
    span = np.asarray(span_mm, float)
    allowed = [np.minimum(span / r["span_over"] + r["plus_mm"], r["cap_mm"] or np.inf) for r in rows]
    picked: Any = np.select(
        [span > r["above_span_mm"] for r in reversed(rows)], list(reversed(allowed)), default=allowed[0]
    )
    return picked if picked.ndim else float(picked)


def strictest_limit_mm(*, span_mm: Figures, span_over: Figures, cap_mm: Figures | None = None) -> Figures:
    """Span over ``span_over``, never more than ``cap_mm``: the stricter of a relative and an absolute limit.

    >>> float(strictest_limit_mm(span_mm=3500.0, span_over=175, cap_mm=15.0))
    15.0
    """
    if np.any(np.asarray(span_over) <= 0):
        raise BadInput.one("limit", "limit: span over nothing can't be; give 200 for a limit of span/200.")
    relative = span_mm / span_over
    return relative if cap_mm is None else np.minimum(relative, cap_mm)
