"""Frames between brick outside and plaster inside."""

import pytest

from jambwright.frame import Reveal, clashes, lapped, order_size
from jambwright.frame.faces import sight_gaps_mm, unsealed
from jambwright.opening import SIDES, BehindNibs, Gaps, Nib, Outline
from openings import FULL, TAPE, error_free, outline

GAPS = Gaps(left=5, right=5, head=5, bottom=5)
OUTSIDE = outline(error_free(FULL))
ALL = frozenset(SIDES)


def inside(smaller_by: float) -> Outline:
    marked = error_free(TAPE[:6])
    return outline({m: v - smaller_by for m, v in marked.items()})


def behind(nib_mm: float, inner: Outline | None = None) -> BehindNibs:
    nib = Nib(mm=nib_mm, sigma_mm=0.1)
    return BehindNibs(outside=OUTSIDE, inside=inner, nibs={"left": nib, "right": nib, "head": nib})


def reveal(**more: object) -> Reveal:
    usual = {
        "frame_face_mm": 60,
        "frame_depth_mm": 100,
        "set_back_mm": 30,
        "outer_leaf_mm": 102.5,
        "cavity_mm": 50,
    }
    return Reveal(**{**usual, **more})  # type: ignore[arg-type]


def said(inner: Outline | None, around: Reveal, nib_mm: float = 0.0, **more: object) -> str:
    """Clashes of a frame sized in the outer face, or behind nibs that the inner one is said to run past."""
    order = order_size(behind(nib_mm) if nib_mm else OUTSIDE, gaps_mm=GAPS)
    return " | ".join(p.say for p in clashes(order, OUTSIDE, inner, around, **more))  # type: ignore[arg-type]


def test_plaster_just_clear_of_the_frame_is_no_clash() -> None:
    assert said(inside(5), reveal()) == ""


def test_plaster_smaller_than_the_brick_opening_is_told_at_each_edge() -> None:
    words = said(inside(40), reveal())
    assert "The plaster is smaller than the brick opening" in words
    for edge in ("left jamb", "right jamb", "head"):
        assert f"of the frame at the {edge}" in words


def test_a_frame_hidden_behind_plaster_so_that_an_inward_sash_cant_open() -> None:
    assert "in sight; a sash opening past it" in said(inside(130), reveal(opens_in=ALL))
    assert "in sight" not in said(inside(130), reveal(opens_out=ALL))
    assert "in sight" not in said(inside(40), reveal(opens_in=ALL))


def test_plaster_far_from_the_frame_wants_making_good() -> None:
    assert "short of the frame: make good" in said(inside(-60), reveal())


def test_a_shallow_frame_leaves_the_cavity_closer_bare() -> None:
    assert "to cover the cavity closer by 25 mm" in said(None, reveal(frame_depth_mm=70))
    assert said(None, reveal(frame_depth_mm=70, cavity_mm=0)) == ""


NIBS = frozenset({"left", "right", "head"})


def test_a_rebated_reveal_takes_a_frame_larger_than_the_hole_by_its_nibs() -> None:
    plain = order_size(OUTSIDE, gaps_mm=GAPS)
    order = order_size(behind(40), gaps_mm=GAPS)
    assert order.width_mm == pytest.approx(plain.width_mm + 80, abs=1)
    assert order.height_mm == pytest.approx(plain.height_mm + 40, abs=1)


def test_nibs_must_lap_enough_to_seal() -> None:
    thin, thick = (lapped(order_size(behind(mm), gaps_mm=GAPS), OUTSIDE, NIBS) for mm in (12, 40))
    assert unsealed(thick) == ()
    assert {p.field for p in unsealed(thin)} == {"nibs.left", "nibs.right", "nibs.head"}
    assert "it takes 10 mm to seal it" in unsealed(thin)[0].say


def test_a_lap_is_the_nib_less_the_gap_behind_it() -> None:
    order = order_size(behind(40), gaps_mm=GAPS)
    laps = lapped(order, OUTSIDE, NIBS).laps_mm
    for side in NIBS:
        gaps = order.gaps_mm[side].values()
        assert [gap + lap for gap, lap in zip(gaps, laps[side], strict=True)] == pytest.approx(
            [40] * 3, abs=0.2
        )


def test_nibs_must_not_lap_so_much_that_a_sash_strikes() -> None:
    around = reveal(nibs=NIBS, opens_out=ALL)
    assert "in sight; a sash" not in said(None, around, 40)
    assert "The nib at the left jamb leaves" in said(None, around, 70)
    assert "in sight; a sash" not in said(None, reveal(nibs=NIBS, opens_in=ALL), 70)


def test_the_gap_that_keeps_a_sash_clear_of_a_nib() -> None:
    """A nib of 70 mm over a face of 60 with 10 mm in sight: 20 mm must stay behind it."""
    found = sight_gaps_mm(behind(70), 60.0)
    assert found == pytest.approx({"left": 20, "right": 20, "head": 20}, abs=0.1)


def test_plaster_in_the_way_of_a_frame_that_comes_in_past_it() -> None:
    assert "in its way" in said(inside(0), reveal(nibs=NIBS), 40)


def test_an_upstand_in_front_of_the_foot_covers_its_drain_slots() -> None:
    nib = Nib(mm=20, sigma_mm=0.1)
    order = order_size(BehindNibs(outside=OUTSIDE, inside=None, nibs={"bottom": nib}), gaps_mm=GAPS)
    found = clashes(order, OUTSIDE, None, reveal(nibs=frozenset({"bottom"})))
    assert [p.field for p in found if "drain slots" in p.say] == ["nibs.sill"]


def test_where_the_plaster_stands_is_taken_as_measured_when_it_was() -> None:
    centred = said(inside(5), reveal())
    moved = said(inside(5), reveal(), inside_at_mm=(30.0, 2.0))
    assert centred == ""
    assert "of the frame at the left jamb" in moved
    assert "short of the frame" in moved


def test_widths_and_heights_of_a_whole_set_exchanged_show_between_the_faces() -> None:
    swapped = outline({"Wb": 1052, "Wt": 1052, "Hl": 1204, "Hr": 1204})
    assert "widths and heights exchanged?" in said(swapped, reveal())
