"""What fitted frames teach at the desk: shown to all, adopted by the office with one yes, used by the next plan."""

import pytest

import demo_house
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.frame.order_size import STATIONS
from jambwright.lessons import learn
from jambwright.lessons.made_up import made_up_houses
from jambwright.readings.correction import tool_error
from jambwright.readings.survey_file import survey_from_tree
from jambwright.store import add_house, audit_lines, chosen, keep_plan, now, read_house, replace_fitted
from jambwright.web.kept_lessons import kept_houses, with_adopted


@pytest.fixture
def filled(store):
    for tree, fitted in made_up_houses()[:10]:
        # gaps of one side less, so that no chance need be worked out here
        house = add_house(store, tree)
        for each in fitted.values():
            del each["gaps_mm"]["left"]["top"], each["gaps_mm"]["left"]["middle"]
        replace_fitted(store, house, fitted, who="Ada", at=now(), device="test")
    return store


@pytest.mark.usefixtures("filled")
def test_the_page_tells_tools_people_makers_and_surveys(client_for):
    text = client_for("fitter").get("/lessons").text
    assert "tape B reads" in text
    assert "Surveyor one (invented)" in text
    assert "came +" in text
    assert "readings scatter" in text
    assert "Adopt as the firm" not in text
    assert client_for("read_only").get("/lessons").status_code == 403


def test_the_page_of_no_houses_says_so(client_for):
    answer = client_for().get("/lessons")
    assert answer.status_code == 200
    assert "No reading stands beside the gaps" in answer.text


def test_one_yes_adopts_a_figure_and_plans_use_it(filled, client_for):
    office = client_for()
    assert "Adopt as the firm" in office.get("/lessons").text
    assert office.post("/api/tools/adopted", params={"tool": "tape B"}).status_code == 204
    kept = chosen(filled, "tools")["tape B"]
    assert kept["bias_mm"] == pytest.approx(-2, abs=0.6)
    assert kept["by"] == "Ada"
    assert kept["openings"] >= 10
    assert "Take back" in office.get("/lessons").text
    tree = made_up_houses()[1][0]
    error = next(
        error for tool in survey_from_tree(with_adopted(filled, tree)).tools if (error := tool_error(tool))
    )
    assert (error.tool, error.bias_mm, error.counts) == ("tape B", kept["bias_mm"], True)
    assert "tool figure adopted" in [line.action for line in audit_lines(filled)]
    assert office.delete("/api/tools/adopted", params={"tool": "tape B"}).status_code == 204
    assert not any(tool_error(tool) for tool in survey_from_tree(with_adopted(filled, tree)).tools)


def test_a_figure_adopted_or_taken_back_marks_plans_of_houses_with_that_tool_outdated(filled, client_for):
    with_tape, without = made_up_houses()[1][0], parse_tree(read_text("demo_house.yaml"))
    plan = demo_house.record().model_dump(mode="json")
    named = {
        tape: add_house(filled, tree | {"site": tree["site"] | {"label": f"{tape} (invented)"}})
        for tape, tree in (("tape B", with_tape), ("another", without))
    }
    changed = "What the firm keeps of its tools has changed since"
    office = client_for()

    def plan_again():
        for house in named.values():
            keep_plan(filled, read_house(filled, house), "Ada", plan, {})

    def told():
        return {tape: changed in office.get(f"/houses/{house}").text for tape, house in named.items()}

    plan_again()
    assert told() == {"tape B": False, "another": False}
    office.post("/api/tools/adopted", params={"tool": "tape B"})
    assert told() == {"tape B": True, "another": False}
    plan_again()
    assert told() == {"tape B": False, "another": False}
    office.delete("/api/tools/adopted", params={"tool": "tape B"})
    assert told() == {"tape B": True, "another": False}


def test_the_look_while_measuring_corrects_by_an_adopted_figure(filled, client_for):
    office = client_for()
    tree = made_up_houses()[1][0]
    given = {"outside": tree["openings"][0]["outside"], "tools": tree["tools"], "tape": "tape B"}

    def width():
        corners = office.post("/api/reading-check", json=given).json()["corners_mm"]
        return corners["bottom_right"][0] - corners["bottom_left"][0]

    before = width()
    office.post("/api/tools/adopted", params={"tool": "tape B"})
    short = -chosen(filled, "tools")["tape B"]["bias_mm"]
    # the diagonals are corrected by as little as the sides, so the adjusted width gives a little of it back
    assert width() - before == pytest.approx(short, rel=0.25)


@pytest.mark.usefixtures("filled")
def test_what_is_not_sure_or_not_there_is_refused_with_why(client_for):
    office = client_for()
    not_sure = office.post("/api/tools/adopted", params={"tool": "tape A"})
    assert not_sure.status_code == 422
    assert "not adopted" in not_sure.json()["problems"][0]["say"]
    unknown = office.post("/api/tools/adopted", params={"tool": "tape Z"}).json()
    assert "known are" in unknown["problems"][0]["say"]
    assert office.delete("/api/tools/adopted", params={"tool": "tape A"}).status_code == 422
    assert client_for("fitter").post("/api/tools/adopted", params={"tool": "tape B"}).status_code == 403


def test_a_frame_is_held_against_the_plan_it_was_fitted_by(store):
    first, later = demo_house.record(), demo_house.record().model_copy(update={"openings": ()})
    house = add_house(store, parse_tree(read_text("demo_house.yaml")))
    kept = [
        keep_plan(store, read_house(store, house), "Ada", plan.model_dump(mode="json"), {}).id
        for plan in (first, later)
    ]
    gaps = {side: dict.fromkeys(places, 6.0) for side, places in STATIONS.items()}
    fitted = {"W5": {"gaps_mm": gaps, "plan": kept[0]}, "W6": {"gaps_mm": gaps}}
    replace_fitted(store, house, fitted, who="Ada", at=now(), device="test")
    (found,), left = kept_houses(store)
    assert left == []
    assert [opening.id for opening in found.plans["W5"].openings] == [
        opening.id for opening in first.openings
    ]
    lessons = learn([found])
    assert lessons.frames == 1
    assert any("W6" in why and "not known" in why for why in lessons.left_out)
