from hypothesis import given
from hypothesis import strategies as st

from jambwright.plan.joints import FoamJoint, SealantJoint, fill, rod_mm

length = st.floats(0.1, 100)
gap = st.floats(3, 40)


@given(
    st.lists(st.builds(SealantJoint, length_m=length, width_mm=gap, depth_mm=st.floats(3, 15)), max_size=6)
)
def test_the_cartridges_bought_hold_the_joints_and_less_than_one_is_spare(joints: list[SealantJoint]) -> None:
    filling = fill(joints, [])
    assert filling.cartridges * 310 >= filling.sealant_ml
    assert (filling.cartridges - 1) * 310 < filling.sealant_ml * 1.1 + 1e-6


@given(st.lists(st.builds(FoamJoint, length_m=length, gap_mm=gap, depth_mm=st.floats(20, 90)), max_size=6))
def test_more_gaps_never_take_fewer_cans(gaps: list[FoamJoint]) -> None:
    cans = [fill([], gaps[:n]).foam_cans for n in range(len(gaps) + 1)]
    assert cans == sorted(cans)


@given(gap)
def test_a_rod_is_always_squeezed(gap_mm: float) -> None:
    assert rod_mm(gap_mm=gap_mm) >= 1.25 * gap_mm - 1e-6
