"""What is passed beside the survey reaches where it counts: steps told, the forecast, who accepts, who carries what."""

from datetime import date

import pypdfium2 as pdfium

from demo_house import SURVEY, papers, readings_tree, record
from jambwright import job
from jambwright.checks.survey_facts import Framed, house_facts, opening_facts
from jambwright.paper import PAPERS
from jambwright.paper.crew_papers import show_day
from jambwright.plan.crew.work import Crew
from jambwright.readings.survey_file import survey_from_tree
from made_up_houses import settled_house


def small(**changes):
    return survey_from_tree(settled_house(**changes))


def test_every_step_is_told_with_its_name_and_how_far_it_is():
    told = []
    survey = small()
    _, files = job.plan_and_print(survey, progress=lambda *step: told.append(step))
    assert told[0] == (survey.openings[0].name, 1, 3 + len(PAPERS))
    assert [done for _, done, _ in told] == list(range(1, len(told) + 1))
    assert {of for *_, of in told} == {len(told)}
    assert files
    told.clear()
    job.decide(survey, progress=lambda *step: told.append(step))
    assert told == [
        (survey.openings[0].name, 1, 3), ("proposals", 2, 3), ("materials, days and price", 3, 3),
    ]  # fmt: skip


def test_a_forecast_of_rain_moves_the_work_outside():
    crew = Crew(first_day=date(2026, 12, 7))
    rain = {f"2026-12-07T{hour:02d}:00": 4.0 for hour in range(24)}
    dry = job.decide(small(), job.Choices(crew=crew)).days
    wet = job.decide(small(), job.Choices(crew=crew, rain=rain)).days
    assert dry.open_on["W1"] == date(2026, 12, 7)
    assert wet.open_on.get("W1") != date(2026, 12, 7)


def test_whoever_accepts_a_proposal_is_kept_with_it():
    offered = job.proposals(SURVEY)
    mark = next(mark for mark, each in offered.items() if each)
    tree, _ = job.accept_proposal(readings_tree(), mark, 1, on=date(2026, 11, 29), by="A. Example (invented)")
    [accepted] = next(o for o in tree["openings"] if o["id"] == mark)["accepted"]
    assert (accepted["by"], accepted["on"]) == ("A. Example (invented)", "2026-11-29")


def test_the_picking_list_tells_day_mass_packs_and_kit_and_the_gate():
    pages = pdfium.PdfDocument(papers()["picking.pdf"])
    text = " ".join("".join(p.get_textpage().get_text_range() for p in pages).split())
    assert "do not start yet" in text.lower()
    assert any(load.when for load in record().loads)
    for load in record().loads:
        assert load.when is None or show_day(load.when.on) in text
        assert f"{load.units_kg:.0f} kg" in text
        for kit in load.bring:
            assert f"{kit.count} {kit.what}{'s' if kit.count > 1 else ''}" in text


def test_what_was_measured_round_an_opening_reaches_the_rules():
    survey = small(guard_height_mm=1105, to_boundary_m=0.7, beside_door_mm=210, by_bath=True)
    [plan] = job.plan_house(survey).openings
    mine = Framed(opening=plan.opening, frame=plan.frame, heat=plan.heat)
    facts = opening_facts(survey, date(2026, 12, 7), mine, [mine])
    assert (facts.guard_height_mm, facts.fire.to_boundary_m) == (1105, 0.7)
    assert facts.energy.timber is False
    assert house_facts(survey, date(2026, 12, 7), [mine]).doors is False
