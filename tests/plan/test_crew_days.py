"""The crew's days of a house: blocks, hard rules counted again, what fits in no day, what stays where it was."""

import functools
import re
from dataclasses import replace
from datetime import date, timedelta

import pytest

from day_recount import CLOSING, MIDNIGHT, OPENING, changes, days_used, hard_breaks, idle_cures
from demo_house import SURVEY, house
from jambwright import job
from jambwright.basis.problems import BadInput, Problem
from jambwright.basis.tables import read_text
from jambwright.plan.crew.days import plan_days
from jambwright.plan.crew.jobs import jobs_of
from jambwright.plan.crew.work import DAY, Crew, quiet_hours, rain_from_hours
from jambwright.plan.solving import Grant
from jambwright.readings.survey_file import read_survey, survey_from_tree
from made_up_houses import house_of_many, readings, settled_house

MONDAY = date(2026, 12, 7)
RAIN = {"2026-12-07T09": 1.2, "2026-12-07T10": 0.8, "2026-12-08T14": 0.0}
QUIET = {o.id: SURVEY.room(o.room).disturb for o in SURVEY.openings if ":" in SURVEY.room(o.room).disturb}


@functools.cache
def demo_days():
    rain = rain_from_hours(RAIN, MONDAY)
    return house(), plan_days(house(), Crew(first_day=MONDAY, rain=rain), grant=Grant(units=1))


@functools.cache
def many(count, seed=1):
    return job.plan_house(survey_from_tree(house_of_many(count, seed)))


def breaks(of, days, **more):
    quiet = {o.opening.id: of.survey.room(o.opening.room).disturb for o in of.openings}
    return hard_breaks(days.plan.tasks, quiet=quiet, outside_c=days.crew.outside_c, **more)


def terms(days):
    return {term.name: term for term in days.plan.terms}


def days_of(days):
    return {(step.opening, step.step): stay.on for stay in days.stays for step in stay.steps}


def walls_of(days):
    return {s.opening_id: s.on for s in days.stays if s.during(("fit",))}


def test_no_hard_rule_of_the_demo_house_is_broken_and_the_fewest_days_are_proven():
    of, days = demo_days()
    assert breaks(of, days, rain=days.crew.rain) == []
    assert days.left_out == ()
    assert {placed.opening for placed in days.plan.tasks} - {""} == {o.id for o in SURVEY.openings}
    counted = {"days": days_used(days.plan.tasks), "changes": changes(days.plan.tasks)}
    assert {name: terms(days)[name].value for name in counted} == counted
    assert all(term.bound <= term.value for term in days.plan.terms)
    assert terms(days)["days"].bound == days.plan.least_days == days.plan.days


@pytest.mark.parametrize(("count", "seed", "fitters"), [(6, 3, 2), (13, 5, 2), (9, 8, 3), (12, 2, 4)])
def test_no_hard_rule_of_made_up_houses_is_broken(count, seed, fitters):
    of = many(count, seed)
    days = plan_days(of, Crew(first_day=date(2026, 3, 2), fitters=fitters), grant=Grant(units=1))
    assert breaks(of, days) == []
    assert days.left_out == ()
    for mark in (o.opening.id for o in of.openings):
        own = [placed.step for placed in days.plan.tasks if placed.opening == mark]
        assert {"take_out", "foam", "seal_outside", "show"} <= set(own), mark


def test_a_big_house_breaks_no_rule_and_tells_how_far_it_may_be_from_the_fewest_days():
    of = many(40)
    days = plan_days(of, Crew(first_day=date(2026, 3, 2)), grant=Grant(units=1))
    assert breaks(of, days) == []
    assert days.plan.least_days <= days.plan.days <= 1.15 * days.plan.least_days
    assert not days.plan.proven_optimal


