"""The crew's days: hard limits kept, faults found by the recount, and what cannot be planned named."""

import functools
import math
from dataclasses import replace
from datetime import date, timedelta

import icalendar
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from demo_house import SURVEY, house, record
from jambwright import job
from jambwright.basis.problems import BadInput, Problem
from jambwright.paper.crew_chart import day_chart
from jambwright.paper.crew_papers import charts, crew_ics, crew_pdf, household_note, quality_words
from jambwright.paper.scene import Area
from jambwright.plan.crew import After, Calendar, Placed, Project, Task, broken, plan_crew
from jambwright.plan.crew.day_by_day import plan_day_by_day
from jambwright.plan.crew.days import plan_days
from jambwright.plan.crew.first_answer import first_answer
from jambwright.plan.crew.work import DAY, Crew, calendar_of, project_of, quiet_hours, rain_from_hours
from jambwright.plan.solving import Grant
from jambwright.record.make_house import days_record
from scene_checks import overlapping_words

MONDAY = date(2026, 12, 7)
DAYS = Calendar(days=((480, 960), (DAY + 480, DAY + 960), (2 * DAY + 480, 2 * DAY + 960)))


def project(*tasks, fitters=2, calendar=DAYS):
    return Project(tasks=tasks, resources={"fitter": fitters}, calendar=calendar)


def task(name, minutes, *after, people=1, **more):
    return Task(id=name, minutes=minutes, needs={"fitter": people}, after=tuple(map(After, after)), **more)


@functools.cache
def demo_days():
    rain = rain_from_hours({"2026-12-07T09": 1.2, "2026-12-07T10": 0.8, "2026-12-08T14": 0.0}, MONDAY)
    return house(), plan_days(house(), Crew(first_day=MONDAY, rain=rain), grant=Grant(units=2))


def on_paper(days):
    """The demo house's record with these days."""
    told = days_record(days, record().rules)
    return record().model_copy(update={"days": told}), told


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
    plan = list(plan_crew(small, Grant(units=1)).tasks)
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
    plan = plan_crew(project(*(task(f"t{n}", 300, people=2) for n in range(2))), Grant(units=1.5))
    assert (plan.visits, plan.days, plan.proven_optimal) == (1, 2, True)


@settings(max_examples=20, deadline=None)
@given(st.lists(st.tuples(st.integers(5, 300), st.integers(1, 2), st.booleans()), min_size=1, max_size=6))
def test_every_plan_of_a_few_tasks_is_sound_and_within_its_bound(given_tasks):
    tasks = [
        task(f"t{n}", minutes, *([f"t{n - 1}"] if linked and n else []), people=people)
        for n, (minutes, people, linked) in enumerate(given_tasks)
    ]
    asked = project(*tasks, calendar=None)
    plan = plan_crew(asked, Grant(units=1))
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
        plan_crew(project(*tasks), Grant(units=0.5))


def test_an_opening_that_fits_in_no_day_is_told_and_the_others_are_planned():
    house, _ = demo_days()
    rooms = [r.model_copy(update={"disturb": "asleep until 15:30"}) if r.name == "back bedroom" else r
             for r in house.survey.house.rooms]  # fmt: skip
    survey = house.survey.model_copy(update={"house": house.survey.house.model_copy(update={"rooms": rooms})})
    days = plan_days(replace(house, survey=survey), Crew(first_day=date(2026, 12, 7)), grant=Grant(units=1))
    assert [p.field for p in days.left_out] == ["tasks.W4"]
    assert "W3" in {stay.opening_id for stay in days.stays}


def without_a_tower():
    house, _ = demo_days()
    return house, Crew(first_day=date(2026, 12, 7), towers=0)


def test_what_wants_a_tower_that_is_not_there_is_told_and_the_others_are_planned():
    house, crew = without_a_tower()
    days = plan_days(house, crew, grant=Grant(units=1))
    assert {p.field.split()[0] for p in days.left_out} == {f"tasks.W{n}" for n in (2, 3, 4, 5, 6)}
    assert all("bring more" in p.say for p in days.left_out)
    assert {stay.opening_id for stay in days.stays} == {"W1", "W7", "W8", "W9", "D1", "D2"}


def test_a_house_of_which_nothing_can_be_planned_has_papers_that_say_so():
    house, crew = without_a_tower()
    upstairs = replace(house, openings=tuple(p for p in house.openings if p.opening.id == "W3"))
    days = plan_days(upstairs, crew, grant=Grant(units=0.5))
    assert (days.stays, len(days.left_out)) == ((), 1)
    paper, told = on_paper(days)
    assert crew_pdf(paper, told).startswith(b"%PDF")
    note = household_note(paper, told)
    assert "No day is set yet for W3; we tell you when there is one." in note
    assert "W3)" not in note, "no room is told to be ready"


