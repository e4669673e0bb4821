"""Families of openings, sight lines with a neighbour, and readings of both faces."""

import csv
import io

import pytest

from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.checks.gates import stopped
from jambwright.checks.size_fits import ordered_verdict
from jambwright.plan.sizing import size_house
from jambwright.readings.survey_file import survey_from_tree


def sized(**changes):
    tree = parse_tree(read_text("demo_house.yaml"))
    tree["date_of_work"] = str(tree["date_of_work"])
    for opening in tree["openings"]:
        for mark, change in changes.items():
            if opening["id"] == mark:
                for name, value in change.items():
                    opening[name] = (
                        {**opening[name], **value} if isinstance(opening.get(name), dict) else value
                    )
    found, problems = size_house(survey_from_tree(tree))
    assert problems == []
    return {each.opening.id: each for each in found}


def test_a_family_that_loses_little_gets_one_size_and_is_told():
    twin = parse_tree(read_text("demo_house.yaml"))["openings"][2]["outside"]
    twin = {**twin, "width": {k: (v if isinstance(v, int) else v[0]) + 4 for k, v in twin["width"].items()}}
    twin = {**twin, "diagonal": {k: v + 3 for k, v in twin["diagonal"].items()}}
    found = sized(W4={"outside": twin})
    one, other = found["W3"].frame, found["W4"].frame
    assert (one.width_mm, one.height_mm) == (other.width_mm, other.height_mm)
    assert any("Made" in r.say and "to match W3, W4" in r.say for r in found["W4"].remarks)
    assert other.size.probability_fits > 0.99


def test_a_family_that_would_lose_too_much_keeps_its_own_sizes():
    found = sized()
    assert found["W3"].frame.width_mm != found["W4"].frame.width_mm
    assert "would lose" in found["W3"].remarks[0].say


def test_transoms_line_up_with_the_neighbour_where_asked():
    found = sized(W9={"wanted": {"line_up": "W6"}})
    drops = [
        f.height_mm - f.layout.centre_lines_mm("transom")[-1] for f in (found["W6"].frame, found["W9"].frame)
    ]
    assert drops[0] == pytest.approx(drops[1])


def test_lining_up_with_an_opening_without_a_transom_is_told():
    found = sized(W9={"wanted": {"line_up": "W5"}})
    assert "can't be lined up with W5" in found["W9"].remarks[-1].say


def test_plaster_smaller_than_the_brick_opening_is_told():
    inside = {
        "width": {"bottom": 860, "middle": 860, "top": 860},
        "height": {"left": 1010, "centre": 1010, "right": 1010},
        "diagonal": {"rising": 1327, "falling": 1327},
        "level": {"sill": 0},
    }
    said = " ".join(r.say for r in sized(W5={"inside": inside})["W5"].remarks)
    assert "plaster is smaller than the brick opening" in said


def test_no_face_inside_no_clash():
    assert sized()["W5"].remarks == ()


def test_a_rebated_reveal_without_inside_readings_is_held_and_says_what_to_measure():
    wall = {**parse_tree(read_text("demo_house.yaml"))["defaults"]["wall"], "reveal_rebate_mm": 25}
    straight, held = sized()["W5"], sized(W5={"wall": wall})["W5"]
    (said,) = held.read.held
    assert "must not be ordered to the hole seen from outside" in said
    for what in ("three widths", "both diagonals", "the nibs, from one line on the glass"):
        assert what in said
    assert straight.frame.width_mm + 30 < held.frame.width_mm < straight.frame.width_mm + 50
    assert held.frame.height_mm > straight.frame.height_mm


def read_wider(mark, mm):
    """The readings of an opening with all its widths read so much wider."""
    tree = parse_tree(read_text("demo_house.yaml"))
    outside = next(o for o in tree["openings"] if o["id"] == mark)["outside"]
    widths = {at: read if isinstance(read, list) else [read] for at, read in outside["width"].items()}
    return {**outside, "width": {at: [mm + each for each in read] for at, read in widths.items()}}


@pytest.mark.parametrize("wider", [0, -3, 5, -40])
def test_what_is_ordered_keeps_its_size_whatever_is_read_later(wider):
    ordered = {"done": ["ordered"], "ordered": {"width_mm": 1190, "height_mm": 1155}}
    found = sized(W3={**ordered, "outside": read_wider("W3", wider)})["W3"]
    assert (found.frame.width_mm, found.frame.height_mm) == (1190, 1155)
    verdicts = list(ordered_verdict(found.opening, found.frame.size))
    assert [v.word for v in verdicts] == (["fails"] if wider == -40 else [])
    assert all("1190 x 1155 goes in with every gap kept 0 times in 100" in v.why for v in verdicts)
    assert all(stopped(v, ()).stops == ("work",) for v in verdicts), "the old frame stays in"


def test_an_order_marked_without_its_size_is_asked_for_it():
    found = sized(W3={"done": ["ordered"]})["W3"]
    [verdict] = ordered_verdict(found.opening, found.frame.size)
    assert verdict.word == "unknown"
    assert "give the ordered width and height" in verdict.why
    assert stopped(verdict, ()).stops == ("work",)


def test_a_size_written_before_it_is_ordered_holds_nothing():
    free = sized()["W3"].frame
    found = sized(W3={"ordered": {"width_mm": 900, "height_mm": 900}})["W3"].frame
    assert (found.width_mm, found.height_mm) == (free.width_mm, free.height_mm)


def test_a_frame_ordered_too_large_is_on_every_paper_with_the_rest():
    tree = parse_tree(read_text("demo_house.yaml"))
    tree["openings"] = tree["openings"][2:4]
    tree["openings"][0] |= {"done": ["ordered"], "ordered": {"width_mm": 1300, "height_mm": 1155}}
    record, papers = job.plan_and_print(survey_from_tree(tree))
    front, back = record.openings
    assert front.gates.work.reasons[0].rule == "size.ordered"
    assert not [r for r in back.gates.work.reasons if r.rule == "size.ordered"]
    assert "The frame ordered at 1300 x 1155" in " ".join(papers["summary.txt"].decode().split())
    rows = list(csv.DictReader(io.StringIO(papers["order.csv"].decode("utf-8-sig"))))
    assert next(row["hold"] for row in rows if row["opening"] == "W3") == "ordered, do not order again"
    assert not any("ordered, do not" in row["hold"] for row in rows if row["opening"] == "W4")
