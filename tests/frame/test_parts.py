"""Parts of a layout by their paths, and shares that make them look alike. Sums over the frame itself."""

import pytest

from jambwright.basis.problems import BadInput
from jambwright.frame.layout import lay_out
from jambwright.frame.parts import even_shares, splits_of
from jambwright.frame.profiles import profile_system
from jambwright.readings.wanted import Across, Down, Light

PLAIN = profile_system("plain_70")


def layout(wanted, width=1500.0, height=1200.0):
    return lay_out(wanted, width_mm=width, height_mm=height, profile=PLAIN, door=False, low=False)


NESTED = Across(across=[Down(down=[Light(mm=300), Light()]), Light(opens="side_hung_right", share=2)])


def test_every_split_is_told_with_its_place_and_the_sizes_of_its_parts():
    whole, inner = splits_of(NESTED, layout(NESTED))
    assert (whole.path, whole.way, whole.sizes_mm) == ((), "across", (500, 1000))
    assert (inner.path, inner.way, inner.sizes_mm) == (("across", 0), "down", (300, 900))
    assert (inner.rect.x_mm, inner.rect.top_mm, inner.rect.width_mm) == (0, 1200, 500)


def with_shares(node, shares):
    parts = [
        part.model_copy(update={"share": s, "mm": None}) for part, s in zip(node.across, shares, strict=True)
    ]
    return Across(across=parts)


def seen(wanted, what):
    found = layout(wanted)
    return [found.seen_rect(("across", n), what).width_mm for n in range(len(wanted.across))]


@pytest.mark.parametrize("what", ["sight", "glass"])
@pytest.mark.parametrize(
    "wanted",
    [
        pytest.param(
            Across(across=[Light(), Light(opens="side_hung_left"), Light(mm=300)]), id="an opener among fixed"
        ),
        pytest.param(NESTED, id="one part split again"),
    ],
)
def test_even_parts_show_the_same(wanted, what):
    assert len(set(seen(wanted, what))) > 1
    even = with_shares(wanted, even_shares(wanted, layout(wanted), (), what))
    widths = seen(even, what)
    assert max(widths) - min(widths) == pytest.approx(0, abs=0.05)
    assert layout(even).part_rect(()).width_mm == pytest.approx(1500)


def test_even_sight_lines_of_three_fixed_lights_by_hand():
    wanted = Across(across=[Light(), Light(), Light()])
    # frame faces of 65 and bars of the profile's face; what is left in three
    hole = (1500 - 2 * 65 - 2 * PLAIN.bar_face_mm) / 3
    even = with_shares(wanted, even_shares(wanted, layout(wanted), (), "sight"))
    assert seen(even, "sight") == pytest.approx([hole] * 3, abs=0.05)


def test_where_nothing_is_split_there_is_nothing_to_even():
    with pytest.raises(BadInput, match="no bar here"):
        even_shares(Light(), layout(Light()), (), "sight")
    with pytest.raises(BadInput, match="no bar here"):
        even_shares(NESTED, layout(NESTED), ("across", 1), "sight")
