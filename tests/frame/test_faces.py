"""Frames between brick outside and plaster inside."""

import pytest

from jambwright.frame import Reveal, order_between
from jambwright.opening import Gaps, Outline
from openings import FULL, TAPE, error_free, outline

GAPS = Gaps(left=5, right=5, head=5, bottom=5)
OUTSIDE = outline(error_free(FULL))


def inside(smaller_by: float) -> Outline:
    marked = error_free(TAPE[:6])
    return outline({m: v - smaller_by for m, v in marked.items()})


def reveal(**more: object) -> Reveal:
    usual = {
        "frame_face_mm": 60,
        "frame_depth_mm": 100,
        "set_back_mm": 30,
        "outer_leaf_mm": 102.5,
        "cavity_mm": 50,
    }
    return Reveal(**{**usual, **more})  # type: ignore[arg-type]


def said(*args: object, **more: object) -> str:
    return " | ".join(p.say for p in order_between(*args, gaps_mm=GAPS, **more).clashes)  # type: ignore[arg-type]


def test_plaster_just_clear_of_the_frame_is_no_clash() -> None:
    assert said(OUTSIDE, inside(5), reveal()) == ""


def test_plaster_smaller_than_the_brick_opening_is_told_at_each_edge() -> None:
    words = said(OUTSIDE, inside(40), reveal())
    assert "The plaster is smaller than the brick opening" in words
    for edge in ("left jamb", "right jamb", "head"):
        assert f"of the frame at the {edge}" in words


def test_a_frame_hidden_behind_plaster_so_that_an_inward_sash_cant_open() -> None:
    assert "in sight; a sash opening past it" in said(OUTSIDE, inside(130), reveal(opens_in=True))
    assert "in sight" not in said(OUTSIDE, inside(130), reveal(opens_out=True))
    assert "in sight" not in said(OUTSIDE, inside(40), reveal(opens_in=True))


def test_plaster_far_from_the_frame_wants_making_good() -> None:
    assert "short of the frame: make good" in said(OUTSIDE, inside(-60), reveal())


def test_a_shallow_frame_leaves_the_cavity_closer_bare() -> None:
    assert "to cover the cavity closer by 25 mm" in said(OUTSIDE, None, reveal(frame_depth_mm=70))
    assert said(OUTSIDE, None, reveal(frame_depth_mm=70, cavity_mm=0)) == ""


def test_a_rebated_reveal_takes_a_frame_larger_than_the_hole_by_its_nibs() -> None:
    plain = order_between(OUTSIDE, None, reveal(), gaps_mm=GAPS).order
    behind = order_between(OUTSIDE, None, reveal(rebate_mm=40), gaps_mm=GAPS).order
    assert behind.width_mm == pytest.approx(plain.width_mm + 80, abs=1)
    assert behind.height_mm == pytest.approx(plain.height_mm + 40, abs=1)


def test_nibs_must_lap_enough_to_seal_and_not_so_much_that_a_sash_strikes() -> None:
    assert "to seal it" in said(OUTSIDE, None, reveal(rebate_mm=12))
    assert "leaves 0 mm of the frame in sight" not in said(
        OUTSIDE, None, reveal(rebate_mm=40, opens_out=True)
    )
    assert "in sight; a sash" in said(OUTSIDE, None, reveal(rebate_mm=70, opens_out=True))


def test_a_frame_that_cant_pass_the_plaster_to_get_behind_the_nibs() -> None:
    assert "stands" in said(OUTSIDE, inside(0), reveal(rebate_mm=40))
    assert "in its way" in said(OUTSIDE, inside(0), reveal(rebate_mm=40))


def test_where_the_plaster_stands_is_taken_as_measured_when_it_was() -> None:
    centred = said(OUTSIDE, inside(5), reveal())
    moved = said(OUTSIDE, inside(5), reveal(), inside_at_mm=(30.0, 2.0))
    assert centred == ""
    assert "of the frame at the left jamb" in moved
    assert "short of the frame" in moved


def test_widths_and_heights_of_a_whole_set_exchanged_show_between_the_faces() -> None:
    swapped = outline({"Wb": 1052, "Wt": 1052, "Hl": 1204, "Hr": 1204})
    assert "widths and heights exchanged?" in said(OUTSIDE, swapped, reveal())
