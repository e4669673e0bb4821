"""Lettering takes the room the typeface gives it; dimension lines keep their figures apart."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize

from jambwright.paper.dimension import Rail, chain, spread
from jambwright.paper.edge_marks import EdgeMark, marks_strip
from jambwright.paper.lettering import advance_mm
from jambwright.paper.scene import Scene
from scene_checks import overlapping_words, struck_words

SIDES = ("left", "right", "head", "bottom")


@pytest.mark.parametrize(
    ("text", "ems"),
    # advance widths as drawn by the typesetter itself, in hundredths of the body
    [("0", 0.497), ("1195", 1.988), (".", 0.249), ("×", 0.497), ("→", 0.619)],
)
def test_lettering_is_as_long_as_the_typeface_makes_it(text, ems):
    assert advance_mm(text, 10.0) == pytest.approx(10 * ems, abs=0.005)


def test_the_typesetter_agrees_with_the_lengths():
    import json

    import typst

    from jambwright.paper.lettering import font_folder

    source = b"""#set text(font: "Source Sans Pro", size: 10mm, kerning: false)
    #context [#metadata(measure([1195 x 1045 viewed from outside]).width / 1mm) <long>]"""
    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(font_folder())]
    )
    [long] = json.loads(typst.Compiler(input=source, font_paths=fonts).query("<long>", field="value"))
    assert advance_mm("1195 x 1045 viewed from outside", 10.0) == pytest.approx(long, rel=0.005)


@given(st.lists(st.tuples(st.floats(0, 200), st.floats(1, 12)), min_size=1, max_size=9))
def test_spread_labels_never_touch_and_keep_their_order(labels):
    labels = sorted(labels)
    centres, widths = [c for c, _ in labels], [w for _, w in labels]
    placed = spread(centres, widths, 1.0)
    ends = list(zip(placed, widths, strict=True))
    for (a, wa), (b, wb) in pairwise(ends):
        assert b - a >= (wa + wb) / 2 + 1.0 - 1e-9


def test_spread_moves_labels_as_little_as_a_general_solver_can():
    # reference: SLSQP of SciPy on the same least-squares problem
    centres, widths = np.array([10.0, 12.0, 13.0, 40.0, 44.0]), np.array([6.0, 8.0, 6.0, 7.0, 7.0])
    least = (widths[:-1] + widths[1:]) / 2 + 1.0
    found = minimize(
        lambda p: float(np.sum((p - centres) ** 2)),
        np.cumsum([0, *least]),
        constraints={"type": "ineq", "fun": lambda p: np.diff(p) - least},
        method="SLSQP",
    )
    assert spread(centres.tolist(), widths.tolist(), 1.0) == pytest.approx(found.x, abs=1e-3)


@pytest.mark.parametrize("side", SIDES)
@given(spans=st.lists(st.integers(3, 900), min_size=1, max_size=6), scale=st.sampled_from((4, 10, 25)))
def test_a_chain_tells_every_span_and_no_figure_touches_another(side, spans, scale):
    stops = [float(sum(spans[:n])) for n in range(len(spans) + 1)]
    strip = chain(Rail(side=side, base_mm=0, scale=scale), stops, out_mm=1.0)
    scene = Scene(title="", items=strip.items, scale=scale)
    assert sorted(w.text for w in scene.words) == sorted(str(span) for span in spans)
    assert overlapping_words(scene) == []
    assert struck_words(scene) == []
    assert max(_out(side, p) for w in scene.words for p in w.corners(scale)) <= strip.reach_mm * scale + 1e-6


def _out(side, point):
    along = {"left": -point[0], "right": point[0], "head": point[1], "bottom": -point[1]}
    return along[side]


MARKS = st.builds(
    lambda at, packers, held: (float(at), packers, held),
    st.integers(0, 2400),
    st.sampled_from(("", "5", "6+1", "10+6+3")),
    st.sampled_from(("screw", "lug", "none")),
)


@pytest.mark.parametrize("side", SIDES)
@given(
    marks=st.lists(MARKS, min_size=1, max_size=8, unique_by=lambda m: m[0]), room=st.sampled_from((40, 400))
)
def test_marks_of_an_edge_are_all_there_and_apart(side, marks, room):
    drawn = [EdgeMark(side=side, at_mm=at, figure=f"{at:.0f}", packers=p, held=h) for at, p, h in marks]
    strip = marks_strip(Rail(side=side, base_mm=0, scale=20), drawn, out_mm=0.0, room_mm=room)
    scene = Scene(title="", items=strip.items, scale=20)
    told = sorted(w.text for w in scene.words)
    assert told == sorted([m.figure for m in drawn] + [m.packers for m in drawn if m.packers])
    assert overlapping_words(scene) == []
    assert struck_words(scene) == []
