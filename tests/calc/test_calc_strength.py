"""Fixings, beams, bars, movement and lifting by name: fields of the contract, refusals, working."""

import json

import pytest
from typer.testing import CliRunner

from jambwright import calc
from jambwright.basis import BadInput
from jambwright.cli import app

FIELDS = {
    "fixing-layout": {"left_mm", "right_mm", "head_mm", "sill_mm", "problems"},
    "continuous-beam": {"reactions_n", "support_moments_n_mm"},
    "screw-bending": {"moment_n_mm", "stress_n_mm2", "deflection_mm", "characteristic_moment_n_mm"},
    "bar-deflection": {"reaction_n", "moment_n_mm", "ei_required_n_mm2", "i_required_steel_cm4"},
    "movement-gap": {"movement_out_mm", "movement_in_mm", "gap_per_side_mm", "sealant_width_min_mm"},
    "lifting": {"allowed_kg", "verdict", "people_needed"},
}
FRAME = {"width_mm": 800, "height_mm": 1200}


@pytest.mark.parametrize("name", FIELDS)
def test_example_answers_with_the_fields_of_the_contract_and_a_working(name):
    example = calc.calculation(name).example
    assert set(calc.answer(name, example)) >= FIELDS[name]
    steps = calc.working(name, example)
    assert steps
    assert all(step["source"] for step in steps)
    json.dumps(steps, allow_nan=False)


def test_reactions_come_only_with_wind():
    assert "reactions_n" not in calc.answer("fixing-layout", FRAME)
    windy = calc.answer("fixing-layout", FRAME | {"wind_pa": 1200})
    assert set(windy["reactions_n"]) == {"left", "right", "head", "sill"}
    assert sum(sum(side) for side in windy["reactions_n"].values()) == pytest.approx(1152)
    assert windy["reactions_n"]["left"] == pytest.approx([69.4, 245.2, 69.4], rel=3e-3)


def test_weak_fixings_get_company():
    plain = calc.answer("fixing-layout", FRAME | {"wind_pa": 1200})
    strong = calc.answer("fixing-layout", FRAME | {"wind_pa": 1200, "fixing_resistance_n": 200})
    assert len(strong["left_mm"]) > len(plain["left_mm"])
    assert strong["largest_reaction_n"] <= 200
    hopeless = calc.answer("fixing-layout", FRAME | {"wind_pa": 1200, "fixing_resistance_n": 5})
    assert hopeless["problems"]


def test_rules_of_ones_own_replace_the_house():
    found = calc.answer(
        "fixing-layout",
        {
            "width_mm": 1500,
            "height_mm": 1500,
            "rules": {"edge": 200, "centres": 600, "clear": 100, "minimum": 2},
        },
    )
    assert found["left_mm"] == pytest.approx([200, 750, 1300])


def test_deflection_comes_only_with_stiffness():
    bar = {"span_mm": 2000, "load_widths_mm": [900, 900], "wind_pa": 1200, "limit": 200}
    assert "deflection_mm" not in calc.answer("bar-deflection", bar)
    found = calc.answer("bar-deflection", bar | {"ei_n_mm2": 1.0325e10})
    assert found["deflection_mm"] == pytest.approx(20.06, abs=0.005)
    assert found["passes"] is False


def test_stricter_of_limit_and_limit_mm_sets_the_stiffness():
    bar = {"span_mm": 4000, "load_widths_mm": [900, 900], "wind_pa": 800, "limit": 175}
    loose = calc.answer("bar-deflection", bar)["ei_required_n_mm2"]
    capped = calc.answer("bar-deflection", bar | {"limit_mm": 15})["ei_required_n_mm2"]
    assert capped == pytest.approx(loose * (4000 / 175) / 15)


def test_beam_takes_a_load_given_by_points():
    found = calc.answer(
        "continuous-beam",
        {"supports_mm": [150, 600, 1050], "length_mm": 1200,
         "load_n_mm": [[0, 0], [400, 0.48], [800, 0.48], [1200, 0]]},
    )  # fmt: skip
    assert found["reactions_n"] == pytest.approx([69.4, 245.2, 69.4], rel=3e-3)


