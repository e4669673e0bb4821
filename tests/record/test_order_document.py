"""The order on its own: every figure is the record's, and its file says the same as its table."""

import json
from collections import Counter

import jsonschema
import pytest

from demo_house import changed, record, recorded
from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import read_text
from jambwright.plan.order_check import order_check
from jambwright.plan.prices import read_prices
from jambwright.readings.survey_file import read_survey
from jambwright.record import HEADINGS, LIGHT, OF_LIGHTS, order_of, read_order, read_record, rows_of
from jambwright.record.order_rows import item_rows

MARKS = [each.id for each in record().openings]
PRICES = read_text("demo_prices.yaml")


def item(mark):
    return next(each for each in order_of(record()).items if each.opening == mark)


@pytest.mark.parametrize("mark", MARKS)
def test_every_figure_of_an_item_is_that_of_the_record(mark):
    plan, made = recorded(mark), item(mark)
    frame, order = plan.frame, plan.order
    assert (made.width_mm, made.height_mm) == (frame.width_mm, frame.height_mm)
    assert made.overall_height_mm == frame.size.overall_height_mm
    assert (made.kind, made.profile, made.colour) == (
        frame.chosen.kind,
        frame.chosen.profile.title,
        frame.chosen.colour,
    )
    assert made.mullions_mm == frame.layout.centre_lines_mm("mullion")
    assert made.transoms_mm == frame.layout.centre_lines_mm("transom")
    assert len(made.reinforcement) == sum(bar.reinforcement is not None for bar in plan.fitting.bars)
    assert (made.sill is None) == (frame.sill is None)
    if made.sill:
        assert (made.sill.length_mm, made.sill.depth_mm, made.sill.ends) == (
            frame.sill.length_mm,
            frame.sill.depth_mm,
            frame.sill.ends,
        )
    profile, low = frame.chosen.profile, plan.asked.threshold == "low"
    upright = profile.threshold_low_mm if low else profile.threshold_mm
    door = frame.chosen.kind == "door"
    assert (made.threshold, made.threshold_mm) == ((plan.asked.threshold, upright) if door else (None, None))
    assert made.u_w_m2k == round(plan.heat.unit.reference.u_w_m2k, 2)
    assert made.mass_kg == round(order.whole_kg.value, 1)
    for light, placed in zip(made.lights, frame.layout.lights, strict=True):
        wanted, glass = placed.wanted, plan.glass[light.mark]
        assert light.mark == placed.mark
        assert (light.glass_width_mm, light.glass_height_mm) == (
            placed.glass.width_mm,
            placed.glass.height_mm,
        )
        assert (light.make_up, light.obscure) == (glass.make_up, wanted.obscure)
        assert (light.vent_mm2 or 0, light.handle_height_mm, light.open_angle_deg) == (
            wanted.vent_mm2,
            wanted.handle_height_mm,
            wanted.open_angle_deg,
        )
        assert light.swing == (wanted.swing if placed.sash else None)


@pytest.mark.parametrize("mark", MARKS)
def test_check_figures_are_worked_out_again_from_the_sizes(mark):
    made = item(mark)
    assert made.perimeter_m == round(2 * (made.width_mm + made.height_mm) / 1000, 3)
    assert made.area_m2 == round(made.width_mm * made.height_mm / 1e6, 3)


def test_sums_are_those_of_the_printed_figures_and_count_every_glass_once():
    order = order_of(record())
    free = [each for each in order.items if each.state == "order"]
    assert 0 < len(free) < len(order.items)
    for check, items in ((order.listed, order.items), (order.to_make, free)):
        assert check.items == len(items)
        assert check.widths_mm == sum(each.width_mm for each in items)
        assert check.heights_mm == sum(each.height_mm for each in items)
        assert check.perimeter_m == pytest.approx(sum(each.perimeter_m for each in items), abs=1e-9)
        assert check.area_m2 == pytest.approx(sum(each.area_m2 for each in items), abs=1e-9)
        assert check.mass_kg == pytest.approx(sum(each.mass_kg for each in items), abs=1e-9)
        panes = Counter((light.make_up or "", light.obscure) for each in items for light in each.lights)
        assert {(g.make_up, g.obscure): g.count for g in check.glass} == panes


