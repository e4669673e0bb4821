"""``calc rules`` and ``jambwright rules`` as terminal and HTTP offer them."""

from __future__ import annotations

import json
from typing import Any

import pytest
from typer.testing import CliRunner

from jambwright import calc
from jambwright.basis import BadInput
from jambwright.basis.tables import table
from jambwright.cli import app

BASE: dict[str, Any] = {"nation": "england", "date": "2026-05-01"}
GROUPS: dict[str, Any] = {
    "escape": {
        "room_needs": True,
        "hinge": "side_hung",
        "frame_clear_width_mm": 520,
        "frame_clear_height_mm": 1000,
        "obstruction_mm": 25,
        "open_angle_deg": 90,
        "bottom_above_floor_mm": 900,
        "old": {"clear_width_mm": 500, "clear_height_mm": 900, "bottom_above_floor_mm": 900},
    },
    "guarding": {"bottom_above_floor_mm": 900, "drop_outside_mm": 2700, "children": True},
    "safety_glass": [
        {
            "place": "window",
            "bottom_above_floor_mm": 700,
            "top_above_floor_mm": 1500,
            "width_mm": 800,
            "height_mm": 800,
            "glass": {"kind": "toughened", "thickness_mm": 4, "en12600_class": "1(C)3"},
        },
        {
            "place": "side_panel",
            "bottom_above_floor_mm": 100,
            "top_above_floor_mm": 1900,
            "from_door_edge_mm": 50,
            "width_mm": 300,
            "height_mm": 1800,
            "glass": {"kind": "laminated", "thickness_mm": 6.4, "en12600_class": "2(B)2"},
        },
    ],
    "ventilation": {
        "rooms": [
            {
                "use": "bedroom",
                "floor_area_m2": 12,
                "old_vent_mm2": 0,
                "vents": [4000, 4000],
                "openers": [
                    {"width_mm": 600, "height_mm": 1100, "open_angle_deg": 60, "hinge": "side_hung"},
                    {"width_mm": 600, "height_mm": 400, "stroke_mm": 100, "hinge": "top_hung"},
                ],
            }
        ],
        "mechanical": "none",
    },
    "energy": [{"kind": "window", "u_w_m2k": 1.4}, {"kind": "door", "glazed_share": 0.7, "band": "C"}],
    "flue": {"appliance": "gas_fanned", "to_opener_mm": 300, "to_frame_mm": 150, "direction": "below"},
}
MORE: dict[str, Any] = {
    "access": {"upstand_mm": 15, "clear_width_mm": 800, "old_clear_width_mm": 800},
    "fire": {"to_boundary_m": 2, "opening_area_m2": 1, "old_opening_area_m2": 1},
    "security": {},
    "heritage": {"listed": False, "conservation_area": False},
    "notify": {"registered_installer": True},
    "hazard": {"built_year": 1970},
}


def findings(given: dict[str, Any]) -> list[dict[str, Any]]:
    return list(calc.answer("rules", BASE | given)["findings"])


def test_a_sound_house_meets_every_rule_of_the_contracts_groups() -> None:
    found = findings(GROUPS)
    assert {f["verdict"] for f in found} == {"meets"}
    for finding in found:
        assert {"rule", "verdict", "limit", "found", "source", "why"} <= finding.keys()
        assert "in force from" in finding["source"]


@pytest.mark.parametrize("group", [*GROUPS, *MORE])
def test_a_group_that_is_given_returns_findings_of_that_group_only(group: str) -> None:
    found = findings({group: (GROUPS | MORE)[group]})
    assert found
    assert all(f["rule"].startswith(f"{group}.") for f in found)


@pytest.mark.parametrize("group", GROUPS)
@pytest.mark.parametrize("nation", ["wales", "scotland", "northern_ireland", "ireland"])
def test_every_nation_answers_every_group(group: str, nation: str) -> None:
    assert findings({group: GROUPS[group], "nation": nation})


def test_ventilation_answers_for_background_and_purge() -> None:
    rules = [f["rule"] for f in findings({"ventilation": GROUPS["ventilation"]})]
    assert rules == ["ventilation.background.habitable", "ventilation.purge.wide"]


@pytest.mark.parametrize("group", ["escape", "guarding", "flue"])
def test_an_empty_group_is_unknown_never_a_pass(group: str) -> None:
    found = findings({group: {}})
    assert {f["verdict"] for f in found} == {"unknown"}


@pytest.mark.parametrize(
    "given",
    [
        {"safety_glass": [{}]},
        {"energy": [{}]},
        {"ventilation": {"rooms": [{}]}},
        {"ventilation": {"rooms": [{"use": "bedroom"}], "mechanical": "none"}},
    ],
)
def test_an_empty_item_is_unknown_never_a_pass(given: dict[str, Any]) -> None:
    assert {f["verdict"] for f in findings(given)} == {"unknown"}


