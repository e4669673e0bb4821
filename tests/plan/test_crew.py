"""Tasks with waits and windows: hard limits kept, faults found by the recount, and what cannot be planned named."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jambwright.basis.problems import BadInput
from jambwright.plan.crew import After, Calendar, Placed, Project, Task, broken, plan_crew
from jambwright.plan.crew.day_by_day import plan_day_by_day
from jambwright.plan.crew.first_answer import first_answer
from jambwright.plan.crew.work import DAY
from jambwright.plan.solving import Grant

DAYS = Calendar(days=tuple((n * DAY + 480, n * DAY + 960) for n in range(3)))


def project(*tasks, fitters=2, calendar=DAYS):
    return Project(tasks=tasks, resources={"fitter": fitters}, calendar=calendar)


def task(name, minutes, *after, people=1, **more):
    return Task(id=name, minutes=minutes, needs={"fitter": people}, after=tuple(map(After, after)), **more)


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


def forty_jobs():
    """Forty jobs of four tasks, two of them in one day, for two people over three weeks."""
    tasks = [
        each
        for n in range(40)
        for each in (
            task(f"{n} cover", 15, room=f"r{n}"),
            task(f"{n} open", 60 + n, f"{n} cover", people=2, same_day=f"{n}", room=f"r{n}"),
            task(f"{n} shut", 30, f"{n} open", same_day=f"{n}", room=f"r{n}"),
            task(f"{n} clean", 10, f"{n} shut", room=f"r{n}"),
        )
    ]
    return project(*tasks, calendar=Calendar(days=tuple((n * DAY + 480, n * DAY + 960) for n in range(21))))


@pytest.mark.parametrize("units", [0, 0.5])
def test_no_room_is_covered_before_the_day_its_group_is_done_when_days_are_filled_one_by_one(units):
    work = forty_jobs()
    starts = plan_day_by_day(work, Grant(units=units))
    assert set(starts) == {each.id for each in work.tasks}
    for n in range(40):
        assert starts[f"{n} cover"] // DAY == starts[f"{n} open"] // DAY


def test_a_search_cut_short_ends_no_later_than_the_first_answer():
    work = forty_jobs()
    plan = plan_crew(work, Grant(units=0.2))
    assert broken(work, plan.tasks) == []
    first = first_answer(work)
    assert plan.days <= len({start // DAY for start in first.values()})
    assert not plan.proven_optimal
