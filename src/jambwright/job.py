"""The whole way on one page: survey in, whole-house plan out. Pure: no disk, no clock, no network."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from statistics import fmean

from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.checks.cautions import cautions, storey_of
from jambwright.checks.glass_of_lights import glass_of_lights
from jambwright.checks.opening_heat import house_heat, opening_heat
from jambwright.checks.rule_needs import rule_needs
from jambwright.checks.rules_on_house import rules_on_house
from jambwright.checks.survey_facts import Framed
from jambwright.checks.verdict import Verdict
from jambwright.checks.wind_on_house import OpeningWind, missing_for_wind, wind_on_house
from jambwright.frame.frame import Frame, reglazed
from jambwright.paper.buying import buying_csv, picking_pdf
from jambwright.paper.calculation_sheet import calculations
from jambwright.paper.comparison import comparison
from jambwright.paper.crew_papers import crew_ics, crew_pdf, household_note
from jambwright.paper.cutting_sheet import cutting_pdf
from jambwright.paper.drawings import drawings, house_drawings
from jambwright.paper.estimate import estimate_csv, estimate_pdf, estimate_words, missing_words
from jambwright.paper.findings import findings, findings_csv
from jambwright.paper.fit_sheet import fit_sheets
from jambwright.paper.order_book import order_csv, order_xlsx
from jambwright.paper.plan_file import plan_file
from jambwright.paper.summary import summary
from jambwright.plan.buying import plan_buying
from jambwright.plan.crew.days import CrewDays, plan_days
from jambwright.plan.crew.work import Crew, rain_from_hours
from jambwright.plan.fitting import Ground, ground_of, plan_fitting
from jambwright.plan.house import HousePlan, OpeningPlan
from jambwright.plan.materials import Material
from jambwright.plan.options import house_options, quoted_at
from jambwright.plan.order_of_work import Condition
from jambwright.plan.price import Estimate, price_house
from jambwright.plan.prices import Prices
from jambwright.plan.saving import house_saving
from jambwright.plan.sizing import Sized, for_each, size_house, weakened
from jambwright.plan.van_loads import van_loads
from jambwright.readings.survey import Opening, Survey

Progress = Callable[[str], None]
"""Is told the name of an opening at each of its steps."""
STEPS_OF_AN_OPENING = 3
"""Planned, drawn on its fit sheet, worked out on the calculation sheet."""


def plan_house(survey: Survey, progress: Progress | None = None) -> HousePlan:
    """Plan every opening. Raises ``BadInput`` with the problems of all openings at once."""
    sized, bad = size_house(survey)
    raise_if_any(bad)
    winds = wind_on_house(survey, [_area_m2(opening) for opening in survey.openings])
    ready = {each.opening.id: (each, wind) for each, wind in zip(sized, winds, strict=True)}

    def plan(opening: Opening) -> OpeningPlan:
        if progress:
            progress(opening.name)
        return plan_opening(survey, *ready[opening.id])

    planned, bad = for_each(survey, plan)
    raise_if_any(bad)
    framed = [Framed(opening=p.opening, frame=p.frame, heat=p.heat) for p in planned]
    return HousePlan(
        survey=survey,
        openings=tuple(planned),
        heat=house_heat([each.heat for each in planned]),
        rules=rules_on_house(survey, framed),
    )


def plan_opening(survey: Survey, sized: Sized, wind: OpeningWind | None) -> OpeningPlan:
    """What follows from the size of one opening's frame. ``wind`` is ``None`` while it is not known."""
    opening = sized.opening
    wanted = sized.frame
    glass = glass_of_lights(wanted.layout, wanted.glazing, wind=wind, altitude_m=survey.site.altitude_m)
    frame = reglazed(wanted, glass.glazing) if glass.changes else wanted
    heat = opening_heat(survey.site, opening, frame)
    fitting = plan_fitting(
        frame,
        sized.read.hole.room(),
        opening,
        ground=_ground(survey, opening, frame, sized),
        wind=wind,
        conditions=_conditions(survey, opening, frame, sized),
        nibs=sized.read.nibs,
        kind=survey.defaults.fixing.kind,
        packers_mm=survey.defaults.packers_mm,
    )
    return OpeningPlan(
        opening=opening,
        outline=sized.outline,
        findings=sized.findings,
        advice=sized.advice,
        read=sized.read,
        lapped=sized.lapped,
        frame=frame,
        wind=wind,
        heat=heat,
        fitting=fitting,
        cautions=cautions(survey, opening),
        verdicts=(*_wind_known(survey, wind), *glass.verdicts, *fitting.verdicts, *heat.damp),
        remarks=(
            *sized.remarks, *glass.changes, *(frame.sill.problems if frame.sill else ()),
            *fitting.problems,
        ),
    )  # fmt: skip


