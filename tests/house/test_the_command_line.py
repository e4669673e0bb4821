"""The command line as a fitter uses it: exit status, what is said, what is written."""

import csv
import io
import json
import re

import jsonschema
import openpyxl
import pytest
from typer.testing import CliRunner

from demo_house import changed, without_failures
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


NOT_TO_ORDER = ("W3", "W4", "W8", "D2")


def nothing_shut():
    """The demo house passing every rule, its hazards settled and its study pull-tested."""
    tree = json.loads(without_failures())
    by = {"by": "A. Surveyor (invented)", "on": "2026-11-02"}
    tree["cleared"] = [{"what": what} | by for what in ("asbestos", "lead")]
    for opening in tree["openings"]:
        if opening["id"] == "W8":
            opening["cleared"] = [{"what": "fixings"} | by]
    return json.dumps(tree, default=str)


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
    blocks = [block for block in said.split("\n\n") if "heaviest lift" in block]
    assert len(blocks) == 11
    for block in blocks:
        name, _, state = block.splitlines()[0].partition(": ")
        mark = name.split()[0]
        wanted = "do not order yet" if mark in NOT_TO_ORDER else "order"
        assert state == wanted + ("; do not start yet" if mark == "W8" else "")
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
        order = opening["order"]
        if order["sill_length"]:
            assert order["sill_length"]["value"] == pytest.approx(order["width"]["value"] + 115, abs=25)


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
    assert bought == sum(len(p["packers_mm"]) for o in plan["openings"] for p in o["fitting"]["packers"])
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
    bad = re.sub(r"centre: \d+, ", "centre: 10OO, ", DEMO, count=1)
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
        (["check", "-"], nothing_shut(), 0),
        (["check", "-"], without_failures(), 1),
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


def one_window(house):
    """Its utility window alone."""
    tree = json.loads(house)
    tree["openings"] = [opening for opening in tree["openings"] if opening["id"] == "W9"]
    return json.dumps(tree)


def test_plan_leaves_with_0_once_every_gate_is_open_and_with_1_while_one_is_shut(tmp_path):
    open_ = one_window(nothing_shut())
    shut = json.dumps(json.loads(open_) | {"cleared": []})
    for house, status, first in (
        (open_, 0, "Nothing stops the order or the work."),
        (shut, 1, "! The house: do not"),
    ):
        result = run("plan", "-", "--out", str(tmp_path / str(status)), given=house)
        assert result.exit_code == status, result.output
        assert (tmp_path / str(status) / "order.csv").exists(), "papers are made all the same, and say it"
        assert result.stdout.split("\n\n")[1].startswith(first)


def test_a_kept_plan_is_printed_again_as_issued(papers, tmp_path):
    out, _ = papers
    told = run("papers", str(out / "plan.json"), "--out", str(tmp_path / "again"))
    assert told.exit_code == 0, told.output
    again = {p.relative_to(tmp_path / "again"): p for p in (tmp_path / "again").rglob("*") if p.is_file()}
    assert {str(name) for name in again} == {
        str(p.relative_to(out)) for p in out.rglob("*") if p.is_file() and p.suffix != ".yaml"
    }
    for name, path in again.items():
        # workbooks and DXF hold the time they were made, and the manifest their hash
        if path.suffix not in (".xlsx", ".dxf") and path.name != "manifest.json":
            assert path.read_bytes() == (out / name).read_bytes(), name


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
    assert "W3 front bedroom: Stops the order: Light A: clear width of an escape opening: 415.5 mm" in said
    assert "W3 front bedroom: proposal 1: light A: 35 mm wider" in said
    assert "jambwright apply FILE W3 1 --out NEW" in said


def test_a_missing_sill_height_leaves_check_with_1_and_never_passes():
    house = nothing_shut().replace('"sill_above_floor_mm": 860, ', "")
    result = run("check", "-", "--json", given=house)
    assert result.exit_code == 1
    told = json.loads(result.stdout)
    (finding,) = [f for f in told["findings"] if f["field"] == "openings.2.sill_above_floor_mm"]
    assert "unknown: escape, guarding, safety glass" in finding["say"]
    shut = {
        mark for mark, gates in told["gates"].items() for gate in gates.values() if gate["state"] == "shut"
    }
    assert shut == {"W3"}
    assert told["gates"]["W3"]["work"]["state"] == "open"


def test_the_day_of_the_work_can_be_given_on_the_command_line(tmp_path):
    undated = DEMO.replace("date_of_work: 2026-12-07", "date_of_work:")
    assert "Give the day of the work" in run("check", "-", given=undated).stdout
    assert "Write the day" not in run("check", "-", "--date", "2026-12-07", given=undated).stdout
    later = run("plan", "-", "--out", str(tmp_path), "--date", "2027-05-01", given=undated)
    assert later.exit_code == 1, later.output
    assert "2026 edition (in force from 2027-03-24)" in (tmp_path / "findings.csv").read_text()


def test_the_summary_tells_what_the_rules_find_against_the_order(papers):
    _, said = papers
    block = next(
        block for block in said.split("\n\n") if block.startswith("W3 front bedroom: do not order yet\n")
    )
    assert "fails: asked: clear width of an escape opening; found 415.5 mm, limit 450 mm" in block
    assert "Order instead, proposal 1: light A: 35 mm wider at the cost of light B" in block
    assert "meets" not in block


def test_the_makers_answer_is_laid_beside_the_order(papers, tmp_path):
    out, _ = papers
    order, sent = str(out / "order.json"), (out / "order.csv").read_bytes()
    agreed = run("confirm", order, str(out / "order.xlsx"))
    assert (agreed.exit_code, agreed.stdout[:27]) == (0, "The answer agrees with the ")
    answer = tmp_path / "answer.csv"
    answer.write_bytes(sent.replace(b"1759.0,1007.0", b"1795.0,1007.0", 1))
    differs = run("confirm", order, str(answer))
    assert (differs.exit_code, differs.stdout) == (
        1,
        "W1, light A: width mm: ordered 1759, answered 1795.0.\n",
    )
    told = json.loads(run("confirm", order, str(answer), "--json").stdout)
    assert (told["agrees"], [each["field"] for each in told["differences"]]) == (False, ["width mm"])
    refused = run("confirm", str(out / "plan.json"), str(answer))
    assert (refused.exit_code, refused.stderr) == (
        2,
        "This is no order: it has no `jambwright_order`. Take the order.json of a papers folder.\n",
    )


def test_a_changed_order_says_what_changed_since_the_issue_before(papers, tmp_path):
    out, _ = papers
    tree = json.loads(changed())
    tree["openings"] = tree["openings"][:2]
    tree["openings"][1]["wanted"]["colour"] = "dark"
    house = tmp_path / "house.yaml"

    def planned(issue):
        tree["order"] = {"issue": issue}
        house.write_text(json.dumps(tree), encoding="utf-8")
        given = ("--out", str(tmp_path / "again"), "--since", str(out / "order.json"))
        return run("plan", str(house), *given)

    assert planned(1).exit_code == 2
    assert "write issue: 2 under `order`" in planned(1).stderr
    assert planned(2).exit_code in (0, 1)
    since = json.loads((tmp_path / "again" / "order.json").read_text(encoding="utf-8"))["since"]
    assert since["issue"] == 1
    changes = {(each["opening"], each["field"]): (each["was"], each["now"]) for each in since["changes"]}
    assert changes["W2", "colour"] == ("white", "dark")
    assert changes["D2", ""] == ("on the order", None)
