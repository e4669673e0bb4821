"""The largest rectangle in outlines of any form, held against shapely and against every rectangle on a grid.

Each random outline is simple (shapely says so). No published source: the largest rectangle of an outline is defined by
the outline itself, so containment and a search by trial are the check.
"""

import math
from itertools import combinations, pairwise

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from jambwright.basis import BadInput
from jambwright.calc import answer
from jambwright.opening import Gaps, Rectangle, largest_rectangle, space_of

Points = list[tuple[float, float]]
SEEN_MM = 1e-3
LEAST_MM = 100.0
"""No frame is narrower or lower."""


@st.composite
def ragged(draw: st.DrawFn) -> Points:
    """Four sides of up to six pieces each, out of line by up to 300 mm."""
    width, height = draw(st.integers(400, 2400)), draw(st.integers(400, 2400))
    deep = draw(st.sampled_from((4.0, 40.0, 300.0)))
    corners = [(0.0, 0.0), (float(width), 0.0), (float(width), float(height)), (0.0, float(height))]
    points: Points = []
    for (ax, ay), (bx, by) in pairwise([*corners, corners[0]]):
        points.append((ax, ay))
        length = math.dist((ax, ay), (bx, by))
        for share in sorted(draw(st.lists(st.floats(0.05, 0.95), max_size=5))):
            off = draw(st.floats(-deep, deep)) / length
            points.append(
                (ax + share * (bx - ax) - off * (by - ay), ay + share * (by - ay) + off * (bx - ax))
            )
    return points


@st.composite
def stars(draw: st.DrawFn) -> Points:
    """Points all round a middle, near and far."""
    turns = sorted(draw(st.lists(st.floats(0, 2 * math.pi), min_size=3, max_size=14)))
    far = [draw(st.floats(150, 900)) for _ in turns]
    return [(r * math.cos(t), r * math.sin(t)) for r, t in zip(far, turns, strict=True)]


@st.composite
def bulging(draw: st.DrawFn) -> Points:
    """A quadrangle whose sides are hollow or bulge in at up to three points each, as walls do."""
    width, height = draw(st.integers(400, 2400)), draw(st.integers(400, 2400))
    slips = [draw(st.floats(-20, 20)) for _ in range(8)]
    ends = [(0, 0), (width, 0), (width, height), (0, height)]
    corners = [(x + slips[2 * n], y + slips[2 * n + 1]) for n, (x, y) in enumerate(ends)]
    bows = [draw(st.floats(-25, 25)) for _ in corners]
    pieces = [draw(st.integers(1, 4)) for _ in corners]
    points: Points = []
    for (ax, ay), (bx, by), bow, count in zip(corners, [*corners[1:], corners[0]], bows, pieces, strict=True):
        length = math.dist((ax, ay), (bx, by))
        for n in range(count):
            share = n / count
            off = 4 * share * (1 - share) * bow / length
            points.append(
                (ax + share * (bx - ax) - off * (by - ay), ay + share * (by - ay) + off * (bx - ax))
            )
    return points


def rounded(points: Points) -> Points:
    """Whole millimetres, each corner once in turn."""
    whole = [(float(round(x)), float(round(y))) for x, y in points]
    return [point for n, point in enumerate(whole) if point != whole[n - 1]]


any_outline = st.one_of(ragged(), stars(), bulging()).map(rounded)


def is_simple(points: Points) -> bool:
    return len(points) > 2 and bool(shapely.is_valid(hole := shapely.Polygon(points))) and hole.area > 1e4


def body_of(r: Rectangle) -> shapely.Polygon:
    return shapely.box(r.x, r.y, r.x + r.width, r.y + r.height)


def best_by_trial(points: Points, gap: float) -> float:
    """Width + height of the largest rectangle of a grid that keeps the gap."""
    hole = shapely.Polygon(points).buffer(-gap, join_style="mitre", mitre_limit=50).buffer(1e-9)
    if hole.is_empty:
        return 0.0
    shapely.prepare(hole)
    left, low, right, high = hole.bounds
    x, y = np.linspace(left, right, 26), np.linspace(low, high, 26)
    lefts, rights = np.array(list(combinations(x, 2))).T
    lows, highs = np.array(list(combinations(y, 2))).T
    wide, tall = np.nonzero(((rights - lefts)[:, None] >= LEAST_MM) & ((highs - lows)[None, :] >= LEAST_MM))
    held = shapely.contains(hole, shapely.box(lefts[wide], lows[tall], rights[wide], highs[tall]))
    sums = (rights - lefts)[wide] + (highs - lows)[tall]
    return float(sums[held].max(initial=0.0))


