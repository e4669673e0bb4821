"""The price file, the build-up of an estimate, and what is said when prices are missing."""

import csv
import io
from datetime import date
from decimal import Decimal

import pypdfium2
import pytest
import yaml

from demo_house import SURVEY, buying, house, opening, record
from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import read_text, table
from jambwright.paper.estimate import estimate_csv, estimate_pdf
from jambwright.plan.hours import Standing, days_by_hours, pair_hours
from jambwright.plan.price import old_unit_kg, price_house
from jambwright.plan.prices import prices_from_tree, read_prices
from jambwright.readings import ReadingSet
from jambwright.readings.survey import Opening
from jambwright.readings.systems import shipped_systems

MATERIALS = buying().whole


def tree():
    return yaml.safe_load(read_text("demo_prices.yaml"))


def estimated(prices=None):
    return price_house(house(), MATERIALS, prices_from_tree(prices or tree()))


def refused(prices):
    with pytest.raises(BadInput) as bad:
        prices_from_tree(prices)
    return {problem.field: problem.say for problem in bad.value.problems}


def missing(prices):
    with pytest.raises(BadInput) as bad:
        estimated(prices)
    return {problem.field: problem.say for problem in bad.value.problems}


def test_the_demo_prices_are_marked_invented_and_price_the_demo_house():
    prices = read_prices(read_text("demo_prices.yaml"))
    assert "invented" in prices.firm
    assert "Invented" in prices.note
    estimate = estimated()
    assert len(estimate.openings) == 11
    assert estimate.valid_until == date(2026, 12, 7)


def test_the_demo_prices_name_only_what_is_bought_and_known_profiles():
    prices = read_prices(read_text("demo_prices.yaml"))
    assert {row.item for row in prices.materials} <= set(table("packs").column("item"))
    assert {row.profile for row in prices.frames} <= set(shipped_systems())


def test_a_small_opening_is_priced_as_by_hand():
    utility = next(part for part in estimated().openings if part.name == "W9 utility")
    frame = opening("W9").frame
    area = Decimal(repr(frame.outer.area_m2)).quantize(Decimal("0.001"))
    assert area == Decimal("0.676")  # 791 x 855
    by_hand = {
        "frame": Decimal("42.00"),
        "frame by its area": Decimal("53.07"),  # 0.676 x 78.50 = 53.066
        "opening light": Decimal("46.00"),
        "glass A, 4-16Ar-4 low-e": Decimal("4.33"),  # 0.114 x 38: 611 x 187
        "glass B, 4-16Ar-4 low-e": Decimal("11.10"),  # 0.292 x 38: 691 x 422
        "take out and fit": Decimal(
            "94.60"
        ),  # 2 x (1.75 h - 0.25 x 0.114 m2 that comes glazed) = 3.44 h x 27.50
        "old unit away": Decimal("2.22"),  # 11.7 kg: 0.012 t x 185
    }
    assert {line.what: line.amount for line in utility.lines} == by_hand
    assert utility.price == Decimal("333.32")  # 253.32 / 0.76


def test_a_colour_without_a_row_of_its_own_takes_the_row_for_every_colour():
    assert estimated().openings  # plain_door_70 has no colour in the demo prices
    prices = tree()
    prices["frames"] = [row for row in prices["frames"] if row.get("colour") != "dark"]
    assert missing(prices) == {
        "frames": "No price for frame Plain 70 mm PVC-U window, dark; add a row for it under Frames."
    }


def test_a_make_up_is_found_however_it_is_spelt():
    prices = tree()
    prices["glass"][0]["make_up"] = "4-16ar-4 Low-E 3"
    assert estimated(prices).total == estimated().total


def test_everything_missing_is_named_at_once_with_the_field_to_fill():
    prices = tree()
    prices["materials"] = [row for row in prices["materials"] if row["item"] != "backing rod"]
    prices["materials"][0]["per_pack"] = None
    prices["glass"].pop()
    prices["labour"]["per_hour"] = None
    del prices["travel_per_visit"]
    with pytest.raises(BadInput) as bad:
        estimated(prices)
    found = [p.say for p in bad.value.problems]
    fields = [p.field for p in bad.value.problems]
    assert fields.count("materials") == 4  # four sizes of rod
    assert {"materials.0.per_pack", "glass", "labour.per_hour", "travel_per_visit"} <= set(fields)
    assert any("backing rod 13 mm (50 m coil); add a row for it under Materials" in say for say in found)
    assert any("glass 4T-16Ar-6.4L low-e; add a row" in say for say in found)
    assert len(found) == len(set(found))


