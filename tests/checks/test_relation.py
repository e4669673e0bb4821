"""How limits bind: as the documents say it, and never against the finding."""

import pytest

import demo_house
from jambwright.basis.tables import table
from jambwright.checks.relation import AT_LEAST, AT_MOST, BETWEEN, NEITHER, relation_of

# As the table of rules holds them (from memory):
# Approved Document B volume 1, 2.10: at least 0.33 m2 and 450 mm high and wide, the bottom not more than 1100 mm up.
# Approved Document K, K2: a window guarded where its sill is under 800 mm. Approved Document L volume 1, table 4.2:
# U not over 1.4 W/m2K. Approved Document J, diagram 3.4: at least 300 mm from a fanned flue to an opening.
PUBLISHED = {
    ("escape.area", 0.30, 0.33): "at_least",
    ("escape.width", 415.5, 450.0): "at_least",
    ("escape.height", 440, 450): "at_least",
    ("escape.bottom", 1150.0, 1100.0): "at_most",
    ("guarding.height", 650.0, 800.0): "at_least",
    ("energy.window.u", 1.6, 1.4): "at_most",
    ("flue.gas_fanned.opener", 200.0, 300.0): "at_least",
}


@pytest.mark.parametrize(("given", "bound"), PUBLISHED.items())
def test_limits_bind_as_published(given, bound):
    rule, found, limit = given
    assert relation_of(rule, "fails", found, limit) == bound


def test_the_table_of_rules_says_the_same_in_its_words():
    said = {"is not over": "at_most", "is not under": "at_least"}
    bound = {row["id"]: said[row["bound"]] for row in table("rule_subjects") if row["bound"] in said}
    told = {rule: relation_of(rule, "advise", 1.0, 2.0) for rule in bound if not rule.startswith("safety")}
    assert len(told) == 3
    assert told == {rule: bound[rule] for rule in told}


def test_a_limit_on_both_sides_is_told_by_the_side_that_is_broken():
    assert relation_of("movement.gap", "advise", 19.6, 10.0) == "at_most"
    assert relation_of("movement.gap", "advise", 3.0, 5.0) == "at_least"
    assert relation_of("movement.gap", "meets", 7.0, 5.0) == "at_least"
    assert relation_of("fitted.gap.head", "fails", 1.0, 3.0) == "at_least"


def test_it_never_speaks_against_the_finding():
    assert relation_of("energy.window.u", "meets", 1.5, 1.4) == "", "met by its band"
    assert relation_of("escape.width", "fails", 500.0, 450.0) == ""
    assert relation_of("escape.width", "fails", None, 450.0) == ""
    assert relation_of("heritage.consent", "meets", False, 1.0) == ""


def test_every_figure_beside_a_figure_is_in_the_table():
    record = demo_house.record()
    found = [v for v in (*record.rules, *(v for o in record.openings for v in o.verdicts))
             if isinstance(v.found, int | float) and isinstance(v.limit, int | float)]  # fmt: skip
    assert len(found) > 100
    groups = (*AT_LEAST, *AT_MOST, *BETWEEN, *NEITHER)
    assert [v.rule for v in found if not any(f"{v.rule}.".startswith(f"{g}.") for g in groups)] == []
    broken = [v for v in found if v.word in ("fails", "worse")]
    assert len(broken) >= 4
    assert [v.rule for v in broken if not v.relation] == []
