"""Arched heads.

Source: practice notes of the project, section on shaped frames (geometry, calculated). Segmental c 1200, r
200: R 1000.0, angle 73.74 degrees, arc 1287.0; inside a 5 mm gap rise 197.5, arc 1275.6. Gothic c 1000, h
866: R 1000. Tolerance: the digits printed there.
"""

import math

import pytest

from jambwright.basis import BadInput
from jambwright.opening.arch import arch, inside


def test_segmental_arch_as_worked() -> None:
    found = arch("segmental", span_mm=1200, rise_mm=200)
    assert found.radius_mm == pytest.approx(1000.0, abs=0.05)
    assert found.angle_deg == pytest.approx(73.74, abs=0.005)
    assert found.arc_mm == pytest.approx(1287.0, abs=0.05)


def test_frame_inside_the_gap_as_worked() -> None:
    found = inside(arch("segmental", span_mm=1200, rise_mm=200), 5)
    assert (found.radius_mm, found.span_mm) == (pytest.approx(995.0), 1190)
    assert found.rise_mm == pytest.approx(197.5, abs=0.05)
    assert found.arc_mm == pytest.approx(1275.6, abs=0.05)


def test_gothic_arch_as_worked() -> None:
    found = arch("gothic", span_mm=1000, rise_mm=866)
    assert found.radius_mm == pytest.approx(1000, abs=0.5)
    assert found.angle_deg == pytest.approx(60.0, abs=0.01)
    assert found.arc_mm == pytest.approx(2 * 1000 * math.pi / 3, abs=0.5)


def test_semicircle_is_the_end_of_both_families() -> None:
    half = arch("semicircular", span_mm=1000, rise_mm=500)
    assert half.arc_mm == pytest.approx(math.pi * 500)
    assert arch("segmental", span_mm=1000, rise_mm=500).arc_mm == pytest.approx(half.arc_mm)
    assert arch("gothic", span_mm=1000, rise_mm=500).arc_mm == pytest.approx(half.arc_mm)


@pytest.mark.parametrize("kind", ["segmental", "gothic"])
def test_frame_head_keeps_the_gap_everywhere(kind: str) -> None:
    """Points of the frame's arc lie the gap from the opening's arc, square to it."""
    outer = arch(kind, span_mm=1200, rise_mm=700 if kind == "gothic" else 300)  # type: ignore[arg-type]
    frame = inside(outer, 8)
    assert outer.radius_mm - frame.radius_mm == pytest.approx(8)
    assert frame.quarter_rise_mm < outer.quarter_rise_mm


@pytest.mark.parametrize(
    ("kind", "rise", "words"),
    [
        ("segmental", 700, "at most half"),
        ("semicircular", 400, "just half"),
        ("gothic", 300, "at least half"),
    ],
)
def test_a_rise_that_does_not_suit_the_kind_is_refused(kind: str, rise: float, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        arch(kind, span_mm=1000, rise_mm=rise)  # type: ignore[arg-type]


def test_a_gap_that_leaves_no_arch_is_refused() -> None:
    with pytest.raises(BadInput, match="leaves no arch"):
        inside(arch("segmental", span_mm=100, rise_mm=20), 50)
