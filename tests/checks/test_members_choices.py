import numpy as np
import pytest

from jambwright.basis import BadInput
from jambwright.checks.members import (
    bar_verdict,
    deflection_limit_mm,
    e_n_mm2,
    lightest_reinforcement,
    parallel_ei_n_mm2,
    reinforcements,
    strictest_limit_mm,
)

EI_W = 4.143e10
"""Sag times stiffness of the bar 1500 with 900 + 900 at 1.2 kPa at about its limit of 7.5 mm."""


def test_lightest_section_that_fits_and_holds_is_taken():
    wanted = 6.0e9
    found = lightest_reinforcement(ei_wanted_n_mm2=wanted, chamber_mm=(40, 40))
    rivals = [r for r in reinforcements() if r.across_mm <= 40 and r.deep_mm <= 40 and r.ei_n_mm2 >= wanted]
    assert found in rivals
    assert found.kg_m == min(r.kg_m for r in rivals)


def test_profile_takes_its_share_of_the_stiffness():
    alone = lightest_reinforcement(ei_wanted_n_mm2=6.0e9, chamber_mm=(40, 40))
    helped = lightest_reinforcement(ei_wanted_n_mm2=6.0e9, chamber_mm=(40, 40), profile_ei_n_mm2=2.0e9)
    assert helped.kg_m < alone.kg_m


def test_no_section_is_no_section():
    assert lightest_reinforcement(ei_wanted_n_mm2=1e12, chamber_mm=(40, 40)) is None


@pytest.mark.parametrize(("ei", "word"), [(6.0e9, "meets"), (5.0e9, "fails"), (None, "unknown")])
def test_bar_is_judged_by_its_class(ei, word):
    found = bar_verdict(
        name="Mullion 1", span_mm=1500, sag_times_ei_n_mm3=EI_W, ei_n_mm2=ei, limit_rule="class_b"
    )
    assert found.word == word
    assert found.why.startswith("Mullion 1")
    assert [s.symbol for s in found.working][:2] == ["w_lim", "EI_wanted"]


def test_failing_bar_says_what_stiffness_it_wants():
    found = bar_verdict(name="M", span_mm=1500, sag_times_ei_n_mm3=EI_W, ei_n_mm2=5e9, limit_rule="class_b")
    assert "5.52 kN m²" in found.why


def test_coupled_frames_bend_as_one_bar():
    """Two jambs and their coupler side by side: stiffness adds up."""
    jamb, coupler = 40.0, 10.0
    ei = parallel_ei_n_mm2(e_n_mm2=[2200, 210_000, 2200], i_cm4=[jamb, coupler, jamb])
    assert ei == pytest.approx((2 * 2200 * 40 + 210_000 * 10) * 1e4)


def test_stricter_of_two_limits_governs():
    assert strictest_limit_mm(span_mm=np.array([1000.0, 4000.0]), span_over=200, cap_mm=15) == pytest.approx(
        [5, 15]
    )


@pytest.mark.parametrize(
    "ask",
    [
        lambda: deflection_limit_mm(span_mm=1000.0, rule="class_z"),
        lambda: e_n_mm2("cheese"),
        lambda: strictest_limit_mm(span_mm=1000.0, span_over=0),
    ],
)
def test_unknown_rule_material_and_limit_are_refused(ask):
    with pytest.raises(BadInput):
        ask()
