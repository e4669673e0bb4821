"""The whole way on one page: survey in, one record out, papers from the record. Pure: no disk, no clock, no network."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from statistics import fmean
from typing import Any, Protocol

from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.checks.access import access_notes
from jambwright.checks.cautions import cautions, storey_of
from jambwright.checks.changed_order import glass_proposals, remedy_proposals
from jambwright.checks.declared import unit_doubts
from jambwright.checks.gates import gates_of
from jambwright.checks.glass_of_lights import glass_of_lights
from jambwright.checks.opening_heat import house_heat, opening_heat
from jambwright.checks.rule_needs import rule_wants
from jambwright.checks.rules_on_house import rules_on_house
from jambwright.checks.structure import lintel_gates, seen_gates
from jambwright.checks.survey_facts import Framed
from jambwright.checks.system_changes import system_proposals
from jambwright.checks.system_limits import system_verdicts
from jambwright.checks.verdict import Verdict
from jambwright.checks.wind_on_house import OpeningWind, wind_known, wind_on_house
from jambwright.frame import HOW_TO, make_up_pattern
from jambwright.frame.frame import Frame
from jambwright.frame.sizing import Sized, look_at_readings, weakened
from jambwright.opening.look_tables import look_tables
from jambwright.paper import PAPERS, printed
from jambwright.plan.buying import plan_buying
from jambwright.plan.chain import checks_of
from jambwright.plan.crew.days import CrewDays, plan_days
from jambwright.plan.crew.work import Crew, rain_from_hours
from jambwright.plan.fitting import Ground, ground_of, plan_fitting
from jambwright.plan.glass_compared import compared
from jambwright.plan.house import HousePlan, OpeningPlan
from jambwright.plan.lifts import loads_of
from jambwright.plan.materials import Material
from jambwright.plan.options import house_options, quoted_at
from jambwright.plan.order_of_work import Condition
from jambwright.plan.price import Estimate, price_house
from jambwright.plan.prices import Prices, prices_from_tree
from jambwright.plan.proposals import groups, proven
from jambwright.plan.saving import house_saving
from jambwright.plan.sizing import for_each, size_house
from jambwright.plan.van_loads import van_loads
from jambwright.readings.correction import told_of_tools, told_of_writing
from jambwright.readings.plausible import unlikely_house, unlikely_opening
from jambwright.readings.proposal import Proposal, apply_proposal, numbered, require_free
from jambwright.readings.survey import Opening, Survey
from jambwright.readings.survey_file import survey_from_tree, unread
from jambwright.record import OpeningRecord, Order, PlanRecord, Unread
from jambwright.record.make import house_rules, opening_record, site_record, unread_record
from jambwright.record.make_house import buying_record, days_record, house_figures, made_with, with_id
from jambwright.record.make_order import order_record, with_changes
from jambwright.record.plain import plain

__all__ = [
    "HOW_TO",
    "Choices",
    "Crew",
    "Prices",
    "Progress",
    "accept_proposal",
    "check",
    "compared",
    "decide",
    "lintel_gates",
    "look_at_readings",
    "look_tables",
    "make_up_pattern",
    "plan_and_print",
    "prices_from_tree",
    "proposals",
    "seen_gates",
]  # fmt: skip


Offered = Mapping[str, Sequence[Proposal]]
"""Proposals by mark of the opening, numbered from 1 wherever they are told."""


class Progress(Protocol):
    """Is told what was done last, how many steps are done, and how many there are."""

    def __call__(self, step: str, done: int, of: int) -> None:
        """Told after every step."""


@dataclass(slots=True)
class _Steps:
    """Counts the steps of one piece of work, whose number is known from the start."""

    progress: Progress | None
    of: int
    done: int = 0

    def __call__(self, step: str) -> None:
        self.done += 1
        if self.progress:
            self.progress(step, self.done, self.of)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What is chosen beside the survey: the firm's prices, and who comes when."""

    prices: Prices | None = None
    crew: Crew | None = None
    """The usual crew from the day of the work on when left out."""
    earlier: Order | None = None
    """An issue of the order that went out before; told is what changed since."""
    rain: Mapping[str, float] | None = None
    """An hourly forecast: ISO hour to millimetres."""


