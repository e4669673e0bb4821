"""Packs and prices against figures the trade prints.

Yield of a 310 ml cartridge: L = V / (W · D), 10 x 6 mm gives 5.17 m, 10 x 10 gives 3.10, a fillet of 8 mm
9.69, of 10 mm 6.20 (arithmetic of the trade's yield table). Foam: 28 l a can in a gap is 56 m of 10 x 50 mm,
planned on site as 20 to 30 m (trade planning figures, from memory, medium).
Margin and mark-up pairs: any retail arithmetic textbook, from memory, high.
VAT fraction: UK VAT Notice 700, VAT at 20 % is one sixth of the price with it, from memory, high.
"""

from decimal import Decimal

import pytest

from jambwright.basis.tables import table
from jambwright.plan.materials import materials_of
from jambwright.plan.money import penny, price_by_margin, price_by_mark_up
from jambwright.plan.packs import pack_of
from jambwright.plan.quantities import Quantity


@pytest.mark.parametrize(
    ("area_mm2", "printed_m"), [(60, 5.17), (100, 3.10), (8 * 8 / 2, 9.69), (10 * 10 / 2, 6.20)]
)
def test_a_cartridge_lasts_for_the_printed_run(area_mm2, printed_m):
    assert pack_of("sealant").size / area_mm2 == pytest.approx(printed_m, abs=0.005)


@pytest.mark.parametrize(("runs", "cartridges"), [(1, 2), (10, 11), (20, 22)])
def test_ten_runs_of_one_cartridge_take_eleven_with_a_tenth_of_waste(runs, cartridges):
    joint = Quantity(item="sealant", size="white", amount=5.17 * 60 - 0.2, unit="ml", opening_id="W1")
    assert materials_of([joint] * runs, {})[0].packs == cartridges


@pytest.mark.parametrize(("metres", "cans"), [(20, 1), (25, 1), (31, 2), (50, 2), (56, 3)])
def test_foam_is_planned_at_20_to_30_m_a_can(metres, cans):
    gap = Quantity(item="foam", size="low expansion", amount=metres * 0.5, unit="l", opening_id="W1")
    assert materials_of([gap], {})[0].packs == cans


def test_the_inside_fillet_takes_what_the_yield_table_prints():
    row = next(row for row in table("used_up") if row["item"] == "inside sealant")
    assert pack_of("inside sealant").size / row["amount"] == pytest.approx(9.69, abs=0.005)


@pytest.mark.parametrize(
    ("margin", "mark_up"), [("20", "25"), ("25", "33.3333"), ("33.3333", "50"), ("50", "100"), ("60", "150")]
)
def test_margin_and_mark_up_pair_as_textbooks_print(margin, mark_up):
    cost = Decimal(300)
    by_margin, by_mark_up = price_by_margin(cost, Decimal(margin)), price_by_mark_up(cost, Decimal(mark_up))
    assert abs(by_margin - by_mark_up) <= Decimal("0.01")


@pytest.mark.parametrize("net", ["100.00", "8974.48", "0.10"])
def test_vat_at_20_per_cent_is_a_sixth_of_the_price_with_it(net):
    vat = penny(Decimal(net) * 20 / 100)
    assert abs(penny((Decimal(net) + vat) / 6) - vat) <= Decimal("0.01")


def test_hours_are_those_of_the_reference():
    hours = {row["words"]: (row["low"], row["typical"], row["high"]) for row in table("labour_hours")}
    assert hours["window up to 1 m2"] == (3, 4, 6)
    assert hours["door set"] == (5, 7, 12)
