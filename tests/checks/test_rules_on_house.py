"""The rules on the demo house: failures with remedies that pass, what is missing, other nations and days.

Differences between nations as in the practice reference, sections A1 to A6, each named by its document.
"""

from __future__ import annotations

import functools
import re

import pytest

from demo_house import DECLARED, changed, without_failures
from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.checks.gates import stopped
from jambwright.checks.regulations import check_opening
from jambwright.checks.rule_needs import rule_wants
from jambwright.readings.survey_file import read_survey

DEMO = read_text("demo_house.yaml")


@functools.cache
def rules(nation="england", day="2026-12-07"):
    text = DEMO.replace("nation: england", f"nation: {nation}").replace("2026-12-07", day)
    return job.plan_house(read_survey(text)).rules


def words(found):
    """The word of each rule, of one opening or the house."""
    return {v.rule: v.word for v in reversed(found)}


def against(found):
    return {v.rule for v in found.verdicts if v.word in ("fails", "worse")}


def needs(text):
    survey = read_survey(text)
    return rule_wants(survey, job.plan_house(survey).rules)


def test_the_demo_house_fails_where_a_fitter_would_expect_it():
    failing = {mark: against(found) for mark, found in rules().openings.items() if against(found)}
    bedroom = {"escape.width", "ventilation.purge.kept"}
    assert failing == {"W3": bedroom, "W4": bedroom, "D2": {"access.width_kept"}}
    assert not [v for found in rules().openings.values() for v in found.verdicts if v.word == "unknown"]


@pytest.mark.parametrize("nation", ["england", "wales", "scotland", "northern_ireland", "ireland"])
def test_every_choice_offered_passes_when_its_order_is_checked_again(nation):
    offered = [
        (found, choice) for found in rules(nation).openings.values() for choice in found.remedies.choices
    ]
    assert offered
    for found, choice in offered:
        left = {v.rule for v in check_opening(choice.facts) if v.word in ("fails", "worse")}
        assert left <= {v.rule for v in found.remedies.beyond}
        assert choice.steps


def test_the_first_choice_ordered_in_the_readings_file_passes():
    found = job.plan_house(read_survey(without_failures())).rules
    assert {mark for mark, each in found.openings.items() if against(each)} == set()
    first = rules().openings["W3"].remedies.choices[0]
    assert first.say == "light A: 35 mm wider at the cost of light B"


def test_the_wider_stay_passes_as_ordered_too():
    opener = {"opens": "side_hung_left", "open_angle_deg": 90, "obstruction_mm": 25}
    both = [opener | {"vent_mm2": 4000}, opener | {"opens": "side_hung_right", "vent_mm2": 4000}]
    wanted = {"declared": DECLARED, "layout": {"across": both}}
    found = job.plan_house(read_survey(changed(W3={"wanted": wanted}))).rules
    assert against(found.openings["W3"]) == set()
    assert "wide-opening escape stay" in rules().openings["W3"].remedies.choices[1].say


def test_what_no_change_mends_is_said_and_not_hidden():
    door = rules().openings["D2"].remedies
    assert (door.choices, [v.rule for v in door.beyond]) == ((), ["access.width_kept"])


def test_the_air_of_a_room_is_told_once_under_its_window():
    kitchen = rules().openings
    assert kitchen["D2"].air_told_at == "W1 kitchen"
    assert not [v for v in kitchen["D2"].verdicts if v.rule.startswith("ventilation.")]
    assert "ventilation.purge.wet_room" in words(kitchen["W1"].verdicts)


def test_what_is_taken_as_usual_is_said():
    assert "70 mm blocked" in rules().openings["W3"].assumed[0]
    assert rules().openings["W1"].assumed == ()  # a kitchen asks for no way out


@pytest.mark.parametrize(
    ("mark", "rule", "england", "scotland"),
    [
        pytest.param("W3", "ventilation.background.habitable", ("meets", 8000), ("refer", 12000),
                     id="AD F 3.15a; Domestic Handbook 3.14: 12000 an apartment"),
        pytest.param("W1", "ventilation.background.kitchen", ("meets", 8000), ("refer", 10000),
                     id="AD F 3.15a; Domestic Handbook 3.14: 10000 a kitchen"),
        pytest.param("W2", "ventilation.background.bathroom", ("meets", 4000), ("refer", 10000),
                     id="AD F 3.15a; Domestic Handbook 3.14: 10000 a bathroom"),
        pytest.param("W9", "ventilation.background.small_room", ("advise", "largest practical"),
                     ("fails", 10000), id="AD F 3.15; Domestic Handbook 3.14: 10000 a utility"),
    ],
)  # fmt: skip
def test_scotland_asks_for_larger_ventilators(mark, rule, england, scotland):
    for nation, wanted in (("england", england), ("scotland", scotland)):
        found = next(v for v in rules(nation).openings[mark].verdicts if v.rule == rule)
        assert (found.word, found.limit) == wanted


