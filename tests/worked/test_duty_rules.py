"""Other duties: access, fire at the boundary, security, consents, notification, hazards before work.

Building Regulations 2010, regulations 4(3), 12, 16 and 20; Approved Documents B (section 11, Diagrams 11.5
and 11.6; section 8), M (M4(1)) and Q; General Permitted Development Order 2015; Control of Asbestos
Regulations 2012;
Control of Lead at Work Regulations 2002; Construction (Design and Management) Regulations 2015.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from jambwright.checks import gravest
from jambwright.checks.regulations import (
    AccessFacts,
    FireFacts,
    HouseFacts,
    check_access,
    check_fire,
    check_house,
    check_security,
    rules_in_force,
)

DAY = date(2026, 5, 1)
ENGLAND = rules_in_force("england", DAY)
DOOR = AccessFacts(upstand_mm=15, clear_width_mm=780, old_clear_width_mm=780)
HOLE = FireFacts(to_boundary_m=0.8, opening_area_m2=1.2, old_opening_area_m2=1.2, cavity_closed=True)
HOUSE = HouseFacts(
    nation="england",
    date=DAY,
    built_year=2005,
    listed=False,
    conservation_area=False,
    registered_installer=True,
)


@pytest.mark.parametrize(
    ("change", "word"),
    [
        pytest.param({}, "meets", id="M4(1): 15 mm and 775 mm"),
        pytest.param({"upstand_mm": 20}, "advise", id="M4(1): 20 mm, old was not level"),
        pytest.param(
            {"upstand_mm": 20, "old_level_threshold": True}, "worse", id="4(3): level threshold lost"
        ),
        pytest.param({"clear_width_mm": 740}, "worse", id="4(3): narrower and under 775 mm"),
        pytest.param(
            {"clear_width_mm": 740, "old_clear_width_mm": 740}, "advise", id="4(3): as narrow as before"
        ),
        pytest.param({"upstand_mm": None}, "unknown", id="upstand not given"),
        pytest.param({"old_clear_width_mm": None}, "unknown", id="old width not measured"),
    ],
)
def test_access_after_a_door_replacement(change: dict[str, object], word: str) -> None:
    assert gravest(check_access(replace(DOOR, **change), ENGLAND)) == word  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("change", "word", "limit"),
    [
        pytest.param({}, "meets", 1.2, id="not enlarged"),
        pytest.param({"to_boundary_m": None}, "meets", 1.2, id="not enlarged, boundary not measured"),
        pytest.param({"opening_area_m2": 1.3}, "refer", 1, id="11.5: under 1 m, enlarged"),
        pytest.param({"opening_area_m2": 1.3, "to_boundary_m": 1.0}, "refer", 5.6, id="11.6: 1 m"),
        pytest.param({"opening_area_m2": 1.3, "to_boundary_m": 3.5}, "refer", 18, id="11.6: 3.5 m"),
        pytest.param({"opening_area_m2": 1.3, "to_boundary_m": 6.0}, "refer", "no limit", id="11.6: 6 m"),
        pytest.param({"old_opening_area_m2": None}, "unknown", 1, id="old area not known"),
    ],
)
def test_openings_near_the_boundary(change: dict[str, object], word: str, limit: object) -> None:
    finding = check_fire(replace(HOLE, **change), ENGLAND)[0]  # type: ignore[arg-type]
    assert (finding.word, finding.limit) == (word, limit)


def test_a_plastic_frame_alone_closes_no_cavity() -> None:
    found = check_fire(replace(HOLE, cavity_closed=None), ENGLAND)
    assert [(v.rule, v.word) for v in found][1:] == [("fire.cavity", "advise")]


def test_security_is_advice_for_a_replacement() -> None:
    assert [check_security(tested, ENGLAND).word for tested in (True, False, None)] == [
        "meets",
        "advise",
        "advise",
    ]


def words(facts: HouseFacts) -> dict[str, str]:
    return {v.rule: v.word for v in check_house(facts)}


@pytest.mark.parametrize(
    ("year", "asbestos", "lead"),
    [
        (1950, "refer", ("hazard.lead", "refer")),
        (1964, "refer", ("hazard.lead", "refer")),
        (1965, "refer", ("hazard.lead_possible", "advise")),
        (1992, "refer", ("hazard.lead_possible", "advise")),
        (1999, "refer", ("hazard.lead_possible", "meets")),
        (2000, "meets", ("hazard.lead_possible", "meets")),
        (None, "unknown", ("hazard.lead", "unknown")),
    ],
)
def test_hazards_follow_the_year_the_house_was_built(
    year: int | None, asbestos: str, lead: tuple[str, str]
) -> None:
    found = words(replace(HOUSE, built_year=year))
    assert found["hazard.asbestos"] == asbestos
    assert found[lead[0]] == lead[1]


def test_a_missing_lintel_is_referred_twice() -> None:
    found = words(replace(HOUSE, lintel_missing=("W3",)))
    assert (found["hazard.structure"], found["notify.structure"]) == ("refer", "refer")


@pytest.mark.parametrize(
    ("nation", "registered", "word"),
    [
        ("england", True, "meets"),
        ("england", False, "refer"),
        ("england", None, "unknown"),
        ("wales", True, "meets"),
        ("scotland", True, "advise"),
        ("northern_ireland", True, "advise"),
        ("ireland", None, "advise"),
    ],
)
def test_the_route_of_notification_differs_by_nation(nation: str, registered: bool | None, word: str) -> None:
    facts = replace(HOUSE, nation=nation, registered_installer=registered)  # type: ignore[arg-type]
    assert words(facts)["notify.route"] == word


def test_a_notice_that_was_given_settles_its_route() -> None:
    facts = replace(HOUSE, nation="england", registered_installer=False, notice_date=date(2026, 11, 2))
    assert words(facts)["notify.route"] == "meets"


@pytest.mark.parametrize(
    ("change", "rule", "word"),
    [
        ({"listed": True}, "heritage.consent", "refer"),
        ({"listed": None}, "heritage.consent", "unknown"),
        ({"conservation_area": True}, "heritage.area", "refer"),
        ({"flat": True}, "heritage.flat", "refer"),
        ({"new_side_window_clear_below_mm": 1500}, "heritage.side_window", "fails"),
        ({"new_side_window_clear_below_mm": 1700}, "heritage.side_window", "meets"),
    ],
)
def test_consents_before_ordering(change: dict[str, object], rule: str, word: str) -> None:
    assert words(replace(HOUSE, **change))[rule] == word  # type: ignore[arg-type]


@pytest.mark.parametrize(("kg", "said"), [(20, "a recalled rule"), (60, "")])
def test_a_light_unit_is_lifted_by_one_as_far_as_the_recalled_filter_goes(kg: float, said: str) -> None:
    facts = replace(HOUSE, heaviest_kg=kg)
    (found,) = (verdict for verdict in check_house(facts) if verdict.rule == "hazard.lifting")
    assert found.word == "advise"
    assert said in found.why
