"""What the thirty invented houses teach, in figures and in words, and what is made of it once adopted."""

from datetime import date

import pytest

import demo_house
from jambwright.basis.border import accept
from jambwright.frame.order_size import STATIONS
from jambwright.frame.sizing import size_alone
from jambwright.lessons import Kept, learn, learn_tools, learned, lesson_words, look_at_tools, tool_words
from jambwright.lessons.fitted import chances, compared, frames_in, makers
from jambwright.lessons.made_up import TAPES, made_up_houses
from jambwright.opening import SIDES
from jambwright.readings.correction import with_learned
from jambwright.readings.fitted import AsFitted
from jambwright.readings.survey_file import survey_from_tree


def kept(tree, fitted):
    return Kept(
        survey=survey_from_tree(tree), fitted={mark: accept(AsFitted, each) for mark, each in fitted.items()}
    )


@pytest.fixture(scope="module")
def houses():
    return [kept(*made) for made in made_up_houses()]


def test_thirty_invented_houses_are_the_same_every_time_and_say_that_they_are_invented(houses):
    assert len(houses) == 30
    assert made_up_houses() == made_up_houses()
    assert all("nvented" in house.survey.site.label for house in houses)


def test_fitted_frames_find_the_short_tape_and_leave_the_good_one(houses):
    lines = {line.tool: line for line in learn_tools(houses)}
    for tape, bias in TAPES.items():
        assert lines[tape].bias_mm == pytest.approx(bias, abs=0.4)
        assert lines[tape].openings >= 60
    assert lines["tape B"].adopt
    assert not lines["tape A"].adopt


def test_surveys_alone_find_the_difference_and_the_rougher_hand(houses):
    tools = look_at_tools([house.survey for house in houses])
    (both,) = [one for one in tools.differences if not one.house]
    way = 1 if both.tool == "tape B" else -1
    assert way * both.bias_mm == pytest.approx(-2, abs=0.5)
    hands = {one.name: one.found_mm for one in tools.by_person}
    assert hands["Surveyor three (invented)"] == max(hands.values())
    said = "\n".join(tool_words(tools))
    assert "tape B reads about 2.1 mm short by its check of 2026-11-02" in said
    assert "readings scatter 1.2 mm" in said
    assert "not 0.9" in said


def test_a_chance_without_a_plan_is_looked_at_in_the_light_of_the_whole_house(houses):
    house = houses[0]
    frame = frames_in(house.survey, house.fitted, {})[0][0]
    assert frame.planned is None
    alone = house.survey.model_copy(update={"openings": [frame.opening]})
    in_house, on_its_own = (
        size_alone(survey, frame.opening).frame.size.probability_fits for survey in (house.survey, alone)
    )
    assert frame.chance == in_house
    assert in_house != on_its_own


def test_the_true_width_is_frame_and_gaps_at_the_place_of_the_reading():
    tree, fitted = made_up_houses()[0]
    tree["openings"] = tree["openings"][:1]
    opening = tree["openings"][0]
    opening["ordered"] = {"width_mm": 1188.0, "height_mm": 1000.0}
    opening["outside"]["width"]["top"] = {"mm": 1199.0, "tool": "tape A", "who": "one"}
    gaps = fitted["W1"]["gaps_mm"]
    gaps["left"]["top"], gaps["right"]["top"] = 4.5, 7.0
    frames, left = frames_in(survey_from_tree(tree), {"W1": accept(AsFitted, fitted["W1"])}, {})
    assert left == []
    (top,) = [row for row in compared(frames) if row.reading_mm == 1199.0]
    assert (top.frame_mm, top.gaps_mm, top.true_mm, top.difference_mm) == (1188.0, (4.5, 7.0), 1199.5, -0.5)
    heights = {row.frame_mm for row in compared(frames)} - {1188.0}
    assert heights == {1000.0 + 30.0}  # on its frame sill


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"ordered": None}, "the size that was ordered is not known"),
        ({"nibs": {"left": 25}}, "behind nibs"),
    ],
)
def test_a_frame_that_cannot_be_used_is_named(change, said):
    tree, fitted = made_up_houses()[0]
    tree["openings"][0] |= change
    one = kept({**tree, "openings": tree["openings"][:1]}, {"W1": fitted["W1"]})
    lessons = learn([one])
    assert lessons.frames == 0
    assert any(said in line for line in lesson_words(lessons))


