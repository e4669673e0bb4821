"""The crew's days on paper: every bar named, day sheets, the calendar, and the note to the household."""

import functools
from dataclasses import replace
from datetime import date

import icalendar
import pypdfium2
import pytest

from demo_house import house, record
from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.paper.crew_chart import day_chart
from jambwright.paper.crew_papers import charts, crew_ics, crew_pdf, household_note, quality_words
from jambwright.paper.scene import Area
from jambwright.plan.crew import Placed
from jambwright.plan.crew.days import plan_days
from jambwright.plan.crew.work import Crew
from jambwright.plan.solving import Grant
from jambwright.readings.survey_file import read_survey
from jambwright.record.make_house import days_record
from scene_checks import overlapping_words

MONDAY = date(2026, 12, 7)


@functools.cache
def demo_days():
    return plan_days(house(), Crew(first_day=MONDAY), grant=Grant(units=1))


def on_paper(days):
    """The demo house's record with these days."""
    told = days_record(days, record().rules)
    return record().model_copy(update={"days": told}), told


def pdf_words(body):
    return " ".join(
        " ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(body)).split()
    )


def test_a_house_of_which_nothing_can_be_planned_has_papers_that_say_so():
    upstairs = replace(house(), openings=tuple(p for p in house().openings if p.opening.id == "W3"))
    days = plan_days(upstairs, Crew(first_day=MONDAY, towers=0))
    assert (days.stays, len(days.left_out)) == ((), 1)
    paper, told = on_paper(days)
    assert crew_pdf(paper, told).startswith(b"%PDF")
    note = household_note(paper, told)
    assert "No day is set yet for W3; we tell you when there is one." in note
    assert "W3)" not in note, "no room is told to be ready"


def test_the_calendar_opens_in_a_calendar_parser_with_every_stay():
    events = icalendar.Calendar.from_ical(crew_ics(*on_paper(demo_days()))).walk("VEVENT")
    assert len(events) == len(demo_days().stays)
    assert all(event.decoded("dtend") > event.decoded("dtstart") for event in events)


def test_the_household_is_told_room_true_times_noise_and_cold():
    days = demo_days()
    note = household_note(*on_paper(days))
    for words in ("Noisy", "open and cold", "back bedroom", "night worker asleep until 12:00"):
        assert words in note
    for day in {stay.on for stay in days.stays}:
        assert f"{day:%A} {day.day} {day:%B}" in note
    two = next(stay for stay in days.stays if len(stay.slots) == 2)
    told = " and ".join(f"{a // 60}:{a % 60:02d} to {b // 60}:{b % 60:02d}" for a, b in two.slots)
    assert f"{two.room} ({two.opening_id}), {told}." in note


def test_every_bar_of_the_chart_has_its_name_and_no_two_names_touch():
    for _, chart in charts(on_paper(demo_days())[1]):
        names = [words.text for words in chart.words if words.bold]
        assert len(names) == sum(isinstance(item, Area) for item in chart.items)
        assert all(
            name in ("set up", "lunch", "clear up and load") or name.endswith((" open", " close"))
            for name in names
        )
        assert overlapping_words(chart) == []


def test_a_days_sheet_says_who_does_what_where_and_when_in_order():
    said = pdf_words(crew_pdf(*on_paper(demo_days())))
    assert "8:00–8:40 fitter 1 and fitter 2: set up" in said
    lanes = "fitter 1: seal outside, clean up; fitter 2: trims inside, seal inside"
    assert f"cut the foam back; {lanes}; fitter 1 and fitter 2: show the owner" in said


def test_an_opening_of_several_days_is_told_as_boarded_each_night_and_each_task_once_a_day():
    plan = job.decide(read_survey(read_text("demo_sashes_and_doors.yaml")))
    said = pdf_words(crew_pdf(plan, plan.days))
    assert "boards or weather cover on for the night" in said
    assert "take the old one out, take the old one out" not in said
    assert "It stays boarded or under a weather cover overnight" in household_note(plan, plan.days)


def test_how_good_a_plan_is_is_said_with_what_none_can_beat():
    said = quality_words(on_paper(demo_days())[1])
    assert "No plan takes fewer than" in said
    assert "goes to another opening" in said
    assert "are enough in four of five cases" in said


def test_a_bar_ends_where_nobody_works_and_a_short_one_is_named_below():
    placed = [
        Placed(id=f"W1 {step}", opening="W1", step=step, start=start, end=end, who=("fitter 1",))
        for step, start, end in (("fit", 480, 540), ("foam", 540, 560), ("clean", 600, 605))
    ]
    chart = day_chart(placed, ["fitter 1"])
    bars = [item for item in chart.items if isinstance(item, Area)]
    inside = next(words for words in chart.words if words.text == "W1 open")
    below = next(words for words in chart.words if words.text == "W1 close")
    assert [max(x for x, _ in bar.points) - min(x for x, _ in bar.points) for bar in bars] == pytest.approx(
        [80 / 60 * 19, 5 / 60 * 19]
    )
    assert min(y for _, y in bars[1].points) > max(y for _, y in below.corners(1.0))
    assert inside.at[1] > below.at[1]


def test_names_of_short_bars_at_the_end_of_the_day_stay_on_the_paper():
    ends = [
        Placed(
            id=f"W{n} clean",
            opening=f"W{n}",
            step="clean",
            start=990 - 4 * n,
            end=994 - 4 * n,
            who=("fitter 1",),
        )
        for n in (3, 2, 1)
    ]
    chart = day_chart(ends, ["fitter 1"])
    assert overlapping_words(chart) == []
    assert chart.paper_size().width_mm <= 184.0
