"""A plan kept by an earlier version is read: its sizes stand, its gates are shut until the house is planned again."""

import json
from pathlib import Path

import pytest

from jambwright.basis.problems import BadInput
from jambwright.paper import printed
from jambwright.record import read_record

KEPT = Path(__file__).parent.parent / "data" / "released" / "plan-0.1.0.json"
TREE = json.loads(KEPT.read_text())


def test_the_sizes_of_version_1_are_those_it_gave():
    record = read_record(KEPT.read_bytes())
    for each, was in zip(record.issued, TREE["openings"], strict=True):
        assert (each.id, each.width_mm, each.height_mm) == (
            was["id"], was["order_width_mm"], was["order_height_mm"],
        )  # fmt: skip
        for light in was["lights"]:
            assert each.glass[light["mark"]][:2] == (light["glass"]["width_mm"], light["glass"]["height_mm"])


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
        (b"{", "can't be read as JSON"),
        (b"[]", "no `jambwright_plan`"),
        (b'{"house": "x"}', "no `jambwright_plan`"),
        (b'{"jambwright_plan": 9}', "of version 9"),
        (b'{"jambwright_plan": 1}', "damaged"),
        (b'{"jambwright_plan": 2, "plan_id": "x"}', "damaged at made_with"),
    ],
)
def test_what_is_no_plan_is_refused_in_words(text, told):
    with pytest.raises(BadInput, match="plan") as refused:
        read_record(text)
    assert told in str(refused.value)