def test_scotland_airs_by_a_thirtieth_of_the_floor_and_asks_for_no_warrant():
    """Domestic Handbook 3.14 (read, an older text) against AD F Table 1.4: 1/30 and 1/20 of 14.6 m2."""
    found = next(v for v in rules("scotland").openings["W3"].verdicts if v.rule == "ventilation.purge.wide")
    assert (found.word, found.limit) == ("advise", pytest.approx(14.6 / 30))
    assert found.found > found.limit  # the sash sizes are by a generic profile
    route = next(v for v in rules("scotland").house if v.rule == "notify.route")
    assert "no warrant" in route.why.lower()  # Building (Scotland) Regulations 2004, Schedule 3


def test_ireland_asks_for_restrictors_high_above_ground_and_holds_no_ventilation_figure():
    """TGD K 2014 2.4 and 2.7: over 1400 mm above ground; TGD F, TGD L and notices."""
    england, ireland = rules().openings, rules("ireland").openings
    assert words(england["W7"].verdicts)["guarding.height"] == "advise"
    assert words(ireland["W7"].verdicts)["guarding.height"] == "meets"
    restrictor = next(v for v in ireland["W3"].verdicts if v.rule == "guarding.restrictor")
    assert (restrictor.word, restrictor.limit) == ("fails", 100)
    assert "restrictor that can be released" in ireland["W3"].remedies.choices[0].say
    assert words(ireland["W3"].verdicts)["ventilation.background.habitable"] == "refer"
    window = next(v for v in ireland["W7"].verdicts if v.rule == "energy.window.u")
    assert (window.limit, "band B or better" in window.why) == (1.4, False)
    assert "no notice" in next(v for v in rules("ireland").house if v.rule == "notify.route").why.lower()


def test_the_way_out_is_the_same_in_all_three():
    for nation in ("england", "scotland", "ireland"):
        found = next(v for v in rules(nation).openings["W3"].verdicts if v.rule == "escape.width")
        assert (found.word, found.limit) == ("fails", 450)


def test_the_day_of_the_work_decides_the_edition():
    """Approved Document F, 2026 edition, from 24 March 2027; its figures were not seen."""
    before = next(v for v in rules().openings["W3"].verdicts if v.rule.startswith("ventilation.background"))
    after = next(
        v
        for v in rules(day="2027-03-24").openings["W3"].verdicts
        if v.rule.startswith("ventilation.background")
    )
    assert "2021 edition" in before.source.document
    assert "2026 edition" in after.source.document
    assert (before.word, after.word) == ("meets", "refer")
    assert "not confirmed" in after.source.place
    assert "earlier edition" in after.sentence
    assert stopped(after, ()).stops == ("ordering",)


def test_without_a_day_of_work_nothing_is_passed():
    survey = read_survey(DEMO.replace("date_of_work: 2026-12-07", "date_of_work:"))
    found = job.plan_house(survey).rules
    assert {v.word for each in found.openings.values() for v in each.verdicts} == {"unknown"}
    (want,) = rule_wants(survey, found)
    assert (want.field, "the day of the work" in want.say) == ("date_of_work", True)


def test_a_missing_sill_height_is_asked_for_once_with_all_it_keeps_open():
    text = re.sub(r" +sill_above_floor_mm: 860\n", "", DEMO)
    found = job.plan_house(read_survey(text)).rules.openings["W3"]
    for rule in ("escape.bottom", "guarding.height", "safety_glass.window"):
        assert words(found.verdicts)[rule] == "unknown"
    (want,) = [p for p in needs(text) if p.field == "openings.2.sill_above_floor_mm"]
    assert want.say.startswith("W3 front bedroom: measure from the finished floor inside")
    assert want.say.endswith("Until then unknown: escape, guarding, safety glass.")


