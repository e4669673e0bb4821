"""The adjusted outline: signs, stand-ins, repeats, many at once, and readings that cannot be."""

import numpy as np
import pytest

from jambwright.basis import BadInput
from jambwright.opening import RectangleShape, adjust
from jambwright.opening.net import net_of
from jambwright.readings import USUAL, Reading, Trust
from openings import BOWS, FULL, PLACES, TAPE, TRUE_CORNERS, UPRIGHT, error_free, outline, readings

SHAPE = RectangleShape()
NAMES = {"BR": "bottom_right", "TR": "top_right", "TL": "top_left"}


def test_error_free_readings_give_back_the_corners() -> None:
    corners = [c for mark in ("BR", "TR", "TL") for c in TRUE_CORNERS[mark]]
    exact, _ = SHAPE.observe([PLACES[m] for m in FULL], np.array([*corners, 2.0, -1.0, 3.0, 0.5]))
    got = outline(dict(zip(FULL, map(float, exact), strict=True)))
    for mark, name in NAMES.items():
        assert got.corners_mm[name] == pytest.approx(TRUE_CORNERS[mark], abs=1e-6)
    assert got.corners_mm["bottom_left"] == (0.0, 0.0)
    assert got.fit.weighted_square_sum == pytest.approx(0, abs=1e-9)


def test_bows_stand_into_the_opening() -> None:
    got = outline({"Wb": 1200, "Wt": 1200, "Hl": 1000, "Hr": 1000, "Bl": 5, "Br": 4, "Bs": 3, "Bh": 2})
    mids = got.mid_edges_mm
    assert mids["left"][0] == pytest.approx(5)
    assert mids["right"][0] == pytest.approx(1196)
    assert mids["sill"][1] == pytest.approx(3)
    assert mids["head"][1] == pytest.approx(998)


def test_gradients_agree_with_differences() -> None:
    places = [*SHAPE.lengths, *SHAPE.upright, *SHAPE.bows]
    p = np.array([1204.0, 3, 1201, 1057, -4, 1053, 6, -4, 3, 2])
    _, slopes = SHAPE.observe(places, p)
    _, bends = SHAPE.boundary(p)
    for k in range(len(p)):
        step = np.zeros_like(p)
        step[k] = 1e-3
        up, down = (SHAPE.observe(places, p + s)[0] for s in (step, -step))
        assert slopes[:, k] == pytest.approx((up - down) / 2e-3, abs=1e-7)
        up, down = (SHAPE.boundary(p + s)[0] for s in (step, -step))
        assert bends[..., k] == pytest.approx((up - down) / 2e-3, abs=1e-7)


def test_many_openings_at_once_give_what_each_gives_alone() -> None:
    rng = np.random.default_rng(3)
    marks = (*TAPE, *UPRIGHT)
    base = np.array([error_free(marks)[m] for m in marks])
    read = base + rng.normal(0, 2, (20, len(marks)))
    net, _ = net_of(readings(dict(zip(marks, map(float, base), strict=True))), USUAL, SHAPE)
    together = net.adjust(read)
    for n, row in enumerate(read):
        alone = outline(dict(zip(marks, map(float, row), strict=True)))
        assert together.parameters[n] == pytest.approx(alone.parameters, abs=1e-6)
        assert together.covariance[n] == pytest.approx(alone.covariance, abs=1e-6)


def test_repeats_count_as_their_mean_with_less_spread() -> None:
    once = outline(error_free(TAPE))
    marked = error_free(TAPE)
    often = outline(marked | {"Wb": [marked["Wb"]] * 4})
    assert often.readings[0].sigma_mm == pytest.approx(once.readings[0].sigma_mm / 2)
    assert often.degrees_of_freedom == once.degrees_of_freedom


def test_lean_that_nobody_measured_is_upright_with_a_wide_margin() -> None:
    """4 mm a metre of each edge, 3 mm at the least; only where the readings leave it open."""
    got = outline({"Wb": 1200, "Wt": 1200, "Hl": 1000, "Hr": 1000})
    assert not got.square_measured
    assert not got.level_measured
    assert got.corners_mm["top_left"] == pytest.approx((0, 1000), abs=1e-6)
    skewed = got.covariance[4, 4] ** 0.5
    assert 2.0 < skewed < 6.0
    levelled = outline(error_free((*TAPE, *UPRIGHT)))
    assert levelled.square_measured
    assert levelled.level_measured
    assert levelled.covariance[4, 4] ** 0.5 < 1.0


