"""The windows that stand in a house now, make unknown: U and g by what can be seen."""

from __future__ import annotations

from dataclasses import dataclass

from jambwright.basis.clause import Clause
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.checks.heat.solar import g_by_kind
from jambwright.readings.survey import Standing

KIND_SEEN = {"single": "single", "double": "double_uncoated", "secondary": "secondary"}
"""What the survey says of the old glazing, as a kind of the table. A coating can't be seen: old means none."""
METALS = ("aluminium", "steel")


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingWindow:
    """U and g of an old window, and where they come from."""

    u_w_m2k: float
    g: float
    source: Clause


def standing_window(
    *, glazing: str, material: str = "timber", gas: str = "air", gap_mm: float = 12.0
) -> StandingWindow:
    """An old window by its glazing, frame material, gas and gap. Never proof that a new one complies.

    Raises ``BadInput`` that names the known kinds.

    >>> standing_window(glazing="double_uncoated", gap_mm=6).u_w_m2k
    3.1
    """
    rows, group = table("standing_windows"), "metal" if material in METALS else "plastic_or_timber"
    kinds = list(dict.fromkeys(rows.column("glazing")))
    if glazing not in kinds:
        raise BadInput.one(
            "glazing",
            f"glazing: `{glazing}` is not a known kind of old window; known are {', '.join(kinds)}.",
        )
    gas = "air" if glazing in ("single", "secondary") else gas
    fits = [
        r for r in rows
        if (r["glazing"], r["group"], r["gas"]) == (glazing, group, gas) and r["gap_mm"] <= gap_mm
    ]  # fmt: skip
    if not fits:
        raise BadInput.one(
            "gap_mm",
            f"gap_mm: no value is known for {glazing} in {group} with {gas} and a gap of {gap_mm:g} mm; "
            "give u_w_m2k instead.",
        )
    row = max(fits, key=lambda r: r["gap_mm"])
    g, _ = g_by_kind(panes=int(row["panes"]), coating=row["coating"])
    return StandingWindow(u_w_m2k=row["u_w_m2k"], g=g, source=rows.source(row))


def standing_now(now: Standing) -> StandingWindow | None:
    """The old window of a survey, ``None`` when its glazing was not looked at."""
    kind = KIND_SEEN.get(now.glazing)
    return standing_window(glazing=kind, material=now.material or "timber") if kind else None
