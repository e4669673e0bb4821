"""U of every unit and index and band of every window are the same on the summary, the order and the record.

A door goes by its U-value alone, and a house has no band: the bands of the window energy index are declared for
windows of one size (Approved Document L volume 1, 2021 edition; seen second hand).
"""

import csv
import io

import openpyxl
import pytest

from demo_house import MARKS, house, record, recorded
from jambwright.paper.order_book import order_csv, order_xlsx
from jambwright.paper.summary import summary

DOORS = [each.id for each in record().openings if each.frame.chosen.kind == "door"]


@pytest.mark.parametrize("mark", MARKS)
def test_the_summary_has_a_line_of_heat_for_each_opening(mark):
    one = recorded(mark)
    unit = one.heat.unit
    block = next(b for b in summary(record()).split("\n\n") if b.startswith(f"{one.id} {one.room}: "))
    assert f"U {unit.real.u_w_m2k:.2f} W/m2K" in block
    if mark in DOORS:
        assert "band" not in block
        assert "energy index" not in block
    else:
        assert f"energy index {unit.index_kwh_m2:+.0f}, band {unit.band.band}" in block


def test_the_house_has_a_mean_and_no_band():
    heat = record().heat
    (said,) = [line for line in summary(record()).splitlines() if line.startswith("Whole house")]
    index = f"energy index of the windows {heat.index_kwh_m2:+.0f}"
    assert said == f"Whole house: U {heat.u_w_m2k:.2f} W/m2K, {index}, weighted by area."
    assert not hasattr(heat, "band")


def test_the_house_is_the_mean_of_its_units_by_area_and_the_index_that_of_its_windows():
    units, windows = house().openings, [p for p in house().openings if p.opening.id not in DOORS]
    areas = [p.heat.area_m2 for p in units]
    mean_u = sum(p.heat.area_m2 * p.heat.unit.real.u_w_m2k for p in units) / sum(areas)
    assert record().heat.u_w_m2k == pytest.approx(mean_u)
    index = sum(p.heat.area_m2 * p.heat.unit.index_kwh_m2 for p in windows)
    assert record().heat.index_kwh_m2 == pytest.approx(index / sum(p.heat.area_m2 for p in windows))


def test_a_door_has_neither_index_nor_band():
    assert DOORS
    for mark in DOORS:
        unit = recorded(mark).heat.unit
        assert (unit.index_kwh_m2, unit.band) == (None, None)
        assert "index" not in recorded(mark).figures
        heat = next(found for found in recorded(mark).found if found.about == "heat")
        assert not [say for say in heat.say if "band" in say or "index" in say]


def test_the_order_gives_u_and_for_windows_index_and_band_at_the_reference_size():
    rows = list(csv.DictReader(io.StringIO(order_csv(record()).decode("utf-8-sig"))))
    first = {row["opening"]: row for row in reversed(rows)}
    for one in record().openings:
        row, unit = first[one.id], one.heat.unit
        assert float(row["U at reference size W/m2K"]) == pytest.approx(unit.reference.u_w_m2k, abs=0.005)
        if one.id in DOORS:
            assert (row["energy index kWh/m2 year"], row["band"]) == ("", "")
        else:
            assert float(row["energy index kWh/m2 year"]) == pytest.approx(unit.index_kwh_m2, abs=0.05)
            assert row["band"] == unit.band.band
    sheet = openpyxl.load_workbook(io.BytesIO(order_xlsx(record())))["Order"]
    headers = [[cell.value for cell in row] for row in sheet.iter_rows()]
    assert any(row[-3:] == list(rows[0])[-3:] for row in headers)
