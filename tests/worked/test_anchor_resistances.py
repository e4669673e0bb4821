"""Frame fixings in walls: a European approval's data sheet (concrete, read), general knowledge (masonry)."""

import numpy as np
import pytest

from jambwright.basis import BadInput, Working
from jambwright.checks.fixings import (
    SUBSTRATES,
    DeclaredResistance,
    allowed_reaction_n,
    fixing_in,
    fixing_verdict,
    fixings_for,
)
from jambwright.checks.verdict import Rest

# ETA-07/0219 data sheet, F_Rk in kN; recommended = F_Rk / (1.8 * 1.4)
CONCRETE = [
    ("plug_8", "concrete", 3.0, 1.19), ("plug_10", "concrete", 4.5, 1.79),
    ("plug_10_deep", "concrete", 8.5, 3.37),
    ("plug_8", "weak_concrete", 2.0, 0.79), ("plug_10", "weak_concrete", 3.0, 1.19),
    ("plug_10_deep", "weak_concrete", 6.0, 2.38),
]  # fmt: skip


@pytest.mark.parametrize(("fixing", "substrate", "f_rk", "recommended"), CONCRETE)
def test_plugs_in_concrete_match_the_data_sheet(fixing, substrate, f_rk, recommended):
    held = fixing_in(fixing=fixing, substrate=substrate)
    assert held.design_n * 1.8 == pytest.approx(f_rk * 1000)
    assert held.recommended_n / 1000 == pytest.approx(recommended, abs=0.0051)
    assert not held.warning


# Lower ends of known ranges, from memory, low: recommended kN
MASONRY = [
    ("plug_8", "brick", 0.34), ("plug_10", "brick", 0.57), ("plug_10_deep", "perforated_brick", 0.14),
    ("plug_10_deep", "aerated_block", 0.14), ("plug_10_deep", "aerated_block_7", 0.43),
    ("screw_7_5", "brick", 0.4), ("screw_7_5", "perforated_brick", 0.1), ("screw_7_5", "aerated_block", 0.05),
]  # fmt: skip


@pytest.mark.parametrize(("fixing", "substrate", "recommended"), MASONRY)
def test_masonry_takes_the_lower_end_and_says_pull_test(fixing, substrate, recommended):
    held = fixing_in(fixing=fixing, substrate=substrate)
    assert held.recommended_n / 1000 == pytest.approx(recommended, abs=0.0051)
    assert held.warning == "site pull test advised"
    verdict = fixing_verdict(held=held, largest_n=10, gap_mm=5)
    assert verdict.word == "advise"
    assert "or have pull tests made" in verdict.why


def test_fixed_light_of_1200_uses_51_percent_of_a_plug_in_brick():
    """291 N at the centre of the jamb against 570 N recommended, calculated independently: 51 %."""
    held = fixing_in(fixing="plug_10", substrate="brick")
    assert 291 / held.recommended_n == pytest.approx(0.51, abs=0.005)


@pytest.mark.parametrize(
    ("substrate", "edge", "spacing"), [("concrete", 50, 100), ("brick", 100, 200), ("dense_block", 100, 200)]
)
def test_edge_and_spacing_follow_the_embedment(substrate, edge, spacing):
    """A maker's table for nylon anchors: hef and 2 hef in concrete, 2 hef and 4 hef in masonry, hef 50."""
    held = fixing_in(fixing="plug_10", substrate=substrate)
    assert (held.edge_mm, held.spacing_mm) == (edge, spacing)


def test_screw_in_softwood_is_its_withdrawal():
    """EN 1995-1-1 8.7.2: 7.5 mm, 45 mm deep, C16, short wind: worked by hand."""
    characteristic = 0.52 * 7.5**-0.5 * 45**-0.1 * 310**0.8 * 7.5 * 45 * 7.5 / 8
    held = fixing_in(fixing="screw_7_5", substrate="timber")
    assert held.design_n == pytest.approx(0.9 * characteristic / 1.3)


def test_allowed_reaction_is_the_lesser_of_wall_and_bent_screw():
    """By hand: 8 mm plug, root 5.0, fu 500, lever 10 + 1.5 + 3: 1.2 W fu / 1.25 / 14.5 / 1.5."""
    held = fixing_in(fixing="plug_8", substrate="concrete")
    bent = 1.2 * np.pi * 125 / 32 * 500 / 1.25 / 14.5 / 1.5
    assert allowed_reaction_n(held=held, gap_mm=10.0) == pytest.approx(bent)
    weak = fixing_in(fixing="plug_10_deep", substrate="aerated_block")
    assert allowed_reaction_n(held=weak, gap_mm=5.0) == pytest.approx(400 / 2.0 / 1.5)
    gaps = np.array([2.0, 5.0, 10.0, 20.0])
    assert np.all(np.diff(allowed_reaction_n(held=held, gap_mm=gaps)) < 0)


def test_working_ends_with_the_allowed_reaction():
    held = fixing_in(fixing="plug_10", substrate="brick")
    work = Working()
    allowed = allowed_reaction_n(held=held, gap_mm=8.0, work=work)
    assert work.steps[-1].value == allowed


def test_every_wall_of_the_readings_file_is_known_and_stone_has_no_figure():
    assert all(fixings_for(s) for s in SUBSTRATES if s not in ("stone", "none"))
    assert fixings_for("stone") == []


def test_unknown_substrate_is_refused_with_those_known():
    with pytest.raises(BadInput, match=r"cheese.*brick"):
        fixings_for("cheese")


def test_kind_without_a_figure_is_refused_with_those_that_have_one():
    with pytest.raises(BadInput, match="plug_10_deep"):
        fixing_in(fixing="plug_8", substrate="aerated_block")


def test_gap_below_nothing_is_refused():
    with pytest.raises(BadInput, match="gap_mm"):
        allowed_reaction_n(held=fixing_in(fixing="plug_8", substrate="brick"), gap_mm=-1.0)


@pytest.mark.parametrize(("edge", "word"), [(120, "meets"), (50, "meets"), (40, "fails")])
def test_edge_distance_in_concrete_decides_with_the_strength(edge, word):
    held = fixing_in(fixing="plug_10", substrate="concrete")
    approval = Rest(what="an invented approval", how="declared by the maker")
    declared = DeclaredResistance(design_n=1500, by="an invented approval", rest=approval)
    found = fixing_verdict(held=held, largest_n=100, gap_mm=5, edge_mm=edge, declared=declared)
    assert found.word == word


def test_overloaded_fixing_fails():
    held = fixing_in(fixing="plug_8", substrate="brick")
    assert fixing_verdict(held=held, largest_n=400, gap_mm=5).word == "fails"
