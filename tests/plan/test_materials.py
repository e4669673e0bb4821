"""What is bought for a house: packs, waste, what is left, the visit and the van."""

import csv
import functools
import io
from dataclasses import replace
from datetime import date

import pytest

from demo_house import buying, house, papers, record
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.paper.buying import buying_csv
from jambwright.plan.buying import plan_buying
from jambwright.plan.crew.days import plan_days
from jambwright.plan.crew.work import Crew
from jambwright.plan.materials import When, materials_of
from jambwright.plan.packs import pack_of
from jambwright.plan.quantities import Quantity, quantities
from jambwright.plan.side_joints import side_joints
from jambwright.plan.solving import Grant
from jambwright.plan.van_loads import payload_kg, van_loads

MATERIALS = buying().whole

HEAVY = [
    replace(
        p, frame=replace(p.frame, pieces=tuple(replace(x, mass_kg=3 * x.mass_kg) for x in p.frame.pieces))
    )
    for p in house().openings
]
"""Heavier than one van takes at a time."""


def of(item, materials=MATERIALS):
    return [material for material in materials if material.item == item]


def part(item, amount, size="", unit="piece", mark="W1"):
    return Quantity(item=item, size=size, amount=amount, unit=unit, opening_id=mark)


def listed(content):
    """What is to be bought, without the lines below it that say why some of it must wait."""
    rows = csv.DictReader(io.StringIO(content.decode("utf-8-sig")))
    return [row for row in rows if row["item"]]


def test_every_quantity_of_the_demo_house_is_bought():
    wanted = [q for plan in house().openings for q in quantities(plan)]
    assert {(q.item, q.size) for q in wanted} == {(m.item, m.size) for m in MATERIALS}
    for material in MATERIALS:
        mine = [q.amount for q in wanted if (q.item, q.size) == (material.item, material.size)]
        assert material.needed == pytest.approx(sum(mine))
        assert sum(material.by_opening.values()) == pytest.approx(material.needed)


def test_units_of_quantities_are_those_of_their_packs():
    for plan in house().openings:
        for quantity in quantities(plan):
            assert quantity.unit == pack_of(quantity.item, quantity.size).unit


def test_the_rules_of_what_is_used_up_count_only_what_is_known_and_packed():
    for row in table("used_up"):
        assert pack_of(row["item"]).unit == row["unit"]
    for row in table("trims"):
        assert pack_of(row["item"]).kerf_mm is not None


def test_screws_are_counted_by_kind_and_length():
    screws = of("frame screw")
    plans = house().openings
    placed = sum(
        len(side.positions_mm) for p in plans for side in p.fitting.fixings if side.held_by == "screw"
    )
    assert sum(m.needed for m in screws) == placed
    assert any("120 mm" in m.size for m in screws)
    stone = [m for m in screws if "W8" in m.by_opening]
    assert [m.size for m in stone] == ["kind and length to be chosen"]


def test_sealant_is_kept_apart_by_colour():
    assert {m.size for m in of("sealant")} == {"white", "dark"}
    dark = next(m for m in of("sealant") if m.size == "dark")
    assert list(dark.by_opening) == ["W7"]


def test_packs_are_rounded_up_over_the_house_not_an_opening_at_a_time():
    each = [part("sealant", 200, "white", "ml", f"W{n}") for n in range(10)]
    (bought,) = materials_of(each, {})
    assert bought.packs == 8  # 2200 ml with a tenth of waste; a cartridge an opening would be 10
    assert bought.left_over == pytest.approx(8 * 310 - 2200)


def test_a_whole_number_of_packs_takes_no_further_pack():
    (bought,) = materials_of([part("rubble sack", 0.1, "heavy") for _ in range(200)], {})
    assert bought.packs == 1
    assert bought.left_over == pytest.approx(0, abs=1e-9)


def test_a_size_with_a_pack_of_its_own_is_bought_in_it():
    ten, three = materials_of([part("packer", 150, "10 mm"), part("packer", 150, "3 mm")], {})[::-1]
    assert (ten.size, ten.packs, three.packs) == ("10 mm", 2, 1)


