"""Yield figures of sealant and foam as handbooks print them.

Sealant: L = V / (W · D) for a 310 ml cartridge, 10 x 6 gives 5.17 m, 10 x 10 gives 3.10 m (arithmetic of
the trade's yield table). Rod sizes: sealant makers' joint guides, 8 to 10 mm for gaps of 6 to 7, 13 for 10.
Foam: about 28 l a can in a gap: 56 m of 10 x 50, 31 m of 15 x 60.
"""

import pytest

from jambwright.plan.joints import FoamJoint, SealantJoint, fill, rod_mm, sealant_depth_mm


@pytest.mark.parametrize(("depth_mm", "printed_m"), [(6, 5.17), (10, 3.10)])
def test_a_cartridge_runs_as_far_as_the_yield_table_prints(depth_mm: float, printed_m: float) -> None:
    joint = SealantJoint(length_m=printed_m, width_mm=10, depth_mm=depth_mm)
    assert fill([joint], []).sealant_ml == pytest.approx(310, abs=0.005 * 10 * depth_mm)


@pytest.mark.parametrize(("gap_mm", "depth_mm", "printed_m"), [(10, 50, 56), (15, 60, 31)])
def test_a_can_fills_as_many_metres_as_the_yield_table_prints(
    gap_mm: float, depth_mm: float, printed_m: float
) -> None:
    short, long = (
        fill([], [FoamJoint(length_m=m, gap_mm=gap_mm, depth_mm=depth_mm)])
        for m in (printed_m - 0.5, printed_m + 0.5)
    )
    assert (short.foam_cans, long.foam_cans) == (1, 2)


@pytest.mark.parametrize(("gap_mm", "printed_mm"), [(6, (8, 10)), (7, (8, 10)), (10, (13,))])
def test_the_rod_is_the_size_the_joint_guides_name(gap_mm: float, printed_mm: tuple[float, ...]) -> None:
    assert rod_mm(gap_mm=gap_mm) in printed_mm


@pytest.mark.parametrize(("width_mm", "depth_mm"), [(4, 6), (6, 6), (10, 10), (12, 12), (16, 8), (24, 12)])
def test_depth_follows_width_as_the_joint_guides_say(width_mm: float, depth_mm: float) -> None:
    assert sealant_depth_mm(width_mm=width_mm) == depth_mm


def test_packs_are_rounded_over_the_house_not_over_each_joint() -> None:
    joints = [SealantJoint(length_m=1, width_mm=10, depth_mm=6)] * 9
    gaps = [FoamJoint(length_m=5, gap_mm=10, depth_mm=50)] * 11
    filling = fill(joints, gaps)
    assert (filling.sealant_ml, filling.cartridges) == (540, 2)  # 594 ml with a tenth of waste
    assert (filling.foam_l, filling.foam_cans) == (27.5, 1)
