import json

import pytest

from jambwright import calc
from jambwright.basis import BadInput

PANE = {"thickness_mm": 4, "kind": "annealed"}
SINGLE = {"width_mm": 1000, "height_mm": 1000, "panes": [PANE], "wind_pa": 1000}
DOUBLE = {"width_mm": 1000, "height_mm": 1500, "panes": [PANE, PANE], "cavities_mm": [16], "wind_pa": 863}
SUMMER = {"altitude_change_m": 600, "temperature_change_k": 20, "pressure_change_pa": -2000}
SMALL = {"width_mm": 900, "height_mm": 1200, "wind_in_pa": 863, "wind_out_pa": -929}


def problems(name, given):
    with pytest.raises(BadInput) as caught:
        calc.answer(name, given)
    return {p.field: p.say for p in caught.value.problems}


def test_single_glass_carries_all_the_wind_and_has_no_cavity():
    found = calc.answer("glass-strength", SINGLE)
    pane = found["panes"][0]
    assert pane["load_pa"] == 1000
    assert pane["deflection_mm"] == pytest.approx(6.811, rel=0.003)
    assert pane["centre_stress_n_mm2"] == pytest.approx(11.94, rel=0.01)
    assert pane["stress_n_mm2"] == pytest.approx(12.30, rel=0.015)
    assert pane["utilisation"] == pytest.approx(pane["stress_n_mm2"] / pane["design_strength_n_mm2"])
    assert (found["unit_factor"], found["isochoric_pa"], found["cavity_pressure_pa"]) == (1, 0, 0)
    assert "cavity_left_mm" not in found
    json.dumps(found, allow_nan=False)


def test_a_double_unit_shares_wind_and_holds_back_climate():
    found = calc.answer("glass-strength", {**DOUBLE, "site": SUMMER})
    assert found["unit_factor"] == pytest.approx(0.0095, rel=0.01)
    assert found["isochoric_pa"] == 16_000
    assert found["cavity_pressure_pa"] == pytest.approx(found["unit_factor"] * 16_000)
    left = found["cavity_pressure_pa"]
    loads = [pane["load_pa"] for pane in found["panes"]]
    assert loads == pytest.approx([0.505 * 863 - left, 0.495 * 863 + left], rel=0.003)
    assert found["passes"]


def test_a_narrow_unit_fails_by_climate_at_its_longer_duration():
    found = calc.answer("glass-strength", {**DOUBLE, "width_mm": 300, "height_mm": 1000, "site": SUMMER})
    outer = found["panes"][0]
    assert outer["design_strength_n_mm2"] == pytest.approx(16.31, abs=0.01)
    assert outer["stress_n_mm2"] == pytest.approx(25.7, rel=0.01)
    assert not found["passes"]


def test_the_load_factor_counts_for_strength_alone():
    plain = calc.answer("glass-strength", DOUBLE)["panes"][0]
    factored = calc.answer("glass-strength", {**DOUBLE, "load_factor": 1.5})["panes"][0]
    assert factored["load_pa"] == pytest.approx(1.5 * plain["load_pa"])
    assert factored["stress_n_mm2"] == pytest.approx(12.37, rel=0.01)
    assert factored["deflection_mm"] == plain["deflection_mm"]


def test_suction_loads_the_panes_outwards():
    pushed, pulled = (calc.answer("glass-strength", {**DOUBLE, "wind_pa": p}) for p in (863, -863))
    for one, other in zip(pushed["panes"], pulled["panes"], strict=True):
        assert other["load_pa"] == -one["load_pa"]
        assert other["stress_n_mm2"] == one["stress_n_mm2"]


