import json

import pytest

from jambwright import calc
from jambwright.basis import BadInput

UK = {
    "method": "uk", "map_wind_speed_ms": 21.8, "altitude_m": 140, "distance_to_sea_km": 100,
    "distance_in_town_km": 5, "effective_height_m": 8,
}  # fmt: skip
EN = {"method": "en", "basic_wind_speed_ms": 22, "terrain": "II", "height_m": 10}
HOUSE = {"breadth_m": 8, "depth_m": 8, "height_m": 8}


def problems(given):
    with pytest.raises(BadInput) as caught:
        calc.answer("wind-pressure", given)
    return {p.field: p.say for p in caught.value.problems}


def test_without_a_window_only_the_peak_pressure_is_told():
    found = calc.answer("wind-pressure", EN)
    assert found["peak_pressure_pa"] == pytest.approx(711.6, abs=0.1)
    assert "zone" not in found


@pytest.mark.parametrize(
    ("window", "zone", "into", "out"),
    [
        ({"area_m2": 1.5, "from_corner_m": 3, "wall": "windward"}, "D", 1.1, 0.0),
        ({"area_m2": 0.8, "from_corner_m": 3, "wall": "windward"}, "D", 1.3, 0.0),
        ({"area_m2": 1.5, "from_corner_m": 1.5, "wall": "side"}, "A", 0.0, -1.4),
        ({"area_m2": 1.5, "from_corner_m": 3, "wall": "side"}, "B", 0.0, -1.0),
        ({"area_m2": 1.5, "from_corner_m": 3, "wall": "leeward"}, "E", 0.0, -0.7),
    ],
    ids=lambda value: value["wall"] if isinstance(value, dict) else None,
)
def test_a_window_gets_its_zone_and_net_pressures(window, zone, into, out):
    found = calc.answer("wind-pressure", {**UK, "building": HOUSE, "window": window})
    assert found["zone"] == zone
    assert found["net_coefficients"] == pytest.approx({"in": into, "out": out})
    peak = found["peak_pressure_pa"]
    assert found["net_pressures_pa"] == pytest.approx({"in": into * peak, "out": out * peak})
    json.dumps(found, allow_nan=False)


def test_a_given_internal_pressure_replaces_the_worst():
    window = {"area_m2": 12, "from_corner_m": 3, "wall": "windward"}
    found = calc.answer("wind-pressure", {**UK, "building": HOUSE, "window": window, "internal": 0.2})
    assert found["net_coefficients"] == pytest.approx({"in": 0.6, "out": 0.0})


def test_terrain_0_may_be_written_as_a_number():
    as_figure = calc.answer("wind-pressure", {**EN, "terrain": 0})
    assert as_figure == calc.answer("wind-pressure", {**EN, "terrain": "0"})


def test_no_wind_speed_is_refused_with_how_to_get_it():
    found = problems({**UK, "map_wind_speed_ms": None})
    assert "read it off the wind map" in found["map_wind_speed_ms"]


def test_all_that_is_wrong_is_told_at_once():
    found = problems({"method": "uk", "terrain": "II", "altitude_m": 20})
    assert set(found) == {"map_wind_speed_ms", "distance_to_sea_km", "effective_height_m", "terrain"}
    assert "belongs to method en" in found["terrain"]


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"effective_height_m": 80}, "effective_height_m", "charts end there"),
        ({"map_wind_speed_ms": 50}, "map_wind_speed_ms", "Is it in m/s?"),
        ({"altitude_m": 3000}, "altitude_m", "outside -10 to 1400 m"),
        ({"orography": 0.5}, "orography", "1 is level ground"),
        ({"building": HOUSE}, "window", "needs building and window"),
        ({"map_speed": 22}, "map_speed", "no such field here"),
        (
            {"building": HOUSE, "window": {"area_m2": 1, "from_corner_m": 30, "wall": "side"}},
            "window.from_corner_m",
            "beyond the side wall",
        ),
        (
            {
                "building": {**HOUSE, "depth_m": 1},
                "window": {"area_m2": 1, "from_corner_m": 0, "wall": "side"},
            },
            "building",
            "needs an engineer",
        ),
    ],
)
def test_bad_input_is_refused_by_name_with_the_remedy(change, field, words):
    assert words in problems({**UK, **change})[field]


def test_an_unknown_terrain_names_the_known_ones():
    assert "'0', 'I', 'II', 'III' or 'IV'" in problems({**EN, "terrain": "V"})["terrain"]


def test_above_15_m_the_answer_says_that_the_chart_is_carried_on():
    low, high = (calc.answer("wind-pressure", {**UK, "effective_height_m": h})["notes"] for h in (15, 16))
    assert not any("carried on" in note for note in low)
    assert any("carried on" in note for note in high)


@pytest.mark.parametrize("given", [UK, EN])
def test_the_working_ends_in_the_answer(given):
    window = {"area_m2": 1.5, "from_corner_m": 1.5, "wall": "side"}
    given = {**given, "building": HOUSE, "window": window}
    steps = {step["symbol"]: step for step in calc.working("wind-pressure", given)}
    found = calc.answer("wind-pressure", given)
    assert steps["q_p"]["value"] == pytest.approx(found["peak_pressure_pa"])
    assert steps["w_out"]["value"] == pytest.approx(found["net_pressures_pa"]["out"])
    assert all(step["source"] for step in steps.values())
