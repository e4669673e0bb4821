"""Frames inside shaped heads: worked rows, and the same by moving in a polygon with shapely.

Rows: closed forms of circle, ellipse and polygon moved in (calculated apart from this code).
"""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from shapely import LineString, Point, Polygon

from jambwright import calc
from jambwright.basis.problems import BadInput

ROWS = json.loads((Path(__file__).parents[1] / "data" / "shapes.json").read_text())["offsets"]
NAMES = {
    "span_frame": "span_mm", "width_frame": "span_mm", "rise_frame": "rise_mm", "jamb_frame": "jamb_mm",
    "overall_frame": "overall_mm", "height_frame": "overall_mm", "R_frame": "radius_mm", "r_frame": "small_radius_mm",
    "arc_frame": "arc_mm", "arc_each": "arc_each_mm", "springing_shift": "springing_shift_mm",
    "remains_arc": "stays_arc",
}  # fmt: skip


def answer(kind, **given):
    return calc.answer("head-offset", {"kind": kind, **given})


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_worked_rows(row):
    given = {"kind": row["kind"], **row["input"]}
    if not row["result"]["valid"]:
        with pytest.raises(BadInput, match="half the frame \\(445 mm\\) reaches beyond its arc \\(442 mm\\)"):
            calc.answer("head-offset", given)
        return
    found = calc.answer("head-offset", given)
    wanted = {NAMES[name]: value for name, value in row["result"].items() if name in NAMES}
    assert {name: found[name] for name in wanted} == pytest.approx(wanted, abs=2e-3)
    if stations := row["result"].get("stations_x_y_above_springing"):
        assert np.array(found["stations_mm"]) == pytest.approx(np.array(stations), abs=1e-3)
    assert ("radius_mm" in found) is row["result"]["remains_arc"]


@pytest.mark.parametrize(
    ("kind", "given", "wanted"),
    [
        ("raked", {"span": 1000, "rise": 400, "Hs": 1100, "g": 5, "gb": 35},
         {"jamb_mm": 1061.6, "overall_mm": 1457.6, "arc_mm": 1066.3, "span_mm": 990}),
        ("gable", {"span": 1600, "rise": 900, "Hs": 0, "g": 6, "gb": 30},
         {"span_mm": 1530.6, "overall_mm": 860.97, "arc_each_mm": 1151.9}),
        ("gable", {"span": 1400, "rise": 600, "Hs": 900, "g": 5, "gb": 35},
         {"jamb_mm": 862.70, "overall_mm": 1458.4, "arc_each_mm": 915.37}),
        ("circle", {"span": 800, "g": 6}, {"span_mm": 788, "overall_mm": 788, "arc_mm": math.pi * 788}),
    ],
    ids=["raked", "triangle", "house", "circle"],
)  # fmt: skip
def test_worked_straight_heads_and_the_circle(kind, given, wanted):
    found = answer(kind, **given)
    assert {name: found[name] for name in wanted} == pytest.approx(wanted, rel=1e-4)


def circle_through(span, rise):
    radius = span**2 / (8 * rise) + rise / 2
    return lambda x: np.sqrt(radius**2 - x**2) - (radius - rise)


def pointed(span, rise):
    radius = (span**2 / 4 + rise**2) / span
    return lambda x: np.sqrt(np.maximum(radius**2 - (np.abs(x) + radius - span / 2) ** 2, 0))


def basket(span, rise, small):
    a = span / 2
    large = (a**2 + rise**2 - 2 * a * small) / (2 * (rise - small))
    meets = large * math.sin(math.atan2(a - small, large - rise))

    def high(x):
        out = np.abs(x)
        haunch = np.sqrt(np.maximum(small**2 - (out - (a - small)) ** 2, 0))
        return np.where(out <= meets, rise - large + np.sqrt(large**2 - x**2), haunch)

    return high


CURVES = [
    ("segmental", {"rise": 200}, circle_through(1200, 200)),
    ("segmental", {"rise": 60}, circle_through(1200, 60)),
    ("semicircular", {}, circle_through(1200, 600)),
    ("two_centred", {"rise": 900}, pointed(1200, 900)),
    ("three_centred", {"rise": 360, "r": 240}, basket(1200, 360, 240)),
    ("ellipse", {"rise": 330}, lambda x: 330 * np.sqrt(np.maximum(1 - (x / 600) ** 2, 0))),
    ("raked", {"rise": 300}, lambda x: 300 * (x + 600) / 1200),
    ("gable", {"rise": 500}, lambda x: 500 * (1 - np.abs(x) / 600)),
]


