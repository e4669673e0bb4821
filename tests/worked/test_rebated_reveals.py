"""Frames behind the nibs of a rebated reveal, worked by hand.

Source of the rule: common practice, no published source. The frame fits between the inner reveals with its
joints, stands on the outer sill, and laps behind the nibs. Every figure here follows from it by addition; the
chance is checked against holes drawn as they are believed.
"""

from dataclasses import replace
from math import hypot

import numpy as np
import pytest
import shapely
from shapely.affinity import translate

from jambwright.frame import MakerTolerance, OrderSize, lapped, order_size
from jambwright.frame.faces import sight_gaps_mm
from jambwright.opening import BehindNibs, Gaps, Nib, Outline, RectangleShape, Side
from jambwright.readings import Trust
from openings import FULL, PLACES, outline

EXACT = Trust(tape_mm=0.001, level_mm=0.001, bow_prior_mm=0.001)
NONE = MakerTolerance(size_mm=0, diagonal_mm=0)
NIBS = frozenset({"left", "right", "head"})


def upright(width: float, height: float) -> Outline:
    diagonal = hypot(width, height)
    marks = {"Wb": width, "Wm": width, "Wt": width, "Hl": height, "Hc": height, "Hr": height}
    square = dict.fromkeys(FULL[8:], 0.0)
    return outline({**marks, "D1": diagonal, "D2": diagonal, **square}, EXACT)


# outer hole, inner hole, nibs left, right and head, joint, sill; then by hand the width, the height, and how
# much wider and higher than the hole outside
CASES = [
    # 1250 - 2 x 5; 1050 + 30 - 5 - 5
    ((1200, 1050), (1250, 1100), (25, 25, 30), 5, 0, (1240, 1070), (40, 20)),
    # 1250 - 2 x 5; 1050 + 30 - 5 - 5 - 30 of sill; the sill counts in the height over all
    ((1200, 1050), (1250, 1100), (25, 25, 30), 5, 30, (1240, 1040), (40, 20)),
    # 960 - 2 x 8; 2100 + 20 - 8 - 8
    ((900, 2100), (960, 2140), (35, 25, 20), 8, 0, (944, 2104), (44, 4)),
    # the inner hole is higher than nib and sill say, by a window board: only the nib counts
    ((1200, 1050), (1250, 1010), (25, 25, 30), 5, 0, (1240, 1070), (40, 20)),
]


@pytest.mark.parametrize(("outer", "inner", "nib", "joint", "sill", "size", "larger"), CASES)
def test_the_frame_fits_between_the_inner_reveals_and_on_the_outer_sill(
    outer: tuple[float, float],
    inner: tuple[float, float],
    nib: tuple[float, float, float],
    joint: float,
    sill: float,
    size: tuple[float, float],
    larger: tuple[float, float],
) -> None:
    left, right, head = (Nib(mm=mm, sigma_mm=0.001) for mm in nib)
    hole = BehindNibs(
        outside=upright(*outer), inside=upright(*inner), nibs={"left": left, "right": right, "head": head}
    )
    order = order_size(
        hole, gaps_mm=Gaps(left=joint, right=joint, head=joint, bottom=joint), sill_height_mm=sill,
        round_down_to_mm=0.1, maker=NONE, common_mm=0,
    )  # fmt: skip
    assert (order.width_mm, order.height_mm) == pytest.approx(size, abs=0.11)
    laps = lapped(order, hole.outside, NIBS)
    assert (laps.wider_mm, laps.higher_mm) == pytest.approx(larger, abs=0.2)
    assert laps.laps_mm["left"] == pytest.approx([nib[0] - joint] * 3, abs=0.2)
    assert laps.laps_mm["head"] == pytest.approx([nib[2] - joint] * 3, abs=0.2)


def test_the_gap_behind_a_deep_nib_by_hand() -> None:
    """A nib of 85 mm, a face of 65 with 10 to stay in sight: 55 may lap, 30 mm stays behind the frame."""
    deep = Nib(mm=85, sigma_mm=0.001)
    hole = BehindNibs(
        outside=upright(1200, 1050), inside=upright(1370, 1100), nibs={"left": deep, "right": deep}
    )
    assert sight_gaps_mm(hole, 65.0) == pytest.approx({"left": 30, "right": 30}, abs=0.05)


SHAPE = RectangleShape()
GAP = 5.0
GAPS = Gaps(left=GAP, right=GAP, head=GAP, bottom=GAP)
OUTER = np.array([1202.0, 2, 1199, 1052, -3, 1050, 2, -1, 0, 1])
INNER = np.array([1251.0, -1, 1252, 1093, 2, 1090, -1, 2, 0, 2])
DRAWS = 1500
CONFIDENCE = 0.9