def test_a_frame_went_in_where_it_could_be_moved_to_keep_the_joint(houses):
    (frame, *_), _ = frames_in(houses[0].survey, houses[0].fitted, {})

    def left_with(**gaps):
        fields = {side: getattr(frame.fitted.gaps_mm, side).model_fields_set for side in SIDES}
        sides = {side: dict.fromkeys(places, 8.0) for side, places in fields.items()}
        sides["left"] |= gaps
        return accept(AsFitted, {"gaps_mm": sides})

    def went_in(fitted):
        return type(frame)(
            survey=frame.survey, opening=frame.opening, fitted=fitted, profile="", size_mm=frame.size_mm,
            bare_height_mm=1000.0, planned=0.99, least_mm=4.0,
        ).went_in  # fmt: skip

    assert went_in(left_with())
    assert went_in(left_with(middle=0.0))  # 4 mm to the right and it has 4 on both sides
    assert went_in(left_with(middle=0.0, top=0.0, bottom=0.0))
    tight = left_with(middle=0.0).model_dump()
    tight["gaps_mm"]["right"]["top"] = 7.5
    assert went_in(accept(AsFitted, tight)) is False
    assert went_in(accept(AsFitted, {"gaps_mm": {"left": {"top": 6}}})) is None


def test_chances_are_told_by_class_with_their_interval(houses):
    frames = [frame for house in houses[:4] for frame in frames_in(house.survey, house.fitted, {})[0]]
    found = chances(frames)
    assert sum(line.frames for line in found.lines) + found.uncounted == len(frames)
    assert all(line.interval[0] <= line.went_in / line.frames <= line.interval[1] for line in found.lines)
    assert 0 <= found.score.score < 0.25


def test_frames_as_made_are_compared_with_the_order(houses):
    frames = [frame for house in houses for frame in frames_in(house.survey, house.fitted, {})[0]]
    (line,) = makers(frames)
    assert line.frames == 2 * len(frames)
    assert line.bias_mm == pytest.approx(0.0, abs=0.35)
    assert line.sd_mm == pytest.approx((0.4**2 + 0.8**2 + 1 / 12) ** 0.5, rel=0.15)


def test_what_was_adopted_is_taken_by_tools_of_that_name_alone(houses):
    line = next(line for line in learn_tools(houses) if line.tool == "tape B")
    figure = learned(line, on=date(2026, 11, 30), by="Office").model_dump(mode="json")
    assert figure["openings"] == line.openings
    assert figure["on"] == "2026-11-30"
    own = {"bias_mm": 1.0, "error_mm": 0.1, "openings": 50, "on": "2026-01-01"}
    tree = {"tools": [{"name": "tape A"}, {"name": "tape B"}, {"name": "tape B", "learned": own}]}
    found = with_learned(tree, {"tape B": figure})["tools"]
    assert [tool.get("learned") for tool in found] == [None, figure, own]
    assert with_learned({"openings": []}, {"tape B": figure}) == {"openings": []}


def test_with_a_plan_size_and_chance_are_those_of_the_plan():
    record = demo_house.record()
    (planned,) = [opening for opening in record.openings if opening.id == "W5"]
    gaps = {side: dict.fromkeys(places, 6.0) for side, places in STATIONS.items()}
    frames, left = frames_in(demo_house.SURVEY, {"W5": accept(AsFitted, {"gaps_mm": gaps})}, {"W5": record})
    assert left == []
    (frame,) = frames
    assert frame.chance == planned.frame.size.probability_fits
    assert frame.size_mm == {"width": planned.order.width.value, "height": planned.order.overall_height.value}
    rows = compared(frames)
    assert {row.tool for row in rows} == {"tape A"}
    assert all(row.true_mm == row.frame_mm + 12 for row in rows)