def test_the_recount_finds_what_is_broken():
    tasks = list(demo_days()[1].plan.tasks)

    def broken_by(change):
        return " ".join(hard_breaks([change(task) or task for task in tasks], quiet=QUIET))

    def moved(step, mark, minutes):
        return lambda t: (
            replace(t, start=t.start + minutes, end=t.end + minutes)
            if (t.step, t.opening) == (step, mark)
            else None
        )

    assert hard_breaks(tasks, quiet=QUIET) == []
    assert "not sealed outside on the day of its hole" in broken_by(moved("seal_outside", "W1", MIDNIGHT))
    foam = next(t for t in tasks if (t.step, t.opening) == ("foam", "D1"))
    early = next(t for t in tasks if (t.step, t.opening) == ("trim_foam", "D1")).start - foam.end - 30
    assert "foam cut after 30 min" in broken_by(moved("trim_foam", "D1", -early))
    assert "shown before all is done" in broken_by(moved("show", "D1", -30))
    assert "in two places" in broken_by(moved("glaze", "D1", 60))
    assert "broken off while it is open" in broken_by(moved("glaze", "D1", 60))
    assert "out of hours" in broken_by(moved("show", "W4", 120))
    assert "disturbed" in broken_by(moved("protect", "W4", -60))


def test_people_change_places_far_less_than_they_did():
    """With a task as the unit a fitter changed place 7.5 times a day in this house."""
    _, days = demo_days()
    people = {who for placed in days.plan.tasks for who in placed.who}
    assert changes(days.plan.tasks) / len(people) / days.plan.days <= 3.5


def test_cures_are_used_for_the_next_opening_or_lunch_and_not_waited_for():
    assert idle_cures(demo_days()[1].plan.tasks) == []
    days = plan_days(many(6, 3), Crew(first_day=date(2026, 3, 2)), grant=Grant(units=1))
    assert idle_cures(days.plan.tasks) == []


def double_door(first_day):
    """An invented house with an ordinary double door of timber, planned with its first day in winter or summer."""
    lights = {"opens": "pair_left", "swing": "out", "handle_height_mm": 1000, "open_angle_deg": 90}
    wanted = {"kind": "door", "profile": "plain_door_70", "glass": "4T-16Ar-4T low-e", "layout": lights}
    tree = settled_house(outside=readings(1600, 2100, 2, 1, 1, 1), wanted=wanted, id="D1")
    return job.plan_house(survey_from_tree(tree | {"date_of_work": first_day.isoformat()}))


@pytest.mark.parametrize(("on", "outside_c"), [(date(2026, 7, 6), 18), (date(2026, 12, 7), 5)])
def test_an_ordinary_double_door_fits_in_a_day_in_july_and_in_december(on, outside_c):
    days = plan_days(double_door(on), Crew(first_day=on, outside_c=outside_c))
    assert (days.left_out, days.plan.days) == ((), 1)
    assert hard_breaks(days.plan.tasks, outside_c=outside_c) == []


def test_wet_hours_keep_what_must_be_dry_away_and_cold_makes_foam_wait():
    of, days = demo_days()
    wet = days.crew.rain
    assert not any(
        placed.start < end and placed.end > start
        for placed in days.plan.tasks
        if placed.step in ("take_out", "prepare", "fit", "seal_outside")
        for start, end in wet
    )
    jobs = {c: jobs_of(of, Crew(first_day=MONDAY, outside_c=c))[0].cure for c in (25, 18, 8, 5, -2)}
    assert jobs == {25: 25, 18: 25, 8: 50, 5: 65, -2: 100}  # 25 min x 2^((18 - T) / 10), up to five minutes


# what fits in no day


def with_quiet(words, room="back bedroom"):
    rooms = [r.model_copy(update={"disturb": words}) if r.name == room else r for r in SURVEY.house.rooms]
    survey = SURVEY.model_copy(update={"house": SURVEY.house.model_copy(update={"rooms": rooms})})
    return replace(house(), survey=survey)


