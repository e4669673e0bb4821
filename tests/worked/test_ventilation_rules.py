"""Ventilation: decision table of Approved Document F volume 1, 2021 edition.

3.14 (old ventilators), 3.15 (none before: 8000, 8000, 4000 mm2; 4000 mm2 with continuous extract), Table 1.4
(purge: 1/20 from 30 degrees, 1/10 from 15). Scotland: Technical Handbook Domestic 3.14 (12000, 10000 mm2, or
8000, 4000 or a mean of 6000 mm2 in a leaky house; 1/30 of the floor). Northern Ireland and Ireland: figures not held.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from jambwright.basis import BadInput
from jambwright.checks.regulations import (
    OpenerFacts,
    RoomAir,
    check_background,
    check_purge,
    rules_in_force,
)
from jambwright.checks.regulations.ventilation import free_area_m2, vents_needed

DAY = date(2026, 5, 1)
ENGLAND = rules_in_force("england", DAY)
ROOM = RoomAir(use="bedroom", floor_area_m2=12, mechanical="none", vents=(4000, 4000), openers=())


@pytest.mark.parametrize(
    ("change", "word", "limit"),
    [
        pytest.param({}, "meets", 8000, id="3.15a: bedroom 8000"),
        pytest.param({"vents": (5000,)}, "worse", 8000, id="3.15a: bedroom 5000"),
        pytest.param({"vents": (5000,), "old_vent_mm2": 0}, "worse", 8000, id="3.15a: none before"),
        pytest.param({"use": "kitchen", "vents": (8000,)}, "meets", 8000, id="3.15a: kitchen 8000"),
        pytest.param({"use": "bathroom", "vents": (4000,)}, "meets", 4000, id="3.15a: bathroom 4000"),
        pytest.param({"use": "bathroom", "vents": ()}, "worse", 4000, id="3.15a: bathroom none"),
        pytest.param({"old_vent_mm2": 6000, "vents": (6000,)}, "meets", 6000, id="3.14: as before"),
        pytest.param({"old_vent_mm2": 6000, "vents": (5000,)}, "worse", 6000, id="3.14: smaller than before"),
        pytest.param({"mechanical": "extract", "vents": (4000,)}, "meets", 4000, id="3.15b: with extract"),
        pytest.param({"mechanical": "extract", "vents": ()}, "worse", 4000, id="3.15b: with extract, none"),
        pytest.param(
            {"mechanical": "extract", "use": "bathroom", "vents": ()},
            "meets",
            0,
            id="3.15b: wet room, extract",
        ),
        pytest.param({"mechanical": "balanced", "vents": ()}, "meets", "none", id="3.15: balanced"),
        pytest.param({"use": "wc", "vents": ()}, "advise", "largest practical", id="3.15: toilet only"),
        pytest.param({"use": "hall", "vents": ()}, "meets", 0, id="3.15: hall"),
        pytest.param({"night_latch_only": True}, "worse", 8000, id="night latch does not count"),
        pytest.param({"vents": (5000,), "protected_look": True}, "refer", 8000, id="0.4: protected look"),
        pytest.param({"vents": None}, "unknown", 8000, id="ventilators not listed"),
        pytest.param({"mechanical": None}, "unknown", 8000, id="system not said"),
    ],
)
def test_background_ventilators_in_england(change: dict[str, object], word: str, limit: object) -> None:
    finding = check_background(replace(ROOM, **change), ENGLAND)[0]  # type: ignore[arg-type]
    assert (finding.word, finding.limit) == (word, limit)


def test_another_way_of_ventilating_is_put_to_building_control() -> None:
    # Approved Document F volume 1 2021, 3.15a: one way of showing that it is no worse
    room = replace(ROOM, vents=(), other_means=True)
    assert check_background(room, ENGLAND)[0].word == "refer"


@pytest.mark.parametrize(
    ("nation", "new", "word"),
    [("northern_ireland", 5000, "advise"), ("northern_ireland", 4000, "refer"), ("ireland", 4000, "refer")],
)
def test_what_was_there_is_kept_where_no_figure_is_seen(nation: str, new: float, word: str) -> None:
    # Technical Booklet K 2012, section 4 (contents seen); nothing found for replacements in Ireland
    room = replace(ROOM, old_vent_mm2=5000, vents=(new,))
    finding = check_background(room, rules_in_force(nation, DAY))[0]
    assert (finding.rule, finding.word) == ("ventilation.background.kept", word)


@pytest.mark.parametrize("nation", ["scotland", "northern_ireland", "ireland"])
def test_balanced_ventilation_is_not_passed_where_no_figure_is_held(nation: str) -> None:
    room = replace(ROOM, mechanical="balanced")
    assert check_background(room, rules_in_force(nation, DAY))[0].word == "refer"


@pytest.mark.parametrize(
    ("top", "words"), [(1750, ["meets"]), (1740, ["meets", "advise"]), (None, ["meets", "advise"])]
)
def test_scotland_wants_some_of_what_opens_to_stand_high(top: float | None, words: list[str]) -> None:
    # Technical Handbook Domestic 3.14.2 (second hand)
    opener = OpenerFacts(
        width_mm=600, height_mm=1000, hinge="side_hung", open_angle_deg=60, top_above_floor_mm=top
    )
    found = check_purge(replace(ROOM, openers=(opener,)), rules_in_force("scotland", DAY))
    assert [v.word for v in found] == words


def test_a_room_without_a_use_is_unknown() -> None:
    assert check_background(replace(ROOM, use=None), ENGLAND)[0].word == "unknown"
    assert check_purge(replace(ROOM, use=None), ENGLAND)[0].word == "unknown"


def test_open_plan_space_is_advised_three_ventilators() -> None:
    # ADF Table 1.7 notes, new homes
    found = check_background(replace(ROOM, use="kitchen_living"), ENGLAND)
    assert [(v.word, v.limit) for v in found] == [("meets", 8000), ("advise", 24000)]


def test_a_low_ventilator_is_advised_to_sit_higher() -> None:
    found = check_background(replace(ROOM, vent_above_floor_mm=1500), ENGLAND)
    assert [v.word for v in found] == ["meets", "advise"]


@pytest.mark.parametrize(("asked", "each", "count"), [(8000, 2500, 4), (8000, 4000, 2), (4000, 5000, 1)])
def test_number_of_ventilators_from_the_product_size(asked: float, each: float, count: int) -> None:
    assert vents_needed(asked, each) == count


def test_a_shortfall_names_how_many_ventilators_would_do() -> None:
    why = check_background(replace(ROOM, vents=(5000,)), ENGLAND)[0].why
    assert "4 of 2500, 2 of 4000, 2 of 5000" in why


def side_hung(angle: float | None = None, stroke: float | None = None, width: float = 600) -> OpenerFacts:
    return OpenerFacts(
        width_mm=width, height_mm=1000, hinge="side_hung", open_angle_deg=angle, stroke_mm=stroke
    )


@pytest.mark.parametrize(
    ("openers", "word", "limit"),
    [
        pytest.param((side_hung(30),), "meets", 0.6, id="1.4: 0.6 m2 at 30 degrees, 1/20 of 12"),
        pytest.param((side_hung(29),), "fails", 1.2, id="1.4: 0.6 m2 at 29 degrees, 1/10 of 12"),
        pytest.param((side_hung(20), side_hung(20)), "meets", 1.2, id="1.4: 1.2 m2 at 20 degrees"),
        pytest.param((side_hung(30, width=300), side_hung(20)), "meets", 0.6, id="1.4: half and half"),
        pytest.param((side_hung(14),), "fails", 0.6, id="1.4: under 15 degrees"),
        pytest.param((side_hung(stroke=100),), "fails", 0.6, id="1.4: 100 mm restrictor"),
        pytest.param((side_hung(stroke=311),), "meets", 0.6, id="1.4: 311 mm stroke is 30 degrees"),
        pytest.param(
            (OpenerFacts(width_mm=800, height_mm=750, hinge="vertical_slider"),),
            "meets",
            0.6,
            id="1.4: slider",
        ),
        pytest.param((OpenerFacts(width_mm=900, height_mm=900, hinge="fixed"),), "fails", 0.6, id="fixed"),
        pytest.param((), "fails", 0.6, id="no opener"),
        pytest.param((side_hung(),), "unknown", 0.05, id="angle not known"),
    ],
)
def test_purge_ventilation_in_england(openers: tuple[OpenerFacts, ...], word: str, limit: float) -> None:
    finding = check_purge(replace(ROOM, openers=openers), ENGLAND)[0]
    assert finding.word == word
    assert finding.limit == pytest.approx(limit)


@pytest.mark.parametrize(
    ("change", "word"),
    [
        pytest.param({"floor_area_m2": None}, "unknown", id="floor not measured"),
        pytest.param({"openers": None}, "unknown", id="openers not listed"),
        pytest.param({"use": "landing"}, "advise", id="landing, recalled"),
        pytest.param({"use": "bathroom", "openers": (side_hung(10),)}, "unknown", id="fan not said"),
        pytest.param(
            {"use": "bathroom", "openers": (side_hung(10),), "old_openers": (side_hung(30),)},
            "unknown",
            id="fan not said, worse than before",
        ),
        pytest.param(
            {"use": "bathroom", "openers": (side_hung(10),), "extract_fan": True},
            "advise",
            id="any opener, fan, recalled",
        ),
        pytest.param(
            {"use": "bathroom", "openers": (side_hung(10),), "extract_fan": False}, "fails", id="no fan"
        ),
        pytest.param(
            {"use": "bathroom", "openers": (), "mechanical": "extract"}, "fails", id="no opener, fan"
        ),
        pytest.param(
            {"use": "bathroom", "openers": None, "extract_fan": True}, "unknown", id="not listed, fan"
        ),
        pytest.param({"old_openers": (side_hung(10),), "openers": (side_hung(14),)}, "advise", id="no worse"),
        pytest.param({"old_openers": (side_hung(30),), "openers": (side_hung(14),)}, "worse", id="worse"),
    ],
)
def test_purge_ventilation_by_what_is_known(change: dict[str, object], word: str) -> None:
    assert check_purge(replace(ROOM, **change), ENGLAND)[0].word == word  # type: ignore[arg-type]


def test_a_stroke_longer_than_the_sash_can_travel_is_refused() -> None:
    with pytest.raises(BadInput, match="stroke_mm"):
        check_purge(replace(ROOM, openers=(side_hung(stroke=1300),)), ENGLAND)


def test_free_area_of_a_top_hung_sash_swings_its_height() -> None:
    top = OpenerFacts(width_mm=1000, height_mm=600, hinge="top_hung", open_angle_deg=10)
    assert free_area_m2([top]) == pytest.approx(free_area_m2([side_hung(10)]))


@pytest.mark.parametrize(
    ("nation", "vents", "word"),
    [
        pytest.param("scotland", (3900,), "fails", id="3.14.2: under 4000, in no set"),
        pytest.param("scotland", (4000,), "refer", id="3.14.2: 4000 of a mean of 6000"),
        pytest.param("scotland", (8000,), "refer", id="3.14.2: 8000 where it leaks"),
        pytest.param("scotland", (12000,), "meets", id="3.14: 12000 reached"),
        pytest.param("wales", (8000,), "advise", id="AD F 2022 not confirmed"),
        pytest.param("wales", (5000,), "refer", id="AD F 2022 not confirmed, short"),
        pytest.param("northern_ireland", (8000,), "refer", id="Technical Booklet K not held"),
        pytest.param("ireland", (8000,), "refer", id="TGD F not held"),
    ],
)
def test_background_ventilators_differ_by_nation(nation: str, vents: tuple[float, ...], word: str) -> None:
    assert check_background(replace(ROOM, vents=vents), rules_in_force(nation, DAY))[0].word == word


@pytest.mark.parametrize(
    ("nation", "word"), [("england", "fails"), ("scotland", "meets"), ("ireland", "refer")]
)
def test_a_thirtieth_of_the_floor_is_enough_in_scotland_only(nation: str, word: str) -> None:
    room = replace(ROOM, openers=(side_hung(60, width=450),))  # 0.45 m2 of 12 m2
    assert check_purge(room, rules_in_force(nation, DAY))[0].word == word


def test_the_2026_edition_was_not_seen_and_says_so() -> None:
    rules = rules_in_force("england", date(2027, 3, 24))
    short, enough = (check_background(replace(ROOM, vents=v), rules)[0] for v in ((5000,), (8000,)))
    assert (short.word, enough.word) == ("refer", "refer")
    assert "the figure of an earlier edition" in short.why
    assert "the figure of an earlier edition" in enough.why
    assert "2026 edition" in str(short.source)
    assert check_background(ROOM, rules_in_force("england", date(2027, 3, 23)))[0].word == "meets"


def test_no_angle_is_asked_where_none_is_stated() -> None:
    room = replace(ROOM, openers=(side_hung(),))
    assert check_purge(room, rules_in_force("scotland", DAY))[0].word == "meets"
