"""One opening decided alone, as while it is drawn, is decided as it is in the plan of its house."""

import pytest

import demo_house
from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.one_opening import alternatives, broken_with, evened, look, own_glass, with_glass
from jambwright.readings.survey_file import survey_from_tree
from jambwright.record import Unread
from survey_trees import tree

SURVEY = survey_from_tree(parse_tree(read_text("demo_house.yaml")))
MARKS = [opening.id for opening in SURVEY.openings]


@pytest.mark.parametrize("mark", MARKS)
def test_an_opening_looked_at_alone_is_what_the_plan_of_the_house_has(mark):
    planned, alone = demo_house.recorded(mark), look(SURVEY, mark).record
    for part in ("order", "glass", "told", "checks", "rules", "frame", "remarks", "accepted"):
        assert getattr(alone, part) == getattr(planned, part), part


def test_proposals_by_opening_are_those_of_the_house_in_the_same_order():
    offered = job.proposals(SURVEY)
    for mark in ("W3", "W4", "W5"):
        found = alternatives(SURVEY, mark)
        assert [each for each, _ in found] == list(offered.get(mark, ()))
        for proposal, changed in found:
            word = {v.rule: v.word for v in look(changed, mark).record.verdicts}
            assert not {word.get(rule) for rule in proposal.mends} & {"fails", "worse"}


def test_an_opening_half_read_is_drawn_at_about_its_size_and_named_unread():
    half = {"id": "W9", "room": "Kitchen", "outside": {"width": {"bottom": 1500, "middle": 1510}},
            "wanted": {"layout": {"across": [{}, {"opens": "top_hung"}]}}}  # fmt: skip
    found = look(survey_from_tree(tree(openings=[half])), "W9")
    assert isinstance(found.record, Unread)
    assert "top width" in found.record.missing
    assert found.outer.width_mm == 1505
    assert [light.wanted.opens for light in found.layout.lights] == ["fixed", "top_hung"]


def test_what_can_not_be_made_is_said_of_its_opening():
    whole = survey_from_tree(
        tree(openings=[{**tree()["openings"][0], "wanted": {"layout": {"across": [{}, {"mm": 5000}]}}}])
    )
    with pytest.raises(BadInput, match="W1 Kitchen: layout: fixed parts 5000 mm"):
        look(whole, "W1")
    with pytest.raises(BadInput, match="no opening W7"):
        look(whole, "W7")


def test_shares_that_make_glass_alike_hold_in_the_frame_as_ordered():
    shares = evened(SURVEY, "W4", (), "glass")
    wanted = {"across": [{"share": shares[0]}, {"share": shares[1], "opens": "side_hung_right"}]}
    changed = SURVEY.model_dump(exclude_unset=True, mode="json")
    next(o for o in changed["openings"] if o["id"] == "W4")["wanted"]["layout"] = wanted
    one, other = look(survey_from_tree(changed), "W4").layout.lights
    assert one.daylight.width_mm == pytest.approx(other.daylight.width_mm, abs=0.05)


def test_another_glass_leaves_what_was_declared_of_the_old_one_and_glass_of_single_lights():
    asked = with_glass(SURVEY, "W2", "6-14Ar-4 low-e")
    gone = {change.place.rsplit("/", 1)[1] for change in asked.changes if change.value is None}
    assert gone == {"en12600_class", "glass_wind_pa"}
    assert [c.value for c in asked.changes if c.place.endswith("/wanted/glass")] == ["6-14Ar-4 low-e"]
    with pytest.raises(BadInput, match="can't be read"):
        with_glass(SURVEY, "W2", "rubbish")
    marks = {each.mark for each in look(SURVEY, "W7").layout.lights if each.wanted.glass}
    assert set(own_glass(SURVEY, "W7")) == marks


def test_glass_that_breaks_a_limit_is_told_beside_its_option():
    # D1 is a door: annealed glass in it is not safe (critical locations, BS 6262-4; from memory, high)
    assert set(broken_with(SURVEY, "D1", "4-16Ar-4 low-e")) > set(
        broken_with(SURVEY, "D1", "4T-16Ar-4T low-e")
    )
