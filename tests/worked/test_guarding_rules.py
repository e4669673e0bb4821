"""Guarding: decision table of Approved Document K, 2013 edition, section 3.

Diagram 3.1: 800 mm at an opening window and 1100 mm at a balcony door where the drop is over 600 mm; 3.3: no
gap passes a 100 mm ball where children under five are likely. Replacements: Building Regulations 2010,
regulation 4(3). Ireland: Technical Guidance Document K 2014, 2.2, 2.4 and 2.7.
Highways Act 1980, section 153.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from jambwright.checks import gravest
from jambwright.checks.regulations import GuardingFacts, check_cleaning, check_guarding, rules_in_force

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
        pytest.param("wales", 1000, "refer", id="AD K for Wales not confirmed"),
        pytest.param("scotland", 1000, "refer", id="Handbook 4.4 not confirmed"),
        pytest.param("northern_ireland", 1000, "refer", id="Technical Booklet H not confirmed"),
        pytest.param("ireland", 1000, "meets", id="TGD K: not over 1400 mm"),
        pytest.param("ireland", 1500, "fails", id="TGD K: over 1400 mm, no restrictor"),
    ],
)
def test_the_drop_that_asks_for_a_guard_differs_by_nation(nation: str, drop: float, word: str) -> None:
    found = check_guarding(replace(LOW, drop_outside_mm=drop), rules_in_force(nation, DAY))
    assert gravest(found) == word


def ireland(**change: object) -> dict[str, str]:
    found = check_guarding(replace(LOW, **change), rules_in_force("ireland", DAY))  # type: ignore[arg-type]  # fields by name
    return {v.rule: v.word for v in found}


def test_ireland_asks_for_a_restrictor_whatever_the_sill_and_for_a_guard_below_800() -> None:
    # TGD K 2014 2.7: any part that opens over 1400 mm above ground; 2.4: sill below 800 mm, a fixed guard too
    assert ireland(bottom_above_floor_mm=1000)["guarding.restrictor"] == "fails"
    assert ireland(bottom_above_floor_mm=1000)["guarding.height"] == "meets"
    low = ireland(restrictor="releasable")
    assert (low["guarding.restrictor"], low["guarding.height"]) == ("meets", "refer")
    guarded = ireland(restrictor="releasable", guard_height_mm=800)
    assert set(guarded.values()) == {"meets"}


def test_ireland_measures_the_part_that_opens_not_the_sill() -> None:
    high = ireland(bottom_above_floor_mm=1700, drop_outside_mm=1000, bottom_above_ground_mm=1900)
    assert high["guarding.restrictor"] == "fails"
    assert ireland(drop_outside_mm=1400)["guarding.restrictor"] == "meets"


def test_a_restrictor_that_needs_a_key_does_not_pass_in_silence() -> None:
    assert ireland(restrictor="key", guard_height_mm=800)["guarding.restrictor"] == "advise"


@pytest.mark.parametrize(
    ("nation", "drop", "word"),
    [
        pytest.param("england", 700, "fails", id="AD K Diagram 3.1: 600 mm"),
        pytest.param("wales", 700, "refer", id="AD K for Wales not confirmed"),
        pytest.param("scotland", 700, "refer", id="Handbook 4.4 not confirmed"),
        pytest.param("northern_ireland", 700, "refer", id="TB H: height not confirmed"),
        pytest.param("ireland", 700, "refer", id="TGD K 2.2: over 600 mm, height not confirmed"),
        pytest.param("ireland", 600, "meets", id="TGD K 2.2: 600 mm"),
    ],
)
def test_a_door_over_a_drop_is_guarded_across_and_never_by_window_rules(
    nation: str, drop: float, word: str
) -> None:
    door = replace(LOW, kind="door", bottom_above_floor_mm=20, drop_outside_mm=drop)
    found = check_guarding(door, rules_in_force(nation, DAY))
    assert gravest(found) == word
    assert {v.rule for v in found} <= {"guarding.balcony", "guarding.balcony_drop", "guarding.gaps"}
    assert not any("transom" in v.why for v in found)


def test_a_door_that_is_a_way_out_over_a_drop_is_referred() -> None:
    door = replace(LOW, kind="door", bottom_above_floor_mm=20, room_needs_escape=True)
    conflict = next(v for v in check_guarding(door, ENGLAND) if v.rule == "guarding.escape")
    assert conflict.word == "refer"
    assert "transom" not in conflict.why


@pytest.mark.parametrize(
    ("nation", "rule", "word"),
    [
        ("england", "guarding.highway", "refer"),
        ("scotland", "guarding.projection", "advise"),
        ("northern_ireland", "guarding.projection", "refer"),
        ("ireland", "guarding.drop", "refer"),
    ],
)
def test_what_opens_over_a_street_is_told_in_every_nation(nation: str, rule: str, word: str) -> None:
    # Highways Act 1980 s.153; Domestic Handbook 4.8; NI regulation 60; nothing held for Ireland
    found = check_guarding(replace(LOW, over_street=True), rules_in_force(nation, DAY))
    assert (rule, word) in {(v.rule, v.word) for v in found}


@pytest.mark.parametrize(
    ("top", "inside", "word"),
    [(4000, None, "advise"), (4001, True, "advise"), (4001, None, "refer"), (None, None, "unknown")],
)
def test_scotland_asks_how_high_glass_is_cleaned(top: float | None, inside: bool | None, word: str) -> None:
    # Technical Handbook Domestic 4.8.3 (second hand): from inside above 4 m
    facts = GuardingFacts(top_above_ground_mm=top, cleaned_inside=inside)
    assert [v.word for v in check_cleaning(facts, rules_in_force("scotland", DAY))] == [word]
    assert check_cleaning(facts, ENGLAND) == []


def test_scotland_does_not_take_the_old_opening_as_an_excuse() -> None:
    found = check_guarding(replace(LOW, old_bottom_above_floor_mm=600), rules_in_force("scotland", DAY))
    assert gravest(found) == "refer"
