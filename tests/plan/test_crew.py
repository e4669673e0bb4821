"""The crew's days: hard limits kept, faults found by the recount, and what cannot be planned named."""

import functools
from dataclasses import replace
from datetime import date, timedelta

import icalendar
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import read_text
from jambwright.paper.crew_papers import crew_ics, crew_pdf, household_note
from jambwright.plan.crew import After, Calendar, Placed, Project, Task, broken, plan_crew
from jambwright.plan.crew.days import plan_days
from jambwright.plan.crew.first_answer import first_answer
from jambwright.plan.crew.work import DAY, Crew, calendar_of, quiet_hours, rain_from_hours
from jambwright.readings.survey_file import read_survey

DAYS = Calendar(days=((480, 960), (DAY + 480, DAY + 960), (2 * DAY + 480, 2 * DAY + 960)))


def project(*tasks, fitters=2, calendar=DAYS):
    return Project(tasks=tasks, resources={"fitter": fitters}, calendar=calendar)


def task(name, minutes, *after, people=1, **more):
    return Task(id=name, minutes=minutes, needs={"fitter": people}, after=tuple(map(After, after)), **more)


@functools.cache
def demo_days():
    house = job.plan_house(read_survey(read_text("demo_house.yaml")))
    rain = {"2026-12-07T09": 1.2, "2026-12-07T10": 0.8, "2026-12-08T14": 0.0}
    return house, job.crew_days(house, rain=rain, seconds=4)


def test_no_hard_limit_of_the_demo_house_is_broken():
    _, days = demo_days()
    assert broken(days.project, days.plan.tasks) == []
    assert days.left_out == ()
    assert days.plan.lower_bound <= days.plan.makespan


def test_no_opening_is_left_open_overnight_and_a_door_is_done_in_a_day():
    _, days = demo_days()
    for mark in {stay.opening_id for stay in days.stays}:
        dates = {
            s.on
            for s in days.stays
            if s.opening_id == mark and s.during(("take_out", "prepare", "fit", "glaze"))
        }
        assert len(dates) == 1
    assert len({s.on for s in days.stays if s.opening_id == "D1"}) == 1


def test_wet_hours_and_sleeping_people_are_kept_clear():
    _, days = demo_days()
    for placed in days.plan.tasks:
        if placed.start < DAY and days.project.task(placed.id).dry:
            assert placed.end <= 9 * 60 or placed.start >= 11 * 60
        if placed.id.startswith("W4"):
            assert placed.start % DAY >= 12 * 60


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (lambda p: replace(p, start=p.start + 600, end=p.end + 600), "outside working hours"),
        (lambda p: replace(p, end=p.end + 5), "instead of"),
        (lambda p: replace(p, who=()), "named"),
    ],
)
def test_the_recount_finds_a_broken_limit(change, fault):
    small = project(task("a", 60), task("b", 60, "a"))
    plan = list(plan_crew(small, seconds=2).tasks)
    assert broken(small, plan) == []
    plan[-1] = change(plan[-1])
    assert fault in " ".join(broken(small, plan))


def test_the_recount_finds_two_places_at_once_and_a_broken_rest():
    small = project(task("a", 60), Task(id="b", minutes=60, needs={"fitter": 1}, after=(After("a", 30),)))
    both = [
        Placed(id="a", start=480, end=540, who=("fitter 1",)),
        Placed(id="b", start=500, end=560, who=("fitter 1",)),
    ]
    said = " ".join(broken(small, both))
    assert "in two places" in said
    assert "ended and rested" in said


def test_one_visit_in_a_row_is_better_than_two_with_a_gap():
    plan = plan_crew(project(*(task(f"t{n}", 300, people=2) for n in range(2))), seconds=3)
    assert (plan.visits, plan.days, plan.proven_optimal) == (1, 2, True)


@settings(max_examples=20)
@given(st.lists(st.tuples(st.integers(5, 300), st.integers(1, 2), st.booleans()), min_size=1, max_size=6))
def test_every_plan_of_a_few_tasks_is_sound_and_within_its_bound(given_tasks):
    tasks = [
        task(f"t{n}", minutes, *([f"t{n - 1}"] if linked and n else []), people=people)
        for n, (minutes, people, linked) in enumerate(given_tasks)
    ]
    asked = project(*tasks, calendar=None)
    plan = plan_crew(asked, seconds=2)
    assert broken(asked, plan.tasks) == []
    assert plan.lower_bound <= plan.makespan


@pytest.mark.parametrize(
    ("tasks", "words"),
    [
        ([task("a", 600)], "fit in no day"),
        ([task("a", 60, people=3)], "needs 3 of fitter and there are 2"),
        ([Task(id="a", minutes=5, needs={"crane": 1})], "which is no resource"),
        ([task("a", 5, "z")], "which is no task"),
        ([task("a", 5, "b"), task("b", 5, "a")], "in a circle"),
        ([task("a", 5), task("a", 6)], "two tasks have this id"),
        (
            [task("a", 300, same_day="W1", people=2), task("b", 300, "a", same_day="W1", people=2)],
            "in one day",
        ),
    ],
)
def test_what_cannot_be_planned_is_named_with_the_remedy(tasks, words):
    with pytest.raises(BadInput, match=words):
        plan_crew(project(*tasks), seconds=1)


def test_an_opening_that_fits_in_no_day_is_told_and_the_others_are_planned():
    house, _ = demo_days()
    rooms = [r.model_copy(update={"disturb": "asleep until 15:30"}) if r.name == "back bedroom" else r
             for r in house.survey.house.rooms]  # fmt: skip
    survey = house.survey.model_copy(update={"house": house.survey.house.model_copy(update={"rooms": rooms})})
    days = plan_days(replace(house, survey=survey), Crew(first_day=date(2026, 12, 7)), seconds=2)
    assert [p.field for p in days.left_out] == ["tasks.W4"]
    assert "W3" in {stay.opening_id for stay in days.stays}


def test_a_search_cut_short_begins_no_house_later_than_the_first_answer():
    house = job.plan_house(read_survey(read_text("demo_house.yaml")))
    for seconds in (0.05, 2):
        days = job.crew_days(house, seconds=seconds)
        first = first_answer(days.project)
        assert first is not None
        assert max(s.on for s in days.stays) <= days.crew.first_day + timedelta(
            days=max(first.values()) // DAY
        )
        assert not days.plan.proven_optimal


def test_weekends_are_not_worked_and_forecast_hours_become_minutes():
    calendar = calendar_of(Crew(first_day=date(2026, 12, 10), days=3))
    assert [low // DAY for low, _ in calendar.days] == [0, 1, 4]
    assert rain_from_hours({"2026-12-11T09": 0.5, "2026-12-11T10": 0.1}, date(2026, 12, 10)) == (
        (DAY + 540, DAY + 600),
    )
    assert quiet_hours("only bathroom of the house") is None


def test_the_calendar_opens_in_a_calendar_parser_with_every_stay():
    house, days = demo_days()
    events = icalendar.Calendar.from_ical(crew_ics(house, days)).walk("VEVENT")
    assert len(events) == len(days.stays)
    assert all(event.decoded("dtend") > event.decoded("dtstart") for event in events)


def test_the_household_is_told_room_time_noise_and_cold():
    house, days = demo_days()
    note = household_note(house, days)
    for words in ("Noisy", "open and cold", "back bedroom", "night worker asleep until 12:00"):
        assert words in note
    for day in {stay.on for stay in days.stays}:
        assert f"{day:%A} {day.day} {day:%B}" in note
    assert crew_pdf(house, days).startswith(b"%PDF")
