"""Guarding: decision table of Approved Document K, 2013 edition, section 3.

Diagram 3.1: 800 mm at an opening window and 1100 mm at a balcony door where the drop is over 600 mm; 3.3: no
gap passes a 100 mm ball where children under five are likely. Replacements: Building Regulations 2010,
regulation 4(3). Ireland: Technical Guidance Document K 2014 on falls from windows (800 and 1400 mm).
Highways Act 1980, section 153.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from jambwright.checks import gravest
from jambwright.checks.regulations import GuardingFacts, check_guarding, rules_in_force

DAY = date(2026, 5, 1)
ENGLAND = rules_in_force("england", DAY)
LOW = GuardingFacts(bottom_above_floor_mm=600, drop_outside_mm=2700, children=False)


@pytest.mark.parametrize(
    ("change", "word"),
    [
        pytest.param({}, "fails", id="Diagram 3.1: 600 mm over 2.7 m"),
        pytest.param({"bottom_above_floor_mm": 800}, "meets", id="Diagram 3.1: 800 mm"),
        pytest.param({"drop_outside_mm": 600}, "meets", id="3.1: drop not over 600 mm"),
        pytest.param({"drop_outside_mm": 601}, "fails", id="3.1: drop over 600 mm"),
        pytest.param({"guard_height_mm": 800}, "meets", id="Diagram 3.1: guard to 800 mm"),
        pytest.param({"guard_height_mm": 700}, "fails", id="Diagram 3.1: guard too low"),
        pytest.param({"old_bottom_above_floor_mm": 600}, "advise", id="4(3): as low as before"),
        pytest.param({"old_bottom_above_floor_mm": 900}, "worse", id="4(3): lowered below 800 mm"),
        pytest.param({"old_bottom_above_floor_mm": 700}, "worse", id="4(3): lowered further"),
        pytest.param(
            {"kind": "door", "bottom_above_floor_mm": 0}, "fails", id="Diagram 3.1: door without guard"
        ),
        pytest.param({"kind": "door", "guard_height_mm": 1100}, "meets", id="Diagram 3.1: door with 1100 mm"),
        pytest.param({"kind": "door", "guard_height_mm": 1000}, "fails", id="Diagram 3.1: door with 1000 mm"),
        pytest.param({"bottom_above_floor_mm": None}, "unknown", id="bottom not measured"),
        pytest.param({"drop_outside_mm": None}, "unknown", id="drop not measured"),
        pytest.param(
            {"bottom_above_floor_mm": 900, "children": None}, "unknown", id="3.3: children not said"
        ),
        pytest.param(
            {"bottom_above_floor_mm": 900, "over_street": True}, "refer", id="section 153: over a street"
        ),
    ],
)
def test_guarding_in_england(change: dict[str, object], word: str) -> None:
    assert gravest(check_guarding(replace(LOW, **change), ENGLAND)) == word  # type: ignore[arg-type]


def test_children_ask_for_narrow_gaps_in_a_guard() -> None:
    found = check_guarding(replace(LOW, children=True, guard_height_mm=800), ENGLAND)
    assert [(v.rule, v.word, v.limit) for v in found if v.rule == "guarding.gaps"] == [
        ("guarding.gaps", "advise", 100)
    ]


def test_a_low_way_out_is_shown_how_to_be_both_guarded_and_free() -> None:
    found = check_guarding(replace(LOW, room_needs_escape=True), ENGLAND)
    conflict = next(v for v in found if v.rule == "guarding.escape")
    assert "transom" in conflict.why
    assert "restrictor that can be released" in conflict.why
    assert "never a fixed bar" in conflict.why


@pytest.mark.parametrize(
    ("nation", "drop", "word"),
    [
        pytest.param("england", 1000, "fails", id="ADK 3.1: over 600 mm"),
        pytest.param("wales", 1000, "fails", id="AD K Wales as England"),
        pytest.param("scotland", 1000, "fails", id="Handbook 4.4: over 600 mm"),
        pytest.param("northern_ireland", 1000, "refer", id="Technical Booklet H not confirmed"),
        pytest.param("ireland", 1000, "advise", id="TGD K: not over 1400 mm, recalled"),
        pytest.param("ireland", 1500, "fails", id="TGD K: over 1400 mm, no restrictor"),
    ],
)
def test_the_drop_that_asks_for_a_guard_differs_by_nation(nation: str, drop: float, word: str) -> None:
    found = check_guarding(replace(LOW, drop_outside_mm=drop), rules_in_force(nation, DAY))
    assert gravest(found) == word


def test_ireland_asks_for_a_releasable_restrictor() -> None:
    found = check_guarding(replace(LOW, restrictor="releasable"), rules_in_force("ireland", DAY))
    assert gravest(found) == "advise"
    assert "a recalled rule" in found[0].why


def test_scotland_does_not_take_the_old_opening_as_an_excuse() -> None:
    found = check_guarding(replace(LOW, old_bottom_above_floor_mm=600), rules_in_force("scotland", DAY))
    assert gravest(found) == "fails"