def test_an_opening_that_fits_in_no_day_is_told_by_how_much_and_what_helps_and_the_others_are_planned():
    of = with_quiet("asleep until 12:30")
    days = plan_days(of, Crew(first_day=MONDAY), grant=Grant(units=1))
    [told] = days.left_out
    assert (told.field, told.opening) == ("tasks.W4", "W4")
    assert "The room is not free from 0:00 to 12:30" in told.say
    assert "a weather cover on its joint overnight" in told.say
    assert {stay.opening_id for stay in days.stays} == {o.id for o in SURVEY.openings} - {"W4"}
    assert breaks(of, days) == []
    # what is said to help does
    more = int(re.search(r"a day (\d+) minutes longer", told.say)[1])
    longer = plan_days(of, Crew(first_day=MONDAY, longer_minutes=more), grant=Grant(units=1))
    assert longer.left_out == ()
    assert breaks(of, longer, longer=more) == []
    shorter = plan_days(of, Crew(first_day=MONDAY, longer_minutes=more - 5), grant=Grant(units=1))
    assert [p.opening for p in shorter.left_out] == ["W4"]
    covered = plan_days(of, Crew(first_day=MONDAY, covered=frozenset({"W4"})), grant=Grant(units=1))
    assert covered.left_out == ()
    assert breaks(of, covered) == []
    steps = days_of(covered)
    assert steps["W4", "cover_joint"] == steps["W4", "take_out"] < steps["W4", "seal_outside"]


def test_what_nothing_helps_is_said_so():
    days = plan_days(with_quiet("asleep until 16:00"), Crew(first_day=MONDAY), grant=Grant(units=1))
    [told] = days.left_out
    assert "Tried and fits" in told.say or "Tried and does not help" in told.say
    assert "one more fitter" in told.say.split("does not help")[1]


def test_what_wants_a_tower_that_is_not_there_is_told_and_the_others_are_planned():
    days = plan_days(house(), Crew(first_day=MONDAY, towers=0), grant=Grant(units=1))
    assert {p.opening for p in days.left_out} == {f"W{n}" for n in (2, 3, 4, 5, 6)}
    assert all("bring one" in p.say for p in days.left_out)
    assert {stay.opening_id for stay in days.stays} == {"W1", "W7", "W8", "W9", "D1", "D2"}


def test_a_joint_that_stands_unsealed_is_sealed_on_the_first_day():
    days = plan_days(marked("fitted", mark="W7"), Crew(first_day=MONDAY), grant=Grant(units=1))
    assert days_of(days)["W7", "seal_outside"] == MONDAY
    assert terms(days)["unsealed_nights"].value == 0


def test_one_fitter_opens_no_wall_but_closes_what_is_fitted():
    days = plan_days(marked("fitted"), Crew(first_day=MONDAY, fitters=1), grant=Grant(units=1))
    assert {p.opening for p in days.left_out} == {o.id for o in SURVEY.openings} - {"W1"}
    assert all("bring a second" in p.say for p in days.left_out)
    assert {placed.step for placed in days.plan.tasks if placed.opening} == set(CLOSING)
    assert breaks(marked("fitted"), days) == []


@pytest.mark.parametrize(
    ("held", "words"), [(date(2026, 12, 12), "no working day"), (date(2026, 12, 1), "before the first")]
)
def test_an_opening_held_to_a_day_nobody_works_is_told(held, words):
    days = plan_days(house(), Crew(first_day=MONDAY, held={"W9": held}), grant=Grant(units=1))
    [told] = days.left_out
    assert told.opening == "W9"
    assert words in told.say


def test_of_more_than_a_day_holds_the_rest_is_told_and_everything_else_planned():
    held = dict.fromkeys(("W1", "W3", "W7", "D1"), MONDAY)
    days = plan_days(house(), Crew(first_day=MONDAY, held=held), grant=Grant(units=1))
    assert {p.opening for p in days.left_out} < set(held)
    assert all("that day has no room for it" in p.say for p in days.left_out)
    assert len({p.opening for p in days.left_out}) == 2
    assert breaks(house(), days, held={"W1": 0}) == [] or "W1" in {p.opening for p in days.left_out}
    assert {stay.opening_id for stay in days.stays} == {o.id for o in SURVEY.openings} - {
        p.opening for p in days.left_out
    }


def test_a_box_sash_takes_several_days_and_is_boarded_every_night_until_it_is_sealed():
    """Two men 2 to 2.5 days with full making good, a UK cost page (second hand); upstairs a fifth more."""
    of = job.plan_house(read_survey(read_text("demo_sashes_and_doors.yaml")))
    days = plan_days(of, Crew(first_day=date(2026, 12, 14)), grant=Grant(units=1))
    assert days.left_out == ()
    assert breaks(of, days) == []
    own = [stay for stay in days.stays if stay.opening_id == "W1"]
    assert len(own) >= 3
    first = own[0].on
    assert [stay.on for stay in own][:3] == [first + timedelta(days=n) for n in range(3)]
    assert days_used(days.plan.tasks) == days.plan.days