def test_stand_ins_never_touch_what_was_measured() -> None:
    """A level read at 30 mm is believed, however far from upright it is."""
    got = outline(error_free(TAPE) | {"Ls": 30.0})
    assert got.corners_mm["bottom_right"][1] == pytest.approx(30.0, abs=1e-6)


def test_each_of_the_two_ways_to_hold_edges_straight() -> None:
    got = outline(error_free(TAPE), Trust(bow_prior_mm=0))
    assert got.parameters[6:] == pytest.approx([0, 0, 0, 0], abs=1e-6)
    assert got.degrees_of_freedom == 3
    read = outline(error_free((*TAPE, *BOWS)) | {"Bl": 4.0}, Trust(bow_prior_mm=0))
    assert read.parameters[6] > 1.0  # a bow that was read is believed


def test_the_p_value_is_that_of_the_square_sum() -> None:
    got = outline(error_free(TAPE) | {"Wb": 1210.0}, Trust(bow_prior_mm=0))
    from scipy.stats import chi2

    assert got.p_value == pytest.approx(chi2.sf(float(got.fit.weighted_square_sum), 3))
    assert got.variance_factor == pytest.approx(float(got.fit.weighted_square_sum) / 3)


def test_a_reading_that_nothing_checks_shows_no_w_and_no_smallest_misread() -> None:
    got = outline({"Wb": 1200, "Hl": 1000, "Hr": 1001, "Wt": 1202})
    assert {r.redundancy for r in got.readings} == {0.0}
    assert {r.smallest_detectable_mm for r in got.readings} == {None}
    assert got.variance_factor is None
    assert got.p_value is None


BAD = [
    ([("width", "botom", 1200)], "is not read at `botom`; use bottom, middle, top"),
    ([("width", "bottom", 0)], "bottom width of 0 mm can't be"),
    ([("height", "left", -900)], "left height of -900 mm can't be"),
    ([("diagonal", "rising", -1)], "rising diagonal of -1 mm can't be"),
    ([("width", "top", 1), ("width", "top", 2)], "top width is given twice"),
    ([("level", "sill", 200_000)], "longer than any opening"),
    ([("level", "sill", 2)], "No width was read"),
    ([("width", "bottom", 1200)], "No height was read"),
]


@pytest.mark.parametrize(("rows", "words"), BAD, ids=[words for _, words in BAD])
def test_readings_that_cannot_be_are_refused_by_name(rows: list[tuple[str, str, float]], words: str) -> None:
    with pytest.raises(BadInput, match=words):
        adjust([Reading(kind=k, at=a, values_mm=(mm,)) for k, a, mm in rows])  # type: ignore[arg-type]


def test_all_faults_are_told_at_once() -> None:
    taken = [
        Reading(kind="width", at="left", values_mm=(1.0,)),
        Reading(kind="height", at="left", values_mm=(-1.0,)),
    ]
    with pytest.raises(BadInput) as caught:
        adjust(taken)
    assert len(caught.value.problems) == 2


def test_a_width_a_tenth_of_the_others_is_no_crash() -> None:
    got = outline(error_free(FULL) | {"Wb": 120.4})
    assert np.all(np.isfinite(got.parameters))


def test_a_trace_of_what_was_not_read_is_no_reading_of_it():
    """Level and bottom width were not read; three heights that can't quite be must not bend the outline for it."""
    found = outline({"Wt": 1199.4, "D1": 1595.3, "Hl": 1050.0, "Hr": 1050.3, "Hc": 1051.6})
    assert found.corners_mm["bottom_right"] == pytest.approx((1200, 0), abs=5)
    assert found.corners_mm["top_right"] == pytest.approx((1200, 1050), abs=5)


def test_edges_that_cross_though_each_runs_its_own_way_make_no_opening():
    """A diagonal twice too long leans the right jamb over; bows then reach across it."""
    bent = outline({
        "Wb": 521.0, "Wm": 521.3, "Wt": 521.0, "Hl": 1961.0, "Hc": 1959.3, "Hr": 1957.7, "D1": 4064.6, "D2": 2022.6,
        "Ls": 6.7, "Lh": 3.3, "Pl": 0.0, "Pr": 0.0, "Bl": -0.3, "Br": 0.0,
    })  # fmt: skip
    assert bent.crosses_itself
    with pytest.raises(BadInput, match="its edges cross"):
        bent.space()
