"""Order size, place and gaps."""

from itertools import combinations

import numpy as np
import pytest
from shapely import box, contains
from shapely.geometry import Polygon

from jambwright.basis import BadInput
from jambwright.frame import MakerTolerance, order_size, second_reading_gains
from jambwright.opening import Gaps, Outline, largest_rectangle, space_of
from openings import BOWS, FULL, TAPE, UPRIGHT, error_free, outline

GAPS = Gaps(left=5, right=5, head=5, bottom=5)
SQUARE = [(0, 0), (1200, 0), (1200, 1000), (0, 1000)]
MAKER = MakerTolerance(size_mm=0, diagonal_mm=0)


def opening(marks: tuple[str, ...] = FULL) -> Outline:
    return outline(error_free(marks))


def test_true_opening_less_gaps_and_sill() -> None:
    got = order_size(SQUARE, gaps_mm=Gaps(left=5, right=6, head=7, bottom=8), sill_height_mm=30)
    assert (got.width_mm, got.height_mm, got.overall_height_mm) == (1189, 955, 985)
    assert got.place_mm == pytest.approx((5, 38))
    assert got.gaps_mm["left"] == pytest.approx({"bottom": 5, "middle": 5, "top": 5})
    assert got.gaps_mm["right"] == pytest.approx({"bottom": 6, "middle": 6, "top": 6})
    assert got.gaps_mm["head"] == pytest.approx({"left": 7, "centre": 7, "right": 7})
    assert got.gaps_mm["bottom"] == pytest.approx({"left": 8, "centre": 8, "right": 8})
    assert got.probability_fits == 1.0


@pytest.mark.parametrize(
    ("step", "size"), [(1, (1190, 990)), (5, (1190, 990)), (50, (1150, 950)), (0.1, (1190, 990))]
)
def test_sizes_are_rounded_down_to_the_step(step: float, size: tuple[float, float]) -> None:
    got = order_size(SQUARE, gaps_mm=GAPS, round_down_to_mm=step)
    assert (got.width_mm, got.height_mm) == pytest.approx(size)


def test_direction_and_repeated_first_corner_of_a_polygon_do_not_matter() -> None:
    wanted = order_size(SQUARE, gaps_mm=GAPS)
    assert order_size(SQUARE[::-1], gaps_mm=GAPS) == wanted
    assert order_size([*SQUARE, SQUARE[0]], gaps_mm=GAPS) == wanted


ODD = {
    "gable": [(0, 0), (1000, 0), (1000, 700), (500, 1200), (0, 700)],
    "ell": [(0, 0), (1000, 0), (1000, 1000), (600, 1000), (600, 400), (0, 400)],
    "notched head": [
        (0, 0), (1000, 0), (1000, 1000), (550, 1000), (550, 900), (450, 900), (450, 1000), (0, 1000),
    ],
    "cut corner": [(0, 0), (1000, 0), (1000, 700), (700, 1000), (0, 1000)],
    "bulged all round": [
        (0, 0), (500, 6), (1000, 0), (993, 500), (1000, 1000), (500, 995), (0, 1000), (4, 500),
    ],
}  # fmt: skip


@pytest.mark.parametrize("name", ODD)
def test_the_frame_keeps_its_gap_in_outlines_of_any_form(name: str) -> None:
    """Outside check: shapely's distance between frame and outline."""
    frame = largest_rectangle(space_of(ODD[name]), GAPS)
    hole = Polygon(ODD[name])
    body = box(frame.x, frame.y, frame.x + frame.width, frame.y + frame.height)
    assert hole.contains(body)
    assert body.distance(hole.exterior) == pytest.approx(5, abs=1e-6)


@pytest.mark.parametrize("name", ODD)
def test_no_rectangle_found_by_trying_is_larger(name: str) -> None:
    """Outside check: shapely over every rectangle on a grid; it holds one nearly as large, and none larger."""
    hole = Polygon(ODD[name]).buffer(-5, join_style="mitre").buffer(1e-9)
    best = largest_rectangle(space_of(ODD[name]), GAPS)
    x, y = np.linspace(12, 985, 34), np.linspace(12, 1188, 41)
    lefts, rights = np.array(list(combinations(x, 2))).T
    lows, highs = np.array(list(combinations(y[::2], 2))).T
    size = (rights - lefts)[:, None] + (highs - lows)[None, :]
    wide, high = np.nonzero(size > best.width + best.height - 120)
    held = contains(hole, box(lefts[wide], lows[high], rights[wide], highs[high]))
    tried = size[wide, high]
    assert held.any()
    assert tried[held].max() <= best.width + best.height + 1e-6
    assert (tried > best.width + best.height).sum() > 20