def test_a_narrow_cavity_leaves_the_panes_nearer_to_each_other():
    touching = {**DOUBLE, "width_mm": 2000, "height_mm": 2000, "cavities_mm": [6], "wind_pa": 0,
                "site": {"temperature_change_k": -35, "pressure_change_pa": 4000}}  # fmt: skip
    found = calc.answer("glass-strength", touching)
    assert (
        found["cavity_left_mm"]
        < calc.answer("glass-strength", {**touching, "cavities_mm": [16]})["cavity_left_mm"]
    )


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"panes": [{"thickness_mm": 0, "kind": "annealed"}]}, "panes.0.thickness_mm", "must be more than 0"),
        ({"panes": [{"thickness_mm": 4, "kind": "plastic"}]}, "panes.0.kind", "is not one of"),
        ({"panes": [{"thickness_mm": 7, "kind": "laminated"}]}, "thickness_mm", "known are 4.4"),
        ({"panes": []}, "panes", "at least 1"),
        ({"cavities_mm": [16]}, "cavities_mm", "1 panes have 0 cavities"),
        ({"site": SUMMER}, "site", "single glass has no sealed cavity"),
        ({"width_mm": 20}, "width_mm", "50 to 6000 mm"),
        ({"wind": 3}, "wind", "no such field"),
    ],
)
def test_bad_glass_is_refused_by_name_with_the_remedy(change, field, words):
    assert words in problems("glass-strength", {**SINGLE, **change})[field]


CAVITY = {"temperature_pa": -8500, "barometer_pa": -4000, "altitude_pa": 1200}
ACTIONS = {name: value for name, value in DOUBLE.items() if name != "wind_pa"} | {
    "actions": {"wind_pa": 863, "cavity": CAVITY}
}


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"actions": {"wind_pa": 863}}, "actions.cavity", "is missing"),
        (
            {"actions": {"wind_pa": 863, "cavity": {"temperature_pa": 1}}},
            "actions.cavity.barometer_pa",
            "missing",
        ),
        ({"actions": {"cavity": CAVITY}}, "actions.wind_pa", "is missing"),
        ({"actions": {"wind_pa": 863, "snow_pa": 1, "cavity": CAVITY}}, "actions.snow_pa", "no such field"),
        ({"factors": "brave"}, "factors", "is not one of"),
        ({"site": SUMMER}, "site", "takes its place"),
        ({"wind_pa": 900}, "wind_pa", "another wind"),
        ({"load_factor": 1.5}, "load_factor", "take its place"),
        ({"panes": [PANE], "cavities_mm": []}, "actions.cavity", "single glass has no sealed cavity"),
    ],
)
def test_bad_actions_are_refused_by_name_with_the_remedy(change, field, words):
    assert words in problems("glass-strength", {**ACTIONS, **change})[field]


def test_factors_without_the_climate_of_a_sealed_unit_are_refused():
    assert "is missing" in problems("glass-strength", {**DOUBLE, "factors": "safe"})["site"]


def test_actions_told_by_the_day_of_sealing_are_those_told_one_by_one():
    winter = {"altitude_change_m": 100, "temperature_change_k": -25, "pressure_change_pa": 4000}
    by_day = calc.answer("glass-strength", {**DOUBLE, "site": winter, "factors": "safe"})
    one_by_one = calc.answer("glass-strength", ACTIONS)
    assert by_day == one_by_one
    assert (one_by_one["factors"], one_by_one["verdict"]) == ("safe", "meets")
    assert list(one_by_one["panes"][0]["cases"]) == ["C1", "C2", "C3", "C4"]


def test_the_old_question_is_answered_with_the_old_fields_alone():
    found = calc.answer("glass-strength", {**DOUBLE, "site": SUMMER})
    assert set(found) == {
        "panes", "unit_factor", "isochoric_pa", "cavity_pressure_pa", "cavity_left_mm", "passes",
    }  # fmt: skip
    assert set(found["panes"][0]) == {
        "load_pa", "stress_n_mm2", "centre_stress_n_mm2", "design_strength_n_mm2", "deflection_mm",
        "deflection_limit_mm", "utilisation",
    }  # fmt: skip


def test_single_glass_has_the_wind_alone_to_bear():
    single = {**SINGLE, "actions": {"wind_pa": 1000}}
    cases = calc.answer("glass-strength", single)["panes"][0]["cases"]
    assert cases["C1"]["load_pa"] == 1500
    assert cases["C3"]["load_pa"] == cases["C4"]["load_pa"] == 0


def test_no_wind_is_refused_by_name():
    given = {name: value for name, value in SINGLE.items() if name != "wind_pa"}
    assert "is missing" in problems("glass-strength", given)["wind_pa"]


