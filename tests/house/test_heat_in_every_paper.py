"""U, index and band of a unit are the same in the summary, the order and the plan file."""

import csv
import io

import openpyxl
import pytest
from jambwright.paper.plan_file import plan_file

from demo_house import MARKS, house
from jambwright.paper.order_book import order_csv, order_xlsx
from jambwright.paper.summary import summary


@pytest.fixture(scope="module")
def plan():
    return plan_file(house(), None)


@pytest.mark.parametrize("mark", MARKS)
def test_the_summary_has_a_line_of_heat_for_each_opening(plan, mark):
    line = next(line for line in plan.openings if line.id == mark)
    block = next(
        block for block in summary(house()).split("\n\n") if f"{line.id} {line.room}\n" in f"{block}\n"
    )
    assert f"U {line.heat.u_w_m2k:.2f} W/m2K" in block
    assert f"energy index {line.heat.index_kwh_m2:+.0f}, band {line.heat.band}" in block


def test_the_summary_has_a_line_for_the_house(plan):
    heat = plan.heat
    said = f"Whole house: U {heat.u_w_m2k:.2f} W/m2K, energy index {heat.index_kwh_m2:+.0f}, band {heat.band}"
    assert said in summary(house())


def test_the_house_is_the_mean_of_its_units_by_area(plan):
    areas = [line.order_width_mm * line.order_height_mm for line in plan.openings]
    by_hand = sum(a * line.heat.u_w_m2k for a, line in zip(areas, plan.openings, strict=True)) / sum(areas)
    assert plan.heat.u_w_m2k == pytest.approx(by_hand)


def test_the_order_gives_u_index_and_band_at_the_reference_size(plan):
    rows = list(csv.DictReader(io.StringIO(order_csv(house()).decode("utf-8-sig"))))
    first = {row["opening"]: row for row in reversed(rows)}
    for line in plan.openings:
        row = first[line.id]
        assert float(row["U at reference size W/m2K"]) == pytest.approx(
            line.heat.reference_u_w_m2k, abs=0.005
        )
        assert float(row["energy index kWh/m2 year"]) == pytest.approx(line.heat.index_kwh_m2, abs=0.05)
        assert row["band"] == line.heat.band
    sheet = openpyxl.load_workbook(io.BytesIO(order_xlsx(house())))["Order"]
    assert [cell.value for cell in sheet[3]][-3:] == list(rows[0])[-3:]