@pytest.mark.parametrize(
    ("cut", "field", "says"),
    [
        (r" +children: true\n", "house.children", "children under five"),
        (r" +listed: false\n", "house.listed", "the house is listed"),
        (r"registered_installer: true\n", "registered_installer", "registered to certify"),
        (r", floor_area_m2: 14.6", "house.rooms", "front bedroom: measure length times width"),
        (r" +drop_outside_mm: 3600\n", "openings.2.drop_outside_mm", "down to the ground"),
        (r", open_angle_deg: 40", "openings.1.wanted.layout", "opening angle"),
    ],
)
def test_each_missing_input_is_named_with_where_to_write_it(cut, field, says):
    text = re.sub(cut, "", DEMO).replace("extract_fan: true, disturb", "disturb")
    (want,) = [p for p in needs(text) if p.field == field]
    assert says in want.say


def test_a_room_whose_door_is_not_known_is_asked_about_only_when_it_matters():
    text = DEMO.replace("floor_area_m2: 17.8, way_out: hall", "floor_area_m2: 17.8")
    found = job.plan_house(read_survey(text)).rules.openings["W7"].verdicts
    asked = [v.why for v in found if v.word == "unknown"]
    assert asked
    assert all("hall that leads straight out" in why for why in asked)


def test_findings_against_the_order_come_with_what_to_order_instead():
    offered = {mark: found.remedies.choices for mark, found in rules().openings.items()}
    assert offered["W3"][0].say.startswith("light A: 35 mm wider")
    assert offered["D2"] == ()
    assert needs(without_failures()) == []


def test_glass_of_a_fixed_low_window_asks_for_the_drop_it_may_have_to_guard():
    low = {"sill_above_floor_mm": 300, "drop_outside_mm": None, "wanted": {"layout": {"opens": "fixed"}}}
    found = job.plan_house(read_survey(changed(W5=low))).rules.openings["W5"]
    assert words(found.verdicts)["guarding.drop"] == "unknown"


def test_a_key_only_restrictor_on_a_way_out_fails_in_ireland():
    """TGD B volume 2 2017 on hardware, second hand x3: no removable key or tool."""
    key = {"opens": "side_hung_left", "open_angle_deg": 90, "obstruction_mm": 25, "restrictor": "key"}
    text = changed(W5={"wanted": {"layout": key}}).replace('"nation": "england"', '"nation": "ireland"')
    found = job.plan_house(read_survey(text)).rules.openings["W5"]
    assert words(found.verdicts)["escape.key"] == "fails"
    assert any("restrictor that can be released" in choice.say for choice in found.remedies.choices)


@pytest.mark.parametrize("nation", ["northern_ireland", "ireland", "scotland"])
def test_no_door_is_told_to_be_barred(nation):
    """Technical Booklet E: 800 mm is for windows."""
    for mark in ("D1", "D2"):
        found = rules(nation).openings[mark]
        assert "escape.bottom_low" not in words(found.verdicts)
        assert not any("transom" in choice.say for choice in found.remedies.choices)


def test_the_notice_is_asked_for_once_and_only_where_the_edition_hangs_on_it():
    """SI 2026/335: notice before 24 March 2027 and start within a year keep the editions of 2021."""
    later = DEMO.replace("2026-12-07", "2027-05-10").replace(
        "registered_installer: true", "registered_installer: false"
    )
    (want,) = [p for p in needs(later) if p.field == "notice_date"]
    assert "the day the notice" in want.say
    kept = later.replace("date_of_work:", "notice_date: 2027-03-01\ndate_of_work:")
    assert not [p for p in needs(kept) if "notice_date" in p.field]
    found = job.plan_house(read_survey(kept)).rules.openings["W3"].verdicts
    assert {v.word for v in found if v.rule == "energy.window.u"} <= {"meets", "fails"}
    assert not [p for p in needs(DEMO) if p.field == "notice_date"]


def test_a_finding_names_neither_its_opening_nor_its_light_but_knows_its_light():
    for mark, found in rules().openings.items():
        for verdict in found.verdicts:
            assert not verdict.why.startswith((mark, "Light ", "Pane "))
    told = {v.rule: v.part for v in rules().openings["W3"].verdicts}
    assert (str(told["escape.width"]), str(told["safety_glass.window"])) == ("light A", "pane B")
    assert told["energy.window.u"] is None


def test_what_is_wanted_of_an_opening_carries_its_mark():
    found = needs(changed(W3={"sill_above_floor_mm": None}))
    assert {p.opening for p in found if p.field.startswith("openings.2.")} == {"W3"}
    assert all(p.say.startswith(f"{p.of}: ") for p in found if p.opening)