def test_nothing_is_a_price():
    prices = tree()
    prices["travel_per_visit"] = 0
    site = estimated(prices).whole_house[1]
    assert next(line for line in site.lines if line.kind == "travel").amount == 0


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"mark_up_percent": 10}, "input", "one of the two"),
        ({"margin_percent": None}, "input", "one of the two"),
        ({"margin_percent": 100}, "margin_percent", "less than 100"),
        ({"travel_per_visit": -1}, "travel_per_visit", "at least 0"),
        ({"travel_per_visit": 1.005}, "travel_per_visit", "too many places after the point"),
        ({"travel_per_vist": 1}, "travel_per_vist", "travel_per_visit"),
        ({"vat": {"percent": 20}}, "vat.treatment", "missing"),
        ({"glass": [{"make_up": "double", "per_m2": 1}]}, "glass.0.make_up", "Write it like"),
        ({"frames": [{"profile": "a"}, {"profile": "a"}]}, "input", "priced twice: a in frames"),
        ({"jambwright_prices": 2}, "jambwright_prices", "1"),
    ],
)
def test_a_broken_price_file_is_refused_by_field(change, field, words):
    said = refused(tree() | change)
    assert words in said[field]


def test_a_file_that_holds_no_prices_says_where_to_get_one():
    with pytest.raises(BadInput, match="form --prices"):
        read_prices("nothing")


@pytest.mark.parametrize(
    ("mark", "storey", "face", "pace", "hours"),
    [
        ("W9", 0, "brick", "usual", 1.75),
        ("W9", 0, "brick", "low", 1.0),
        ("W9", 1, "brick", "usual", 2.1),  # 1.75 x 1.2
        ("W9", 1, "render", "usual", 2.85),  # and 0.75 h
        ("W1", 0, "brick", "usual", 2.5),
        ("W7", 0, "tile", "high", 8.0),  # 7 h and 1 h
        ("D1", 0, "brick", "usual", 4.0),
    ],
)
def test_hours_go_by_kind_and_size_then_storey_and_wall(mark, storey, face, pace, hours):
    """Hours of a pair: the three-point figures of the table, with what common practice adds."""
    assert pair_hours(opening(mark).frame, Standing(storey=storey, face=face), pace) == pytest.approx(hours)


def test_an_old_steel_frame_takes_longer_and_a_unit_that_comes_glazed_less():
    """0.5 h for steel; 0.25 h a m2 of glass, half of the 0.50 person-hours a m2 of an open cost base for glazing."""
    frame = opening("W1").frame
    assert pair_hours(frame, Standing(old="steel")) == pytest.approx(3.0)
    assert pair_hours(frame, Standing(glazed_m2=1.2)) == pytest.approx(2.5 - 0.25 * 1.2)
    assert pair_hours(frame, Standing(glazed_m2=1.2), over_usual=2.0) == pytest.approx(2 * 2.2)


def test_travel_and_setting_up_are_charged_each_day():
    """Days as planned, else as the usual hours fill them: 1.0 h of a pair a day for setting up and clearing."""
    by_hours, planned = estimated(), price_house(house(), MATERIALS, prices_from_tree(tree()), days=5)
    for estimate, days in ((by_hours, days_by_hours(house())), (planned, 5)):
        lines = {line.what: line for line in estimate.whole_house[1].lines}
        assert lines["travel"].amount == days * Decimal("34.00")
        assert (lines["travel"].quantity, lines["travel"].unit) == (days, "day")
        assert lines["set up and clear, each day"].quantity == 2 * days


def test_the_old_units_mass_goes_by_what_stands_there():
    assert old_unit_kg(opening("W9")) == pytest.approx(17.5 * 0.791 * 0.855)


def test_a_wrong_size_costs_frame_and_glass_again_and_another_visit():
    estimate = estimated()
    by_name = {wrong.name: wrong for wrong in estimate.wrong_sizes}
    wrong = by_name["W9 utility"]
    assert wrong.remake == Decimal("156.50")
    assert wrong.visit == Decimal("128.60")  # 3.44 h x 27.50 and 34.00 travel
    assert wrong.cost == Decimal("285.10")