def plan_and_print(
    survey: Survey, choices: Choices | None = None, progress: Progress | None = None
) -> tuple[PlanRecord, dict[str, bytes]]:
    """The plan of a house and every paper of it, for terminal and server alike."""
    told = _Steps(progress, of=_decisions(survey) + len(PAPERS))
    record = _decided(survey, choices or Choices(), told, whole=True)
    return record, printed(record, told)


def decide(survey: Survey, choices: Choices | None = None, progress: Progress | None = None) -> PlanRecord:
    """Decide a house whole. Raises ``BadInput`` with the problems of all openings at once."""
    told = _Steps(progress, of=_decisions(survey))
    return _decided(survey, choices or Choices(), told, whole=True)


def check(survey: Survey) -> PlanRecord:
    """The same plan without materials, days, options and price: to be read for what needs a person."""
    return _decided(survey, Choices(), _Steps(None, of=0), whole=False)


def _decisions(survey: Survey) -> int:
    """Steps told of while a house is decided: one for each opening read, and two for the house."""
    return len(read_part(survey).openings) + 2


def _decided(survey: Survey, choices: Choices, told: _Steps, *, whole: bool) -> PlanRecord:
    half_read = {opening.id: missing for opening in survey.openings if (missing := unread(opening))}
    read = read_part(survey)
    house = plan_house(read, told)
    of_house = house_rules(house)
    offered = _offered(house)
    told("proposals")
    openings = tuple(
        opening_record(house, plan, of_house, offered.get(plan.opening.id, ())) for plan in house.openings
    )
    left = tuple(
        unread_record(survey, opening, half_read[opening.id], of_house)
        for opening in survey.openings
        if opening.id in half_read
    )
    record = PlanRecord(
        plan_id="",
        made_with=made_with(),
        site=site_record(survey),
        gates=gates_of(of_house),
        openings=openings,
        unread=left,
        rules=of_house,
        heat=house.heat,
        figures=house_figures(house),
        whole=whole,
        wants=tuple(rule_wants(read, house.rules)),
        remarks=(*told_of_tools(survey), *told_of_writing(survey), *unlikely_house(survey)),
    )
    if whole:
        record = _made_whole(record, house, choices)
        record = with_changes(record, choices.earlier)
        told("materials, days and price")
    return with_id(record)


def _made_whole(record: PlanRecord, house: HousePlan, choices: Choices) -> PlanRecord:
    """With the crew's days, materials by those days, price, options and saving."""
    days, no_days = _days(record, house, choices)
    buying = plan_buying(house.openings, days.calls() if days else None)
    unsettled = [each.name for each in record.every_opening if each.gates.ordering.state == "shut"]
    estimate, missing = _estimate(
        house, buying.whole, choices.prices, unsettled, days.plan.days if days else None
    )
    if estimate:
        house = quoted_at(house, float(estimate.total))
    usual = choices.prices.order if choices.prices else None
    return record.model_copy(
        update={
            "order": order_record(house.survey.order, usual, record.openings),
            "days": days and days_record(days, record.rules),
            "days_missing": no_days,
            "buying": buying_record(buying),
            "loads": plain(van_loads(house.openings, buying.to_carry)),
            "estimate": estimate,
            "price_missing": missing,
            "options": plain(house_options(house)),
            "saving": plain(house_saving(house)),
        }
    )


