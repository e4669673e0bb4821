"""The small steps between stages and record, each by itself: what is dropped in one of them no paper can show."""

import json
from dataclasses import dataclass

import numpy as np
import pytest

from demo_house import SURVEY, readings_tree, record, recorded
from jambwright import job
from jambwright.basis.problems import BadInput, Problem
from jambwright.basis.working import Working
from jambwright.plan.sizing import for_each
from jambwright.readings.survey_file import read_survey, survey_from_tree
from jambwright.record import record_of_tree
from jambwright.record.make import unread_record
from jambwright.record.make_house import ID_LETTERS, with_id
from jambwright.record.plain import plain


def test_the_mark_of_a_plan_is_that_of_all_else_it_holds():
    made = record()
    assert len(made.plan_id) == ID_LETTERS
    assert with_id(made).plan_id == made.plan_id, "the mark it has does not count"
    assert with_id(made.model_copy(update={"plan_id": "other"})).plan_id == made.plan_id
    assert with_id(made.model_copy(update={"remarks": ()})).plan_id != made.plan_id or not made.remarks
    assert with_id(made.model_copy(update={"whole": not made.whole})).plan_id != made.plan_id


def test_an_opening_that_is_not_read_names_what_lacks_and_where_it_is_given():
    told = unread_record(SURVEY, SURVEY.openings[2], ["the top width", "the left height"], ())
    assert (told.id, told.room, told.missing) == ("W3", "front bedroom", ("the top width", "the left height"))
    for gate in (told.gates.ordering, told.gates.work):
        [reason] = gate.reasons
        assert "Not read yet: the top width, the left height." in reason.say
        assert all(place.startswith("/openings/W3") for place in reason.places)


def test_what_the_house_was_told_goes_with_the_plan():
    tree = readings_tree()
    assert job.check(read_survey(json.dumps(tree, default=str))).remarks == record().remarks
    tree["house"]["storeys"] = 6
    tree["openings"] = tree["openings"][:1]
    remarks = job.check(survey_from_tree(tree)).remarks
    assert any("6 storeys is much" in remark.say for remark in remarks)


def test_what_is_bad_of_several_openings_is_told_of_each_with_its_place():
    def refuse(opening):
        if opening.id in ("W2", "W4"):
            raise BadInput((Problem("wanted.glass", "no such glass"), Problem("nibs", "too large")))
        return opening.id

    done, problems = for_each(SURVEY, refuse)
    assert done == [each.id for each in SURVEY.openings if each.id not in ("W2", "W4")]
    assert [(p.opening, p.field) for p in problems] == [
        ("W2", "openings.1.wanted.glass"),
        ("W2", "openings.1.nibs"),
        ("W4", "openings.3.wanted.glass"),
        ("W4", "openings.3.nibs"),
    ]
    assert all(problem.say.startswith(("W2 bathroom", "W4 back bedroom")) for problem in problems)


def test_working_days_are_days_and_the_last_day_a_wall_is_open_counts_first():
    days = record().days
    assert len(days.working_days) > 3
    assert days.working_days[0] == days.first_day
    assert all(
        later > earlier for earlier, later in zip(days.working_days, days.working_days[1:], strict=False)
    )
    assert {type(day) for day in days.working_days} == {type(days.first_day)}
    for opening_id, on in days.open_on.items():
        own = [stay for stay in days.stays if stay.opening_id == opening_id]
        opened = [stay.on for stay in own if any(step.step == "take_out" for step in stay.steps)]
        assert on == min(opened or [stay.on for stay in own])


@dataclass(frozen=True)
class Pair:
    one: object
    other: object


def test_values_of_arrays_become_plain_however_deep_and_plain_ones_stay_as_they_are():
    kept = Pair("text", 2.5)
    assert plain(kept) is kept
    assert plain((kept, None)) == (kept, None)
    made = plain(Pair(np.float64(1.5), {"a": [np.int64(2), np.array([1, 2])]}))
    assert (type(made.one), made) == (float, Pair(1.5, {"a": [2, [1, 2]]}))
    assert plain(Pair) is Pair, "a class is no value of it"
    work = Working()
    work.note(
        "F",
        "g · b · h",
        np.float64(2.5),
        "N",
        "by hand",
        g=np.float64(9.81),
        side=frozenset({"left"}),
        kind=Pair,
    )
    [step] = plain(work)
    assert (step.value, type(step.value)) == (2.5, float)
    assert step.inputs == {"g": 9.81, "side": ["left"], "kind": str(Pair)}


def test_a_plan_changed_by_hand_is_told_with_the_place():
    tree = json.loads(record().model_dump_json())
    tree["openings"][0]["room"] = {"name": 1}
    with pytest.raises(BadInput, match=r"damaged at openings\.0\.room"):
        record_of_tree(tree)
    with pytest.raises(BadInput, match=r"or is damaged\. Make it again"):
        record_of_tree({"jambwright_plan": 1})


def test_findings_of_the_house_stand_under_no_mark():
    found = job.verdicts_by_opening(SURVEY)
    assert set(found) == {"", *(each.id for each in SURVEY.openings)}
    assert {v.rule for v in found[""]} == {v.rule for v in record().rules}
    assert {v.rule for v in found["W3"]} >= {v.rule for v in recorded("W3").rules}
