"""`opening-outline`, `frame-size` and `arch` by name: fields, defaults, refusals."""

import json
from typing import Any

import pytest

from jambwright import calc
from jambwright.basis import BadInput
from openings import FULL, PLACES, TAPE, error_free

GAP = {"left": 5, "right": 5, "head": 5, "bottom": 5}


def lines(marked: dict[str, Any]) -> list[dict[str, Any]]:
    return [{"kind": PLACES[m][0], "at": PLACES[m][1], "mm": mm} for m, mm in marked.items()]


CLEAN = error_free(FULL)


def test_outline_has_the_agreed_fields() -> None:
    got = calc.answer("opening-outline", {"readings": lines(CLEAN)})
    assert set(got["corners_mm"]) == {"bottom_left", "bottom_right", "top_right", "top_left"}
    assert got["corners_mm"]["bottom_left"] == [0.0, 0.0]
    assert set(got["mid_edges_mm"]) == {"left", "right", "sill", "head"}
    wanted = {"kind", "at", "mm", "adjusted_mm", "residual_mm", "redundancy", "w", "smallest_detectable_mm"}
    assert wanted <= set(got["readings"][0])
    assert [(r["kind"], r["at"]) for r in got["readings"]] == [PLACES[m] for m in FULL]
    assert {"variance_factor", "degrees_of_freedom", "p_value", "suspects", "verdict"} <= set(got)
    assert (got["verdict"], got["suspects"]) == ("agree", [])
    first = got["readings"][0]
    assert first["adjusted_mm"] - first["mm"] == pytest.approx(first["residual_mm"])
    json.dumps(got, allow_nan=False)


def test_outline_names_a_swapped_width_and_its_likely_value() -> None:
    got = calc.answer("opening-outline", {"readings": lines(CLEAN | {"Wb": 2104})})
    assert got["verdict"] == "measure again"
    best = got["suspects"][0]
    assert (best["kind"], best["at"], best["read_mm"]) == ("width", "bottom", 2104)
    assert best["likely_mm"] == CLEAN["Wb"]
    assert best["w"] > 3


def test_outline_of_widths_and_heights_alone_is_too_few_to_tell() -> None:
    got = calc.answer("opening-outline", {"readings": lines(error_free(TAPE[:6]))})
    assert got["verdict"] == "too few readings to tell"
    assert got["square_measured"] is False
    assert got["measure_next"] is not None


def test_nothing_checked_gives_nulls_and_no_nonsense() -> None:
    got = calc.answer("opening-outline", {"readings": lines(error_free(("Wb", "Hl")))})
    assert got["degrees_of_freedom"] == 0
    assert got["variance_factor"] is None
    assert got["p_value"] is None
    assert {r["smallest_detectable_mm"] for r in got["readings"]} == {None}


def test_a_misread_that_bends_the_outline_through_itself_is_a_finding_not_a_refusal() -> None:
    got = calc.answer("opening-outline", {"readings": lines(error_free(TAPE) | {"Ls": 2500, "Pl": 9000})})
    assert got["verdict"] == "measure again"
    assert len(got["suspects"]) >= 1


def test_repeats_and_sigmas_by_kind_are_taken() -> None:
    got = calc.answer(
        "opening-outline",
        {
            "readings": lines(CLEAN | {"Wb": [1204, 1205, 1203]}),
            "tape_sigma_mm": {"width": 2.0, "level": 0.5},
            "bow_sigma_mm": 0,
        },
    )
    assert got["readings"][0]["mm"] == pytest.approx(1204)


def test_frame_size_of_an_exact_polygon() -> None:
    got = calc.answer(
        "frame-size",
        {
            "polygon_mm": [[0, 0], [1200, 0], [1194, 1200], [6, 1200]],
            "gap_mm": GAP,
            "round_down_to_mm": 0.0001,
        },
    )
    assert got["order_width_mm"] == pytest.approx(1178.0499, abs=1e-4)
    assert got["order_height_mm"] == got["overall_height_mm"] == pytest.approx(1190, abs=1e-4)
    assert got["place_mm"] == pytest.approx([10.9751, 5], abs=2e-4)
    assert got["gaps_mm"]["left"]["top"] == pytest.approx(5.0001, abs=1e-3)
    assert got["probability_fits"] == 1.0
    assert got["prefer"] == "area"


def test_frame_size_from_readings_states_its_chance() -> None:
    got = calc.answer("frame-size", {"readings": lines(CLEAN), "gap_mm": GAP, "sill_height_mm": 30})
    assert got["probability_fits"] >= 0.99
    assert got["overall_height_mm"] == got["order_height_mm"] + 30
    assert got["order_width_mm"] < 1194
    assert got["order_width_mm"] == int(got["order_width_mm"])
    assert set(got["gaps_mm"]) == {"left", "right", "head", "bottom"}
    assert set(got["gaps_mm"]["head"]) == {"left", "centre", "right"}
    assert set(got["gaps_mm"]["left"]) == {"bottom", "middle", "top"}
    assert got["verdict"] == "agree"