# what is done and what is shut


def marked(*done, mark="W1"):
    """The demo house with marks on one opening."""
    return replace(
        house(),
        openings=tuple(
            replace(p, opening=p.opening.model_copy(update={"done": list(done)}))
            if p.opening.id == mark
            else p
            for p in house().openings
        ),
    )


@pytest.mark.parametrize(
    ("done", "left"),
    [
        (("ordered",), {"open": 8 - 1, "close": 6}),
        (("ordered", "cut"), {"open": 8 - 1, "close": 6}),
        (("fitted",), {"open": 0, "close": 6}),
        (("cut", "sealed"), {"open": 0, "close": 4}),
    ],
)
def test_what_is_marked_done_is_not_done_again(done, left):
    [own] = [j for j in jobs_of(marked(*done), Crew(first_day=MONDAY)) if j.mark == "W1"]
    assert len(own.opening.steps if own.opening else ()) == left["open"]
    assert len(own.closing.steps) == left["close"]
    [whole] = [j for j in jobs_of(marked(), Crew(first_day=MONDAY)) if j.mark == "W1"]
    minutes = {step.step: step.minutes for step in (*whole.opening.steps, *whole.closing.steps)}
    assert all(step.minutes == minutes[step.step] for step in own.closing.steps)


def test_a_finished_opening_has_no_work_and_a_finished_house_no_days():
    crew = Crew(first_day=MONDAY)
    assert not [j for j in jobs_of(marked("finished"), crew) if j.mark == "W1"]
    done = [o.model_copy(update={"done": ["finished"]}) for o in SURVEY.openings]
    over = replace(house(), openings=tuple(
        replace(p, opening=o) for p, o in zip(house().openings, done, strict=True)))  # fmt: skip
    with pytest.raises(BadInput, match="nothing left to fit"):
        plan_days(over, crew)


def test_a_finished_house_has_a_plan_without_days():
    first = SURVEY.openings[0].model_copy(update={"done": ["finished"]})
    plan = job.decide(SURVEY.model_copy(update={"openings": [first]}))
    assert (plan.days, plan.days_missing) == (None, ())
    assert plan.buying.to_buy == ()


def test_the_walls_of_shut_openings_get_no_day_and_are_told_each_with_why():
    shut = [Problem("gates.work", "W1 kitchen: not planned. No lintel.", "caution", opening="W1")]
    days = plan_days(house(), Crew(first_day=MONDAY), grant=Grant(units=1), shut=shut)
    assert days.left_out == tuple(shut)
    assert {stay.opening_id for stay in days.stays} == {o.id for o in SURVEY.openings} - {"W1"}


@pytest.mark.parametrize(("done", "told"), [((), True), (("ordered", "cut"), True), (("fitted",), False)])
def test_an_opening_whose_wall_is_done_is_not_told_as_left_out(done, told):
    shut = [Problem("gates.work", "W1 kitchen: not planned.", "caution", opening="W1")]
    days = plan_days(marked(*done), Crew(first_day=MONDAY), grant=Grant(units=1), shut=shut)
    assert bool(days.left_out) == told


def test_a_unit_that_comes_glazed_has_no_glass_put_in():
    """W2 and W5 are one sash, carried whole; W9 has a fixed light to drill behind; W1 goes in unglazed."""
    steps = {p.opening.id: [s.step for s in p.fitting.steps] for p in house().openings}
    jobs = {j.mark: [s.step for s in j.opening.steps] for j in jobs_of(house(), Crew(first_day=MONDAY))}
    for mark in ("W2", "W5"):
        assert not {"glaze", "reglaze", "unbead", "unglaze"} & set(steps[mark])
        assert "try_lights" in steps[mark]
        assert "glaze" not in jobs[mark]
        assert "adjust" in jobs[mark]
    for mark in ("W6", "W9"):
        order = [steps[mark].index(step) for step in ("place", "unbead", "fix", "reglaze", "foam")]
        assert order == sorted(order)
        assert "glaze" not in steps[mark]
        assert "glaze" in jobs[mark]
    assert {"unglaze", "glaze"} <= set(steps["W1"])