def test_an_item_without_a_pack_is_refused_with_what_there_is():
    with pytest.raises(BadInput, match="no row for item wedge"):
        materials_of([part("wedge", 1)], {})


def test_a_cutting_plan_says_how_many_lengths():
    key = ("inside trim", "30 mm flat, white")
    (bought,) = materials_of([part(*key[:1], 1200, key[1], "mm") for _ in range(4)], {key: 1})
    assert (bought.packs, bought.left_over) == (1, 5000 - 4 * 1200 - 4 * 4 - 10)


def _with_joints(plan, *, width_mm):
    """The plan with every joint sealed that wide."""
    fitting, frame = plan.fitting, plan.frame
    sealant = tuple(replace(joint, width_mm=width_mm) for joint in fitting.sealant)
    joints = side_joints(
        frame.size.gaps_mm, sealant, fitting.foam, frame_mm=(frame.width_mm, frame.height_mm)
    )
    return replace(plan, fitting=replace(fitting, sealant=sealant, joints=joints))


def test_wide_joints_get_a_cover_trim_narrow_ones_tape_and_gaping_ones_a_word():
    plan = house().openings[0]
    gaping, wide, narrow = (_with_joints(plan, width_mm=mm) for mm in (45.0, 16.0, 5.0))
    assert sum(q.item == "cover trim" for q in quantities(wide)) == 4
    assert not [q for q in quantities(plan) if q.item == "cover trim"]
    assert {joint.rod_mm for joint in gaping.fitting.joints} == {None}, "no rod is large enough"
    (rod,) = [q.size for q in quantities(gaping) if q.item == "backing rod"]
    assert rod == "none wide enough for 45 mm, close the joint first"
    tape = [q.amount for q in quantities(narrow) if q.item == "bond-breaker tape"]
    assert tape == [pytest.approx(sum(j.length_m for j in plan.fitting.sealant))]


@functools.cache
def days():
    found = plan_days(house(), Crew(first_day=date(2026, 12, 7)), grant=Grant(units=1))
    return found, plan_buying(house().openings, found.calls())


def test_buying_list_and_van_agree_with_the_days_of_the_crew():
    found, bought = days()
    fitted = {s.opening_id: s.on for s in found.stays if s.during(("fit",))}
    sealed = {s.opening_id: s.on for s in found.stays if s.during(("seal_outside",))}
    for material in bought.to_buy:
        for mark, when in material.wanted.items():
            if material.item in ("frame", "glass", "sill", "frame screw"):
                assert when.on == fitted[mark]
            if material.item in ("sealant", "backing rod"):
                assert when.on == sealed[mark]
        assert material.visit <= found.plan.visits
    rows = listed(buying_csv(record(), bought.to_buy))
    assert {row["visit"] for row in rows} == {str(n + 1) for n in range(found.plan.visits)}
    loads = van_loads(house().openings, bought.to_carry)
    for load in loads:
        assert load.when.on in {stay.on for stay in found.stays}
        carried = {
            m for pick in load.picks for m in pick.material.by_opening if pick.material.item == "frame"
        }
        assert all(fitted[mark] == load.when.on for mark in carried)
        assert all(set(pick.openings) <= set(load.openings) for pick in load.picks)
    for material in bought.to_carry:
        named = [mark for load in loads for p in load.picks if p.material is material for mark in p.openings]
        assert len(named) == len(set(named))
    assert [load.when for load in loads] == sorted(load.when for load in loads)
    for material in bought.to_carry:
        assert sum(p.packs for load in loads for p in load.picks if p.material is material) == material.packs


def test_a_seal_a_week_after_the_frame_is_a_second_visit():
    (sealant,) = materials_of(
        [part("sealant", 100, "white", "ml")], {}, {("W1", "seal_outside"): When(date(2026, 12, 14), 2)}
    )
    assert (sealant.visit, sealant.first.on) == (2, date(2026, 12, 14))


def test_the_works_and_the_tasks_of_the_crew_agree_on_what_is_done():
    for row in table("works"):
        task = table("crew_tasks").find(step=row["step"])
        assert row["done"] == ("ordered" if row["work"] == "order" else task["done"])


