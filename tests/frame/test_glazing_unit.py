import pytest

from jambwright.basis import BadInput
from jambwright.frame import Cavity, GlazingUnit, Pane, parse_glazing


@pytest.mark.parametrize(
    ("text", "thicknesses_mm", "kinds", "gases", "low_e"),
    [
        ("4", [4], ["annealed"], [], ()),
        ("6.4L", [6.4], ["laminated"], [], ()),
        ("4-16-4", [4, 4], ["annealed"] * 2, ["air"], ()),
        ("4-16Ar-4 low-e", [4, 4], ["annealed"] * 2, ["argon"], (3,)),
        ("4T/16ar/4t LOW-E", [4, 4], ["toughened"] * 2, ["argon"], (3,)),
        ("6.4L-14Ar-4 low-e", [6.4, 4], ["laminated", "annealed"], ["argon"], (3,)),
        ("6H-10Kr-4 low-e 2", [6, 4], ["heat_strengthened", "annealed"], ["krypton"], (2,)),
        ("4-12Ar-4-12Xe-4 low-e", [4, 4, 4], ["annealed"] * 3, ["argon", "xenon"], (2, 5)),
    ],
)
def test_a_make_up_is_read_from_outside_in(text, thicknesses_mm, kinds, gases, low_e):
    unit = parse_glazing(text)
    assert [p.thickness_mm for p in unit.panes] == thicknesses_mm
    assert [p.kind for p in unit.panes] == kinds
    assert [c.gas for c in unit.cavities] == gases
    assert unit.low_e == low_e
    assert parse_glazing(str(unit)) == unit


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "take turns"),
        ("4-16", "take turns"),
        ("four-16-4", "`four` is not a pane"),
        ("4Q-16-4", "T, L or H"),
        ("0-16-4", "0 mm thick"),
        ("4-0-4", "0 mm wide"),
        ("4-16Neon-4", "unknown gas `Neon`"),
        ("4-16-4 tinted", "`tinted` is not known"),
        ("4 low-e", "single glass"),
        ("4-16-4 low-e 1", "face 1 does not face a cavity"),
        ("7L-16-4", "laminated glass of 7 mm is not in the table"),
    ],
)
def test_a_make_up_that_cannot_be_read_says_which_part_and_how_to_write_it(text, words):
    with pytest.raises(BadInput) as caught:
        parse_glazing(text)
    assert words in str(caught.value)
    assert "Write it like" in str(caught.value)


@pytest.mark.parametrize(
    ("text", "mass_kg_m2"),
    # reference: 2.5 kg/m2 a mm of glass, 0.38 mm PVB adds 0.4 (from memory, high)
    [("4-16-4", 20.0), ("6-16-4", 25.0), ("4-12-4-12-4", 30.0), ("6.4L-14-6.4L", 30.8)],
)
def test_mass_is_that_of_the_glass_and_interlayer(text, mass_kg_m2):
    assert parse_glazing(text).mass_kg_m2 == pytest.approx(mass_kg_m2, abs=0.05)


def test_panes_and_cavities_must_match():
    with pytest.raises(BadInput, match="need 1 cavities"):
        GlazingUnit(panes=(Pane(thickness_mm=4), Pane(thickness_mm=4)))
    with pytest.raises(BadInput, match="known are annealed"):
        Pane(thickness_mm=4, kind="plastic")  # type: ignore[arg-type]
    with pytest.raises(BadInput, match="give its width"):
        Cavity(gap_mm=0)


def test_a_laminate_may_be_given_by_its_exact_thickness():
    assert Pane(thickness_mm=6.38, kind="laminated").layers_mm == ((3, 3), 0.38)
