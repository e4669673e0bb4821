"""Escape openings: decision table of Approved Document B volume 1 Dwellings, 2019 edition, section 2.

Paragraphs: 2.1 and 2.2 (which rooms), 2.4 to 2.6 (floors over 4.5 m), 2.11 (inner rooms), 2.10 (the opening
itself: 0.33 m2, 450 mm each way, bottom at most 1100 mm). Replacements: Building Regulations 2010, regulation
4(3). Scotland: Technical Handbook Domestic 2.9.4. Northern Ireland: Technical Booklet E 2012. Ireland:
Technical Guidance Document B (2006; volume 2, 2017). Figures were read in excerpts or recalled, as each
finding's source says.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from jambwright.checks import gravest
from jambwright.checks.regulations import EscapeFacts, OldEscape, RoomPlace, check_escape, rules_in_force
from jambwright.checks.regulations.escape_opening import (
    angle_from_stroke_deg,
    clear_opening,
    swung_free_area_m2,
)

DAY = date(2026, 5, 1)
ENGLAND = rules_in_force("england", DAY)

BEDROOM = EscapeFacts(
    room_needs=True,
    hinge="side_hung",
    frame_clear_width_mm=520,
    frame_clear_height_mm=740,
    obstruction_mm=60,
    open_angle_deg=90,
    bottom_above_floor_mm=1050,
)
"""460 x 740 mm clear, 0.34 m2, bottom 1050 mm."""


def words(facts: EscapeFacts, nation: str = "england", on: date = DAY) -> dict[str, str]:
    return {v.rule: v.word for v in check_escape(facts, rules_in_force(nation, on))}


def test_an_opening_over_every_minimum_meets_2_10() -> None:
    assert set(words(BEDROOM).values()) == {"meets"}


@pytest.mark.parametrize(
    ("change", "failing"),
    [
        pytest.param({"frame_clear_height_mm": 700}, "escape.area", id="2.10 area 0.322 m2"),
        pytest.param({"frame_clear_width_mm": 505}, "escape.width", id="2.10 width 445 mm"),
        pytest.param({"frame_clear_height_mm": 440}, "escape.height", id="2.10 height 440 mm"),
        pytest.param({"bottom_above_floor_mm": 1101}, "escape.bottom", id="2.10 bottom 1101 mm"),
    ],
)
def test_each_minimum_of_2_10_fails_alone(change: dict[str, float], failing: str) -> None:
    assert words(replace(BEDROOM, **change))[failing] == "fails"


@pytest.mark.parametrize(
    ("width", "height"),
    [(475, 695), (500, 660), (520, 635), (550, 600), (600, 550), (650, 508), (450, 735)],
)
def test_width_and_height_that_just_make_the_area_meet_2_10(width: float, height: float) -> None:
    # 0.33 / w, arithmetic on ADB 2.10; 450 x 735 as printed by a secondary page
    facts = replace(BEDROOM, clear_width_mm=width, clear_height_mm=height)
    assert words(facts)["escape.area"] == "meets"
    assert words(replace(facts, clear_height_mm=height - 2))["escape.area"] == "fails"


@pytest.mark.parametrize(
    ("facts", "clear"),
    [
        # hinge and stay formulas: geometry; obstruction 70, 60 and 25 mm are site figures
        pytest.param({"open_angle_deg": 90, "obstruction_mm": 25}, (495.0, 740.0), id="egress stay"),
        pytest.param({"open_angle_deg": 90, "obstruction_mm": 70}, (450.0, 740.0), id="easy-clean stay"),
        pytest.param(
            {"open_angle_deg": 65, "obstruction_mm": 70}, (230.24, 740.0), id="friction stay, straight"
        ),
        pytest.param({"open_angle_deg": 150, "obstruction_mm": 25}, (495.0, 740.0), id="past a right angle"),
        pytest.param(
            {"hinge": "tilt_turn", "open_angle_deg": None, "obstruction_mm": 20}, (500.0, 740.0), id="turn"
        ),
        pytest.param(
            {"hinge": "top_hung", "open_angle_deg": 60, "obstruction_mm": 70}, (520.0, 300.0), id="top"
        ),
        pytest.param({"hinge": "vertical_slider", "open_angle_deg": None}, (520.0, 310.0), id="box sash"),
        pytest.param({"hinge": "horizontal_slider", "open_angle_deg": None}, (200.0, 740.0), id="slider"),
        pytest.param({"hinge": "fixed"}, (0.0, 0.0), id="fixed"),
    ],
)
def test_clear_opening_follows_the_hinge(facts: dict[str, object], clear: tuple[float, float]) -> None:
    opening = clear_opening(replace(BEDROOM, **facts))  # type: ignore[arg-type]
    assert opening is not None
    assert (opening.width_mm, opening.height_mm) == pytest.approx(clear, abs=0.01)


def test_a_box_sash_of_1020_mm_leaves_450_clear() -> None:
    # half the height less 60 mm of meeting rail and horn
    facts = replace(BEDROOM, hinge="vertical_slider", frame_clear_height_mm=1020, frame_clear_width_mm=800)
    assert words(facts)["escape.height"] == "meets"


def test_a_frame_gap_of_455_with_a_70_mm_sash_leaves_385() -> None:
    # site figure, seen in a public thread
    opening = clear_opening(replace(BEDROOM, frame_clear_width_mm=455, obstruction_mm=70))
    assert opening is not None
    assert opening.width_mm == pytest.approx(385)


def test_the_straight_measure_governs_and_the_angled_is_named() -> None:
    facts = replace(BEDROOM, frame_clear_width_mm=620, open_angle_deg=65, obstruction_mm=70)
    width = next(v for v in check_escape(facts, ENGLAND) if v.rule == "escape.width")
    assert width.word == "fails"
    assert width.found == pytest.approx(620 * (1 - 0.422618) - 70, abs=0.01)
    assert "491.9" in width.why  # 620 sin 65 - 70
    assert "building control may accept it" in width.why


@pytest.mark.parametrize(("sash", "stroke", "angle"), [(600, 100, 9.6), (400, 104, 15), (600, 311, 30)])
def test_stay_travel_gives_the_opening_angle(sash: float, stroke: float, angle: float) -> None:
    assert angle_from_stroke_deg(stroke_mm=stroke, sash_mm=sash) == pytest.approx(angle, abs=0.1)


def test_a_swung_sash_never_frees_more_than_its_hole() -> None:
    assert swung_free_area_m2(swung_mm=600.0, along_hinge_mm=1000.0, open_angle_deg=90.0) == pytest.approx(
        0.6
    )


OLD_BIG = OldEscape(clear_width_mm=750, clear_height_mm=800, bottom_above_floor_mm=900)
OLD_SMALL = OldEscape(clear_width_mm=500, clear_height_mm=500, bottom_above_floor_mm=1000)


def clear(width: float, height: float, bottom: float, old: OldEscape | None) -> EscapeFacts:
    return replace(
        BEDROOM, clear_width_mm=width, clear_height_mm=height, bottom_above_floor_mm=bottom, old=old
    )


@pytest.mark.parametrize(
    ("facts", "word"),
    [
        pytest.param(
            clear(460, 740, 1050, OLD_BIG), "meets", id="old 0.60 m2, new 0.34: down to the minimum"
        ),
        pytest.param(clear(460, 700, 1050, OLD_BIG), "fails", id="old met the minimum, new does not"),
        pytest.param(clear(480, 500, 1000, OLD_SMALL), "worse", id="old 0.25 m2, new 0.24"),
        pytest.param(clear(500, 500, 1000, OLD_SMALL), "advise", id="old short, new the same"),
        pytest.param(clear(500, 500, 1100, OLD_SMALL), "worse", id="old short, bottom higher"),
        pytest.param(clear(500, 500, 1000, None), "fails", id="nothing known of the old: minimum governs"),
        pytest.param(clear(500, 500, 1000, OldEscape()), "unknown", id="old not measured"),
    ],
)
def test_replacement_is_no_worse_or_down_to_the_minimum(facts: EscapeFacts, word: str) -> None:
    # Building Regulations 2010, regulation 4(3); ADB on replacement windows, paragraph not confirmed
    assert gravest(check_escape(facts, ENGLAND)) == word


def test_scotland_gives_no_relief_for_a_small_old_opening() -> None:
    # Building (Scotland) Regulations 2004: the new window meets the regulations
    assert gravest(check_escape(clear(500, 500, 1000, OLD_SMALL), rules_in_force("scotland", DAY))) == "fails"


@pytest.mark.parametrize(
    ("nation", "on", "word"),
    [
        pytest.param("england", DAY, "meets", id="ADB 2019 sets no lower bound"),
        pytest.param("scotland", DAY, "meets", id="Handbook 2.9.4 sets none"),
        pytest.param("northern_ireland", DAY, "fails", id="Technical Booklet E: 800 to 1100 mm"),
        pytest.param("ireland", DAY, "meets", id="TGD B volume 2 2017 sets none"),
        pytest.param("ireland", date(2016, 5, 1), "fails", id="TGD B 2006: 800 to 1100 mm"),
    ],
)
def test_a_bottom_at_700_mm_differs_by_nation_and_date(nation: str, on: date, word: str) -> None:
    assert (
        gravest(check_escape(replace(BEDROOM, bottom_above_floor_mm=700), rules_in_force(nation, on))) == word
    )


@pytest.mark.parametrize(
    ("room", "word"),
    [
        pytest.param(RoomPlace(use="kitchen", storey=0), "meets", id="2.1 kitchen"),
        pytest.param(RoomPlace(use="living", storey=0, hall_to_exit=True), "meets", id="2.1 hall to exit"),
        pytest.param(RoomPlace(use="living", storey=0, hall_to_exit=False), "fails", id="2.1 no hall"),
        pytest.param(RoomPlace(use="living", storey=0), "unknown", id="2.1 hall not said"),
        pytest.param(
            RoomPlace(use="bedroom", storey=1, floor_above_ground_mm=2700), "fails", id="2.2 upper bedroom"
        ),
        pytest.param(
            RoomPlace(use="bedroom", storey=1, protected_stair=True), "meets", id="2.2 protected stair"
        ),
        pytest.param(
            RoomPlace(use="bedroom", storey=2, floor_above_ground_mm=5200), "refer", id="2.4 over 4.5 m"
        ),
        pytest.param(RoomPlace(use="bedroom", storey=2), "unknown", id="2.4 height not measured"),
        pytest.param(RoomPlace(use="bathroom", storey=1, inner_room=True), "meets", id="2.11 inner bathroom"),
        pytest.param(
            RoomPlace(use="study", storey=0, hall_to_exit=True, inner_room=True),
            "fails",
            id="2.11 inner study",
        ),
        pytest.param(RoomPlace(use="bedroom", storey=1, flat=True), "refer", id="section 3 flats"),
        pytest.param(RoomPlace(storey=1), "unknown", id="use not said"),
    ],
)
def test_which_rooms_need_an_escape_opening(room: RoomPlace, word: str) -> None:
    small = replace(BEDROOM, room_needs=None, room=room, frame_clear_height_mm=400)
    assert gravest(check_escape(small, ENGLAND)) == word


@pytest.mark.parametrize(
    ("change", "word"),
    [
        pytest.param(
            {"hinge": "top_hung", "frame_clear_height_mm": 1500, "open_angle_deg": 60}, "refer", id="top"
        ),
        pytest.param({"hinge": "reversible"}, "refer", id="maker's sheet"),
        pytest.param({"hinge": "fixed"}, "fails", id="fixed"),
        pytest.param({"restrictor": "fixed"}, "fails", id="restrictor that can't be released"),
        pytest.param({"restrictor": "key"}, "advise", id="restrictor with a key"),
        pytest.param({"restrictor": "releasable"}, "meets", id="restrictor that can be released"),
    ],
)
def test_hinge_and_restrictor_under_2_10(change: dict[str, object], word: str) -> None:
    assert gravest(check_escape(replace(BEDROOM, **change), ENGLAND)) == word  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("nation", "on", "word"),
    [
        pytest.param("england", DAY, "advise", id="ADB 2.10 allows a removable key"),
        pytest.param("ireland", DAY, "fails", id="TGD B volume 2 2017 on hardware"),
        pytest.param("ireland", date(2016, 5, 1), "fails", id="TGD B 2006 1.5.6(e)"),
    ],
)
def test_a_restrictor_freed_only_by_a_key_is_no_way_out_in_ireland(nation: str, on: date, word: str) -> None:
    facts = replace(BEDROOM, restrictor="key")
    assert words(facts, nation, on)["escape.key"] == word


@pytest.mark.parametrize("nation", ["england", "northern_ireland", "ireland"])
def test_a_door_has_no_sill_to_be_too_low(nation: str) -> None:
    # Technical Booklet E and TGD B 2006: 800 mm is for windows
    door = replace(BEDROOM, hinge="door", frame_clear_height_mm=2000, bottom_above_floor_mm=20)
    on = date(2016, 5, 1) if nation == "ireland" else DAY
    found = words(door, nation, on)
    assert "escape.bottom_low" not in found
    assert set(found.values()) <= {"meets", "advise"}


@pytest.mark.parametrize(
    ("nation", "rule"), [("northern_ireland", "escape.roof_window"), ("england", "escape.bottom")]
)
def test_a_roof_window_is_referred(nation: str, rule: str) -> None:
    # Technical Booklet E: from 600 mm, not over 1.7 m from the eaves (a council leaflet)
    found = check_escape(replace(BEDROOM, roof_window=True), rules_in_force(nation, DAY))
    assert (rule, "refer") in {(v.rule, v.word) for v in found}
    assert "escape.bottom_low" not in {v.rule for v in found}


@pytest.mark.parametrize(
    ("flat", "on", "edition", "word"),
    [
        (False, date(2017, 6, 30), "2006", "fails"),
        (False, date(2017, 7, 1), "2017", "fails"),
        (True, date(2025, 4, 30), "2006", "fails"),
        (True, date(2025, 5, 1), "2024", "refer"),
    ],
)
def test_flats_left_the_volume_of_houses_in_ireland(flat: bool, on: date, edition: str, word: str) -> None:
    # TGD B 2006; volume 2 2017 for houses; volume 1 2024 for flats from 1 May 2025, its text not seen
    rules = rules_in_force("ireland", on, flat=flat)
    low = next(
        v
        for v in check_escape(replace(BEDROOM, bottom_above_floor_mm=1200), rules)
        if v.rule == "escape.bottom"
    )
    assert (low.word, edition in str(low.source)) == (word, True)


def test_no_escape_opening_is_asked_where_the_room_needs_none() -> None:
    [finding] = check_escape(EscapeFacts(room_needs=False), ENGLAND)
    assert finding.word == "meets"
    assert "needs no escape opening" in finding.why
