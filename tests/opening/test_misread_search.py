"""Every kind of misread is found, named, and put right; honest readings raise no alarm."""

from dataclasses import replace

import numpy as np
import pytest

from jambwright.opening import Findings, adjust, search
from jambwright.readings import USUAL
from openings import FULL, PLACES, TAPE, UPRIGHT, diagonals_in_doubt, error_free, outline, readings

CLEAN = error_free(FULL)


def found_in(marked: dict[str, float | list[float]]) -> Findings:
    taken = readings(marked)
    return search(adjust(taken), taken, USUAL)


def test_honest_readings_raise_no_alarm() -> None:
    for marks in (FULL, TAPE, (*TAPE, "Ls"), TAPE[:6], (*TAPE, *UPRIGHT)):
        found = found_in(error_free(marks))
        assert not found.doubted
        assert found.suspects == ()


@pytest.mark.parametrize(
    ("mark", "written", "cause"),
    [
        ("Wb", 2104.0, "two figures swapped"),
        ("Hl", 1035.0, "two figures swapped"),
        ("Wm", CLEAN["Wm"] + 10, "ten or a hundred off"),
        ("D1", CLEAN["D1"] - 100, "ten or a hundred off"),
        ("Hc", 154.0, "a figure lost or added"),
        ("Wt", CLEAN["Wt"] + 10_000, "a figure lost or added"),
        ("Wb", CLEAN["Wb"] / 10, "written in centimetres or inches"),
        ("Hr", round(CLEAN["Hr"] / 25.4, 2), "written in centimetres or inches"),
        ("Wt", CLEAN["Wt"] + 50, "read from the wrong end"),
        ("Wt", CLEAN["Wt"] - 77, "wrong by some amount"),
        ("D2", CLEAN["D2"] + 27, "wrong by some amount"),
        ("Ls", CLEAN["Ls"] - 14, "wrong by some amount"),
    ],
)
def test_one_misread_is_named_with_its_cause_and_likely_value(mark: str, written: float, cause: str) -> None:
    found = found_in(CLEAN | {mark: written})
    assert found.doubted
    best = found.suspects[0]
    assert (best.kind, best.at) == PLACES[mark]
    assert best.cause.startswith(cause)
    assert best.likely_mm == pytest.approx(CLEAN[mark], abs=1.6)
    assert best.chance > 0.9
    assert np.sign(best.w) == np.sign(written - CLEAN[mark])


def test_a_plumb_read_the_wrong_way_is_turned_round() -> None:
    corners = np.array([1200.0, 0, 1212.0, 1050, 12.0, 1050, 0, 0, 0, 0])
    values, _ = outline(CLEAN).shape.observe([PLACES[m] for m in FULL], corners)
    racked = {m: float(round(v)) for m, v in zip(FULL, values, strict=True)}
    found = found_in(racked | {"Pl": -12.0})
    assert (found.suspects[0].kind, found.suspects[0].at) == ("plumb", "left")
    assert found.suspects[0].cause.startswith("the wrong end called high")
    assert found.suspects[0].likely_mm == 12


def test_width_and_height_written_in_each_others_place() -> None:
    found = found_in(CLEAN | {"Wb": CLEAN["Hl"], "Hl": CLEAN["Wb"]})
    assert found.explanations[0].cause == "two readings written in each other's place"
    likely = {(s.kind, s.at): s.likely_mm for s in found.suspects}
    assert likely == {("width", "bottom"): CLEAN["Wb"], ("height", "left"): CLEAN["Hl"]}


def test_diagonals_named_the_wrong_way_round() -> None:
    corners = np.array([1200.0, 0, 1215.0, 1050, 15.0, 1050, 0, 0, 0, 0])
    values, _ = outline(CLEAN).shape.observe([PLACES[m] for m in FULL], corners)
    racked = {m: float(round(v)) for m, v in zip(FULL, values, strict=True)}
    assert not found_in(racked).doubted
    found = found_in(racked | {"D1": racked["D2"], "D2": racked["D1"]})
    causes = {e.cause: {c.kind for c in e.changes} for e in found.explanations}
    assert causes["two readings written in each other's place"] == {"diagonal"}
    # both plumbs called the wrong way would read the same
    assert set().union(*causes.values()) == {"diagonal", "plumb"}
    assert all(suspect.chance < 0.9 for suspect in found.suspects)


def test_two_readings_wrong_at_once() -> None:
    found = found_in(CLEAN | {"Wb": CLEAN["Wb"] + 23, "Hr": CLEAN["Hr"] - 34})
    assert found.explanations[0].cause == "two readings wrong"
    likely = {(s.kind, s.at): s.likely_mm for s in found.suspects}
    assert set(likely) == {("width", "bottom"), ("height", "right")}
    assert likely["width", "bottom"] == pytest.approx(CLEAN["Wb"], abs=2)
    assert likely["height", "right"] == pytest.approx(CLEAN["Hr"], abs=2)


def test_one_bad_repeat_is_named_by_its_own_figure() -> None:
    found = found_in(CLEAN | {"Wb": [CLEAN["Wb"], CLEAN["Wb"] + 1, CLEAN["Wb"] + 100]})
    assert found.suspects[0].read_mm == CLEAN["Wb"] + 100
    assert found.suspects[0].likely_mm == CLEAN["Wb"]


def test_what_the_readings_cant_tell_apart_is_said_so() -> None:
    """Racked 8 mm left with the rising diagonal 12 mm long, or 8 mm right with the falling one: a tie."""
    found = found_in(diagonals_in_doubt())
    assert found.doubted
    assert not found.told_apart
    first, second = found.explanations[:2]
    assert {first.changes[0].at, second.changes[0].at} == {"rising", "falling"}
    assert first.chance == pytest.approx(second.chance, rel=0.1)
    assert sum(e.chance for e in found.explanations) <= 1.0 + 1e-9


def test_an_opening_far_out_of_square_is_not_taken_for_a_misread() -> None:
    corners = np.array([1200.0, 18, 1228.0, 1072, 27.0, 1051, 4, -3, 2, 1])
    values, _ = outline(CLEAN).shape.observe([PLACES[m] for m in FULL], corners)
    assert not found_in({m: float(round(v)) for m, v in zip(FULL, values, strict=True)}).doubted


def test_readings_that_were_told_or_scaled_set_nothing() -> None:
    taken = readings(CLEAN)
    told = [replace(r, how="told") for r in readings({"Wb": 900.0})]
    rest = [r for r in taken if (r.kind, r.at) != ("width", "bottom")]
    got = adjust([*rest, *told])
    assert all((r.kind, r.at) != ("width", "bottom") for r in got.readings)
    assert not search(got, [*rest, *told], USUAL).doubted
