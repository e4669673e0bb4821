import json

import pytest
from typer.testing import CliRunner

from jambwright import calc
from jambwright.basis import BadInput
from jambwright.cli import app

NAMES = ("glass-u-value", "window-u-value", "energy-index", "condensation", "house-saving")
SEALED = [{"glass_mm": 4}, {"gap_mm": 16, "gas": "argon"}, {"glass_mm": 4, "emissivity_outer": 0.03}]
AREAS = {
    "width_mm": 1230,
    "height_mm": 1480,
    "panes": [{"area_m2": 1.2726, "perimeter_m": 4.54, "u_w_m2k": 1.2, "psi_w_mk": 0.05}],
    "frame": {"area_m2": 0.5478, "u_w_m2k": 1.4},
}


@pytest.mark.parametrize("name", NAMES)
def test_every_calculation_works_on_its_own_example_and_shows_its_working(name):
    wanted = calc.calculation(name)
    assert calc.answer(name, wanted.example)
    steps = calc.working(name, wanted.example)
    assert steps
    assert all(step["source"] and step["how"] for step in steps)
    json.dumps(steps, allow_nan=False)


@pytest.mark.parametrize("name", NAMES)
def test_every_calculation_refuses_a_field_it_does_not_know(name):
    with pytest.raises(BadInput) as bad:
        calc.answer(name, {**calc.calculation(name).example, "colour": "white"})
    assert [problem.field for problem in bad.value.problems] == ["colour"]


def test_glass_answers_unrounded_and_declared_and_what_each_gap_does():
    answer = calc.answer("glass-u-value", {"layers": SEALED})
    assert answer["u_w_m2k"] == pytest.approx(1.124, abs=6e-4)
    assert answer["declared_u_w_m2k"] == 1.1
    assert answer["gap_temperature_drops_k"] == [15.0]
    assert answer["gap_conductances_w_m2k"] == pytest.approx([1.405], abs=6e-4)


def test_emissivities_marked_as_corrected_are_taken_as_they_are():
    given = [*SEALED[:2], {"glass_mm": 4, "emissivity_outer": 0.0366}]
    plain = calc.answer("glass-u-value", {"layers": SEALED})
    marked = calc.answer("glass-u-value", {"layers": given, "corrected": True})
    assert marked["u_w_m2k"] == pytest.approx(plain["u_w_m2k"])


def test_a_single_pane_is_accepted():
    answer = calc.answer("glass-u-value", {"layers": [{"glass_mm": 6}]})
    assert answer["declared_u_w_m2k"] == 5.7
    assert answer["gap_temperature_drops_k"] == []


def test_unequal_gaps_share_fifteen_degrees_by_their_resistance():
    layers = [{"glass_mm": 4}, {"gap_mm": 8, "gas": "air"}, *SEALED]
    answer = calc.answer("glass-u-value", {"layers": layers})
    drops, conductances = answer["gap_temperature_drops_k"], answer["gap_conductances_w_m2k"]
    assert sum(drops) == pytest.approx(15)
    assert drops[0] * conductances[0] == pytest.approx(drops[1] * conductances[1])