def _days(
    record: PlanRecord, house: HousePlan, choices: Choices
) -> tuple[CrewDays | None, tuple[Problem, ...]]:
    """The crew's days, or why there are none; ``None`` alone where the day is not known or nothing is left to do."""
    first = house.survey.date_of_work
    crew = choices.crew or (Crew(first_day=first) if first else None)
    if crew is None or all(opening.is_done("finished") for opening in house.survey.openings):
        return None, ()
    if choices.rain:
        crew = replace(crew, rain=rain_from_hours(choices.rain, crew.first_day))
    try:
        return plan_days(house, crew, shut=[*_shut_walls(record)]), ()
    except BadInput as bad:
        return None, bad.problems


def _shut_walls(record: PlanRecord) -> list[Problem]:
    """Openings whose wall may not be opened yet for reasons of their own, each with what clears it."""
    return [
        Problem("gates.work", f"{each.name}: not planned. {' '.join(own)}", "caution", opening=each.id)
        for each in record.every_opening
        if (own := _own_reasons(each))
    ]


def _own_reasons(each: OpeningRecord | Unread) -> list[str]:
    return list(dict.fromkeys(f"{r.say} {r.opens}" for r in each.gates.work.reasons if not r.house))


def _estimate(
    house: HousePlan,
    materials: Sequence[Material],
    prices: Prices | None,
    unsettled: Sequence[str],
    days: int | None,
) -> tuple[Estimate | None, tuple[Problem, ...]]:
    """The estimate, or the prices that are missing; none where nothing is planned yet."""
    if prices is None or not house.openings:
        return None, ()
    try:
        return price_house(house, materials, prices, days=days, unsettled=unsettled), ()
    except BadInput as missing:
        return None, missing.problems


def proposals(survey: Survey) -> Offered:
    """Changes of the readings file that mend what fails, by mark of the opening; each was planned again and holds."""
    return _offered(plan_house(read_part(survey)))


def accept_proposal(
    tree: Mapping[str, Any], mark: str, number: int, *, on: date, by: str | None = None
) -> tuple[dict[str, Any], Proposal]:
    """A readings file's tree with a proposal put in, by its number, and which it was.

    Raises ``BadInput`` where there is none of that number or the opening is ordered already.
    """
    survey = survey_from_tree(tree)
    require_free(tree, mark)
    near = (group for group in groups(read_part(survey)) if any(o.id == mark for o in group.openings))
    offered = proposals(next(near, survey))
    chosen = numbered(offered, mark, number)
    return apply_proposal(tree, mark, chosen, on=on, by=by), chosen


def read_part(survey: Survey) -> Survey:
    """The openings that can be planned."""
    return survey.part([o for o in survey.openings if not unread(o)])


def _offered(house: HousePlan) -> Offered:
    """Proposals that hold, of those that may mend each opening. What is ordered stays as it is."""
    asked = {opening.id: opening for opening in house.survey.openings}
    free = [plan for plan in house.openings if not plan.opening.is_done("ordered")]
    drafts = {p.opening.id: _drafts(asked[p.opening.id], p, house) for p in free}
    found: dict[str, tuple[Proposal, ...]] = {}
    for group in groups(house.survey):
        found |= proven(group, {o.id: drafts.get(o.id, []) for o in group.openings}, verdicts_by_opening)
    return found


def _drafts(asked: Opening, plan: OpeningPlan, house: HousePlan) -> list[Proposal]:
    """What may mend one opening, not planned again yet."""
    rules = house.rules_on(plan)
    return [
        *glass_proposals(asked, plan.frame.layout, plan.stronger_glass),
        *system_proposals(asked, plan.frame, house.survey.system_of(asked), plan.verdicts),
        *remedy_proposals(asked, plan.frame, rules.verdicts, rules.remedies.choices),
    ]


def verdicts_by_opening(survey: Survey) -> dict[str, tuple[Verdict, ...]]:
    """Everything found of each opening, and under no mark of the house and the work."""
    house = plan_house(survey)
    found = {plan.opening.id: (*checks_of(plan), *house.rules_on(plan).verdicts) for plan in house.openings}
    return {"": house.rules.house} | found