@functools.cache
def big_house():
    """The demo house's openings five times over, each in a room of its own."""
    house, _ = demo_days()
    copies = [
        (replace(plan, opening=plan.opening.model_copy(update=own)), own["room"], plan.opening.room)
        for n in range(5)
        for plan in house.openings
        for own in [{"id": f"{plan.opening.id}x{n}", "room": f"{plan.opening.room} {n}"}]
    ]
    rooms = {new: house.survey.room(old).model_copy(update={"name": new}) for _, new, old in copies}
    survey = house.survey.model_copy(
        update={"house": house.survey.house.model_copy(update={"rooms": list(rooms.values())})}
    )
    return replace(house, survey=survey, openings=tuple(plan for plan, _, _ in copies))


def test_a_big_house_is_planned_in_as_many_days_as_it_wants_and_breaks_no_limit():
    days = plan_days(big_house(), Crew(first_day=date(2026, 3, 2)), grant=Grant(units=3))
    assert broken(days.project, days.plan.tasks) == []
    work = sum(task.minutes * task.needs["fitter"] for task in days.project.tasks)
    assert days.plan.least_days == math.ceil(work / (2 * 8 * 60)) > 15
    assert days.plan.least_days <= days.plan.days <= 1.4 * days.plan.least_days
    assert days.plan.lower_bound <= days.plan.makespan
    assert (days.plan.visits, days.left_out, days.plan.proven_optimal) == (1, (), False)


def test_no_room_is_covered_before_the_day_its_wall_is_opened_when_days_are_filled_one_by_one():
    project = project_of(big_house(), Crew(first_day=date(2026, 3, 2)), 40)
    for units in (0, 1.5):
        starts = plan_day_by_day(project, Grant(units=units))
        assert set(starts) == {task.id for task in project.tasks}
        for name, start in starts.items():
            mark, step = name.split(" ")
            if step == "protect":
                assert start // DAY == starts[f"{mark} fit"] // DAY


def test_day_by_day_a_held_opening_keeps_its_day():
    held = {"W3x4": date(2026, 3, 9), "D1x3": date(2026, 3, 4)}
    days = plan_days(big_house(), Crew(first_day=date(2026, 3, 2), held=held), grant=Grant(units=1.5))
    assert broken(days.project, days.plan.tasks) == []
    for mark, on in held.items():
        assert {s.on for s in days.stays if s.opening_id == mark and s.during(("fit",))} == {on}


def marked(*done, mark="W1"):
    """The demo house with marks on one opening."""
    house, _ = demo_days()
    return replace(
        house,
        openings=tuple(
            replace(p, opening=p.opening.model_copy(update={"done": list(done)}))
            if p.opening.id == mark
            else p
            for p in house.openings
        ),
    )


@pytest.mark.parametrize(
    ("done", "first", "left"),
    [
        (("ordered",), "protect", 13),
        (("ordered", "cut"), "protect", 13),
        (("fitted",), "trim_foam", 6),
        (("cut", "sealed"), "trim_inside", 4),
    ],
)
def test_what_is_marked_done_is_not_done_again_and_the_rest_keeps_its_order_and_rests(done, first, left):
    crew = Crew(first_day=date(2026, 12, 7))
    tasks = [t for t in project_of(marked(*done), crew, 10).tasks if t.id.startswith("W1 ")]
    assert (tasks[0].id, tasks[0].after, len(tasks)) == (f"W1 {first}", (), left)
    whole = {t.id: t for t in project_of(marked(), crew, 10).tasks}
    for task in tasks:
        assert task.minutes == whole[task.id].minutes
        assert set(task.after) == {a for a in whole[task.id].after if a.id in {t.id for t in tasks}}


def test_a_finished_opening_has_no_tasks_and_a_finished_house_no_days():
    crew = Crew(first_day=date(2026, 12, 7))
    assert not [t for t in project_of(marked("finished"), crew, 10).tasks if t.id.startswith("W1 ")]
    house, _ = demo_days()
    done = [o.model_copy(update={"done": ["finished"]}) for o in house.survey.openings]
    over = replace(
        house,
        survey=house.survey.model_copy(update={"openings": done}),
        openings=tuple(replace(p, opening=o) for p, o in zip(house.openings, done, strict=True)),
    )
    with pytest.raises(BadInput, match="nothing left to fit"):
        plan_days(over, crew)


def test_a_finished_house_has_a_plan_without_days():
    first = SURVEY.openings[0].model_copy(update={"done": ["finished"]})
    plan = job.decide(SURVEY.model_copy(update={"openings": [first]}))
    assert (plan.days, plan.days_missing) == (None, ())
    assert plan.buying.to_buy == ()


