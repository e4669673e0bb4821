"""What a saving rests on, in plain words."""

from __future__ import annotations

from collections.abc import Sequence

from jambwright.basis.tables import table
from jambwright.checks.heat.climate import Climate
from jambwright.checks.heat.payback import Heating, doubt_shares
from jambwright.checks.heat.saving import House, Replacement


def assumptions(
    changes: Sequence[Replacement],
    region: Climate,
    house: House,
    heating: Heating | None,
    *,
    heating_kind: str,
    degree_days: str,
    draughts_apart: bool = False,
) -> list[str]:
    """What was taken, one sentence each; ``degree_days`` says how they were counted.

    Of ``heating`` only where it is known; of draughts only where they are not told apart.
    """
    down, up = doubt_shares()
    heated = [] if heating is None else [
        f"Heating: {heating_kind}, efficiency {heating.efficiency:g}; {heating.co2_kg_kwh:g} kg CO2 a kWh of "
        f"{heating.fuel}."
    ]  # fmt: skip
    lines = [
        f"Climate: {region.title}, {region.source}; degree days {degree_days}.",
        *heated,
        f"Monthly balance: {house.floor_area_m2:g} m2 of floor, {house.inside_c:g} °C day and night, "
        f"{house.other_loss_w_k:g} W/K through the rest of the house, {house.gains_w:g} W from people and appliances.",
        f"The range is {100 * down:.0f} % down and {100 * up:.0f} % up, rough, for: "
        + "; ".join(table("saving_doubts").column("say")) + ".",
    ]  # fmt: skip
    if not all(change.sun_known for change in changes):
        lines.append("Lost sun is left out where facing or g is not given; it would lower the saving.")
    if not draughts_apart and not all(change.draught_known for change in changes):
        lines.append("Draughts are left out where the leakage of old and new is not given.")
    return lines
