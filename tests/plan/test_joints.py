import numpy as np
import pytest

from jambwright.basis import BadInput
from jambwright.calc import answer, working
from jambwright.plan.joints import SealantJoint, fill, mean_gap_mm, sealant_volume_ml


def test_the_answer_names_every_field_of_the_contract() -> None:
    result = answer(
        "sealant-and-foam",
        {
            "joints": [
                {"length_m": 2.0, "width_mm": 10, "depth_mm": 6},
                {"length_m": 3.0, "width_mm": 10, "depth_mm": 6},
                {"length_m": 1.0, "width_mm": 4, "depth_mm": 6},
            ],
            "foam": [{"length_m": 6.0, "gap_mm": 10, "depth_mm": 50}],
        },
    )
    assert result["sealant_ml"] == pytest.approx(324)
    assert result["cartridges"] == 2
    assert result["foam_l"] == pytest.approx(3)
    assert result["foam_cans"] == 1
    assert result["backing_rod"] == [{"gap_mm": 10, "rod_mm": 13, "length_m": 5}]
    assert "surface seal" in result["cautions"][0]


def test_nothing_to_fill_takes_no_packs() -> None:
    result = answer("sealant-and-foam", {"joints": [], "foam": []})
    assert (result["cartridges"], result["foam_cans"], result["backing_rod"]) == (0, 0, [])


def test_every_bad_joint_is_named_at_once() -> None:
    with pytest.raises(BadInput) as caught:
        answer(
            "sealant-and-foam",
            {
                "joints": [{"length_m": -1, "width_mm": 10, "depth_mm": 6}],
                "foam": [{"length_m": 1, "gap_mm": 0, "depth_mm": 50, "dept_mm": 3}],
            },
        )
    assert [p.field for p in caught.value.problems] == [
        "joints.0.length_m",
        "foam.0.gap_mm",
        "foam.0.dept_mm",
    ]


def test_a_gap_wider_than_any_rod_is_refused_with_the_remedy() -> None:
    with pytest.raises(BadInput, match=r"Joint 45 mm wide: no backing rod is large enough.*frame extension"):
        fill([SealantJoint(length_m=1, width_mm=45, depth_mm=10)], [])


@pytest.mark.parametrize(
    ("width_mm", "words"),
    [(5, "surface seal"), (18, "trim"), (28, "in stages"), (26, "more than 50% larger")],
)
def test_unusual_widths_carry_a_caution(width_mm: float, words: str) -> None:
    filling = fill([SealantJoint(length_m=1, width_mm=width_mm, depth_mm=10)], [])
    assert any(words in caution.say for caution in filling.cautions)


def test_a_plain_joint_carries_no_caution() -> None:
    assert fill([SealantJoint(length_m=1, width_mm=10, depth_mm=10)], []).cautions == ()


def test_the_mean_gap_of_a_taper_and_of_a_bow_is_exact() -> None:
    assert mean_gap_mm(4, 6, 8) == 6
    x = np.linspace(0, 1, 10001)
    bowed = 8 - 4 * 3 * x * (1 - x)  # 3 mm of bow into an 8 mm gap
    assert mean_gap_mm(8, 5, 8) == pytest.approx(np.trapezoid(bowed, x), abs=1e-6)


def test_volumes_take_arrays() -> None:
    ml = sealant_volume_ml(length_m=np.array([1.0, 2.0]), width_mm=np.array([10.0, 8.0]), depth_mm=6.0)
    assert list(np.asarray(ml)) == [60, 96]


def test_the_working_shows_volume_yield_and_packs() -> None:
    steps = working(
        "sealant-and-foam",
        {
            "joints": [{"length_m": 2.0, "width_mm": 10, "depth_mm": 6}],
            "foam": [{"length_m": 6.0, "gap_mm": 10, "depth_mm": 50}],
        },
    )
    symbols = [step["symbol"] for step in steps]
    assert symbols == [
        "V_s", "V_f", "cartridge", "sealant_waste", "foam_can_in_gap", "cartridges", "foam_cans", "rod"
    ]  # fmt: skip
