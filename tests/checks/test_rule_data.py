"""The rules as data: every figure has document and date, every rule is used, every input can be measured."""

from __future__ import annotations

from datetime import date

import pytest

from jambwright.basis import BadInput, table
from jambwright.basis.clause import SURENESS
from jambwright.checks.regulations import NATIONS, all_rules, listed_rules, rules_in_force

DAY = date(2026, 5, 1)
GROUPS = (
    "escape", "guarding", "safety_glass", "ventilation.background", "ventilation.purge", "energy", "flue",
    "access", "fire", "security", "heritage", "notify", "hazard",
)  # fmt: skip


def test_every_rule_has_document_date_and_place() -> None:
    for nation, rule in all_rules():
        assert rule.edition.document, (nation, rule.id)
        assert rule.place, (nation, rule.id)
        assert str(rule.edition.since) in str(rule.source), (nation, rule.id)


def test_every_rule_has_a_test_kind_and_a_consequence() -> None:
    for nation, rule in all_rules():
        assert rule.test in ("must", "no_worse", "advice", "scope"), rule.id
        assert (rule.not_met is None) is (rule.test == "scope"), (nation, rule.id)
        assert rule.id.startswith(GROUPS), rule.id


def test_every_subject_has_a_rule_and_every_rule_a_subject() -> None:
    subjects = set(table("rule_subjects").column("id"))
    assert subjects == set(table("rules").column("id"))
    assert set(table("rules").column("edition")) <= set(table("rule_editions").column("key"))


def test_a_subject_keeps_how_its_limit_binds_apart_from_what_it_speaks_of() -> None:
    for _, rule in all_rules():
        assert not rule.speaks_of.endswith((" is not over", " is not under")), rule.id
        assert rule.says == " ".join(filter(None, (rule.speaks_of, rule.bound)))
    bottom = rules_in_force("england", DAY)["escape.bottom"]
    assert bottom.says == "bottom of an escape opening above the floor is not over"
    assert bottom.speaks_of == "bottom of an escape opening above the floor"


def test_low_confidence_shows_in_the_source() -> None:
    for nation in NATIONS:
        for line in listed_rules(nation, DAY):
            rule = rules_in_force(nation, DAY, flat=line["dwelling"] == "flat")[line["rule"]]
            assert line["source"].endswith(rule.how)
            assert rule.confirmed or "not confirmed" in line["source"]
            assert rule.how != "from memory, low" or "low" in line["source"]


@pytest.mark.parametrize("nation", NATIONS)
def test_every_group_is_held_for_every_nation_without_overlap(nation: str) -> None:
    for dwelling in ("house", "flat"):
        held = [
            rule
            for n, rule in all_rules()
            if n == nation and rule.edition.covers(DAY) and rule.edition.dwelling in ("", dwelling)
        ]
        assert len({rule.id for rule in held}) == len(held)
        for group in GROUPS:
            assert any(rule.id.startswith(f"{group}.") for rule in held), group


def test_every_input_of_a_rule_says_how_to_measure_it() -> None:
    measured = set(table("rule_inputs").column("input"))
    for _, rule in all_rules():
        assert set(rule.inputs) <= measured, rule.id


def test_a_taken_over_figure_is_never_surer_than_the_one_it_is_taken_from() -> None:
    held = {(rule.edition.key, rule.id): rule for _, rule in all_rules()}
    like = {row["key"]: row["like"] for row in table("rule_editions")}
    taken = [rule for rule in held.values() if rule.place.startswith("paragraph not looked up")]
    assert taken
    for rule in taken:
        origin = held[like[rule.edition.key], rule.id]
        assert SURENESS.index(rule.how) >= SURENESS.index(origin.how), (rule.edition.key, rule.id)
        assert origin.confirmed or not rule.confirmed, (rule.edition.key, rule.id)


@pytest.mark.parametrize(("day", "edition"), [("2027-03-23", "2021"), ("2027-03-24", "2026")])
def test_editions_change_on_their_day(day: str, edition: str) -> None:
    rules = rules_in_force("england", date.fromisoformat(day))
    for rule_id in ("energy.window.u", "ventilation.background.habitable"):
        assert edition in rules[rule_id].edition.document


def test_a_day_before_the_first_edition_is_referred() -> None:
    [finding] = rules_in_force("england", date(2022, 6, 14)).not_held("energy")
    assert finding.word == "refer"
    assert "2022-06-15" in finding.why
    assert rules_in_force("england", date(2022, 6, 15)).not_held("energy") == []


def test_an_unknown_nation_or_day_is_refused_by_name() -> None:
    with pytest.raises(BadInput, match="nation"):
        rules_in_force("france", DAY)
    with pytest.raises(BadInput, match="date"):
        listed_rules("england", "2026-13-01")
