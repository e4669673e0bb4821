"""The invented house of a box sash, a slab door, a slider of three panes and a stable door, in every paper."""

import csv
import functools
import io
import json

import pytest
from typer.testing import CliRunner

from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.cli import app
from jambwright.paper import printed
from jambwright.paper.delivery_words import frame_looks
from jambwright.plan.prices import read_prices
from jambwright.readings.survey_file import read_survey
from jambwright.record.order_document import order_of
from jambwright.web.frame_look import frame_looks as looks_of

HOUSE, PRICES = "demo_sashes_and_doors.yaml", "demo_prices.yaml"
MARKS = ("W1", "D1", "D2", "D3")


@functools.cache
def planned():
    return job.decide(read_survey(read_text(HOUSE)), job.Choices(prices=read_prices(read_text(PRICES))))


@functools.cache
def papers():
    return printed(planned())


def opening(mark):
    return next(each for each in planned().openings if each.id == mark)


def test_it_may_be_ordered_and_begun_as_it_stands():
    assert [each.id for each in planned().openings] == list(MARKS)
    assert {each.gates.ordering.state for each in planned().openings} == {"open"}
    assert {each.gates.work.state for each in planned().openings} == {"open"}
    assert planned().unread == ()


def test_every_sash_keeps_within_its_sheet_and_its_hinge_is_on_the_order():
    for each in planned().openings:
        rules = {v.rule: v.word for v in each.verdicts if v.rule.startswith("system.")}
        assert rules == {"system.limits": "advise"}, each.id  # an invented sheet proves nothing
    items = {item.opening: item for item in order_of(planned()).items}
    assert [light.hinge for light in items["W1"].lights] == ["cords and pulleys 25 kg"] * 2
    assert [light.hinge for light in items["D1"].lights] == ["three flag hinges", None]
    assert [light.hinge for light in items["D2"].lights] == [None, "rollers 80 kg", None]
    assert [light.hinge for light in items["D3"].lights] == ["two flag hinges"] * 2
    assert items["W1"].lights[0].horns == "run-through horns"
    assert [light.track for light in items["D2"].lights] == [1, 2, 1]


@pytest.mark.parametrize("mark", MARKS)
@pytest.mark.parametrize("paper", ["fit-sheets.pdf", "order.pdf", "delivery.pdf", "picking.pdf"])
def test_papers_are_there_for_it(mark, paper):
    assert papers()[paper].startswith(b"%PDF")
    assert papers()[f"drawings/{mark}-lights.svg"]
    assert papers()[f"drawings/{mark}-blocks.svg"]


def test_what_slides_has_its_planes_drawn():
    drawn = {name for name in papers() if "planes" in name}
    assert drawn == {"drawings/W1-planes-1.svg", "drawings/D2-planes-1.svg"}


def test_every_opening_has_its_days():
    days = planned().days
    assert days is not None
    told = json.dumps(days.model_dump(mode="json"), default=str)
    for mark in MARKS:
        assert f'"{mark}"' in told
    assert "fits in no day" not in papers()["summary.txt"].decode()


def test_a_row_of_the_price_file_prices_one_kind_of_sash():
    rows = list(csv.DictReader(io.StringIO(papers()["estimate.csv"].decode("utf-8-sig"))))
    frames = {
        (row["part"].split()[0], row["what"]): (row["quantity"], row["each"])
        for row in rows
        if row["kind"] == "frame"
    }
    assert frames["D1", "slab door"] == ("1", "540.00")
    assert frames["D2", "pane that slides"] == ("1", "190.00")
    assert frames["D3", "leaf of a stable door"] == ("2", "165.00")
    assert frames["W1", "opening light"] == ("2", "130.00")
    assert not [what for _, what in frames if what == "door leaf"]


def test_a_kind_without_a_row_goes_as_door_leaf_and_a_price_left_out_is_asked_for():
    text = read_text(PRICES)
    bare = "".join(line for line in text.splitlines(keepends=True) if "kind: stable_leaf" not in line)
    record = job.decide(read_survey(read_text(HOUSE)), job.Choices(prices=read_prices(bare)))
    rows = list(csv.DictReader(io.StringIO(printed(record)["estimate.csv"].decode("utf-8-sig"))))
    of_d3 = [row for row in rows if row["part"].startswith("D3") and row["kind"] == "frame"]
    d3 = {row["what"]: row["quantity"] for row in of_d3}
    # a stable door is one door with one more leaf
    assert (d3["door leaf"], d3["opening light"]) == ("1", "1")
    silent = text.replace("kind: slab, per_sash: 540.00", "kind: slab")
    record = job.decide(read_survey(read_text(HOUSE)), job.Choices(prices=read_prices(silent)))
    (lacking,) = record.price_missing
    assert lacking.say == "No price for slab of Slab door 44 mm in a 70 mm PVC-U frame; fill it in."


def test_a_slab_is_carried_in_one_piece_and_its_light_is_not_put_in_on_site():
    fitting = opening("D1").fitting
    carried = {each.name: each.lift.mass_kg for each in fitting.lifts.carried}
    pieces = [piece.mass_kg for piece in opening("D1").frame.pieces if piece.light == "A"]
    assert carried["door slab A, in one piece"] == pytest.approx(sum(pieces))
    assert set(carried) == {"door slab A, in one piece", "frame, unglazed", "glass B"}
    assert fitting.glass_in == ("B",)
    # as heavy as it is, it asks for a lifting aid and nothing of it comes off
    (slab,) = [each for each in fitting.lifts.carried if each.light == "A"]
    assert slab.people is None


def test_on_delivery_nobody_asks_whether_a_pane_that_slides_opens_in_or_out():
    asked = {mark: {look.path for look in frame_looks(opening(mark).delivery)} for mark in MARKS}
    assert {mark for mark in MARKS if "way" in asked[mark]} == {"D1", "D3"}


def test_the_desk_draws_each_of_them_before_it_is_planned():
    looks = looks_of(parse_tree(read_text(HOUSE)), None)
    assert set(looks) == set(MARKS)
    assert len(looks["D2"].panes) == 3
    assert looks["D3"].panes[1].filling == "panel"


def test_the_terminal_shows_it(tmp_path):
    done = CliRunner().invoke(app, ["demo", "--house", "sashes-and-doors", "--out", str(tmp_path / "papers")])
    assert done.exit_code == 0, done.output
    assert (tmp_path / "papers" / "house.yaml").read_text(encoding="utf-8") == read_text(HOUSE)