def test_the_chance_agrees_with_holes_drawn_and_filled() -> None:
    """Outside check: shapely. Faces and nibs are drawn as they are believed; how often does the frame go in.

    The hole is the inner face, moved until its middles stand behind the nibs, above the outer sill. A frame
    goes in when the hole, less the joint, less the frame laid along its edge, leaves a place. Binomial
    scatter, three standard deviations.
    """
    hole = BehindNibs(outside=outline(_read(OUTER)), inside=outline(_read(INNER)), nibs=_nibs(25, 26, 28))
    order = order_size(hole, gaps_mm=GAPS, confidence=CONFIDENCE, maker=NONE, common_mm=0)
    belief, chance = hole.belief(), np.random.default_rng(20261128)
    each = chance.multinomial(DRAWS, belief.chance)
    drawn = np.concatenate(
        [
            chance.multivariate_normal(mean, spread, size=n)
            for mean, spread, n in zip(belief.means, belief.spreads, each, strict=True)
        ]
    )
    goes_in = [_goes_in(order, _hole(p[:10], p[10:20], *p[20:])) for p in drawn]
    scatter = 3 * np.sqrt(CONFIDENCE * (1 - CONFIDENCE) / DRAWS)
    assert np.mean(goes_in) == pytest.approx(order.probability_fits, abs=scatter)


def _nibs(left: float, right: float, head: float) -> dict[Side, Nib]:
    sides: tuple[Side, ...] = ("left", "right", "head")
    return {s: Nib(mm=mm, sigma_mm=1.5) for s, mm in zip(sides, (left, right, head), strict=True)}


def _hole(
    outer_p: np.ndarray, inner_p: np.ndarray, left: float, right: float, head: float
) -> shapely.Polygon:
    outer, inner = (shapely.Polygon(SHAPE.boundary(p)[0]) for p in (outer_p, inner_p))
    (ol, orr, ot), (il, ir, it) = _middles(outer), _middles(inner)
    placed = translate(inner, ((ol - left - il) + (orr + right - ir)) / 2, ot + head - it)
    first, middle, last = SHAPE.boundary(outer_p)[0][:3]
    sill = [first - (middle - first), first, middle, last, last + (last - middle)]
    above = shapely.Polygon([*sill, (sill[-1][0], 2000), (sill[0][0], 2000)])
    return shapely.intersection(placed, above)


def _middles(face: shapely.Polygon) -> tuple[float, float, float]:
    """Left and right half way up, and the head half way across."""
    left, low, right, high = face.bounds
    across = shapely.LineString([(left - 9, (low + high) / 2), (right + 9, (low + high) / 2)])
    up = shapely.LineString([((left + right) / 2, low - 9), ((left + right) / 2, high + 9)])
    a, b = (shapely.intersection(line, face).bounds for line in (across, up))
    return a[0], a[2], b[3]


def _goes_in(order: OrderSize, hole: shapely.Polygon) -> bool:
    """Whether the frame has a place: what the joint leaves, moved back by every point along the frame's edge."""
    room = hole.buffer(-GAP, join_style="mitre")
    w, h, middle = order.width_mm, order.height_mm, 0.5
    edge = [(s * w, y) for s in (0, middle, 1) for y in (0, h)] + [(x, middle * h) for x in (0, w)]
    return not shapely.intersection_all([translate(room, -x, -y) for x, y in edge]).is_empty


def test_a_frame_behind_nibs_is_never_smaller_than_the_inner_reveals_alone_allow() -> None:
    """Nibs known well add nothing to what bounds the width: the inner outline alone gives the same one."""
    inner = outline(_read(INNER))
    for left, right in ((26.0, 25.0), (35.0, 16.0)):
        hole = BehindNibs(
            outside=outline(_read(OUTER)),
            inside=inner,
            nibs={
                "left": Nib(mm=left, sigma_mm=1.5),
                "right": Nib(mm=right, sigma_mm=1.5),
                "head": Nib(mm=28, sigma_mm=0.01),
            },
        )
        alone, behind = order_size(inner, gaps_mm=GAPS), order_size(hole, gaps_mm=GAPS)
        assert abs(behind.width_mm - alone.width_mm) <= 1
        assert behind.width_mm > order_size(hole.outside, gaps_mm=GAPS).width_mm + 40
        unsure = replace(hole, nibs={side: replace(nib, sigma_mm=5.0) for side, nib in hole.nibs.items()})
        assert order_size(unsure, gaps_mm=GAPS).height_mm < behind.height_mm


def _read(face: np.ndarray) -> dict[str, float]:
    values, _ = SHAPE.observe([PLACES[m] for m in FULL], face)
    return {m: float(v) for m, v in zip(FULL, values, strict=True)}
