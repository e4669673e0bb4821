"""Movement by heat: ΔL = α L ΔT, published gaps of LABC Warranty (NHBC copy: BS 8213-4), sealant widths."""

import numpy as np
import pytest

from jambwright.basis import BadInput, Working
from jambwright.checks.movement import gap_verdict
from jambwright.frame.movement import (
    end_movement_mm,
    end_movements_mm,
    movement_gap,
    published_gap_mm,
    sealant_width_mm,
)


def test_white_frame_of_2400_set_at_15_degrees():
    """70e-6, -10 to 45 °C: expands 5.04, contracts 4.20 over its length, half at each end."""
    found = movement_gap(material="pvcu", colour="white", length_mm=2400)
    assert 2 * found.movement_out_mm == pytest.approx(5.04)
    assert 2 * found.movement_in_mm == pytest.approx(4.20)


@pytest.mark.parametrize(
    ("alpha", "length", "change", "total"),
    [
        (70e-6, 3000, 40, 8.40), (70e-6, 3000, 70, 14.70), (70e-6, 4500, 70, 22.05), (23e-6, 3000, 70, 4.83),
        (12e-6, 3000, 70, 2.52), (9e-6, 3000, 70, 1.89), (6e-6, 3000, 70, 1.26),
    ],
)  # fmt: skip
def test_expansion_matches_the_reference(alpha, length, change, total):
    """PVC-U, aluminium, steel, glass, brick; both ends together."""
    assert 2 * end_movement_mm(alpha_per_k=alpha, length_mm=length, change_k=change) == pytest.approx(total)


@pytest.mark.parametrize(
    ("length", "change", "half"), [(3000, 40, 4.2), (4500, 40, 6.3), (3000, 70, 7.35), (4500, 70, 11.0)]
)
def test_published_gaps_behave_like_40_kelvin_white_and_70_dark(length, change, half):
    assert end_movement_mm(alpha_per_k=70e-6, length_mm=length, change_k=change) == pytest.approx(
        half, abs=0.03
    )


GAPS = [
    ("pvcu", "white", (5, 5, 7.5)), ("pvcu", "dark", (7.5, 7.5, 11)), ("timber", "white", (5, 5, 5)),
    ("steel", "white", (4, 5, 6)), ("aluminium", "white", (5, 5, 7.5)),
]  # fmt: skip


@pytest.mark.parametrize(("material", "colour", "gaps"), GAPS)
def test_published_gaps_by_width(material, colour, gaps):
    """Under 1.5 m, 1.5 to 3.0 m, 3.0 to 4.5 m; 10 mm at most up to 3 m, 15 mm above."""
    least, most = published_gap_mm(material=material, colour=colour, length_mm=np.array([1400, 2000, 4000]))
    assert least == pytest.approx(gaps)
    assert most == pytest.approx((10, 10, 15))


@pytest.mark.parametrize(
    ("material", "colour", "length", "governs"),
    [
        ("pvcu", "white", 1200, "published table"),
        ("pvcu", "dark", 4000, "published table"),
        ("pvcu", "dark", 6000, "computed movement"),
        ("timber", "dark", 4000, "published table"),
    ],
)
def test_larger_of_table_and_movement_governs_and_is_named(material, colour, length, governs):
    found = movement_gap(material=material, colour=colour, length_mm=length)
    published, _ = published_gap_mm(material=material, colour=colour, length_mm=length)
    assert found.governs == governs
    assert found.gap_per_side_mm == max(published, found.movement_out_mm)


@pytest.mark.parametrize(("length_m", "width"), [(1.5, 9.6), (2.5, 16.0), (3.5, 22.4)])
def test_sealant_width_is_movement_over_its_class(length_m, width):
    """White plastic moving 1.6 mm/m in class 25: the German joint table rounds these to 10, 15 and 20 mm."""
    assert sealant_width_mm(movement_mm=1.6 * length_m, class_percent=25) == pytest.approx(width)


def test_sealant_bead_is_never_under_6_mm():
    assert movement_gap(material="timber", colour="white", length_mm=600).sealant_width_min_mm == 6


def test_length_past_the_table_is_told():
    found = movement_gap(material="pvcu", colour="dark", length_mm=6000)
    assert any("past the published table" in p.say for p in found.problems)


def test_movements_take_arrays():
    out, back = end_movements_mm(material="pvcu", colour="white", length_mm=np.array([1200.0, 2400.0]))
    assert out == pytest.approx([1.26, 2.52])
    assert back == pytest.approx([1.05, 2.10])


@pytest.mark.parametrize(("got", "word"), [(2.0, "fails"), (4.0, "advise"), (6.0, "meets"), (12.0, "advise")])
def test_gap_is_judged_both_ways(got, word):
    wanted = movement_gap(material="pvcu", colour="white", length_mm=2400)
    assert gap_verdict(got_mm=got, wanted=wanted).word == word


def test_working_ends_with_gap_and_sealant():
    given = {"material": "pvcu", "colour": "white", "length_mm": 2400.0}
    work = Working()
    found = movement_gap(**given, work=work)
    assert [s.value for s in work.steps[-2:]] == pytest.approx(
        [found.gap_per_side_mm, found.sealant_width_min_mm]
    )


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"length_mm": -1.0}, "length_mm"),
        ({"set_temperature_c": 60.0}, "set_temperature_c"),
        ({"sealant_class": 30.0}, "sealant_class"),
    ],
)
def test_impossible_input_is_refused_by_name(wrong, field):
    with pytest.raises(BadInput) as refused:
        movement_gap(**({"material": "pvcu", "colour": "white", "length_mm": 2400.0} | wrong))
    assert [p.field for p in refused.value.problems] == [field]