def test_the_walls_of_shut_openings_get_no_day_and_are_told_each_with_why():
    house, _ = demo_days()
    shut = [Problem("gates.work", "W1 kitchen: not planned. No lintel.", "caution", opening="W1")]
    days = plan_days(house, Crew(first_day=MONDAY), grant=Grant(units=1), shut=shut)
    assert days.left_out == tuple(shut)
    assert "W1" not in {stay.opening_id for stay in days.stays}
    assert {stay.opening_id for stay in days.stays} == {p.opening.id for p in house.openings} - {"W1"}


@pytest.mark.parametrize(("done", "told"), [((), True), (("ordered", "cut"), True), (("fitted",), False)])
def test_an_opening_whose_wall_is_done_is_not_told_as_left_out(done, told):
    shut = [Problem("gates.work", "W1 kitchen: not planned.", "caution", opening="W1")]
    days = plan_days(marked(*done), Crew(first_day=MONDAY), grant=Grant(units=1), shut=shut)
    assert bool(days.left_out) == told


def test_the_wall_of_the_house_and_the_storey_of_an_opening_set_its_hours():
    """Render costs 1 to 2 person-hours more an opening (practice reference E, from memory)."""
    house, _ = demo_days()
    rendered = house.survey.defaults.model_copy(
        update={"wall": house.survey.defaults.wall.model_copy(update={"face": "render"})}
    )
    other = replace(house, survey=house.survey.model_copy(update={"defaults": rendered}))
    crew = Crew(first_day=date(2026, 12, 7))

    def person_hours(of, mark):
        tasks = [t for t in project_of(of, crew, 10).tasks if t.id.startswith(f"{mark} ")]
        return sum(t.minutes * t.needs["fitter"] for t in tasks) / 60

    assert person_hours(other, "W1") - person_hours(house, "W1") == pytest.approx(1.5, abs=0.5)
    assert person_hours(other, "W8") == person_hours(house, "W8")  # has a wall of its own


def test_a_unit_that_comes_glazed_has_no_glass_put_in():
    """W2 and W5 are one sash, carried whole; W9 has a fixed light to drill behind; W1 goes in unglazed."""
    house, _ = demo_days()
    steps = {p.opening.id: [s.step for s in p.fitting.steps] for p in house.openings}
    tasks = {task.id for task in project_of(house, Crew(first_day=date(2026, 12, 7)), 10).tasks}
    for mark in ("W2", "W5"):
        assert not {"glaze", "reglaze", "unbead", "unglaze"} & set(steps[mark])
        assert "try_lights" in steps[mark]
        assert f"{mark} glaze" not in tasks
        assert f"{mark} adjust" in tasks
    for mark in ("W6", "W9"):
        order = [steps[mark].index(step) for step in ("place", "unbead", "fix", "reglaze", "foam")]
        assert order == sorted(order)
        assert "glaze" not in steps[mark]
        assert f"{mark} glaze" in tasks
    assert {"unglaze", "glaze"} <= set(steps["W1"])


def test_a_search_cut_short_begins_no_house_later_than_the_first_answer():
    house, _ = demo_days()
    for units in (0.02, 1):
        days = plan_days(house, Crew(first_day=MONDAY), grant=Grant(units=units))
        first = first_answer(days.project)
        assert first is not None
        assert max(s.on for s in days.stays) <= days.crew.first_day + timedelta(
            days=max(first.values()) // DAY
        )
        assert not days.plan.proven_optimal