@pytest.mark.parametrize("name", [n for n in GROUPS["escape"] if n != "old"])
def test_a_missing_escape_field_is_named(name: str) -> None:
    left = {k: v for k, v in GROUPS["escape"].items() if k != name}
    found = findings({"escape": left})
    asked = table("rule_inputs").find(input=name)["measure"][1:]  # but for its capital
    assert any(f["verdict"] == "unknown" and asked in f["why"] for f in found)


def test_no_escape_opening_is_asked_where_the_room_needs_none() -> None:
    [finding] = findings({"escape": {"room_needs": False}})
    assert (finding["rule"], finding["verdict"]) == ("escape.need", "meets")


def test_guarding_knows_of_the_way_out_and_the_old_sill() -> None:
    low = {"bottom_above_floor_mm": 600, "drop_outside_mm": 2700, "children": False}
    escape = GROUPS["escape"] | {"bottom_above_floor_mm": 600}
    found = {f["rule"]: f["verdict"] for f in findings({"escape": escape, "guarding": low})}
    assert found["guarding.height"] == "worse"
    assert found["guarding.escape"] == "advise"


def test_a_protected_look_relaxes_energy_and_ventilation_to_a_referral() -> None:
    given = {
        "heritage": {"listed": True, "conservation_area": False},
        "energy": [{"kind": "window", "u_w_m2k": 2.0}],
        "ventilation": {"rooms": [{"use": "wc", "vents": [], "openers": [], "floor_area_m2": 2}]},
    }
    found = {f["rule"]: f["verdict"] for f in findings(given)}
    assert found["heritage.consent"] == "refer"
    assert found["energy.character.u"] == "refer"


def test_a_day_before_the_first_edition_is_referred() -> None:
    [finding] = findings({"date": "2015-01-01", "energy": GROUPS["energy"]})
    assert (finding["rule"], finding["verdict"]) == ("energy.edition", "refer")


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"nation": "france", "flue": {}}, "nation"),
        ({"date": "2026-02-30", "flue": {}}, "date"),
        ({"date": 20260501, "flue": {}}, "date"),
        ({}, "input"),
        ({"flue": {"direction": "left"}}, "flue.direction"),
        ({"flue": {"to_opener": 300}}, "flue.to_opener"),
        ({"escape": {"open_angle_deg": 200}}, "escape.open_angle_deg"),
        ({"escape": {"frame_clear_width_mm": -1}}, "escape.frame_clear_width_mm"),
        ({"safety_glass": []}, "safety_glass"),
        ({"energy": [{"band": "H"}]}, "energy.0.band"),
        ({"safety_glass": [{"glass": {"en12600_class": "C"}}]}, "safety_glass.0.glass.en12600_class"),
        ({"safety_glass": [{"bottom_above_floor_mm": 900, "top_above_floor_mm": 800}]}, "safety_glass.0"),
    ],
)
def test_what_cannot_be_is_refused_by_name(given: dict[str, Any], field: str) -> None:
    with pytest.raises(BadInput) as refused:
        calc.answer("rules", BASE | given)
    assert [p.field for p in refused.value.problems] == [field]


def test_the_working_shows_the_geometry_once_and_every_finding() -> None:
    steps = calc.working("rules", BASE | {"escape": GROUPS["escape"] | {"open_angle_deg": 80}})
    symbols = [step["symbol"] for step in steps]
    assert symbols.count("straight clear") == 1
    assert "escape.width" in symbols


def test_the_example_works() -> None:
    example = dict(calc.calculation("rules").example)
    assert calc.answer("rules", example)["findings"]


def test_the_rules_in_force_are_listed_with_sources() -> None:
    listed = CliRunner().invoke(app, ["rules", "--nation", "scotland", "--date", "2026-05-01"])
    assert listed.exit_code == 0
    assert "12000 mm2" in listed.output
    assert "Technical Handbook Domestic, Standard 3.14" in listed.output
    as_json = CliRunner().invoke(app, ["rules", "--nation", "ireland", "--date", "2026-05-01", "--json"])
    assert {"rule", "limit", "source"} <= json.loads(as_json.output)["rules"][0].keys()


@pytest.mark.parametrize(("nation", "day"), [("france", "2026-05-01"), ("wales", "soon")])
def test_a_listing_for_an_unknown_nation_or_day_is_refused(nation: str, day: str) -> None:
    assert CliRunner().invoke(app, ["rules", "--nation", nation, "--date", day]).exit_code == 2
