"""A plan kept by an earlier version is read: its sizes stand, its gates are shut until the house is planned again."""

import csv
import json
from pathlib import Path

import pytest

from jambwright.basis.problems import BadInput
from jambwright.paper import printed
from jambwright.record import read_record

KEPT = Path(__file__).parent.parent / "data" / "released" / "plan-0.1.0.json"
TREE = json.loads(KEPT.read_text())
NO_VERSION = "This is not a plan: it has no `jambwright_plan`. Take the plan.json of a papers folder."
DAMAGED = "This plan was changed by hand or is damaged"


def test_the_sizes_of_version_1_are_those_it_gave():
    record = read_record(KEPT.read_bytes())
    for each, was in zip(record.issued, TREE["openings"], strict=True):
        assert (each.id, each.width_mm, each.height_mm) == (
            was["id"], was["order_width_mm"], was["order_height_mm"],
        )  # fmt: skip
        sill = was["sill"] or {"length_mm": None, "depth_mm": None}
        assert (each.sill_length_mm, each.sill_depth_mm) == (sill["length_mm"], sill["depth_mm"])
        for light in was["lights"]:
            glass = light["glass"]["width_mm"], light["glass"]["height_mm"], light["glazing"] or ""
            assert each.glass[light["mark"]] == glass


def test_its_order_has_a_row_a_light_and_each_figure_under_its_heading():
    """Read back from the file, so that no heading can be taken for another."""
    order = printed(read_record(KEPT.read_bytes()))["order.csv"].decode("utf-8-sig")
    rows = list(csv.DictReader(order.splitlines()))[:-1]
    wanted = [(each, light) for each in TREE["openings"] for light in each["lights"]]
    for row, (each, light) in zip(rows, wanted, strict=True):
        first = light is each["lights"][0]
        sill = each["sill"] or {"length_mm": "", "depth_mm": ""}
        frame = {
            "room": each["room"], "kind": each["kind"], "profile": each["profile"], "colour": each["colour"],
            "width mm": each["order_width_mm"], "height mm": each["order_height_mm"],
            "overall height with sill mm": each["overall_height_mm"], "sill length mm": sill["length_mm"],
            "sill depth mm": sill["depth_mm"],
        }  # fmt: skip
        told = {name: str(value) if first else "" for name, value in frame.items()} | {
            "opening": each["id"],
            "light": light["mark"],
            "glass width mm": str(light["glass"]["width_mm"]),
            "glass height mm": str(light["glass"]["height_mm"]),
            "make-up": light["glazing"] or "panel",
        }
        assert {name: row[name] for name in told} == told
        assert bool(row["hold"]) == first


def test_its_plan_has_one_mark_however_its_file_is_laid_out_and_says_who_made_it():
    record = read_record(KEPT.read_bytes())
    again = read_record(json.dumps(dict(reversed(TREE.items()))))
    assert record.plan_id == again.plan_id
    assert read_record(json.dumps(TREE | {"note": "another"})).plan_id != record.plan_id
    assert (record.made_with, record.whole) == (TREE["made_with"], False)


def test_its_gates_are_shut_on_order_and_summary_and_say_to_plan_again():
    record = read_record(KEPT.read_bytes())
    assert record.gates.shut == ("ordering", "work")
    files = printed(record)
    assert "plan.json" not in files
    order = files["order.csv"].decode("utf-8-sig").splitlines()
    first = {line.split(",")[0]: line for line in reversed(order[1:-1])}
    assert all("Do not order yet" in line and "Plan the house again" in line for line in first.values())
    assert "do not order yet" in files["summary.txt"].decode()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (b"{", "This is not a plan: it can't be read as JSON. Take the plan.json of a papers folder."),
        (b"[]", NO_VERSION),
        (b'{"house": "x"}', NO_VERSION),
        (b'{"jambwright_plan": 9}', "This plan is of version 9; this program knows 2. Plan the house again."),
        (b'{"jambwright_plan": 1}', f"{DAMAGED}. Make it again from the readings."),
        (
            b'{"jambwright_plan": 2, "plan_id": "x"}',
            f"{DAMAGED} at made_with. Make it again from the readings.",
        ),
    ],
)
def test_what_is_no_plan_is_refused_in_words(text, told):
    with pytest.raises(BadInput) as refused:
        read_record(text)
    assert [(p.field, p.say) for p in refused.value.problems] == [("plan", told)]