@pytest.mark.parametrize(("kind", "more", "curve"), CURVES, ids=lambda c: c if isinstance(c, str) else None)
@pytest.mark.parametrize("joint", [4, 15])
def test_every_point_of_the_frame_keeps_its_joint(kind, more, curve, joint):
    """Distances of shapely; its own inward buffer simplifies by a hundredth of the joint."""
    x = -600 * np.cos(np.linspace(0, math.pi, 8001))
    head = LineString(zip(x, 900 + curve(x), strict=True))
    opening = Polygon([(-600, 0), *head.coords, (600, 0)])
    found = answer(kind, span=1200, Hs=900, g=joint, **more)
    jamb, half = joint + found["jamb_mm"], found["span_mm"] / 2
    corner = Point(-half, jamb)
    assert corner.distance(head) == pytest.approx(joint, abs=1e-3)
    assert half == 600 - joint
    for at, high in found["stations_mm"]:
        assert Point(at, jamb + high).distance(head) == pytest.approx(joint, abs=1e-3)
    top = {"raked": (half, 0.0)}.get(kind, (0.0, 0.0))[0]
    assert Point(top, joint + found["overall_mm"]).distance(head) == pytest.approx(joint, abs=1e-3)

    frame = opening.buffer(-joint, join_style="mitre", mitre_limit=50)
    left, low, right, high = frame.bounds
    assert [found["span_mm"], found["overall_mm"]] == pytest.approx(
        [right - left, high - low], abs=0.01 * joint
    )
    along = frame.boundary.length - 2 * found["jamb_mm"] - found["span_mm"]
    along -= found["rise_mm"] if kind == "raked" else 0.0
    assert found["arc_mm"] == pytest.approx(along, abs=0.03 * joint)


def test_a_head_without_rise_is_the_rectangle():
    found = answer("segmental", span=1200, rise=0, Hs=900, gs=5, gc=8, gb=35)
    assert [found[n] for n in ("span_mm", "rise_mm", "jamb_mm", "overall_mm")] == [1190, 0, 857, 857]
    assert found["stays_arc"] is False
    nearly = answer("segmental", span=1200, rise=0.001, Hs=900, gs=5, gc=8, gb=35)
    assert nearly["overall_mm"] == pytest.approx(found["overall_mm"], abs=2e-3)


def test_no_joint_is_the_opening_itself():
    found = answer("segmental", span=1200, rise=200, Hs=900, g=0)
    assert [found[n] for n in ("span_mm", "rise_mm", "jamb_mm", "radius_mm")] == pytest.approx(
        [1200, 200, 900, 1000]
    )


def test_centres_off_the_springing_line():
    """Both halves are then pieces of one circle when its centre lies under midspan."""
    one = answer("segmental", span=1200, rise=300, Hs=900, gs=6, gc=5, gb=30)
    two = answer("two_centred", span=1200, rise=300, Hs=900, gs=6, gc=5, gb=30, radius_mm=750)
    for name in ("span_mm", "rise_mm", "jamb_mm", "overall_mm", "radius_mm", "arc_mm"):
        assert two[name] == pytest.approx(one[name])


@pytest.mark.parametrize(
    ("kind", "given", "words"),
    [
        ("segmental", {"span": 1200, "rise": 700, "Hs": 900, "g": 5}, "rises at most half of it \\(600 mm\\)"),
        ("semicircular", {"span": 900, "rise": 400, "Hs": 900, "g": 5}, "rises 450 mm, not 400 mm"),
        ("two_centred", {"span": 1200, "rise": 300, "Hs": 900, "g": 5}, "the crown would dip"),
        ("two_centred", {"span": 1200, "rise": 800, "Hs": 900, "g": 5, "R": 400}, "does not reach from springing"),
        ("three_centred", {"span": 1200, "rise": 360, "Hs": 900, "g": 5}, "small_radius_mm: is missing"),
        ("three_centred", {"span": 1200, "rise": 360, "r": 400, "Hs": 900, "g": 5}, "can't be"),
        ("three_centred", {"span": 1200, "rise": 120, "r": 60, "Hs": 900, "g": 70}, "leaves nothing of a radius"),
        ("three_centred", {"span": 1200, "rise": 360, "r": 240, "Hs": 900, "gs": 4, "gc": 8}, "never meets the jamb"),
        ("ellipse", {"a": 600, "b": 100, "Hs": 900, "g": 20}, "least radius, 16.7 mm"),
        ("segmental", {"span": 200, "rise": 50, "Hs": 900, "g": 100}, "leave nothing of a span"),
        ("segmental", {"span": 1200, "rise": 200, "Hs": 20, "g": 5, "gb": 60}, "leave no jamb"),
        ("gable", {"span": 600, "rise": 40, "Hs": 0, "g": 60}, "leave no rise|leave no height"),
        ("quarter_circle", {"R": 100, "g": 45, "gb": 60}, "leave nothing of a quarter circle"),
        ("circle", {"span": 100, "g": 5, "gc": 60}, "leaves nothing of a circle"),
        ("segmental", {"rise": 200, "Hs": 900, "g": 5}, "span_mm: is missing"),
        ("segmental", {"span": 1200, "a": 600, "rise": 200, "Hs": 900, "g": 5}, "say the same twice"),
        ("segmental", {"span": 1200, "Hs": 900, "g": 5}, "rise_mm: is missing"),
        ("raked", {"span": 1200, "rise": 200, "g": 5}, "springing_mm: is missing"),
        ("segmental", {"span": 1200, "rise": 200, "Hs": 900}, "sides_mm: is missing"),
        ("segmental", {"span": 1200, "rise": 200, "Hs": 900, "g": 5, "r": 100}, "a segmental head has none"),
        ("segmental", {"span": 1200, "rise": -5, "Hs": 900, "g": 5}, "at least 0"),
    ],
)  # fmt: skip
def test_where_no_frame_is_left_it_is_refused_in_words(kind, given, words):
    with pytest.raises(BadInput, match=words):
        answer(kind, **given)
