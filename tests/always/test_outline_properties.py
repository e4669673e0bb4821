"""What must hold for every opening."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jambwright.frame import order_size
from jambwright.opening import (
    Gaps,
    RectangleShape,
    Space,
    adjust,
    advise,
    largest_rectangle,
    reliability,
    search,
)
from jambwright.opening.contacts import snug
from jambwright.readings import USUAL, Trust
from openings import BOWS, FULL, PLACES, TAPE, TRUE_CORNERS, UPRIGHT, error_free, outline, readings

SHAPE = RectangleShape()
GAPS = Gaps(left=5, right=6, head=7, bottom=4)

sizes = st.floats(450, 3000)
slips = st.floats(-15, 15)
bows = st.floats(-6, 6)
openings = st.builds(
    lambda w, h, lean, bow: np.array([w, 0, w, h, 0, h, 0, 0, 0, 0]) + np.array([*lean, *bow]),
    sizes,
    sizes,
    st.tuples(*[slips] * 6),
    st.tuples(*[bows] * 4),
)
# tape and one level or plumb: everything is measured, whatever is added
sets = st.builds(
    lambda one, more: {*TAPE, one, *more}, st.sampled_from(UPRIGHT), st.sets(st.sampled_from(FULL))
)
one_more = sets.filter(lambda marks: marks != set(FULL)).flatmap(
    lambda marks: st.tuples(st.just(marks), st.sampled_from(sorted(set(FULL) - marks)))
)
few = settings(max_examples=30)


def read(p: np.ndarray, marks: list[str]) -> dict[str, float]:
    values, _ = SHAPE.observe([PLACES[m] for m in marks], p)
    return {m: float(v) for m, v in zip(marks, values, strict=True)}


def turned_round(marked: dict[str, float]) -> dict[str, float]:
    """The same opening seen from the other face: left and right change places."""
    mirror = {"Hl": "Hr", "Hr": "Hl", "D1": "D2", "D2": "D1", "Pl": "Pr", "Pr": "Pl", "Bl": "Br", "Br": "Bl"}
    signs = {"Ls": -1, "Lh": -1, "Pl": -1, "Pr": -1}
    return {mirror.get(m, m): signs.get(m, 1) * v for m, v in marked.items()}


def laid_over(marked: dict[str, float]) -> dict[str, float]:
    """Mirrored in the rising diagonal: widths become heights, sill becomes left jamb."""
    swap = {"Wb": "Hl", "Wm": "Hc", "Wt": "Hr", "Ls": "Pl", "Lh": "Pr", "Bl": "Bs", "Br": "Bh"}
    swap |= {v: k for k, v in swap.items()}
    return {swap.get(m, m): v for m, v in marked.items()}


@few
@given(openings, one_more)
def test_a_consistent_reading_never_widens_the_covariance(p: np.ndarray, added: tuple[set[str], str]) -> None:
    marks, more = added
    fewer, after = (outline(read(p, sorted(m))) for m in (marks, {*marks, more}))
    shrink = fewer.covariance - after.covariance
    assert np.linalg.eigvalsh(shrink).min() > -1e-3 * np.linalg.eigvalsh(fewer.covariance).max()


@few
@given(openings, st.lists(st.floats(-2, 2), min_size=16, max_size=16))
def test_the_outline_seen_from_the_other_face_is_its_mirror(p: np.ndarray, noise: list[float]) -> None:
    marked = {m: v + e for (m, v), e in zip(read(p, list(FULL)).items(), noise, strict=True)}
    seen, mirrored = outline(marked), outline(turned_round(marked))
    assert mirrored.p_value == pytest.approx(seen.p_value, abs=1e-6)
    width = seen.corners_mm["bottom_right"]
    for corner, other in (("top_left", "top_right"), ("top_right", "top_left")):
        x, y = seen.corners_mm[corner]
        assert mirrored.corners_mm[other] == pytest.approx((width[0] - x, y - width[1]), abs=1e-5)


@few
@given(openings, st.lists(st.floats(-2, 2), min_size=16, max_size=16))
def test_widths_and_heights_are_treated_alike(p: np.ndarray, noise: list[float]) -> None:
    marked = {m: v + e for (m, v), e in zip(read(p, list(FULL)).items(), noise, strict=True)}
    upright, laid = outline(marked), outline(laid_over(marked))
    for corner, other in (("bottom_right", "top_left"), ("top_right", "top_right")):
        x, y = upright.corners_mm[corner]
        assert laid.corners_mm[other] == pytest.approx((y, x), abs=1e-5)


@few
@given(openings, st.sampled_from([TAPE, (*TAPE, *UPRIGHT), FULL]))
def test_redundancy_numbers_lie_between_nought_and_one_and_sum_to_no_more_than_the_freedom(
    p: np.ndarray, marks: tuple[str, ...]
) -> None:
    got = outline(read(p, list(marks)))
    shares = got.fit.redundancy
    assert shares.min() >= 0
    assert shares.max() <= 1 + 1e-9
    assert shares.sum() == pytest.approx(got.degrees_of_freedom, abs=1e-6)


@few
@given(openings)
def test_the_exact_search_and_closing_in_agree_on_nearly_true_openings(p: np.ndarray) -> None:
    points = tuple((float(x), float(y)) for x, y in SHAPE.boundary(p)[0])
    space = Space(points=points, sides=SHAPE.sides)
    exact, quick = largest_rectangle(space, GAPS), snug(space, GAPS)
    assert exact.width + exact.height == pytest.approx(quick.width + quick.height, abs=1e-5)


@few
@given(openings, st.sampled_from([(*TAPE, *UPRIGHT), FULL]), st.floats(0.8, 0.995))
def test_the_order_is_smaller_than_the_room_and_keeps_every_gap(
    p: np.ndarray, marks: tuple[str, ...], confidence: float
) -> None:
    got = outline(read(p, list(marks)))
    order = order_size(got, gaps_mm=GAPS, confidence=confidence)
    space = largest_rectangle(got.space(), GAPS)
    assert order.width_mm <= space.width + 1e-6
    assert order.height_mm <= space.height + 1e-6
    assert order.probability_fits >= confidence
    for side, gaps in order.gaps_mm.items():
        assert min(gaps.values()) >= GAPS.of(side) - 0.01


@few
@given(sizes, sizes, st.sampled_from([(*TAPE, *UPRIGHT), FULL]))
def test_no_tool_is_worse_for_being_better(w: float, h: float, marks: tuple[str, ...]) -> None:
    marked = read(np.array([w, 0, w, h, 0, h, 0, 0, 0, 0]), list(marks))
    fine = order_size(outline(marked, Trust(tape_mm=0.5, level_mm=0.5)), gaps_mm=GAPS)
    coarse = order_size(outline(marked, Trust(tape_mm=2.0, level_mm=2.0)), gaps_mm=GAPS)
    assert fine.width_mm + fine.height_mm >= coarse.width_mm + coarse.height_mm


@few
@given(sizes, sizes, st.sampled_from(list(FULL)), st.sampled_from([TAPE, (*TAPE, *UPRIGHT), (*TAPE, *BOWS)]))
def test_another_reading_never_makes_a_misread_harder_to_detect(
    w: float, h: float, more: str, marks: tuple[str, ...]
) -> None:
    before = reliability([PLACES[m] for m in marks], width_mm=w, height_mm=h)
    after = reliability([PLACES[m] for m in (*marks, more)], width_mm=w, height_mm=h)
    for a, b in zip(before, after, strict=False):
        assert (b.smallest_detectable_mm or 1e9) <= (a.smallest_detectable_mm or 1e9) + 1e-6


@few
@given(
    openings,
    st.lists(st.floats(-1, 1), min_size=16, max_size=16),
    st.sampled_from(FULL),
    st.floats(15, 200),
)
def test_a_misread_is_the_same_seen_from_the_other_face(
    p: np.ndarray, noise: list[float], wrong: str, by: float
) -> None:
    marked = {m: v + e for (m, v), e in zip(read(p, list(FULL)).items(), noise, strict=True)}
    marked[wrong] += by
    faces = []
    for seen in (marked, turned_round(marked)):
        taken = readings(seen)
        faces.append(search(adjust(taken), taken, USUAL))
    assert faces[0].doubted == faces[1].doubted
    assert faces[0].odds == pytest.approx(faces[1].odds, rel=0.05)


wild = st.one_of(st.floats(1, 90_000), st.floats(400, 3000), st.integers(1, 4000).map(float))


@few
@given(st.dictionaries(st.sampled_from(FULL), wild), wild, wild)
def test_whatever_is_read_the_outline_is_finite(marked: dict[str, float], w: float, h: float) -> None:
    taken = readings({"Wb": w, "Hl": h, **marked})
    got = adjust(taken)
    advice = advise(got, search(got, taken, USUAL), USUAL)
    assert np.all(np.isfinite(got.parameters))
    assert np.all(np.isfinite(got.covariance))
    assert advice.word in {"agree", "measure again", "too few readings to tell"}


LENGTH_MARKS = (*TAPE, *UPRIGHT)


@few
@given(st.sets(st.sampled_from(LENGTH_MARKS)), st.integers(0, 2**32))
def test_an_outline_of_few_honest_readings_stays_where_the_opening_is(marks, seed):
    """A trace of what nobody read must not pass for a reading of it."""
    marks, chance = marks | {"Wt", "Hl"}, np.random.default_rng(seed)
    read = {m: mm + chance.normal(0, 1) for m, mm in error_free(sorted(marks)).items()}
    found = outline(read).corners_mm
    for mark, corner in {"BR": "bottom_right", "TR": "top_right", "TL": "top_left"}.items():
        assert found[corner] == pytest.approx(TRUE_CORNERS[mark], abs=60)