def _wind_known(survey: Survey, wind: OpeningWind | None) -> tuple[Verdict, ...]:
    """While the wind is not known, neither is the strength of anything: say what to give."""
    if wind:
        return ()
    missing = ", ".join(missing_for_wind(survey))
    why = f"The wind is not known, so glass, bars and fixings are not checked: give {missing}."
    return (Verdict(rule="wind.known", word="unknown", why=why),)


def check_house(survey: Survey) -> list[Problem]:
    """What still wants the fitter: what to measure again, what is missing, what fails the rules as ordered."""
    sized, found = size_house(survey)
    for index, opening in enumerate(survey.openings):
        each = next((each for each in sized if each.opening.id == opening.id), None)
        advice = each.advice if each else None
        said = [*advice.say] if advice and advice.word != "agree" else []
        said += weakened(survey, opening)
        found += [_told(f"openings.{index}.outside", opening, say) for say in said]
        found += _both_faces(index, opening, each)
    framed = [
        Framed(opening=e.opening, frame=e.frame, heat=opening_heat(survey.site, e.opening, e.frame))
        for e in sized
    ]
    doubted = {each.opening.id for each in sized if each.advice.word == "measure again"}
    return found + rule_needs(survey, rules_on_house(survey, framed), doubted)


def _both_faces(index: int, opening: Opening, sized: Sized | None) -> list[Problem]:
    """What the two faces of an opening have against its frame, and what of the inner one to measure."""
    if sized is None:
        return []
    inside = sized.read.inside_advice
    said = [*sized.read.held]
    said += [f"Inside: {say}" for say in inside.say] if inside and inside.word.startswith("too few") else []
    return [
        *(_told(f"openings.{index}.inside", opening, say) for say in said),
        *(_told(f"openings.{index}.{clash.field}", opening, clash.say) for clash in sized.clashes),
    ]


def _told(field: str, opening: Opening, say: str) -> Problem:
    return Problem(field, f"{opening.name}: {say}", "caution")


def _area_m2(opening: Opening) -> float:
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


def crew_days(
    house: HousePlan, *, rain: Mapping[str, float] | None = None, seconds: float | None = None
) -> CrewDays | None:
    """The crew's days from the day of the work on; ``None`` while that day is not known or nothing is left to do.

    ``rain`` is an hourly forecast: ISO hour to millimetres. ``seconds`` is the time it may take, by default as much
    as the work wants; the plan says how far from the best it may be.
    """
    first = house.survey.date_of_work
    if first is None or all(opening.is_done("finished") for opening in house.survey.openings):
        return None
    crew = Crew(first_day=first, rain=rain_from_hours(rain or {}, first))
    return plan_days(house, crew, seconds=seconds)


def papers(
    house: HousePlan,
    progress: Progress | None = None,
    prices: Prices | None = None,
    days: CrewDays | None = None,
) -> dict[str, bytes]:
    """Every paper of a house by file name. Where prices are missing the summary says so in place of the estimate."""
    buying = plan_buying(house.openings, days.calls() if days else None)
    loads = van_loads(house.openings, buying.to_carry)
    estimate, estimates, words = _estimate(house, buying.whole, prices) if prices else (None, {}, ())
    if estimate:
        house = quoted_at(house, float(estimate.total))
    options, saving = house_options(house), house_saving(house)
    files = {
        "plan.json": plan_file(house, saving).model_dump_json(indent=1).encode(),
        "order.csv": order_csv(house),
        "order.xlsx": order_xlsx(house),
        "buying.csv": buying_csv(buying.to_buy),
        "picking.pdf": picking_pdf(loads, house.survey.site.label),
        "summary.txt": summary(house, words).encode(),
        "fit-sheets.pdf": fit_sheets(house, progress),
        "calculations.pdf": calculations(house, progress),
        "comparison.pdf": comparison(house, options, saving),
        "findings.pdf": findings(house),
        "findings.csv": findings_csv(house),
        "cutting.pdf": cutting_pdf(house.survey.site.label, buying.cuts),
    }
    if days:
        files["crew.pdf"] = crew_pdf(house, days)
        files["crew.ics"] = crew_ics(house, days)
        files["household-note.txt"] = household_note(house, days).encode()
    files |= estimates
    for plan in house.openings:
        files |= {f"drawings/{name}": content for name, content in drawings(plan).items()}
    return files | {f"drawings/{name}": content for name, content in house_drawings(options).items()}


def _estimate(
    house: HousePlan, materials: Sequence[Material], prices: Prices
) -> tuple[Estimate | None, dict[str, bytes], tuple[str, ...]]:
    """The estimate, its papers, and what the summary says of it."""
    try:
        estimate = price_house(house, materials, prices)
    except BadInput as missing:
        return None, {}, tuple(missing_words(missing.problems))
    made = {"estimate.pdf": estimate_pdf(house, estimate), "estimate.csv": estimate_csv(estimate)}
    return estimate, made, tuple(estimate_words(estimate))