def test_frame_size_says_when_it_rests_on_a_misread_or_on_what_nobody_measured() -> None:
    wrong = calc.answer("frame-size", {"readings": lines(CLEAN | {"Wb": 2104}), "gap_mm": GAP})
    assert wrong["verdict"] == "measure again"
    assert any("bottom width 2104 mm is likely 1204 mm" in line for line in wrong["say"])
    few = calc.answer("frame-size", {"readings": lines(error_free(TAPE[:6])), "gap_mm": GAP})
    assert any("Out of square was not measured" in line for line in few["say"])


def test_frame_size_that_fails_for_a_misread_names_the_misread() -> None:
    with pytest.raises(BadInput) as caught:
        calc.answer("frame-size", {"readings": lines(error_free(TAPE) | {"Pl": 9000}), "gap_mm": GAP})
    assert "plumb of the left jamb 9000 mm is likely" in str(caught.value)


def test_arch_and_the_frame_inside_it() -> None:
    got = calc.answer("arch", {"span_mm": 1200, "rise_mm": 200, "gap_mm": 5})
    assert got["radius_mm"] == pytest.approx(1000, abs=0.05)
    assert got["angle_deg"] == pytest.approx(73.74, abs=0.005)
    assert got["arc_mm"] == pytest.approx(1287.0, abs=0.05)
    assert got["frame_rise_mm"] == pytest.approx(197.5, abs=0.05)
    assert got["frame_arc_mm"] == pytest.approx(1275.6, abs=0.05)


BAD: list[tuple[str, dict[str, Any], str]] = [
    ("opening-outline", {"readings": []}, "readings"),
    ("opening-outline", {"readings": lines({"Wb": 1200, "Hl": -5})}, "left height of -5 mm can't be"),
    ("opening-outline", {"readings": lines({"Wb": 1200, "Hl": 0})}, "left height of 0 mm can't be"),
    ("opening-outline", {"readings": [{"kind": "width", "at": "left", "mm": 1}]}, "is not read at `left`"),
    ("opening-outline", {"readings": [{"kind": "girth", "at": "left", "mm": 1}]}, "girth"),
    ("opening-outline", {"readings": lines({"Wb": "wide"})}, "'wide' is not a number"),
    ("opening-outline", {"readings": lines({"Wb": []})}, "readings.0.mm"),
    ("opening-outline", {"readings": lines({"Wb": 1200, "Hl": 900}) * 2}, "given twice"),
    ("opening-outline", {"readings": lines(CLEAN), "tape_sigma": 1}, "did you mean `tape_sigma_mm`"),
    ("opening-outline", {"readings": lines(CLEAN), "tape_sigma_mm": 0}, "must be more than 0"),
    ("opening-outline", {"readings": lines(CLEAN), "tape_sigma_mm": {"girth": 1}}, "no kind of reading"),
    ("opening-outline", {"readings": lines(CLEAN), "bow_sigma_mm": -1}, "must be at least 0"),
    ("frame-size", {"gap_mm": GAP}, "either `readings` or `polygon_mm`"),
    ("frame-size", {"polygon_mm": [[0, 0], [1, 0], [1, 1]]}, "gap_mm: is missing"),
    ("frame-size", {"polygon_mm": [[0, 0], [900, 0], [900, 900]], "gap_mm": {"left": 5}}, "gap_mm.right"),
    ("frame-size", {"readings": lines(CLEAN), "gap_mm": GAP, "confidence": 1}, "must be less than 1"),
    ("frame-size", {"readings": lines(CLEAN), "gap_mm": GAP, "prefer": "depth"}, "depth"),
    ("arch", {"span_mm": 1200, "rise_mm": 700}, "at most half the span"),
    ("arch", {"span_mm": -1, "rise_mm": 700}, "must be at least 50"),
    ("arch", {"span_mm": 1e300, "rise_mm": 700}, "must be at most 20000"),
    ("arch", {"span_mm": 1200, "rise_mm": 1e-300}, "must be at least 1"),
    ("arch", {"span_mm": 1200, "rise_mm": 100, "kind": "tudor"}, "tudor"),
]


@pytest.mark.parametrize(("name", "given", "words"), BAD, ids=[words for *_, words in BAD])
def test_bad_input_is_refused_in_plain_words(name: str, given: dict[str, Any], words: str) -> None:
    with pytest.raises(BadInput) as caught:
        calc.answer(name, given)
    assert words in "\n".join(p.say for p in caught.value.problems)


@pytest.mark.parametrize("name", ["opening-outline", "frame-size", "arch"])
def test_examples_work_and_show_their_working(name: str) -> None:
    example = calc.calculation(name).example
    assert calc.answer(name, example)
    assert all(step["source"] for step in calc.working(name, example))