def test_prefer_decides_between_equal_sums() -> None:
    wide = order_size(ODD["cut corner"], gaps_mm=GAPS, prefer="width")
    high = order_size(ODD["cut corner"], gaps_mm=GAPS, prefer="height")
    even = order_size(ODD["cut corner"], gaps_mm=GAPS, prefer="area")
    assert wide.width_mm > even.width_mm > high.width_mm
    assert wide.width_mm + wide.height_mm == pytest.approx(high.width_mm + high.height_mm, abs=1)
    assert even.width_mm * even.height_mm > wide.width_mm * wide.height_mm
    assert (wide.prefer, high.prefer, even.prefer) == ("width", "height", "area")


def test_prefer_decides_between_equal_sums_from_readings_too() -> None:
    found = {p: order_size(opening(), gaps_mm=GAPS, prefer=p) for p in ("width", "height", "area")}
    assert len({s.width_mm + s.height_mm for s in found.values()}) == 1
    assert found["width"].width_mm >= found["area"].width_mm >= found["height"].width_mm


def test_from_readings_the_chance_is_the_wanted_one_and_the_next_size_up_would_miss_it() -> None:
    got = order_size(opening(), gaps_mm=GAPS, round_down_to_mm=0.25)
    assert 0.99 <= got.probability_fits < 0.994


def test_the_size_falls_as_the_wanted_chance_rises() -> None:
    sizes = [order_size(opening(), gaps_mm=GAPS, confidence=c) for c in (0.5, 0.9, 0.99, 0.999)]
    sums = [s.width_mm + s.height_mm for s in sizes]
    assert sums == sorted(sums, reverse=True)
    assert all(s.probability_fits >= c for s, c in zip(sizes, (0.5, 0.9, 0.99, 0.999), strict=True))


def test_a_maker_who_keeps_no_tolerance_allows_a_larger_frame() -> None:
    usual = order_size(opening(), gaps_mm=GAPS)
    exact = order_size(opening(), gaps_mm=GAPS, maker=MAKER)
    assert exact.width_mm + exact.height_mm > usual.width_mm + usual.height_mm


def test_what_was_not_measured_costs_size_and_is_said() -> None:
    all_read = order_size(opening(), gaps_mm=GAPS)
    no_level = order_size(opening(TAPE), gaps_mm=GAPS)
    no_square = order_size(opening(TAPE[:6]), gaps_mm=GAPS)
    sums = [s.width_mm + s.height_mm for s in (all_read, no_level, no_square)]
    assert sums == sorted(sums, reverse=True)
    assert all_read.rests_on == ()
    assert len(no_level.rests_on) == 1
    assert len(no_square.rests_on) == 2
    assert no_square.probability_fits >= 0.99


def test_the_joint_may_be_too_wide_as_well() -> None:
    at_most = Gaps(left=14, right=14, head=14, bottom=14)
    got = order_size(opening(), gaps_mm=GAPS, widest_gaps_mm=at_most, confidence=0.5)
    free = order_size(opening(), gaps_mm=GAPS, confidence=0.5)
    assert got.probability_fits <= free.probability_fits + 1e-9
    tight = Gaps(left=6, right=6, head=6, bottom=6)
    crooked = order_size(opening(), gaps_mm=GAPS, widest_gaps_mm=tight)
    assert crooked.probability_fits < 0.05  # 5 to 6 mm all round can't be had in a crooked hole


def test_a_second_reading_gains_something_where_readings_are_few() -> None:
    gains = second_reading_gains(opening((*TAPE, *UPRIGHT)), gaps_mm=GAPS)
    assert gains[0].mm > 0
    assert [g.mm for g in gains] == sorted((g.mm for g in gains), reverse=True)
    assert {(g.kind, g.at) for g in gains} >= {("width", "middle"), ("level", "head")}


def test_the_governing_edges_are_named() -> None:
    assert "against" in order_size(opening((*TAPE, *UPRIGHT, *BOWS)), gaps_mm=GAPS).governs


BAD = [
    ([(0, 0), (1000, 0)], "2 points"),
    ([(0, 0), (1000, 1000), (1000, 0), (0, 1000)], "crosses or touches itself"),
    ([(0, 0), (8, 0), (8, 1000), (0, 1000)], "No frame fits"),
]


@pytest.mark.parametrize(("corners", "words"), BAD, ids=[words for _, words in BAD])
def test_outlines_that_hold_no_frame_are_refused(corners: list[tuple[float, float]], words: str) -> None:
    with pytest.raises(BadInput, match=words):
        order_size(corners, gaps_mm=GAPS)


def test_a_sill_that_leaves_no_frame_is_refused() -> None:
    with pytest.raises(BadInput, match="No frame is left over"):
        order_size(SQUARE, gaps_mm=GAPS, sill_height_mm=990)


def test_readings_whose_edges_cross_make_no_opening() -> None:
    with pytest.raises(BadInput, match="make no opening"):
        order_size(
            outline({"Wb": 1200, "Wt": 1200, "Hl": 900, "Hr": 900, "Pl": 4000, "Pr": -4000}), gaps_mm=GAPS
        )