def test_openings_that_must_be_measured_again_are_named():
    """One width misread, one opening not read yet: neither price is settled."""
    survey = SURVEY.model_copy(update={"openings": SURVEY.openings[:3]})
    read = [opening.model_dump(mode="json", exclude_unset=True) for opening in survey.openings]
    read[0]["outside"]["width"]["bottom"] = 1677
    del read[1]["outside"]["width"]["top"]
    openings = [Opening.model_validate(each) for each in read]
    choices = job.Choices(prices=prices_from_tree(tree()))
    plan = job.decide(survey.model_copy(update={"openings": openings}), choices)
    assert plan.estimate.unsettled == ("W1 kitchen", "W3 front bedroom", "W2 bathroom")
    assert [part.name for part in plan.estimate.openings] == ["W1 kitchen", "W3 front bedroom"]
    said = "".join(
        page.get_textpage().get_text_range()
        for page in pypdfium2.PdfDocument(estimate_pdf(plan, plan.estimate))
    )
    assert "not all of its readings are taken yet: W2 bathroom." in " ".join(said.split())


def test_the_lines_on_paper_add_up_to_the_total():
    estimate = estimated()
    rows = list(csv.DictReader(io.StringIO(estimate_csv(estimate).decode("utf-8-sig"))))
    whole = {row["kind"]: Decimal(row["amount"]) for row in rows if row["part"] == "whole house"}
    kinds = {"frame", "glass", "labour", "access", "waste", "materials", "travel"}
    lines = sum(Decimal(row["amount"]) for row in rows if row["kind"] in kinds)
    assert lines == whole["cost"]
    prices = sum(
        Decimal(row["amount"]) for row in rows if row["kind"] == "price" and row["part"] != "whole house"
    )
    assert prices == whole["price"] == whole["cost"] + whole["margin"]
    assert whole["total"] == whole["price"] + whole["VAT"]


@pytest.mark.parametrize("per", ["total", "line"])
def test_the_owners_page_shows_prices_vat_options_and_exclusions_but_no_cost(per):
    prices = tree()
    prices["vat"]["per"] = per
    estimate = estimated(prices)
    pages = pypdfium2.PdfDocument(estimate_pdf(record(), estimate))
    text = "".join(page.get_textpage().get_text_range() for page in pages)
    for words in (
        f"£{estimate.total:,}",
        f"£{estimate.net:,}",
        "VAT 20 %",
        "7 December 2026",
        "Decorating",
        "Restrictors",
        "half up",
    ):
        assert words in text
    for part in estimate.parts:
        assert f"£{part.price:,}" in text
    assert f"{estimate.cost:,}" not in text
    assert "margin" not in text.lower()
    if per == "line":
        assert f"£{estimate.vat_on(estimate.openings[0].price):,}" in text


def test_a_house_of_which_nothing_is_read_yet_has_papers_without_an_estimate():
    blank = SURVEY.openings[0].model_copy(update={"outside": ReadingSet()})
    survey = SURVEY.model_copy(update={"openings": [blank]})
    record, files = job.plan_and_print(survey, job.Choices(prices=prices_from_tree(tree())))
    assert (record.estimate, record.price_missing, record.openings) == (None, (), ())
    assert "estimate.pdf" not in files
    assert "W1 kitchen: do not order yet. Not read yet:" in " ".join(files["summary.txt"].decode().split())
    assert "W1,,Do not order yet." in files["order.csv"].decode().replace('"', "")


def test_the_rest_of_the_plan_is_written_when_a_price_is_missing():
    prices = tree()
    prices["glass"].pop()
    one = SURVEY.model_copy(update={"openings": [o for o in SURVEY.openings if o.id == "W6"]})
    _, files = job.plan_and_print(one, job.Choices(prices=prices_from_tree(prices)))
    assert "estimate.pdf" not in files
    assert {"buying.csv", "picking.pdf", "fit-sheets.pdf"} <= set(files)
    said = files["summary.txt"].decode()
    assert "No estimate: 1 price is missing" in said
    assert "4T-16Ar-6.4L low-e" in said
