"""The command line as a fitter uses it: exit status, what is said, what is written."""

import csv
import io
import json
import re

import jsonschema
import openpyxl
import pytest
from typer.testing import CliRunner

from demo_house import without_failures
from jambwright import __version__
from jambwright.basis.tables import read_text
from jambwright.cli import app

DEMO = read_text("demo_house.yaml")


@pytest.fixture(scope="module")
def papers(tmp_path_factory):
    out = tmp_path_factory.mktemp("papers")
    result = CliRunner().invoke(app, ["demo", "--out", str(out)])
    assert result.exit_code == 0, result.output
    return out, result.stdout


def run(*words, given=None):
    return CliRunner().invoke(app, list(words), input=given)


def test_version_and_list_answer():
    assert run("--version").stdout == f"jambwright {__version__}\n"
    listed = run("calc", "--list").stdout
    for name in (
        "opening-outline",
        "frame-size",
        "fixing-layout",
        "sealant-and-foam",
        "glazing-blocks",
        "lifting",
    ):
        assert name in listed


def test_the_demo_prints_size_sill_fixings_lift_and_cautions_for_each_opening(papers):
    _, said = papers
    blocks = [block for block in said.split("\n\n") if "order " in block]
    assert len(blocks) == 11
    for block in blocks:
        assert "fixings" in block
        assert "heaviest lift" in block
        assert "Mind: " in block
    assert "sill" in blocks[0]


def test_the_plan_file_keeps_to_its_shipped_schema(papers):
    out, _ = papers
    plan = json.loads((out / "plan.json").read_text())
    jsonschema.validate(plan, json.loads(read_text("plan.schema.json")))
    assert len(plan["openings"]) == 11
    for opening in plan["openings"]:
        if opening["sill"]:
            assert opening["sill"]["length_mm"] == pytest.approx(opening["order_width_mm"] + 115, abs=25)


def test_workbook_and_csv_hold_the_same_order(papers):
    out, _ = papers
    rows = list(csv.reader(io.StringIO((out / "order.csv").read_text(encoding="utf-8-sig"))))
    sheet = openpyxl.load_workbook(out / "order.xlsx")["Order"]
    book = [
        ["" if cell is None else str(cell) for cell in row]
        for row in sheet.iter_rows(min_row=3, values_only=True)
    ]
    assert [[cell.removesuffix(".0") for cell in row] for row in rows[:-1]] == [
        [cell.removesuffix(".0") for cell in row] for row in book
    ]


def test_the_buying_list_adds_up_the_plan(papers):
    out, _ = papers
    plan = json.loads((out / "plan.json").read_text())
    rows = list(csv.DictReader(io.StringIO((out / "buying.csv").read_text(encoding="utf-8-sig"))))
    bought = sum(float(row["needed"]) for row in rows if row["item"] == "packer")
    assert bought == sum(len(p["packers_mm"]) for o in plan["openings"] for p in o["packers"])
    assert sum(int(row["packs"]) for row in rows if row["item"] == "frame") == 11


def test_the_demo_comes_with_an_estimate_and_its_prices(papers):
    out, said = papers
    assert {"estimate.pdf", "estimate.csv", "picking.pdf", "prices.yaml"} <= {p.name for p in out.iterdir()}
    assert "Estimate: £" in said


def test_a_broken_price_file_stops_before_anything_is_written(tmp_path):
    prices = tmp_path / "prices.yaml"
    prices.write_text(read_text("demo_prices.yaml").replace("margin_percent: 24", "margin_percnt: 24"))
    result = run("plan", "-", "--prices", str(prices), "--out", str(tmp_path / "papers"), given=DEMO)
    assert result.exit_code == 2
    assert "did you mean `margin_percent`?" in result.stderr
    assert not (tmp_path / "papers").exists()


