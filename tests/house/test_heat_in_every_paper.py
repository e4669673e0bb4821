"""U, index and band of a unit are the same in the summary and the order as in the record."""

import csv
import io

import openpyxl
import pytest

from demo_house import MARKS, papers, record, recorded


def summary():
    return papers()["summary.txt"].decode()


@pytest.mark.parametrize("mark", MARKS)
def test_the_summary_has_a_line_of_heat_for_each_opening(mark):
    opening = recorded(mark)
    heat = opening.heat.unit
    block = next(block for block in summary().split("\n\n") if block.startswith(f"{opening.name}: "))
    assert f"U {heat.real.u_w_m2k:.2f} W/m2K ({heat.reference.u_w_m2k:.2f} at the reference size)" in block
    assert f"energy index {heat.index_kwh_m2:+.0f}, band {heat.band.band}" in block


def test_the_summary_has_a_line_for_the_house():
    heat = record().heat
    said = f"Whole house: U {heat.u_w_m2k:.2f} W/m2K, energy index {heat.index_kwh_m2:+.0f}, band {heat.band.band}"
    assert said in summary()


def test_the_house_is_the_mean_of_its_units_by_area():
    areas = [o.order.width.value * o.order.height.value for o in record().openings]
    units = [o.heat.unit.real.u_w_m2k for o in record().openings]
    assert record().heat.u_w_m2k == pytest.approx(
        sum(a * u for a, u in zip(areas, units, strict=True)) / sum(areas)
    )


def test_the_order_gives_u_index_and_band_at_the_reference_size():
    rows = list(csv.DictReader(io.StringIO(papers()["order.csv"].decode("utf-8-sig"))))
    first = {row["opening"]: row for row in reversed(rows)}
    for opening in record().openings:
        row, heat = first[opening.id], opening.heat.unit
        assert float(row["U at reference size W/m2K"]) == pytest.approx(heat.reference.u_w_m2k, abs=0.005)
        assert float(row["energy index kWh/m2 year"]) == pytest.approx(heat.index_kwh_m2, abs=0.05)
        assert row["band"] == heat.band.band
    sheet = openpyxl.load_workbook(io.BytesIO(papers()["order.xlsx"]))["Order"]
    assert [cell.value for cell in sheet[3]][-3:] == list(rows[0])[-3:]