def plan_house(survey: Survey, told: Callable[[str], None] | None = None) -> HousePlan:
    """Plan every opening. Raises ``BadInput`` with the problems of all openings at once."""
    sized, bad = size_house(survey)
    raise_if_any(bad)
    winds = wind_on_house(survey, [area_m2(opening) for opening in survey.openings])
    ready = {each.opening.id: (each, wind) for each, wind in zip(sized, winds, strict=True)}

    def plan(opening: Opening) -> OpeningPlan:
        done = plan_opening(survey, *ready[opening.id])
        if told:
            told(opening.name)
        return done

    planned, bad = for_each(survey, plan)
    raise_if_any(bad)
    framed = [Framed(opening=p.opening, frame=p.frame, heat=p.heat) for p in planned]
    return HousePlan(
        survey=survey,
        openings=tuple(planned),
        heat=house_heat([each.heat for each in planned]) if planned else None,
        rules=rules_on_house(survey, framed),
    )


def plan_opening(survey: Survey, sized: Sized, wind: OpeningWind | None) -> OpeningPlan:
    """What follows from the size of one opening's frame. ``wind`` is ``None`` while it is not known."""
    opening = sized.opening
    frame, declared = sized.frame, opening.wanted.declared
    glass = glass_of_lights(
        frame.layout, frame.glazing, wind=wind, altitude_m=survey.site.altitude_m, declared=declared
    )
    heat = opening_heat(survey.site, opening, frame)
    fitting = plan_fitting(
        frame,
        sized.read.hole.space(),
        opening,
        ground=_ground(survey, opening, frame, sized),
        wind=wind,
        conditions=_conditions(survey, opening, frame, sized),
        nibs=sized.read.nibs,
        kind=survey.defaults.fixing.kind,
        lugs=survey.defaults.fixing.method == "lug",
        packers_mm=survey.defaults.packers_mm,
    )
    return OpeningPlan(
        opening=opening,
        outline=sized.outline,
        findings=sized.findings,
        advice=sized.advice,
        weakened=tuple(weakened(survey, opening)),
        read=sized.read,
        lapped=sized.lapped,
        frame=frame,
        wind=wind,
        heat=heat,
        fitting=fitting,
        stronger_glass=glass.proposed,
        cautions=cautions(survey, opening),
        access=access_notes(loads_of(frame, fitting.lifts), storey=storey_of(survey, opening)),
        verdicts=(*wind_known(survey, wind), *glass.verdicts,
                  *system_verdicts(frame, survey.system_of(opening)), *fitting.verdicts, *heat.damp),
        remarks=(
            *sized.remarks, *unlikely_opening(survey, opening), *glass.remarks,
            *(frame.sill.problems if frame.sill else ()),
            *unit_doubts(declared, frame, heat.unit),
            *fitting.problems,
        ),
    )  # fmt: skip


def area_m2(opening: Opening) -> float:
    """Area of an opening as read, for the wind on it."""
    width, height = (
        fmean(r.mm for r in opening.outside.readings() if r.kind == kind) for kind in ("width", "height")
    )
    return width * height * 1e-6


def _ground(survey: Survey, opening: Opening, frame: Frame, sized: Sized) -> Ground:
    """What the screws bite into: as said, else the leaf the frame stands in."""
    said = survey.defaults.fixing.substrate if opening.wall is None else None
    wall, behind = survey.wall_of(opening), bool(sized.read.nibs)
    return ground_of(wall, frame.chosen, substrate=said, behind_nibs=behind)


def _conditions(survey: Survey, opening: Opening, frame: Frame, sized: Sized) -> frozenset[Condition]:
    applies: dict[Condition, bool] = {
        "behind_nibs": bool(sized.read.nibs),
        "no_lintel": opening.lintel.kind in ("none", "unknown"),
        "upstairs": storey_of(survey, opening) > 0,
        "sill": frame.sill is not None,
    }
    return frozenset(name for name, holds in applies.items() if holds)
