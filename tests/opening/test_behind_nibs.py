"""The hole behind nibs: where its sides stand, and how they move with every reading."""

from dataclasses import replace

import numpy as np
import pytest

from jambwright.basis import BadInput
from jambwright.opening import BehindNibs, Nib, Outline, Side
from jambwright.readings import Trust
from openings import BOWS, FULL, UPRIGHT, error_free, outline

EXACT = Trust(tape_mm=0.01, level_mm=0.01)
OUTSIDE = outline(error_free(FULL))
SQUARE_ON = {"Ls": 0.0, "Lh": 0.0, "Pl": 0.0, "Pr": 0.0, "Bl": 0.0, "Br": 0.0, "Bs": 0.0, "Bh": 0.0}


def upright(width: float, height: float) -> Outline:
    """A true rectangle, read without error."""
    diagonal = float(np.hypot(width, height))
    marks = {"Wb": width, "Wm": width, "Wt": width, "Hl": height, "Hc": height, "Hr": height}
    return outline({**marks, "D1": diagonal, "D2": diagonal, **SQUARE_ON}, EXACT)


def wider() -> Outline:
    """The crooked opening of the tests, 50 wider and 30 higher, bowed and leaning a little otherwise."""
    marked = error_free((*FULL[:6], *UPRIGHT, *BOWS), bows=(2.0, -1.0, 0.0, 3.0))
    grown = {m: v + {"W": 50, "H": 30}.get(m[0], 0) for m, v in marked.items()}
    return outline(grown | {"Pl": marked["Pl"] + 2, "Lh": marked["Lh"] - 2})


def nibs(**mm: float) -> dict[Side, Nib]:
    return {side: Nib(mm=each, sigma_mm=1.5) for side, each in mm.items()}  # type: ignore[misc]


def test_upright_faces_stand_where_the_nibs_say() -> None:
    """By hand: hole 1200 x 1050, nibs 30, 20 and 25; the sill stays the outer one."""
    hole = BehindNibs(
        outside=upright(1200, 1050), inside=upright(1250, 1100), nibs=nibs(left=30, right=20, head=25)
    )
    corners = [hole.space().points[n] for n in (0, 2, 4, 6)]
    assert corners == [pytest.approx(p, abs=0.05) for p in ((-30, 0), (1220, 0), (1220, 1075), (-30, 1075))]
    assert hole.inner_at() == pytest.approx((-30, -25), abs=0.05)
    assert hole.reveal_back_mm("left") == pytest.approx((30, 30, 30), abs=0.05)
    assert hole.reveal_back_mm("head") == pytest.approx((25, 25, 25), abs=0.05)


def test_jamb_nibs_that_do_not_add_up_are_shared_out_and_told() -> None:
    hole = BehindNibs(
        outside=upright(1200, 1050), inside=upright(1260, 1100), nibs=nibs(left=30, right=20, head=25)
    )
    miss = hole.closure("left", "right")
    assert miss is not None
    assert miss[0] == pytest.approx(10, abs=0.05)
    assert hole.inner_at()[0] == pytest.approx(-35, abs=0.05)
    assert hole.closure("head", "bottom") is None


def test_while_the_inside_is_not_read_it_is_taken_to_run_as_the_outside_does() -> None:
    hole = BehindNibs(outside=upright(1200, 1050), inside=None, nibs=nibs(left=30, head=25))
    corners = [hole.space().points[n] for n in (0, 2, 4, 6)]
    assert corners == [pytest.approx(p, abs=0.05) for p in ((-30, 0), (1200, 0), (1200, 1075), (-30, 1075))]
    assert hole.closure("left", "right") is None


def test_without_nibs_it_is_the_outer_outline() -> None:
    hole = BehindNibs(outside=OUTSIDE, inside=wider(), nibs={})
    assert hole.space().sides == OUTSIDE.space().sides
    assert np.allclose(hole.space().points, OUTSIDE.space().points)


@pytest.mark.parametrize(
    ("inside", "which"),
    [
        (wider(), {"left": 25, "right": 25, "head": 30}),
        (wider(), {"right": 40, "head": 30}),
        (wider(), {"head": 30, "bottom": 12}),
        (None, {"left": 25, "right": 22, "head": 30}),
    ],
)
def test_every_point_moves_with_the_parameters_as_said(
    inside: Outline | None, which: dict[str, float]
) -> None:
    """Outside check: central differences of the points against the gradients that the chance rests on."""
    hole = BehindNibs(outside=OUTSIDE, inside=inside, nibs=nibs(**which))

    def points(p: np.ndarray) -> np.ndarray:
        first = len(OUTSIDE.parameters)
        second = first + (len(inside.parameters) if inside else 0)
        order = [side for side in ("left", "right", "head", "bottom") if side in which]
        moved = BehindNibs(
            outside=replace(OUTSIDE, parameters=p[:first]),
            inside=replace(inside, parameters=p[first:second]) if inside else None,
            nibs=nibs(**dict(zip(order, p[second:].tolist(), strict=True))),
        )
        return np.array(moved.space().points)

    middle, bends = hole.parameters, hole.bends()
    for n in range(len(middle)):
        step = np.zeros(len(middle))
        step[n] = 0.05
        change = (points(middle + step) - points(middle - step)) / 0.1
        assert change == pytest.approx(bends[..., n], abs=5e-3)


def test_faces_that_make_no_hole_together_are_refused_in_words() -> None:
    mistyped = nibs(left=30, right=900, head=25)
    hole = BehindNibs(outside=upright(1200, 1050), inside=upright(500, 1100), nibs=mistyped)
    with pytest.raises(BadInput, match="does not go with the hole seen from outside"):
        hole.space()