def test_the_tasks_are_in_the_order_of_the_fit_sheet():
    """What the crew's days call a task comes in the order in which the fit sheet has its steps."""
    same = {"protect": "protect", "take_out": "take_out", "clean": "prepare", "fix": "fit", "glaze": "glaze",
            "foam": "foam", "trim_foam": "trim_foam", "seal_outside": "seal_outside", "trim_inside": "seal_inside",
            "hand_over": "show"}  # fmt: skip
    sheet = [
        same[s.step]
        for s in next(p for p in house().openings if p.opening.id == "W1").fitting.steps
        if s.step in same
    ]
    _, days = demo_days()
    done = [p.step for p in days.plan.tasks if p.opening == "W1" and p.step in sheet]
    assert done == sheet
    assert set(OPENING) | set(CLOSING) >= set(done)


def test_weekends_are_not_worked_and_forecast_hours_become_minutes():
    crew = Crew(first_day=date(2026, 12, 10))
    assert crew.working_days(3) == [0, 1, 4]
    assert rain_from_hours({"2026-12-11T09": 0.5, "2026-12-11T10": 0.1}, date(2026, 12, 10)) == (
        (DAY + 540, DAY + 600),
    )
    assert quiet_hours("only bathroom of the house") is None


def test_pairs_stay_together_and_one_left_over_closes_behind_the_first():
    names = {n: Crew(first_day=MONDAY, fitters=n).teams for n in (1, 2, 3, 5)}
    assert names[1] == (("fitter 1",),)
    assert names[3] == (("fitter 1", "fitter 2", "fitter 3"),)
    assert names[5] == (("fitter 1", "fitter 2", "fitter 5"), ("fitter 3", "fitter 4"))


# what stays where it was


@functools.cache
def three_days():
    """A small house over several days."""
    few = replace(house(), openings=house().openings[:5])
    return few, plan_days(few, Crew(first_day=MONDAY))


def moved(of_mark, by_days):
    """The few openings with one put to another day, the rest told to stay."""
    few, before = three_days()
    on = walls_of(before)[of_mark] + timedelta(days=by_days)
    stays = {of: day for of, day in days_of(before).items() if of[0] != of_mark}
    after = plan_days(few, Crew(first_day=MONDAY, held={of_mark: on}, stays=stays))
    return before, after, on


def test_when_one_opening_is_moved_far_off_the_rest_stays_on_its_day():
    last = max(walls_of(three_days()[1]), key=walls_of(three_days()[1]).get)
    before, after, on = moved(last, 7)
    assert walls_of(after)[last] == on
    rest = {of: day for of, day in days_of(before).items() if of[0] != last}
    assert {of: day for of, day in days_of(after).items() if of[0] != last} == rest
    assert set(after.stayed) == {mark for mark, _ in rest}
    assert (terms(after)["moved"].value, terms(after)["moved"].bound) == (0, 0)
    assert breaks(three_days()[0], after) == []


def test_what_cannot_stay_gives_way_and_no_more():
    """One is held to the first day, which is full: as few as can be give way, proven, and nothing else moves."""
    few, before = three_days()
    first = min(walls_of(before).values())
    other = next(mark for mark, on in walls_of(before).items() if on != first)
    crew = Crew(first_day=MONDAY, held={other: first}, stays={
        of: day for of, day in days_of(before).items() if of[0] != other})  # fmt: skip
    after = plan_days(few, crew)
    assert walls_of(after)[other] == first
    assert breaks(few, after) == []
    gave_way = [m for m, on in walls_of(before).items() if m != other and walls_of(after)[m] != on]
    assert len(gave_way) == terms(after)["moved"].value == terms(after)["moved"].bound > 0


def test_days_before_the_first_one_cannot_stay_and_do_not_stop_the_plan():
    few, before = three_days()
    crew = Crew(first_day=MONDAY + timedelta(days=14), stays=days_of(before))
    after = plan_days(few, crew)
    assert min(walls_of(after).values()) >= crew.first_day
    assert after.stayed == ()