def look_at(points: Points, gap: float) -> None:
    try:
        found = largest_rectangle(space_of(points), Gaps(left=gap, right=gap, head=gap, bottom=gap))
    except BadInput:
        assert best_by_trial(points, gap) == 0
        return
    hole = shapely.Polygon(points)
    assert hole.buffer(SEEN_MM).contains(body_of(found))
    assert hole.exterior.distance(body_of(found)) >= gap - SEEN_MM
    assert best_by_trial(points, gap) <= found.width + found.height + SEEN_MM


@settings(max_examples=50)
@given(any_outline, st.sampled_from((0.0, 0.0, 5.0, 12.0)))
def test_the_rectangle_stands_in_the_hole_and_none_on_a_grid_is_larger(points: Points, gap: float) -> None:
    assume(is_simple(points))
    look_at(points, gap)


OUTSIDE_ONCE = {
    "a jamb of three pieces that bulges in": [
        (0, 0), (1200, 0), (1200, 300), (1100, 500), (1100, 700), (1200, 1000), (0, 1000),
    ],
    "ragged all round": [(0, 0), (1200, 0), (1043, 156), (1200, 1000), (436, 827), (0, 1000)],
    "a hollow larger than the hole": [(0, 0), (2000, 0), (2000, 2000), (1800, 2000), (1800, 200), (0, 200)],
    "a spike across": [(0, 0), (1200, 0), (1200, 900), (0, 1000), (0, 700), (700, 300), (0, 600)],
}  # fmt: skip
"""Outlines whose frame was once given beside the hole, or not the largest."""


@pytest.mark.parametrize("name", OUTSIDE_ONCE)
@pytest.mark.parametrize("gap", [0.0, 5.0])
def test_frames_once_given_beside_the_hole_stand_in_it(name: str, gap: float) -> None:
    look_at(OUTSIDE_ONCE[name], gap)


@settings(max_examples=25)
@given(any_outline, st.sampled_from((0, 5)), st.sampled_from((0, 30)))
def test_the_calculation_gives_a_frame_and_sill_in_the_hole_or_says_why_not(
    points: Points, gap: float, sill: float
) -> None:
    assume(is_simple(points))
    gaps = dict.fromkeys(("left", "right", "head", "bottom"), gap)
    try:
        got = answer("frame-size", {"polygon_mm": points, "gap_mm": gaps, "sill_height_mm": sill})
    except BadInput:
        return
    (x, y), width, height = got["place_mm"], got["order_width_mm"], got["order_height_mm"]
    stands = shapely.box(x, y - sill, x + width, y + height)
    assert got["probability_fits"] == 1
    assert shapely.Polygon(points).buffer(SEEN_MM).contains(stands)
    assert shapely.Polygon(points).exterior.distance(stands) >= gap - SEEN_MM


NOT_SIMPLE = {
    "crosses": [(0, 0), (1000, 1000), (1000, 0), (0, 1000)],
    "touches itself": [(0, 0), (1000, 0), (1000, 1000), (500, 0), (0, 1000)],
    "two points": [(0, 0), (1000, 0)],
    "one point often": [(5, 5)] * 6,
    "three points, two alike": [(0, 0), (1000, 0), (1000, 0)],
    "no area": [(0, 0), (1000, 0), (500, 0)],
    "not finite": [(0, 0), (math.inf, 0), (1000, 1000)],
    "no number": [(0, 0), (math.nan, 0), (1000, 1000)],
    "out of this world": [(0, 0), (1e300, 0), (1e300, 1e300), (0, 1e300)],
}


@pytest.mark.parametrize("name", NOT_SIMPLE)
def test_what_is_no_outline_is_refused_by_name(name: str) -> None:
    with pytest.raises(BadInput, match="polygon_mm"):
        space_of(NOT_SIMPLE[name])
    gaps = dict.fromkeys(("left", "right", "head", "bottom"), 0)
    with pytest.raises(BadInput, match="polygon_mm"):
        answer("frame-size", {"polygon_mm": NOT_SIMPLE[name], "gap_mm": gaps})


def test_corners_given_twice_in_turn_count_once() -> None:
    square = [(0, 0), (1000, 0), (1000, 0), (1000, 900), (1000, 900), (0, 900), (0, 0)]
    found = largest_rectangle(space_of(square), Gaps(left=5, right=5, head=5, bottom=5))
    assert found.numbers == pytest.approx((5, 5, 990, 890))