def test_a_file_with_five_mistakes_reports_all_and_writes_nothing(tmp_path):
    bad = re.sub(r"centre: \d+, ", "", DEMO, count=1)
    bad = (
        bad.replace("reveal_depth_mm: 95", "reveel_depth_mm: 95")
        .replace("profile: plain_70", "profile: plian_70", 1)
        .replace("{left: 1", "{left: -1", 1)
        .replace("bottom: 608, ", "bottom: 60.8, ", 1)
    )
    result = run("plan", "-", "--out", str(tmp_path / "papers"), given=bad)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert len(result.stderr.splitlines()) >= 5
    for words in ("W4 back bedroom", "plian_70", "W1 kitchen", "W2 bathroom", "looks like centimetres"):
        assert words in result.stderr
    assert not (tmp_path / "papers").exists()


@pytest.mark.parametrize(
    ("words", "given", "status"),
    [
        (["check", "-"], without_failures(), 0),
        (["check", "-"], DEMO, 1),
        (["check", "-", "--date", "soon"], DEMO, 2),
        (["check", "nowhere.yaml"], None, 2),
        (["calc", "lifting", "--json"], "{mass_kg: -1}", 2),
        (["calc", "nothing"], "{}", 2),
        (["calc", "lifting"], "{mass_kg: 20, people: 2, zone: knuckle_elbow}", 0),
        (["form"], None, 2),
        (["form", "--yaml"], None, 0),
        (["form", "--prices"], None, 0),
        (["form", "--schema"], None, 0),
    ],
)
def test_exit_status_tells_what_happened(words, given, status):
    result = run(*words, given=given)
    assert result.exit_code == status, result.output
    if status == 2:
        assert result.stdout == ""
        assert result.stderr


def test_bad_input_is_told_as_json_on_request():
    result = run("calc", "lifting", "--json", given="{mass_kg: -1, peple: 2}")
    problems = json.loads(result.stderr)["problems"]
    assert {p["field"] for p in problems} >= {"mass_kg", "peple"}
    assert all(set(p) == {"field", "say", "kind"} for p in problems)


def test_json_and_yaml_give_the_same_answer():
    as_yaml = run(
        "calc",
        "glazing-blocks",
        "--json",
        given="{opening: fixed, glass_width_mm: 600, glass_height_mm: 900}",
    )
    as_json = run(
        "calc",
        "glazing-blocks",
        "--json",
        given='{"opening": "fixed", "glass_width_mm": 600, "glass_height_mm": 900}',
    )
    assert json.loads(as_yaml.stdout) == json.loads(as_json.stdout)


def test_working_comes_with_sources():
    result = run("calc", "lifting", "--working", given="{mass_kg: 34, people: 2, zone: knuckle_elbow}")
    assert "HSE L23" in result.stdout


def test_check_names_what_fails_and_what_to_order_instead():
    said = run("check", "-", given=DEMO).stdout
    assert "W3 front bedroom: Stops the order: Light A: clear width of an escape opening" in said
    assert "W3 front bedroom: proposal 1: light A: 35 mm wider" in said
    assert "jambwright apply FILE W3 1 --out NEW" in said


def test_a_missing_sill_height_leaves_check_with_1_and_never_passes():
    house = without_failures().replace('"sill_above_floor_mm": 860, ', "")
    result = run("check", "-", "--json", given=house)
    assert result.exit_code == 1
    (finding,) = json.loads(result.stdout)["findings"]
    assert finding["field"] == "openings.2.sill_above_floor_mm"
    assert "unknown: escape, guarding, safety glass" in finding["say"]


def test_the_day_of_the_work_can_be_given_on_the_command_line(tmp_path):
    undated = DEMO.replace("date_of_work: 2026-12-07", "date_of_work:")
    assert "Write the day of the work" in run("check", "-", given=undated).stdout
    assert "Write the day" not in run("check", "-", "--date", "2026-12-07", given=undated).stdout
    later = run("plan", "-", "--out", str(tmp_path), "--date", "2027-05-01", given=undated)
    assert later.exit_code == 0, later.output
    assert "2026 edition (in force from 2027-03-24)" in (tmp_path / "findings.csv").read_text()


def test_the_summary_tells_what_the_rules_find_against_the_order(papers):
    _, said = papers
    block = next(block for block in said.split("\n\n") if block.startswith("W3"))
    assert "fails: clear width of an escape opening: found 415.5 mm, limit 450 mm" in block
    assert "Order instead, proposal 1: light A: 35 mm wider at the cost of light B" in block
    assert "meets" not in block