@pytest.mark.parametrize(
    "zone", ["knuckle_elbow", "knuckle-elbow", "between knuckle and elbow", "Elbow to knuckle"]
)
def test_zone_is_known_by_the_words_people_use(zone):
    assert calc.answer("lifting", {"mass_kg": 20, "people": 1, "zone": zone})["allowed_kg"] == 25


def test_movement_defaults_are_15_degrees_and_class_25():
    plain = calc.answer("movement-gap", {"material": "pvcu", "colour": "white", "length_mm": 2400})
    said = calc.answer(
        "movement-gap",
        {
            "material": "pvcu",
            "colour": "white",
            "length_mm": 2400,
            "set_temperature_c": 15,
            "sealant_class": 25,
        },
    )
    assert plain == said
    assert plain["governs"] == "published table"


BEAM = {"supports_mm": [0, 900], "length_mm": 1000, "load_n_mm": 1}
SCREW = {"root_diameter_mm": 5, "shear_n": 1, "lever_mm": 1, "head": "free", "fu_n_mm2": 500}
BAR = {"span_mm": 1500, "load_widths_mm": [900, 900], "wind_pa": 1200, "limit": 200}
GAP = {"material": "pvcu", "colour": "white", "length_mm": 2400}
LIFT = {"mass_kg": 20, "people": 2}

REFUSED = [
    ("continuous-beam", BEAM | {"supports_mm": [0]}, "supports_mm"),
    ("continuous-beam", BEAM | {"supports_mm": [0, 1200]}, "supports_mm"),
    ("continuous-beam", BEAM | {"supports_mm": [500, 0]}, "supports_mm"),
    ("continuous-beam", BEAM | {"length_mm": -1}, "length_mm"),
    ("continuous-beam", BEAM | {"load_n_mm": [[5, 1], [0, 1]]}, "load_n_mm"),
    ("fixing-layout", FRAME | {"width": 3}, "width"),
    ("fixing-layout", FRAME | {"height_mm": 0}, "height_mm"),
    ("fixing-layout", FRAME | {"mullions_mm": [900]}, "mullions_mm"),
    ("fixing-layout", FRAME | {"transoms_mm": [400, 400]}, "transoms_mm"),
    ("fixing-layout", FRAME | {"fixing_resistance_n": 300}, "wind_pa"),
    ("fixing-layout", FRAME | {"rules": {"edges": 150}}, "rules.edges"),
    ("screw-bending", SCREW | {"root_diameter_mm": 0}, "root_diameter_mm"),
    ("screw-bending", SCREW | {"head": "loose"}, "head"),
    ("bar-deflection", BAR | {"load_widths_mm": [900]}, "load_widths_mm.1"),
    ("bar-deflection", BAR | {"load_widths_mm": [0, 0]}, "load_widths_mm"),
    ("bar-deflection", {k: v for k, v in BAR.items() if k != "wind_pa"}, "wind_pa"),
    ("movement-gap", GAP | {"material": "cheese"}, "material"),
    ("movement-gap", GAP | {"sealant_class": 30}, "sealant_class"),
    ("lifting", LIFT | {"mass_kg": -3}, "mass_kg"),
    ("lifting", LIFT | {"women": 3}, "women"),
    ("lifting", LIFT | {"zone": "attic"}, "zone"),
]


@pytest.mark.parametrize(("name", "given", "field"), REFUSED)
def test_bad_input_is_refused_by_name(name, given, field):
    with pytest.raises(BadInput) as refused:
        calc.answer(name, given)
    assert field in [p.field for p in refused.value.problems]


def test_terminal_leaves_with_2_and_writes_nothing_on_bad_input():
    told = CliRunner().invoke(app, ["calc", "lifting", "-", "--json"], input='{"mass_kg": -3, "people": 2}')
    assert told.exit_code == 2
    assert told.stdout == ""
    assert json.loads(told.stderr)["problems"][0]["field"] == "mass_kg"