def test_weekends_are_not_worked_and_forecast_hours_become_minutes():
    calendar = calendar_of(Crew(first_day=date(2026, 12, 10)), 3)
    assert [low // DAY for low, _ in calendar.days] == [0, 1, 4]
    assert rain_from_hours({"2026-12-11T09": 0.5, "2026-12-11T10": 0.1}, date(2026, 12, 10)) == (
        (DAY + 540, DAY + 600),
    )
    assert quiet_hours("only bathroom of the house") is None


def test_the_calendar_opens_in_a_calendar_parser_with_every_stay():
    _, days = demo_days()
    events = icalendar.Calendar.from_ical(crew_ics(*on_paper(days))).walk("VEVENT")
    assert len(events) == len(days.stays)
    assert all(event.decoded("dtend") > event.decoded("dtstart") for event in events)


def test_the_household_is_told_room_time_noise_and_cold():
    _, days = demo_days()
    note = household_note(*on_paper(days))
    for words in ("Noisy", "open and cold", "back bedroom", "night worker asleep until 12:00"):
        assert words in note
    for day in {stay.on for stay in days.stays}:
        assert f"{day:%A} {day.day} {day:%B}" in note
    assert crew_pdf(*on_paper(days)).startswith(b"%PDF")


def test_every_bar_of_the_chart_has_its_mark_and_no_two_marks_touch():
    _, days = demo_days()
    for _, chart in charts(on_paper(days)[1]):
        marks = [words.text for words in chart.words if words.bold]
        assert len(marks) == sum(isinstance(item, Area) for item in chart.items)
        assert overlapping_words(chart) == []


def test_a_bar_ends_where_nobody_works_and_a_short_one_is_named_below():
    placed = [
        Placed(id=f"W1 {step}", opening="W1", step=step, start=start, end=end, who=("fitter 1",))
        for step, start, end in (("fit", 480, 540), ("foam", 540, 560), ("clean", 600, 605))
    ]
    chart = day_chart(placed, ["fitter 1"])
    bars = [item for item in chart.items if isinstance(item, Area)]
    inside, below = (words for words in chart.words if words.text == "W1")
    assert [max(x for x, _ in bar.points) - min(x for x, _ in bar.points) for bar in bars] == pytest.approx(
        [80 / 60 * 20, 5 / 60 * 20]
    )
    assert min(y for _, y in bars[1].points) > max(y for _, y in below.corners(1.0))
    assert inside.at[1] > below.at[1]


def test_marks_of_short_bars_at_the_end_of_the_day_stay_on_the_paper():
    ends = [
        Placed(
            id=f"W{n} clean",
            opening=f"W{n}",
            step="clean",
            start=960 - 4 * n,
            end=964 - 4 * n,
            who=("fitter 1",),
        )
        for n in (3, 2, 1)
    ]
    chart = day_chart(ends, ["fitter 1"])
    assert overlapping_words(chart) == []
    assert chart.paper_size().width_mm <= 184.0


@functools.cache
def three_days():
    """A small house over several days, one fitter at a time at most two."""
    few = replace(house(), openings=house().openings[:5])
    return few, plan_days(few, Crew(first_day=MONDAY), grant=Grant(units=3))


def days_of(days):
    return {(step.opening, step.step): stay.on for stay in days.stays for step in stay.steps}


def walls_of(days):
    return {s.opening_id: s.on for s in days.stays if s.during(("fit",))}


def moved(of_mark, by_days):
    """The few openings with one put to another day, the rest told to stay."""
    few, before = three_days()
    on = walls_of(before)[of_mark] + timedelta(days=by_days)
    stays = {of: day for of, day in days_of(before).items() if of[0] != of_mark}
    after = plan_days(few, Crew(first_day=MONDAY, held={of_mark: on}, stays=stays), grant=Grant(units=3))
    return before, after, on


def test_when_one_opening_is_moved_far_off_every_step_of_the_rest_stays_on_its_day():
    last = max(walls_of(three_days()[1]), key=walls_of(three_days()[1]).get)
    before, after, on = moved(last, 7)
    assert walls_of(after)[last] == on
    rest = {of: day for of, day in days_of(before).items() if of[0] != last}
    assert {of: day for of, day in days_of(after).items() if of[0] != last} == rest
    assert set(after.stayed) == {mark for mark, _ in rest}
    assert broken(after.project, after.plan.tasks) == []
    alone = plan_days(three_days()[0], Crew(first_day=MONDAY, held={last: on}), grant=Grant(units=3))
    assert days_of(alone) != days_of(after), "planned anew, the rest would move"


def test_what_cannot_stay_gives_way_and_no_more():
    """All are held to the first day of one of them but that one, which is told to stay: there is no room for all."""
    few, before = three_days()
    first = min(walls_of(before).values())
    others = [mark for mark, on in walls_of(before).items() if on != first]
    crew = Crew(first_day=MONDAY, held={others[0]: first}, stays={
        of: day for of, day in days_of(before).items() if of[0] != others[0]})  # fmt: skip
    after = plan_days(few, crew, grant=Grant(units=3))
    assert walls_of(after)[others[0]] == first
    assert broken(after.project, after.plan.tasks) == []
    for mark in others[1:]:
        assert walls_of(after)[mark] == walls_of(before)[mark], mark
    assert "keep their days" in quality_words(days_record(after, record().rules))


def test_days_before_the_first_one_cannot_stay_and_do_not_stop_the_plan():
    few, before = three_days()
    crew = Crew(first_day=MONDAY + timedelta(days=14), stays=days_of(before))
    after = plan_days(few, crew, grant=Grant(units=3))
    assert min(walls_of(after).values()) >= crew.first_day
    assert after.stayed == ()