@pytest.mark.parametrize("typed", [(1179, 1007), (1007, 1759)], ids=["digits exchanged", "sides exchanged"])
def test_a_size_typed_wrong_moves_a_check_figure(typed):
    order = order_of(record())
    was, (width, height) = item("W1"), typed
    assert (was.width_mm, was.height_mm) == (1759, 1007)
    moved = (
        width - was.width_mm,
        height - was.height_mm,
        round(2e-3 * (width + height), 3) - was.perimeter_m,
        round(1e-6 * width * height, 3) - was.area_m2,
    )
    assert any(moved)
    assert order.listed.widths_mm + moved[0] != order.listed.widths_mm


def test_what_holds_an_item_stands_on_it_as_in_the_record():
    for each in order_of(record()).items:
        gate = recorded(each.opening).gates.ordering
        assert [(h.say, h.opens, h.house) for h in each.held] == [
            (r.say, r.opens, r.house) for r in gate.reasons
        ]
        assert each.state == ("hold" if gate.state == "shut" else "order")


def test_its_file_reads_back_the_same_and_is_as_its_schema_says():
    order = order_of(record())
    text = order.model_dump_json()
    assert read_order(text) == order
    jsonschema.validate(json.loads(text), json.loads(read_text("order.schema.json")))


def test_a_kept_plan_gives_the_same_order():
    assert order_of(read_record(record().model_dump_json())) == order_of(record())


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("{", "it can't be read as JSON"),
        ("[]", "it has no `jambwright_order`"),
        ('{"jambwright_order": 9}', "it is of version 9 and this program knows 1"),
        ('{"jambwright_order": 1, "plan_id": "x"}', "changed by hand or is damaged at made_with"),
    ],
)
def test_what_is_no_order_is_refused_in_words(text, told):
    with pytest.raises(BadInput, match=told):
        read_order(text)


def test_every_heading_is_filled_by_something_and_lights_have_their_own():
    rows = rows_of(order_of(record()))
    assert {heading for row in rows for heading in row} == set(HEADINGS)
    first, *others = item_rows(item("W1"))
    assert [[*row] for row in others] == [["opening", LIGHT, *OF_LIGHTS]] * 2
    assert first[LIGHT] == "A"


def head(order, usual):
    tree = json.loads(changed())
    tree["order"] = order
    tree["openings"] = tree["openings"][:1]
    prices = read_prices(PRICES + "order: " + json.dumps(usual))
    return order_of(job.decide(read_survey(json.dumps(tree)), job.Choices(prices=prices))).head


def test_the_head_says_what_was_given_else_the_firms_own_else_nothing():
    usual = {"purchaser": "Invented Fitting Firm", "deliver_to": "The yard"}
    found = head({"number": "A-7", "issue": 3, "wanted_on": "2026-12-01", "deliver_to": "The house"}, usual)
    assert found.model_dump(mode="json") == {
        "purchaser": "Invented Fitting Firm", "contact": None, "number": "A-7", "issue": 3, "wanted_on": "2026-12-01",
        "deliver_to": "The house", "access": None,
    }  # fmt: skip


def test_an_order_nested_without_end_is_refused_in_words():
    with pytest.raises(BadInput, match="can't be read as JSON"):
        read_order("[" * 200_000)


def test_check_figures_of_nothing_are_figures_as_a_kept_plan_gives_them_back():
    """A whole 0 was printed otherwise than the 0.0 of the kept plan."""
    none = order_check([])
    sums = (none.widths_mm, none.heights_mm, none.perimeter_m, none.area_m2, none.mass_kg)
    assert [repr(each) for each in sums] == ["0.0"] * 5
