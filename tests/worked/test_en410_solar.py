"""g-values by EN 410 (from memory, high) against an independent broadband reckoning with invented layers."""

import numpy as np
import pytest

from jambwright import calc
from jambwright.basis import BadInput
from jambwright.checks.heat.solar import g_by_kind, solar_factor, sun_shares, window_g


def g_of(panes, conductances):
    through, outer, inner = (np.array(column) for column in zip(*panes, strict=True))
    shares = sun_shares(transmittance=through, reflectance_outer=outer, reflectance_inner=inner)
    g = solar_factor(
        transmitted=shares.transmitted,
        absorbed=shares.absorbed,
        gap_conductance_w_m2k=np.array(conductances),
    )
    return shares, float(g)


CLEAR = (0.83, 0.075, 0.075)


def test_a_clear_pane_lets_in_its_light_and_a_quarter_of_what_it_keeps():
    assert g_of([CLEAR], [])[1] == pytest.approx(0.8545, abs=5e-5)


def test_two_clear_panes_share_the_sun():
    shares, g = g_of([CLEAR, CLEAR], [5.0965])
    assert shares.transmitted == pytest.approx(0.6928, abs=5e-5)
    assert shares.absorbed == pytest.approx([0.1009, 0.0793], abs=5e-5)
    assert g - float(shares.transmitted) == pytest.approx(0.0642, abs=5e-5)
    assert g == pytest.approx(0.7569, abs=1e-4)


def test_a_soft_coated_inner_pane_lets_in_less():
    coated = (0.60, 0.28, 0.28)
    assert g_of([CLEAR, coated], [1.3896])[1] == pytest.approx(0.6019, abs=0.01)


def test_three_panes_keep_the_sum_of_sun():
    shares, g = g_of([CLEAR, CLEAR, CLEAR], [5.1, 5.1])
    assert float(shares.transmitted + shares.absorbed.sum()) < 1
    assert float(shares.transmitted) < g < 0.7569


@pytest.mark.parametrize(
    ("panes", "coating", "g"),
    [(1, "none", 0.85), (2, "none", 0.76), (2, "hard", 0.72), (2, "soft", 0.63), (3, "none", 0.68),
     (3, "hard", 0.64), (3, "soft", 0.57)],
)  # fmt: skip
def test_kinds_of_glazing_have_the_values_of_sap_table_6b(panes, coating, g):
    """Read in a public transcription; single from memory, high."""
    assert g_by_kind(panes=panes, coating=coating)[0] == g


def test_the_window_takes_nine_tenths_of_g_times_its_glass():
    assert window_g(g=0.63, glass_share=0.70) == pytest.approx(0.397, abs=5e-4)


def test_four_panes_need_the_makers_value():
    with pytest.raises(BadInput, match="4 panes"):
        g_by_kind(panes=4, coating="soft")


def test_a_pane_that_gives_back_more_than_it_gets_is_refused():
    with pytest.raises(BadInput, match="together at most 1"):
        sun_shares(transmittance=[0.8], reflectance_outer=[0.3], reflectance_inner=[0.1])


def test_glass_by_name_answers_g_when_every_pane_says_what_it_does_with_the_sun():
    """Two clear 4 mm panes, 16 mm of air: 0.7569 with the glass's own resistance in Λ."""
    sun = {"transmittance": 0.83, "reflectance_outer": 0.075, "reflectance_inner": 0.075}
    layers = [{"glass_mm": 4, "sun": sun}, {"gap_mm": 16, "gas": "air"}, {"glass_mm": 4, "sun": sun}]
    assert calc.answer("glass-u-value", {"layers": layers})["g"] == pytest.approx(0.7569, abs=1e-4)
    assert calc.working("glass-u-value", {"layers": layers})[-1]["symbol"] == "g"
    with pytest.raises(BadInput, match="give it for all"):
        calc.answer("glass-u-value", {"layers": [*layers[:2], {"glass_mm": 4}]})
