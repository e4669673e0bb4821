"""The whole way on one page: survey in, whole-house plan out. Pure: no disk, no clock, no network."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from statistics import fmean

from jambwright.basis.problems import BadInput, Problem
from jambwright.checks.cautions import cautions, storey_of
from jambwright.checks.glass_of_lights import glass_of_lights
from jambwright.checks.movement import movement_gap
from jambwright.checks.opening_heat import house_heat, opening_heat
from jambwright.checks.rule_needs import rule_needs
from jambwright.checks.rules_on_house import rules_on_house
from jambwright.checks.survey_facts import Framed
from jambwright.checks.verdict import Verdict
from jambwright.checks.wind_on_house import OpeningWind, missing_for_wind, wind_on_house
from jambwright.frame.frame import Chosen, Frame, choose, make_frame, reglazed
from jambwright.frame.order_size import order_size
from jambwright.frame.sill import packer_gap_mm, sill_height_mm
from jambwright.opening import Advice, Findings, Gaps, Outline, adjust, advise, reach, search
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
from jambwright.plan.crew.days import CrewDays, plan_days
from jambwright.plan.crew.work import Crew, rain_from_hours
from jambwright.plan.cutting_list import bars_taken, cutting_lists
from jambwright.plan.fitting import plan_fitting
from jambwright.plan.house import HousePlan, OpeningPlan, opening_name
from jambwright.plan.materials import Material, house_materials
from jambwright.plan.options import quoted_at
from jambwright.plan.order_of_work import Condition
from jambwright.plan.price import Estimate, price_house
from jambwright.plan.prices import Prices
from jambwright.plan.van_loads import van_loads
from jambwright.readings import trust_of
from jambwright.readings.reading import LENGTHS
from jambwright.readings.survey import Opening, Survey

Progress = Callable[[str], None]

CREW_SECONDS = 5.0
"""Time the crew plan may take; it is told how far from the best it may be."""


def plan_house(survey: Survey, progress: Progress | None = None) -> HousePlan:
    """Plan every opening. Raises ``BadInput`` with the problems of all openings at once."""
    planned: list[OpeningPlan] = []
    problems: list[Problem] = []
    winds = wind_on_house(survey, [_area_m2(opening) for opening in survey.openings])
    for index, (opening, wind) in enumerate(zip(survey.openings, winds, strict=True)):
        if progress:
            progress(opening_name(opening))
        try:
            planned.append(plan_opening(survey, opening, wind))
        except BadInput as bad:
            problems += [
                Problem(f"openings.{index}.{p.field}", f"{opening_name(opening)}: {p.say}", p.kind)
                for p in bad.problems
            ]
    if problems:
        raise BadInput(problems)
    framed = [Framed(opening=p.opening, frame=p.frame, heat=p.heat) for p in planned]
    return HousePlan(
        survey=survey,
        openings=tuple(planned),
        heat=house_heat([each.heat for each in planned]),
        rules=rules_on_house(survey, framed),
    )


def plan_opening(survey: Survey, opening: Opening, wind: OpeningWind | None) -> OpeningPlan:
    """The way of one opening, from readings to fitting. ``wind`` is ``None`` while it is not known."""
    outline, findings, advice = look_at_readings(survey, opening)
    frame = frame_of(survey, opening, outline)
    glass = glass_of_lights(frame.layout, frame.glazing, wind=wind, altitude_m=survey.site.altitude_m)
    frame = reglazed(frame, glass.glazing) if glass.changes else frame
    heat = opening_heat(survey.site, opening, frame)
    fitting = plan_fitting(
        frame,
        outline.room(),
        opening,
        substrate=_substrate(survey, opening),
        wind=wind,
        conditions=_conditions(survey, opening, frame),
    )
    return OpeningPlan(
        opening=opening,
        outline=outline,
        findings=findings,
        advice=advice,
        frame=frame,
        wind=wind,
        heat=heat,
        fitting=fitting,
        cautions=cautions(survey, opening),
        verdicts=(*_wind_known(survey, wind), *glass.verdicts, *fitting.verdicts, *heat.damp),
        remarks=(*glass.changes, *(frame.sill.problems if frame.sill else ()), *fitting.problems),
    )


def _wind_known(survey: Survey, wind: OpeningWind | None) -> tuple[Verdict, ...]:
    """While the wind is not known, neither is the strength of anything: say what to give."""
    if wind:
        return ()
    missing = ", ".join(missing_for_wind(survey))
    why = f"The wind is not known, so glass, bars and fixings are not checked: give {missing}."
    return (Verdict(rule="wind.known", word="unknown", why=why),)


def frame_of(survey: Survey, opening: Opening, outline: Outline) -> Frame:
    """The frame to order for an adjusted opening."""
    chosen = choose(opening, survey.defaults)
    sill_mm = sill_height_mm() if chosen.sill else 0.0
    size = order_size(outline, gaps_mm=_gaps(outline, chosen, opening), sill_height_mm=sill_mm)
    return make_frame(opening, chosen, size, opening_width_mm=_width_at_sill(outline, sill_mm))


def look_at_readings(survey: Survey, opening: Opening) -> tuple[Outline, Findings, Advice]:
    """Adjust the outer readings of an opening and look for misreads among them."""
    trust = trust_of(survey.tools)
    readings = [
        replace(reading, tool=survey.defaults.tape)
        if reading.tool is None and reading.kind in LENGTHS
        else reading
        for reading in opening.outside.readings()
    ]
    outline = adjust(readings, trust=trust)
    findings = search(outline, readings, trust)
    return outline, findings, advise(outline, findings, trust)


def check_house(survey: Survey) -> list[Problem]:
    """What still wants the fitter: what to measure again, what is missing, what fails the rules as ordered."""
    found: list[Problem] = []
    framed: list[Framed] = []
    for index, opening in enumerate(survey.openings):
        outline, _, advice = look_at_readings(survey, opening)
        said = () if advice.word == "agree" else advice.say
        found += [_told(f"openings.{index}.outside", opening, say) for say in said]
        try:
            frame = frame_of(survey, opening, outline)
            heat = opening_heat(survey.site, opening, frame)
        except BadInput as bad:
            found += [_told(f"openings.{index}.{p.field}", opening, p.say) for p in bad.problems]
        else:
            framed.append(Framed(opening=opening, frame=frame, heat=heat))
    return found + rule_needs(survey, rules_on_house(survey, framed))


def _told(field: str, opening: Opening, say: str) -> Problem:
    return Problem(field, f"{opening_name(opening)}: {say}", "caution")


def _area_m2(opening: Opening) -> float:
    width, height = (
        fmean(r.mm for r in opening.outside.readings() if r.kind == kind) for kind in ("width", "height")
    )
    return width * height * 1e-6


def _substrate(survey: Survey, opening: Opening) -> str:
    """What the screws bite into: as said, else the outer leaf."""
    wall = opening.wall or survey.defaults.wall
    return (survey.defaults.fixing.substrate if opening.wall is None else None) or wall.outer_leaf


def _gaps(outline: Outline, chosen: Chosen, opening: Opening) -> Gaps:
    """Joint wanted a side: as asked, else by material, colour and size; under a sill room for its packers."""
    if opening.wanted.gap_mm is not None:
        gap = opening.wanted.gap_mm
        return Gaps(left=gap, right=gap, head=gap, bottom=gap)
    across, down = (
        movement_gap(
            material=chosen.profile.material, colour=chosen.colour, length_mm=_mean_mm(outline, kind)
        ).gap_per_side_mm
        for kind in ("width", "height")
    )
    return Gaps(left=across, right=across, head=down, bottom=packer_gap_mm() if chosen.sill else down)


def _mean_mm(outline: Outline, kind: str) -> float:
    values = [r.adjusted_mm for r in outline.readings if r.kind == kind]
    return sum(values) / len(values)


def _width_at_sill(outline: Outline, sill_mm: float) -> float:
    """Least width over the height the sill takes up."""
    room = outline.room()
    base = max(outline.corners_mm["bottom_left"][1], outline.corners_mm["bottom_right"][1])
    return min(reach(room, "right", base + up) - reach(room, "left", base + up) for up in (0.0, sill_mm))


def _conditions(survey: Survey, opening: Opening, frame: Frame) -> frozenset[Condition]:
    applies: dict[Condition, bool] = {
        "no_lintel": opening.lintel.kind in ("none", "unknown"),
        "upstairs": storey_of(survey, opening) > 0,
        "sill": frame.sill is not None,
        "glass": any(unit is not None for unit in frame.glazing.values()),
    }
    return frozenset(name for name, holds in applies.items() if holds)


def crew_days(
    house: HousePlan, *, rain: Mapping[str, float] | None = None, seconds: float = CREW_SECONDS
) -> CrewDays | None:
    """The crew's days from the day of the work on; ``None`` while that day is not known.

    ``rain`` is an hourly forecast: ISO hour to millimetres.
    """
    first = house.survey.date_of_work
    if first is None:
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
    cuts = cutting_lists(house.openings)
    materials = house_materials(house.openings, bars_taken(cuts))
    loads = van_loads(house.openings, materials)
    estimate, estimates, words = _estimate(house, materials, prices) if prices else (None, {}, ())
    if estimate:
        house = quoted_at(house, float(estimate.total))
    files = {
        "plan.json": plan_file(house).model_dump_json(indent=1).encode(),
        "order.csv": order_csv(house),
        "order.xlsx": order_xlsx(house),
        "buying.csv": buying_csv(materials),
        "picking.pdf": picking_pdf(loads, house.survey.site.label),
        "summary.txt": summary(house, words).encode(),
        "fit-sheets.pdf": fit_sheets(house, progress),
        "calculations.pdf": calculations(house, progress),
        "comparison.pdf": comparison(house),
        "findings.pdf": findings(house),
        "findings.csv": findings_csv(house),
        "cutting.pdf": cutting_pdf(house.survey.site.label, cuts),
    }
    if days:
        files["crew.pdf"] = crew_pdf(house, days)
        files["crew.ics"] = crew_ics(house, days)
        files["household-note.txt"] = household_note(house, days).encode()
    files |= estimates
    for plan in house.openings:
        files |= {f"drawings/{name}": content for name, content in drawings(plan).items()}
    return files | {f"drawings/{name}": content for name, content in house_drawings(house).items()}


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
