"""The record of a whole house from what was decided for it."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import replace

from jambwright import __version__
from jambwright.basis.working import Working
from jambwright.checks.gates import Reason, gates_of
from jambwright.checks.heat import area_weighted
from jambwright.checks.verdict import Verdict
from jambwright.plan.buying import Buying
from jambwright.plan.crew.days import OPEN, CrewDays
from jambwright.plan.house import HousePlan
from jambwright.record.house import Days, PlanRecord
from jambwright.record.plain import Figure, plain

ID_LETTERS = 12


def with_id(record: PlanRecord) -> PlanRecord:
    """The record with the mark of all it holds."""
    body = record.model_copy(update={"plan_id": ""}).model_dump_json()
    return record.model_copy(update={"plan_id": hashlib.sha256(body.encode()).hexdigest()[:ID_LETTERS]})


def days_record(days: CrewDays, of_house: Sequence[Verdict]) -> Days:
    """The crew's days, with what must be settled before the first of them."""
    opened = {
        stay.opening_id: stay.on
        for stay in sorted(days.stays, key=lambda stay: stay.on, reverse=True)
        if any(placed.step in OPEN for placed in stay.steps)
    }
    return Days(
        first_day=days.crew.first_day,
        working_days=tuple(days.crew.on(offset) for offset in days.offsets),
        plan=plain(days.plan),
        stays=plain(days.stays),
        open_on=opened,
        before=_before(of_house),
        left_out=days.left_out,
        stayed=days.stayed,
        hours=plain(days.hours),
    )


def _before(of_house: Sequence[Verdict]) -> tuple[Reason, ...]:
    return gates_of((), of_house).work.reasons


def buying_record(buying: Buying) -> Buying:
    """Without how long the search took: that is no part of what was decided."""
    cuts = tuple(replace(each, plan=replace(each.plan, seconds=0.0)) for each in buying.cuts)
    return plain(replace(buying, cuts=cuts))


def made_with() -> str:
    """Name and version of this program."""
    return f"jambwright {__version__}"


def house_figures(house: HousePlan) -> dict[str, Figure]:
    """What is told of all units together."""
    if house.heat is None:
        return {}
    working, source = Working(), area_weighted.source
    heats = [each.heat for each in house.openings]
    us, areas = [heat.unit.real.u_w_m2k for heat in heats], [heat.area_m2 for heat in heats]
    for each, u, area in zip(house.openings, us, areas, strict=True):
        working.note(f"U {each.opening.id}", "", u, "W/m2K", source, area_m2=area)
    mean = area_weighted(areas_m2=areas, values=us)
    working.note("U", area_weighted.formula, mean, "W/m2K", source, areas_m2=areas, values=us)
    return {"u": Figure.of(mean, "W/m2K", working)}