@pytest.mark.parametrize("given", [SINGLE, DOUBLE, {**DOUBLE, "site": SUMMER}, ACTIONS])
def test_the_working_ends_in_the_answer(given):
    steps = {step["symbol"]: step for step in calc.working("glass-strength", given)}
    for number, pane in enumerate(calc.answer("glass-strength", given)["panes"], start=1):
        assert steps[f"σ_{number}"]["value"] == pytest.approx(pane["stress_n_mm2"])
        assert steps[f"f_g,d_{number}"]["value"] == pytest.approx(pane["design_strength_n_mm2"])
        assert abs(steps[f"w_{number}"]["value"]) == pytest.approx(pane["deflection_mm"])


def test_the_lightest_make_up_is_chosen_and_the_lighter_ones_say_why_not():
    plain = calc.answer("choose-glass", SMALL)
    assert plain["make_up"] == "4-16Ar-4 low-e"
    by_door = calc.answer("choose-glass", {**SMALL, "class_outside": 3, "class_inside": 3})
    assert by_door["chosen"] == "D44T"
    assert by_door["tried"][0]["why_not"] == ["its impact class is too low"]
    assert by_door["tried"][-1]["why_not"] == []


@pytest.mark.parametrize(("wanted", "chosen"), [(0, "D44"), (3, "D44T"), (2, "D44T"), (1, "D44T")])
def test_impact_classes_are_those_usual_for_the_kind_of_glass(wanted, chosen):
    # EN 12600 declarations of common products: 4 mm toughened 1(C)3, annealed none (from memory, medium)
    found = calc.answer("choose-glass", {**SMALL, "class_outside": wanted, "class_inside": wanted})
    assert found["chosen"] == chosen


def test_a_laminate_is_refused_where_class_1_is_wanted_and_it_has_2():
    from jambwright.checks.glass import choose_glass, stock_glass

    laminates = [glass for glass in stock_glass() if glass.id in ("DLL", "DMM")]
    pane = {"width_mm": 900.0, "height_mm": 1200.0, "in_pa": 800.0, "out_pa": -900.0, "stock": laminates}
    picked = [
        choose_glass(**pane, class_outside=wanted, class_inside=wanted).chosen[0] for wanted in (3, 2, 1)
    ]
    assert [laminates[at].id for at in picked] == ["DLL", "DLL", "DMM"]


def test_a_stormy_coast_wants_heavier_glass_than_a_suburb():
    large = {**SMALL, "width_mm": 1400, "height_mm": 1800}
    suburb = calc.answer("choose-glass", large)
    coast = calc.answer(
        "choose-glass", {**large, "wind_in_pa": 2100, "wind_out_pa": -2700, "altitude_change_m": 200}
    )
    assert coast["mass_kg_m2"] >= suburb["mass_kg_m2"]
    assert coast["make_up"] != suburb["make_up"]
    assert any("of what the glass bears" in why for why in coast["tried"][0]["why_not"])


def test_the_u_value_limit_counts_with_the_rest():
    # EN 673: 4-16Ar-4 with one soft coating 1.12, 4-12Ar-4-12Ar-4 with two 0.7 W/m2K
    found = calc.answer("choose-glass", {**SMALL, "u_limit_w_m2k": 1.0})
    assert found["chosen"] == "T444"
    assert "its U-value is over the limit or was not given" in found["tried"][0]["why_not"]


def test_when_nothing_in_stock_passes_no_glass_is_named():
    found = calc.answer("choose-glass", {**SMALL, "width_mm": 5000, "height_mm": 5000, "wind_in_pa": 4000})
    assert found["chosen"] is None
    assert all(tried["why_not"] for tried in found["tried"])


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"u_limit_w_m2k": 0}, "u_limit_w_m2k", "must be more than 0"),
        ({"wind_out_pa": 700}, "wind_out_pa", "must be at most 0"),
        ({"class_inside": 4}, "class_inside", "is not one of"),
    ],
)
def test_bad_wishes_are_refused_by_name(change, field, words):
    assert words in problems("choose-glass", {**SMALL, **change})[field]