def marked(*done, mark="W1"):
    """The demo house's openings with marks on one of them."""
    return [
        replace(p, opening=p.opening.model_copy(update={"done": list(done)})) if p.opening.id == mark else p
        for p in house().openings
    ]


def items(materials, mark="W1"):
    return {material.item for material in materials if mark in material.by_opening}


@pytest.mark.parametrize("done", ["ordered", "cut", "fitted", "sealed", "finished"])
def test_the_price_counts_the_whole_house_whatever_is_done(done):
    assert plan_buying(marked(done)).whole == buying().whole


def test_what_is_done_is_not_bought_again():
    every = items(buying().to_buy)
    assert every == items(buying().to_carry) == items(buying().whole)
    ordered, cut = plan_buying(marked("ordered")), plan_buying(marked("cut"))
    assert every - items(ordered.to_buy) == {"frame", "glass"}
    assert items(ordered.to_carry) == every
    assert every - items(cut.to_buy) == {"sill", "inside trim"}
    assert "W1" not in {c.label for each in cut.cuts for bar in each.plan.bars for c in bar.cuts}
    fitted = items(plan_buying(marked("fitted")).to_buy)
    assert fitted == {
        "backing rod",
        "bond-breaker tape",
        "masking tape",
        "sealant",
        "inside trim",
        "inside sealant",
    }
    assert items(plan_buying(marked("sealed")).to_buy) == {"inside trim", "inside sealant"}
    assert items(plan_buying(marked("finished")).to_buy) == set()


def test_bars_already_cut_are_in_the_price_and_not_on_the_list():
    every = {m.name: m.packs for m in buying().whole if m.pack.kerf_mm is not None}
    all_cut = plan_buying(
        [replace(p, opening=p.opening.model_copy(update={"done": ["cut"]})) for p in house().openings]
    )
    assert {m.name: m.packs for m in all_cut.whole if m.pack.kerf_mm is not None} == every
    assert not [m for m in all_cut.to_buy if m.pack.kerf_mm is not None]
    assert all_cut.cuts == ()


def test_a_unit_that_comes_glazed_wants_no_blocks_bought():
    (blocks,) = [m for m in of("glazing block") if m.size == "5 mm"]
    assert not {"W2", "W5", "W6", "W9"} & set(blocks.by_opening)
    assert {"W1", "W3", "W7"} <= set(blocks.by_opening)


def test_the_buying_list_names_each_thing_once_with_packs_and_leftovers():
    rows = listed(buying_csv(record(), MATERIALS))
    assert len({(row["item"], row["size"]) for row in rows}) == len(rows) == len(MATERIALS)
    assert [row["visit"] for row in rows] == sorted(row["visit"] for row in rows)
    white = next(row for row in rows if (row["item"], row["size"]) == ("sealant", "white"))
    used = float(white["needed"]) * (1 + float(white["waste %"]) / 100)
    assert int(white["packs"]) * 310 - used == pytest.approx(float(white["left over"]), abs=0.11)


def test_van_loads_together_hold_the_buying_list_and_none_is_too_heavy():
    loads = van_loads(HEAVY, MATERIALS)
    assert len(loads) > 2
    assert all(load.units_kg <= payload_kg() or len(load.openings) == 1 for load in loads)
    picked = [(pick.material, pick.packs) for load in loads for pick in load.picks]
    for material in MATERIALS:
        assert sum(packs for m, packs in picked if m is material) == material.packs


def test_no_load_leaves_an_opening_short():
    loads = van_loads(HEAVY, MATERIALS)
    for material in MATERIALS:
        held, used = 0.0, 0.0
        for load in loads:
            held += sum(p.packs for p in load.picks if p.material is material) * material.pack.size
            used += sum(a for mark, a in material.by_opening.items() if mark in load.openings)
            assert held >= used - 1e-6


def test_the_picking_list_has_a_page_a_load():
    pdfium = pytest.importorskip("pypdfium2")
    pages = pdfium.PdfDocument(papers()["picking.pdf"])
    text = "".join(page.get_textpage().get_text_range() for page in pages)
    assert record().loads
    for load in record().loads:
        assert f"Van load {load.number}" in text
    assert "750 ml gun can" in text
