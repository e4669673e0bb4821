"""Fixing positions by NHBC Standards 6.7.11 (read) and by the house's tighter rule.

NHBC: 150 to 250 mm from the corner, 600 mm centres, 150 mm clear of bars, two a jamb and sill. House: 500 mm
centres, common practice, no published source.
"""

import math
from dataclasses import replace

import pytest

from jambwright.plan import fixing_layout, house_rules

NHBC = replace(house_rules(), centres_mm=600.0, jamb_habit=2)


@pytest.mark.parametrize("length", [600, 899, 900, 1200, 1350, 1501, 2100, 2400])
def test_number_on_a_plain_side_is_that_of_the_guidance(length):
    """n = ceil((L - 2 e) / 600) + 1 with e = 150."""
    found = fixing_layout(width_mm=1000, height_mm=length, rules=NHBC)
    assert len(found.left.positions_mm) == max(math.ceil((length - 300) / 600) + 1, 2)


@pytest.mark.parametrize(
    ("height", "positions"),
    [
        (1200, (150, 600, 1050)),
        (2100, (150, 600, 1050, 1500, 1950)),
        (900, (150, 450, 750)),
        (650, (150, 500)),
    ],
)
def test_jamb_by_the_house_rule(height, positions):
    """1200 and 2100 are the jambs of the reference; three a side on a small window, two on a tiny one."""
    assert fixing_layout(width_mm=800, height_mm=height).left.positions_mm == positions


def test_fixing_on_a_centre_line_becomes_one_each_side():
    assert fixing_layout(width_mm=1200, height_mm=1000, mullions_mm=[600]).sill.positions_mm == (
        150, 450, 750, 1050,
    )  # fmt: skip


def test_side_too_short_for_two_gets_one_and_the_reason():
    found = fixing_layout(width_mm=380, height_mm=1200)
    assert found.sill.positions_mm == (190,)
    assert "where 2 are wanted" in found.sill.problems[0].say


def test_bars_too_close_for_the_centres_give_the_reason():
    found = fixing_layout(width_mm=1600, height_mm=1200, mullions_mm=[600, 800, 1000])
    assert found.sill.positions_mm == (150, 450, 1150, 1450)
    assert any("700 mm apart where 500 is the most" in p.say for p in found.sill.problems)


def test_bar_near_the_corner_gives_the_reason():
    found = fixing_layout(width_mm=1200, height_mm=1200, mullions_mm=[250])
    assert found.head.positions_mm[0] == 400
    assert any("400 mm from the corner where 250 is the most" in p.say for p in found.head.problems)


# Head under a lintel that may not be drilled; two recollections of the BS 8213-4 line disagree
@pytest.mark.parametrize(
    ("basis", "width", "fixings"),
    [
        ("closer", 899, 0), ("closer", 900, 1), ("closer", 1800, 2), ("closer", 2400, 3),
        ("wider", 1200, 0), ("wider", 1201, 1), ("wider", 2400, 1), ("wider", 2401, 2),
    ],
)  # fmt: skip
def test_head_under_a_lintel_not_to_be_drilled_goes_by_width(basis, width, fixings):
    head = fixing_layout(width_mm=width, height_mm=1200, head="by_width", head_basis=basis).head
    assert len(head.positions_mm) == fixings
    assert head.held_by == ("lug" if fixings else "none")
    assert "lintel may not be drilled" in head.why


def test_wide_head_left_without_fixings_is_told():
    head = fixing_layout(width_mm=1900, height_mm=1200, head="none").head
    assert head.positions_mm == ()
    assert "asks for 2" in head.problems[0].say
