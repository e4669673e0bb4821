"""`measuring-tools`: what a tape 2 mm short, two tapes and several people look like. All rows are invented."""

import numpy as np
import pytest

from jambwright import calc
from jambwright.lessons import Compared, bias_of


def rows_of(
    rng, *, openings=40, short_mm=2.0, tool="tape A", person="one", misread_mm=0.0, heights=1, sd_mm=1.0
):
    """Readings of a tape that is short, beside frames ordered 10 mm less, with gaps to the half millimetre."""
    rows = []
    for n in range(openings):
        width = rng.uniform(600, 1800)
        made = float(np.round(width - 10) + rng.normal(0, 0.5))
        for _ in range(heights):
            true = width + rng.uniform(-4, 4)
            left = rng.uniform(3, 7)
            gaps = [left, true - made - left]
            rows.append(
                Compared(
                    opening=f"{tool} {person} {n}", tool=tool, person=person, frame_mm=round(made),
                    reading_mm=float(np.round(true - short_mm + rng.normal(0, sd_mm))),
                    gaps_mm=tuple(float(np.round(2 * (g + rng.normal(0, 0.4))) / 2) for g in gaps),
                )
            )  # fmt: skip
    if misread_mm:
        rows[3] = Compared(**{name: getattr(rows[3], name) for name in Compared.__slots__} | {
            "reading_mm": rows[3].reading_mm + misread_mm})  # fmt: skip
    return rows


def test_a_tape_2_mm_short_is_found_and_its_interval_holds():
    """40 openings, 1,000 times: within 0.7 mm, and the interval at 95 % holds the truth in 93 to 97 % of them."""
    rng = np.random.default_rng(20261130)
    found = [bias_of(rows_of(rng)).tools[0] for _ in range(1000)]
    off = np.abs([line.bias_mm + 2 for line in found])
    assert np.mean(off <= 0.7) >= 0.995
    held = np.mean([line.interval_mm[0] <= -2 <= line.interval_mm[1] for line in found])
    assert 0.93 <= held <= 0.97
    assert np.mean([line.adopt for line in found]) > 0.999


def test_scatter_is_that_of_one_reading_with_its_gaps():
    """1.0 of the tape, 2 x 0.4 of the gaps, whole and half millimetres: 1.2; the frame's 0.5 told apart or off."""
    rng = np.random.default_rng(5)
    alone = (1.0 + 2 * 0.4**2 + (1 + 2 * 0.25) / 12) ** 0.5
    once = bias_of(rows_of(rng, openings=400), sd_frame_mm=(0.5**2 + 1 / 12) ** 0.5).tools[0]
    thrice = bias_of(rows_of(rng, openings=150, heights=3)).tools[0]
    for line in (once, thrice):
        assert line.sd_mm == pytest.approx(alone, rel=0.08)
        assert line.interval_sd_mm[0] < alone < line.interval_sd_mm[1]
    assert bias_of(rows_of(rng, openings=400)).tools[0].sd_mm > once.sd_mm


def test_three_heights_of_one_frame_count_as_one_frame():
    rng = np.random.default_rng(6)
    line = bias_of(rows_of(rng, openings=12, heights=3)).tools[0]
    assert line.openings == 12
    held = [bias_of(rows_of(rng, openings=12, heights=3)).tools[0].interval_mm for _ in range(400)]
    assert np.mean([low <= -2 <= high for low, high in held]) == pytest.approx(0.95, abs=0.035)


def test_two_tapes_and_three_people_are_told_apart():
    rng = np.random.default_rng(7)
    own = {"one": 0.6, "two": -0.6, "three": 0.0}
    rows = [
        row
        for tape, short in (("A", 0.0), ("B", 2.0))
        for person, hand in own.items()
        for row in rows_of(rng, openings=30, short_mm=short - hand, tool=tape, person=person)
    ]
    found = bias_of(rows)
    tools = {line.tool: line for line in found.tools}
    assert tools["B"].bias_mm == pytest.approx(-2, abs=0.4)
    assert tools["B"].adopt
    assert not tools["A"].adopt
    assert "nothing to correct" in tools["A"].why
    for line in found.people:
        assert line.bias_mm == pytest.approx(own[line.person], abs=0.5)
    assert sum(line.bias_mm for line in found.people) == pytest.approx(0, abs=1e-9)
    assert len(found.pairs) == 6


def test_scale_is_told_where_lengths_differ_enough():
    rng = np.random.default_rng(8)
    rows = [
        Compared(opening=n, tool="A", person="one", frame_mm=mm - 10, gaps_mm=(5.0, 5.0),
                 reading_mm=mm * 1.002 + rng.normal(0, 0.8))
        for n, mm in enumerate(rng.uniform(500, 2500, 60))
    ]  # fmt: skip
    line = bias_of(rows).tools[0]
    assert line.scale_ppm == pytest.approx(2000, abs=600)
    assert line.interval_ppm[0] < 2000 < line.interval_ppm[1]
    alike = [row for row in rows if 1000 < row.true_mm < 1500]
    assert bias_of(alike).tools[0].scale_ppm is None


def test_a_misread_is_left_out_and_named():
    rows = rows_of(np.random.default_rng(9), misread_mm=20.0)
    found = bias_of(rows)
    assert [row.opening for row in found.left_out] == ["tape A one 3"]
    assert found.tools[0].bias_mm == pytest.approx(-2, abs=0.7)
    assert any("left out" in say for say in found.say)


def test_honest_rows_are_hardly_ever_left_out():
    rng = np.random.default_rng(10)
    assert sum(bool(bias_of(rows_of(rng)).left_out) for _ in range(500)) <= 4


def test_what_cannot_be_told_apart_is_said():
    rng = np.random.default_rng(11)
    own_tapes = [*rows_of(rng, tool="A", person="one"), *rows_of(rng, tool="B", person="two")]
    found = bias_of(own_tapes)
    assert any("another's tool" in say for say in found.say)
    assert all(line.bias_mm is None and not line.adopt for line in found.people)
    assert all(line.bias_mm is not None for line in found.tools)
    alone = bias_of(rows_of(rng))
    assert any("One person" in say for say in alone.say)


def test_few_openings_are_never_adopted():
    line = bias_of(rows_of(np.random.default_rng(12), openings=9, short_mm=6)).tools[0]
    assert line.interval_mm[1] < 0
    assert not line.adopt
    assert "9 openings are too few" in line.why


def test_a_single_row_is_answered_with_what_is_wanted():
    given = {"opening": 1, "tool": 0, "person": 0, "reading_mm": 1200, "frame_mm": 1190, "gaps_mm": [5, 5]}
    answer = calc.answer("measuring-tools", {"rows": [given]})
    assert answer["tools"][0]["bias_mm"] is None
    assert not answer["tools"][0]["adopt"]
    assert any("Too few frames" in say for say in answer["say"])


def test_contract_fields_stand_in_every_line():
    rng = np.random.default_rng(13)
    rows = [
        {name: getattr(row, name) for name in ("opening", "tool", "person", "reading_mm", "frame_mm")}
        | {"gaps_mm": list(row.gaps_mm)}
        for row in rows_of(rng)
    ]
    answer = calc.answer("measuring-tools", {"rows": rows, "sd_frame_mm": 0.5})
    wanted = {"bias_mm", "interval_mm", "sd_mm", "interval_sd_mm", "openings", "adopt", "why"}
    for line in (*answer["tools"], *answer["people"], *answer["pairs"]):
        assert wanted <= set(line)
    assert answer["tools"][0]["scale_ppm"] is not None
    assert answer["pairs"][0]["person"] == "one"
