"""All rules on one opening and the house, and the remedies. The openings are invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from jambwright.checks.regulations import (
    AccessFacts,
    EnergyFacts,
    FireFacts,
    FlueFacts,
    GlassFacts,
    HouseFacts,
    LightFacts,
    OldEscape,
    OpeningFacts,
    PaneFacts,
    RoomPlace,
    check_house,
    check_opening,
    remedies,
)

DAY = date(2026, 5, 1)
FLOAT4 = GlassFacts(kind="annealed", thickness_mm=4)

OPENER = LightFacts(
    mark="A",
    hinge="side_hung",
    frame_clear_width_mm=520,
    frame_clear_height_mm=1050,
    obstruction_mm=25,
    open_angle_deg=90,
    bottom_above_floor_mm=900,
    vents_mm2=(4000, 4000),
)
FIXED = LightFacts(mark="B", frame_clear_width_mm=700, frame_clear_height_mm=1050, bottom_above_floor_mm=900)


def pane(light: str, bottom: float, top: float, width: float) -> PaneFacts:
    return PaneFacts(
        light=light,
        place="window",
        bottom_above_floor_mm=bottom,
        top_above_floor_mm=top,
        width_mm=width,
        height_mm=top - bottom,
        leaves=(FLOAT4, FLOAT4),
    )


BEDROOM = OpeningFacts(
    nation="england",
    date=DAY,
    room=RoomPlace(use="bedroom", storey=1, floor_above_ground_mm=2700, protected_stair=False),
    floor_area_m2=10,
    mechanical="none",
    lights=(OPENER, FIXED),
    panes=(pane("A", 950, 1900, 420), pane("B", 950, 1900, 600)),
    drop_outside_mm=3600,
    children=False,
    energy=EnergyFacts(u_w_m2k=1.3),
)


def grave(facts: OpeningFacts) -> set[str]:
    return {v.rule for v in check_opening(facts) if v.word in ("fails", "worse")}


def low(facts: OpeningFacts) -> OpeningFacts:
    """The same window with its sill 300 mm above the floor."""
    return replace(
        facts,
        lights=tuple(
            replace(light, bottom_above_floor_mm=300, frame_clear_height_mm=1650) for light in facts.lights
        ),
        panes=(pane("A", 350, 1900, 420), pane("B", 350, 1900, 600)),
    )


def test_a_sound_bedroom_window_fails_nothing() -> None:
    assert {v.word for v in check_opening(BEDROOM)} == {"meets", "advise"}
    assert [v.rule for v in check_opening(BEDROOM) if v.word == "advise"] == ["security.product"]


def test_a_missing_sill_height_is_unknown_never_a_pass() -> None:
    lights = tuple(replace(light, bottom_above_floor_mm=None) for light in BEDROOM.lights)
    panes = tuple(replace(p, bottom_above_floor_mm=None) for p in BEDROOM.panes)
    found = check_opening(replace(BEDROOM, lights=lights, panes=panes))
    unknown = {v.rule for v in found if v.word == "unknown"}
    assert unknown == {"escape.bottom", "guarding.height", "safety_glass.window"}
    assert all("finished floor" in v.why for v in found if v.word == "unknown")


def test_the_best_opener_serves_as_the_way_out() -> None:
    small = replace(OPENER, mark="C", frame_clear_width_mm=400, vents_mm2=())
    assert not grave(replace(BEDROOM, lights=(small, OPENER)))


def test_an_opening_without_lights_is_asked_about() -> None:
    words = {v.rule: v.word for v in check_opening(replace(BEDROOM, lights=(), panes=()))}
    assert words["escape.area"] == "unknown"


def test_every_group_given_is_reported() -> None:
    facts = replace(
        BEDROOM,
        kind="door",
        flue=FlueFacts(appliance="gas_fanned", direction="beside", to_opener_mm=200, to_frame_mm=200),
        access=AccessFacts(upstand_mm=15, clear_width_mm=800, old_clear_width_mm=800),
        fire=FireFacts(to_boundary_m=3, opening_area_m2=2, old_opening_area_m2=2),
        combustion_vent=True,
    )
    found = {v.rule for v in check_opening(facts)}
    assert {"flue.gas_fanned.opener", "flue.combustion_air", "access.upstand", "fire.boundary"} <= found
    assert "energy.door.u" in found


def test_low_glass_over_a_drop_is_advised_to_be_laminated() -> None:
    found = [v for v in check_opening(low(BEDROOM)) if v.rule == "guarding.containment"]
    assert len(found) == 2
    assert all(v.word == "advise" for v in found)


def test_the_same_opening_differs_in_scotland_and_ireland() -> None:
    scotland = {v.rule: v.word for v in check_opening(replace(BEDROOM, nation="scotland"))}
    ireland = {v.rule: v.word for v in check_opening(replace(BEDROOM, nation="ireland"))}
    assert scotland["ventilation.background.habitable"] == "refer"  # 12000 mm², less where it leaks
    assert ireland["ventilation.background.habitable"] == "refer"  # figure not held
    assert scotland["guarding.height"] == "advise"  # the figure is not confirmed
    assert ireland["guarding.height"] == "meets"
    assert ireland["guarding.restrictor"] == "fails"  # whatever the sill
    assert ireland["energy.window.u"] == "meets"


def test_nothing_is_changed_where_nothing_fails() -> None:
    found = remedies(BEDROOM)
    assert (found.choices, found.beyond) == ((), ())


def test_a_wider_opening_stay_mends_a_narrow_way_out() -> None:
    tight = replace(OPENER, open_angle_deg=65, obstruction_mm=70)
    found = remedies(replace(BEDROOM, lights=(tight, FIXED)))
    first = found.choices[0]
    assert [step.kind for step in first.steps] == ["stay"]
    assert "wide-opening escape stay" in first.say
    assert not grave(first.facts)


def test_the_opener_moves_to_the_wider_light_when_no_stay_will_do() -> None:
    narrow = replace(OPENER, frame_clear_width_mm=460)
    found = remedies(replace(BEDROOM, lights=(narrow, FIXED)))
    assert found.choices[0].say == "move the opener from light A to light B"


def test_a_low_window_gets_a_transom_and_safe_glass_and_stays_a_way_out() -> None:
    found = remedies(low(BEDROOM))
    kinds = {step.kind for step in found.choices[0].steps}
    assert {"raise_transom", "glass"} <= kinds
    for choice in found.choices:
        assert not grave(choice.facts)
        opener = next(light for light in choice.facts.lights if light.hinge != "fixed")
        assert opener.bottom_above_floor_mm == 800
    assert any("fixed laminated light below" in step.say for step in found.choices[0].steps)


def test_a_transom_cuts_a_raked_pane_by_its_true_outline() -> None:
    raked = replace(
        low(BEDROOM).panes[0], outline_mm=((0.0, 350.0), (420.0, 350.0), (420.0, 1900.0), (0.0, 1500.0))
    )
    found = remedies(replace(low(BEDROOM), panes=(raked,)))
    lower, upper = sorted(
        (p.outline_mm for p in found.choices[0].facts.panes if p.outline_mm),
        key=lambda o: min(y for _, y in o),
    )
    assert max(y for _, y in lower) == pytest.approx(800)
    assert min(y for _, y in upper) == pytest.approx(800)


def test_ventilators_are_counted_from_the_sizes_there_are() -> None:
    bare = replace(OPENER, vents_mm2=())
    found = remedies(replace(BEDROOM, lights=(bare, FIXED)))
    assert [choice.say.split(" of ")[0] for choice in found.choices] == [
        "2 ventilators",
        "4 ventilators",
    ]
    assert all(not grave(choice.facts) for choice in found.choices)


def test_ventilators_in_the_rooms_other_window_count() -> None:
    bare = replace(OPENER, vents_mm2=())
    found = remedies(replace(BEDROOM, lights=(bare, FIXED), other_vents_mm2=(4000,)))
    assert found.choices[0].say.startswith("1 ventilator of 4000")


def test_several_failures_are_mended_at_once_and_no_choice_holds_another() -> None:
    facts = replace(
        low(BEDROOM),
        lights=tuple(
            replace(light, vents_mm2=(), open_angle_deg=60 if light.mark == "A" else None)
            for light in low(BEDROOM).lights
        ),
    )
    found = remedies(facts)
    assert 1 < len(found.choices) <= 4
    weights = [choice.weight for choice in found.choices]
    assert weights == sorted(weights)
    for choice in found.choices:
        assert not grave(choice.facts)
        others = [set(other.steps) for other in found.choices if other is not choice]
        assert not any(other <= set(choice.steps) for other in others)


def test_a_top_hung_way_out_becomes_side_hung() -> None:
    top = replace(OPENER, hinge="top_hung", open_angle_deg=40)
    found = remedies(replace(BEDROOM, lights=(top,)))
    assert any("side hung" in choice.say for choice in found.choices)


def test_ireland_gets_the_releasable_restrictor() -> None:
    found = remedies(replace(low(BEDROOM), nation="ireland", panes=()))
    assert found.choices[0].say == "light A: child-resistant restrictor that can be released"


def test_a_door_and_its_energy_lie_beyond_the_layout() -> None:
    found = remedies(replace(BEDROOM, energy=EnergyFacts(u_w_m2k=1.6)))
    assert [v.rule for v in found.beyond] == ["energy.window.u"]
    assert found.choices == ()


def test_what_can_be_mended_is_mended_beside_what_cannot() -> None:
    high = tuple(replace(light, bottom_above_floor_mm=1300, vents_mm2=()) for light in BEDROOM.lights)
    found = remedies(replace(BEDROOM, lights=high))
    assert [v.rule for v in found.beyond] == ["escape.bottom"]
    assert found.choices
    assert found.choices[0].steps[0].kind == "vents"


def test_a_window_no_better_than_a_small_old_one_is_not_pressed() -> None:
    old = OldEscape(clear_width_mm=400, clear_height_mm=1000, bottom_above_floor_mm=900)
    narrow = replace(OPENER, frame_clear_width_mm=425)
    found = check_opening(replace(BEDROOM, lights=(narrow,), panes=(), old=old))
    assert {v.word for v in found if v.rule.startswith("escape.")} == {"meets", "advise"}


def test_the_house_is_told_its_consents_papers_and_hazards() -> None:
    rules = {v.rule for v in check_house(HouseFacts(nation="england", date=DAY))}
    for group in ("heritage.", "notify.", "hazard."):
        assert any(rule.startswith(group) for rule in rules)


@pytest.mark.parametrize("angle", [5e-324, 1e-160, 1e-9, 1e-3, 0.5])
def test_a_light_that_hardly_opens_is_no_reason_to_move_a_mullion_and_stops_no_search(angle: float) -> None:
    narrow = replace(OPENER, frame_clear_width_mm=470)
    shut = replace(OPENER, mark="C", open_angle_deg=angle)
    found = remedies(replace(BEDROOM, lights=(narrow, FIXED, shut)))
    assert found.choices
    assert not any(change.kind == "mullion" and change.on == "C" for c in found.choices for change in c.steps)


def test_the_mullion_moves_by_whole_steps_until_the_way_out_is_wide_enough() -> None:
    narrow = replace(OPENER, frame_clear_width_mm=462, sash_width_mm=700, sash_height_mm=1100)
    found = remedies(replace(BEDROOM, lights=(narrow, FIXED))).choices[0]
    assert found.say == "light A: 15 mm wider at the cost of light B"
    opener, fixed = found.facts.lights
    assert (opener.frame_clear_width_mm, fixed.frame_clear_width_mm) == (477, 685)
    assert [pane.width_mm for pane in found.facts.panes] == [435, 585]


@pytest.mark.parametrize(
    "change",
    [
        pytest.param({"bottom_above_floor_mm": 1000}, id="at another level"),
        pytest.param({"frame_clear_height_mm": 800}, id="of another height"),
        pytest.param({"frame_clear_width_mm": 205}, id="too narrow to give any away"),
    ],
)
def test_only_a_light_beside_it_can_give_width_away(change: dict[str, float]) -> None:
    narrow = replace(OPENER, frame_clear_width_mm=460, sash_width_mm=700, sash_height_mm=1100)
    found = remedies(replace(BEDROOM, lights=(narrow, replace(FIXED, **change))))  # type: ignore[arg-type]  # fields by name
    assert not any("wider" in choice.say for choice in found.choices)


def test_a_fixed_light_opens_too_where_the_room_is_aired_too_little() -> None:
    found = remedies(replace(BEDROOM, floor_area_m2=15))
    assert found.choices[0].say == "light B opens too, side hung"
    assert not grave(found.choices[0].facts)


def test_an_opener_does_not_move_to_a_light_like_its_own() -> None:
    narrow = replace(OPENER, frame_clear_width_mm=460)
    alike = replace(narrow, mark="B", hinge="fixed", open_angle_deg=None, vents_mm2=())
    found = remedies(replace(BEDROOM, lights=(narrow, alike), floor_area_m2=5))
    assert not any("move the opener" in choice.say for choice in found.choices)


def test_no_choice_changes_many_times_as_much_as_the_smallest() -> None:
    choices = remedies(low(BEDROOM)).choices
    assert max(c.weight for c in choices) <= 3 * choices[0].weight


def test_air_told_at_another_opening_is_not_told_twice() -> None:
    found = check_opening(replace(BEDROOM, lights=(replace(OPENER, vents_mm2=()),), air_told_at="W3 bedroom"))
    assert not [v for v in found if v.rule.startswith("ventilation.")]