@pytest.mark.parametrize(
    ("name", "given", "field", "words"),
    [
        ("glass-u-value", {"layers": [{"glass_mm": 4, "emissivity_outer": 1.2}]},
         "layers.0.emissivity_outer", "at most 1"),
        ("glass-u-value", {"layers": [SEALED[0], {"gap_mm": 16, "gas": "argon", "fill": 90}, SEALED[2]]},
         "layers.1.fill", "at most 1"),
        ("glass-u-value", {"layers": [SEALED[0], {"gap_mm": -16, "gas": "argon"}, SEALED[2]]},
         "layers.1.gap_mm", "more than 0"),
        ("glass-u-value", {"layers": [SEALED[0], {"gap_mm": 16, "gas": "argonn"}, SEALED[2]]},
         "layers.1.gas", "Did you mean `argon`"),
        ("glass-u-value", {"layers": [SEALED[0], {"gap_mm": 16, "gas": "argon", "filll": 1}, SEALED[2]]},
         "layers.1.filll", "did you mean `fill`"),
        ("glass-u-value", {"layers": SEALED[:2]}, "input", "take turns"),
        ("glass-u-value", {"layers": [SEALED[0], SEALED[2]]}, "input", "take turns"),
        ("glass-u-value", {"layers": []}, "layers", "empty list"),
        ("window-u-value", AREAS | {"width_mm": 1330}, "input", "add up to 1.820 m2"),
        ("window-u-value", AREAS | {"frame": {"u_w_m2k": 1.4}}, "input", "frame.area_m2 is missing"),
        ("window-u-value", AREAS | {"layout": {"opens": "fixed"}}, "input", "not both"),
        ("window-u-value", {"width_mm": 1, "height_mm": 1, "frame": {"u_w_m2k": 1.4}}, "input", "give either panes"),
        ("window-u-value", {"width_mm": 900, "height_mm": 900, "layout": {"opens": "fixed"}, "frame": {"u_w_m2k": 1.4}},
         "input", "profile, glass missing"),
        ("window-u-value", AREAS | {"frame": {"area_m2": 0.5478, "kind": "stone"}}, "frame", "known are"),
        ("energy-index", {"g_window": 45, "u_w_m2k": 1.4, "air_leakage_l50_m3_hm2": 0}, "g_window", "at most 1"),
        ("condensation", {"inside_c": 20, "outside_c": 0, "inside_rh": 0.65, "f_rsi": 0.7},
         "inside_rh", "Did you mean 65"),
        ("condensation", {"inside_c": 20, "outside_c": 0, "humidity_class": 3, "outside_rh": 0.9, "f_rsi": 0.7},
         "outside_rh", "Did you mean 90"),
        ("condensation", {"inside_c": 20, "outside_c": 0, "humidity_class": 3, "f_rsi": 0.7},
         "input", "go together"),
        ("condensation", {"inside_c": 20, "outside_c": 0, "f_rsi": 0.7}, "input", "either inside_rh"),
        ("condensation", {"inside_c": 0, "outside_c": 20, "inside_rh": 50, "f_rsi": 0.7}, "input", "not above"),
        ("condensation", {"inside_c": 20, "outside_c": 0, "humidity_class": 5, "outside_rh": 90, "f_rsi": 0.7},
         "humidity_class", "no upper limit"),
        ("condensation", {"inside_c": 2, "outside_c": 0, "humidity_class": 4, "outside_rh": 90, "f_rsi": 0.7},
         "inside_c", "warmer room"),
        ("house-saving", {"openings": []}, "openings", "empty list"),
        ("house-saving", {"region": "atlantis", "openings": [
            {"area_m2": 1, "before": {"u_w_m2k": 3}, "after": {"u_w_m2k": 1}}]}, "region", "known are uk_average"),
        ("house-saving", {"openings": [{"area_m2": 1, "before": {}, "after": {"u_w_m2k": 1}}]},
         "openings.0.before", "either u_w_m2k or glazing"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_by_name(name, given, field, words):
    with pytest.raises(BadInput, match=words) as bad:
        calc.answer(name, given)
    assert [problem.field for problem in bad.value.problems] == [field]


def test_all_faults_are_told_at_once():
    with pytest.raises(BadInput) as bad:
        calc.answer("condensation", {"inside_c": 20, "outside_c": "cold", "inside_rh": 0.65, "f_rsi": 1.7})
    assert [p.field for p in bad.value.problems] == ["outside_c", "inside_rh", "f_rsi"]


def test_bad_input_leaves_with_two_and_prints_nothing_else():
    bad = json.dumps({"layers": [{"glass_mm": 4, "emissivity_outer": 1.2}]})
    done = CliRunner().invoke(app, ["calc", "glass-u-value", "-", "--json"], input=bad)
    assert (done.exit_code, done.stdout) == (2, "")
    assert json.loads(done.stderr)["problems"][0]["field"] == "layers.0.emissivity_outer"


def test_a_window_by_areas():
    answer = calc.answer("window-u-value", AREAS)
    assert answer["u_w_m2k"] == pytest.approx(1.3849, abs=5.1e-5)
    assert answer["declared_u_w_m2k"] == 1.4
    assert answer["areas_m2"] == pytest.approx(
        {"glass": 1.2726, "panels": 0, "frame": 0.5478, "whole": 1.8204}
    )
    assert "reference_u_w_m2k" not in answer


def test_rounded_areas_are_taken():
    rounded = AREAS | {"frame": {"area_m2": 0.55, "u_w_m2k": 1.4}}
    assert calc.answer("window-u-value", rounded)["u_w_m2k"] == pytest.approx(1.385, abs=1e-3)


def test_a_door_with_a_panel_sums_glass_panel_and_frame():
    """U_D = (Σ A U + Σ l Ψ) / Σ A, reckoned by hand."""
    door = {
        "width_mm": 1000,
        "height_mm": 2000,
        "panes": [{"area_m2": 0.5, "perimeter_m": 3.0, "u_w_m2k": 1.2, "psi_w_mk": 0.06}],
        "panels": [{"area_m2": 0.8, "perimeter_m": 3.6, "u_w_m2k": 1.0, "psi_w_mk": 0.08}],
        "frame": {"area_m2": 0.7, "u_w_m2k": 1.5},
    }
    expected = (0.5 * 1.2 + 0.8 * 1.0 + 0.7 * 1.5 + 3.0 * 0.06 + 3.6 * 0.08) / 2.0
    assert calc.answer("window-u-value", door)["u_w_m2k"] == pytest.approx(expected)


@pytest.mark.parametrize(
    ("bars", "added"),
    [("on_glass", 0.0), ("cross_in_cavity", 0.1), ("grid_in_cavity", 0.2), ("dividing", 0.4)],
)
def test_bars_add_to_the_window(bars, added):
    """EN 14351-1 Table J.1, from memory; 0.4 read (baulinks.de 2014/1815)."""
    plain = calc.answer("window-u-value", AREAS)["u_w_m2k"]
    assert calc.answer("window-u-value", AREAS | {"bars": bars})["u_w_m2k"] == pytest.approx(plain + added)


def test_a_layout_takes_make_up_spacer_and_kind_of_frame():
    answer = calc.answer(
        "window-u-value",
        {
            "width_mm": 1230,
            "height_mm": 1480,
            "layout": {"opens": "fixed"},
            "profile": {"frame_mm": 110, "opening_mm": 150, "mullion_mm": 95},
            "glass": {"make_up": "4-16Ar-4 low-e", "spacer": "normal"},
            "frame": {"kind": "pvcu_3_chambers"},
        },
    )
    expected = (1.2726 * 1.1 + 0.5478 * 2.0 + 4.54 * 0.08) / 1.8204
    assert answer["u_w_m2k"] == pytest.approx(expected)


def test_a_layout_with_panels_asks_for_their_values():
    given = {
        "width_mm": 900,
        "height_mm": 2100,
        "kind": "door",
        "layout": {"down": [{"opens": "fixed"}, {"opens": "fixed", "infill": "panel"}]},
        "profile": {"frame_mm": 70, "opening_mm": 110, "mullion_mm": 90},
        "glass": {"u_w_m2k": 1.2, "psi_w_mk": 0.05},
        "frame": {"u_w_m2k": 1.5},
    }
    with pytest.raises(BadInput, match=r"panel\.u_w_m2k"):
        calc.answer("window-u-value", given)
    answer = calc.answer("window-u-value", given | {"panel": {"u_w_m2k": 1.0, "psi_w_mk": 0.05}})
    assert answer["areas_m2"]["panels"] == pytest.approx(0.760 * 0.935)
    assert answer["reference_size_mm"] == [1230, 2180]


def test_the_working_of_a_window_ends_at_its_answer():
    steps = calc.working("window-u-value", AREAS | {"bars": "dividing"})
    assert steps[-1]["symbol"] == "U_w declared"
    assert (
        steps[-1]["value"] == calc.answer("window-u-value", AREAS | {"bars": "dividing"})["declared_u_w_m2k"]
    )


SAVING = calc.calculation("house-saving").example


def test_a_saving_is_a_range_round_both_ways_of_reckoning():
    answer = calc.answer("house-saving", SAVING)
    heat = answer["heat_kwh"]
    ways = sorted(answer[way]["heat_kwh"] for way in ("by_degree_days", "by_months"))
    assert heat["low"] < ways[0] <= heat["likely"] <= ways[1] < heat["high"]
    assert heat["low"] == pytest.approx(ways[0] * (1 - 0.3130), rel=1e-3)
    assert answer["money"]["likely"] == pytest.approx(answer["fuel_kwh"]["likely"] * 0.07)
    assert len(answer["assumptions"]) >= 4


def test_payback_is_said_plainly_even_when_long():
    said = calc.answer("house-saving", SAVING | {"cost": 20000})["say"]
    assert "do not count on the saving alone" in said[-1]


def test_a_worse_window_never_pays():
    worse = {"openings": [{"area_m2": 5, "before": {"u_w_m2k": 1.2}, "after": {"u_w_m2k": 1.6}}]}
    answer = calc.answer("house-saving", worse | {"price_per_kwh": 0.1, "cost": 1000})
    assert answer["heat_kwh"]["high"] < 0
    assert answer["payback_years"] == [None, None]
    assert "will not pay" in answer["say"][-1]


def test_draught_and_sun_are_left_out_aloud_when_not_known():
    bare = {"openings": [{"area_m2": 5, "before": {"u_w_m2k": 4.8}, "after": {"u_w_m2k": 1.4}}]}
    answer = calc.answer("house-saving", bare)
    assert answer["by_degree_days"]["draught_kwh"] == answer["by_months"]["lost_sun_kwh"] == 0
    told = " ".join(answer["assumptions"])
    assert "Lost sun is left out" in told
    assert "Draughts are left out" in told


def test_curtains_shrink_a_saving():
    drawn = calc.answer("house-saving", SAVING | {"curtains": True})["by_degree_days"]["fabric_kwh"]
    assert drawn < calc.answer("house-saving", SAVING)["by_degree_days"]["fabric_kwh"]
