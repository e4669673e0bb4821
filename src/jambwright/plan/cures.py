"""How long foam and sealant take by their temperature: one table for the crew's days and the fit sheet."""

from __future__ import annotations

from jambwright.basis.clause import clause
from jambwright.basis.tables import table

STEP_MINUTES = 5
"""What a crew's day is told in: every task, rest and cure is so many of it."""
COOL_C = 8.0
"""Outside temperature that is taken where none is given. House default."""


@clause(
    "Common practice",
    "planning rule for foam and sealant",
    unit="min",
    formula="t = t_s 2^((T_s − T) / 10), at least t_s",
    how="from memory, low",
)
def cure_time_min(*, minutes: float, at_c: float, temperature_c: float) -> float:
    """Minutes that a cure takes at another temperature than that of its data sheet; never fewer than there.

    >>> cure_time_min(minutes=25, at_c=18, temperature_c=5)
    61.56
    """
    return float(minutes * max(1.0, 2.0 ** ((at_c - temperature_c) / 10)))


def cure_minutes(cure: str, temperature_c: float) -> int:
    """Minutes of one row of the table of cures, up to the next five; 0 where there is none to wait for."""
    if not cure:
        return 0
    row = table("cures").find(cure=cure)
    minutes = cure_time_min(minutes=row["minutes"], at_c=row["at_c"], temperature_c=temperature_c)
    return -int(-minutes // STEP_MINUTES) * STEP_MINUTES
