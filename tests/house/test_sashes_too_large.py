"""Orders that break one limit of their sashes are stopped with the reason, and what is offered holds."""

import datetime
import json

import pytest

from demo_house import readings_tree
from jambwright import job
from jambwright.basis.tables import table
from jambwright.checks.sash_limits import head_for_vents_mm, head_wanted_mm
from jambwright.readings.proposal import apply_proposal
from jambwright.readings.survey_file import survey_from_tree

HEAVY = "6-12Ar-6-12Ar-6 low-e"


def tree(layout, mark="W3", **wanted):
    found = json.loads(json.dumps(readings_tree(), default=str))
    found["openings"] = [each for each in found["openings"] if each["id"] == mark]
    asked = found["openings"][0]["wanted"]
    asked.pop("declared", None)
    asked |= {"layout": layout, **wanted}
    return found


def decided(given):
    return job.decide(survey_from_tree(given)).openings[0]


def beside(light, mm):
    return {"across": [{"mm": mm, **light}, {"opens": "fixed"}]}


# the frame of W3 is 1196 x 1160 mm
BROKEN = [
    pytest.param(tree({"opens": "side_hung_left", "open_angle_deg": 90}, glass=HEAVY, profile="slim_alu_65"),
                 "sash.mass", "at most 55 kg", id="side hung of 57 kg"),
    pytest.param(tree({"opens": "top_hung"}, glass=HEAVY), "sash.mass", "at most 40 kg", id="top hung of 56 kg"),
    pytest.param(tree({"opens": "side_hung_left"}), "sash.width", "at most 700 mm", id="side hung too wide"),
    pytest.param(tree({"opens": "side_hung_left"}), "sash.ratio", "at most 1", id="wider than high"),
    pytest.param(tree(beside({"opens": "side_hung_left"}, 340)), "sash.width", "at least 300 mm", id="too narrow"),
    pytest.param(tree(beside({"opens": "tilt_turn_left", "swing": "in"}, 400)), "sash.width", "at least 380 mm",
                 id="tilt and turn too narrow"),
    pytest.param(tree({"down": [{"mm": 560, "opens": "tilt_turn_left", "swing": "in"}, {"opens": "fixed"}]}),
                 "sash.ratio", "at most 1.5", id="tilt and turn too broad"),
    pytest.param(tree({"opens": "tilt_turn_left", "swing": "out"}), "sash.swing", "opens inwards",
                 id="tilt and turn that opens out"),
    pytest.param(tree(beside({"opens": "fixed", "vent_mm2": 8000}, 386)), "sash.vent", "880 mm of straight head",
                 id="8000 mm² in a light 386 mm wide"),
    pytest.param(tree({"opens": "side_hung_left", "swing": "in"}, mark="D1"), "sash.width", "at most 900 mm",
                 id="door leaf too wide"),
    pytest.param(tree({"opens": "side_hung_left"}, profile="timber_68"), "sash.width", "at most 600 mm",
                 id="timber too wide"),
]  # fmt: skip


@pytest.mark.parametrize(("given", "rule", "words"), BROKEN)
def test_a_broken_limit_stops_the_order_with_its_reason(given, rule, words):
    plan = decided(given)
    (found,) = [v for v in plan.verdicts if v.rule == rule]
    assert (found.word, found.stops) == ("fails", ("ordering",))
    assert words in found.why
    assert found.part.mark == "A"
    assert any(reason.rule == rule for reason in plan.gates.ordering.reasons)


@pytest.mark.parametrize(
    ("layout", "more", "rule"),
    [
        ({"opens": "side_hung_left", "open_angle_deg": 90}, {}, "sash.width"),
        ({"opens": "top_hung", "open_angle_deg": 40}, {"glass": HEAVY}, "sash.mass"),
        ({"opens": "tilt_turn_left", "swing": "out"}, {}, "sash.swing"),
        ({"across": [{"opens": "fixed", "vent_mm2": 5000}, {"opens": "tilt_turn_right", "swing": "in"}]}, {},
         "sash.vent"),
    ],
)  # fmt: skip
def test_what_is_offered_passes_when_planned_again(layout, more, rule):
    given = tree(layout, **more)
    offered = [each for each in decided(given).proposed if rule in each.mends]
    assert offered
    for each in offered:
        done = apply_proposal(given, "W3", each, on=datetime.date(2026, 5, 1), by=None)
        after = [v for v in decided(done).verdicts if v.rule.startswith("sash.")]
        assert {v.word for v in after} == {"advise"}


def test_a_system_without_limits_says_what_is_not_checked():
    plan = decided(tree({"opens": "tilt_turn_left", "swing": "in"}, profile="slim_alu_65"))
    (said,) = [v for v in plan.verdicts if v.rule == "sash.limits"]
    assert said.word == "advise"
    assert "holds no limits of a tilt and turn" in said.why


def test_a_system_with_gaps_names_them():
    plan = decided(tree({"opens": "side_hung_left"}, profile="slim_alu_65"))
    (said,) = [v for v in plan.verdicts if v.rule == "sash.limits"]
    assert "Of its width and height nothing is held" in said.why


def test_kept_limits_from_memory_prove_nothing():
    plan = decided(tree(beside({"opens": "side_hung_left"}, 600)))
    (said,) = [v for v in plan.verdicts if v.rule == "sash.limits"]
    assert (said.word, said.stops) == ("advise", ())


@pytest.mark.parametrize(("vent", "head"), [(2500, 390), (4000, 500), (8000, 880), (0.1, 390)])
def test_head_that_ventilators_take(vent, head):
    # from memory, low: 270 mm for 2500 mm², 380 mm for 4000 and 5000 mm², 60 mm clear at each end
    assert head_wanted_mm(vent) == head
    assert head_for_vents_mm(vents=2, length_mm=380) == 880


def test_every_limit_is_of_a_profile_there_is_and_a_measure_that_is_judged():
    names = set(table("profiles").column("profile"))
    for row in table("sash_limits"):
        assert row["profile"] in names
        assert row["limit"].partition("_")[0] in ("least", "most")
