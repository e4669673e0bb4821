"""EN 16612 design strengths, duration factors and effective thickness: the house's reference sheet.

The formulas are recalled, the figures computed from them there; tolerance is the last digit given.
"""

import pytest

from jambwright.basis import BadInput
from jambwright.checks.glass import duration_factor, strength_of
from jambwright.checks.glass.strength import thickness_for_deflection_mm, thickness_for_stress_mm

HOUR, DAY, YEAR = 1.0, 24.0, 8766.0


@pytest.mark.parametrize(
    ("hours", "kmod"),
    [
        (5 / 3600, 1.000), (30 / 3600, 0.894), (1 / 6, 0.742), (HOUR, 0.663), (DAY, 0.544), (30 * DAY, 0.439),
        (50 * YEAR, 0.294),
    ],
    ids=["5 s", "30 s", "10 min", "1 h", "1 day", "30 days", "50 years"],
)  # fmt: skip
def test_duration_factor(hours, kmod):
    assert duration_factor(hours=hours) == pytest.approx(kmod, abs=0.0006)


@pytest.mark.parametrize(
    ("kind", "strengths"),
    [
        ("annealed", (20.81, 16.31, 12.38, 8.16)),
        ("laminated", (20.81, 16.31, 12.38, 8.16)),
        ("heat_strengthened", (41.65, 37.15, 33.21, 28.99)),
        ("toughened", (83.31, 78.81, 74.88, 70.66)),
    ],
)
def test_design_strength_by_kind_and_duration(kind, strengths):
    found = [float(strength_of(kind, kmod)) for kmod in (0.74, 0.58, 0.44, 0.29)]
    assert found == pytest.approx(strengths, abs=0.006)


@pytest.mark.parametrize(
    ("shear_transfer", "for_deflection_mm", "for_stress_mm"),
    [(0.0, 3.780, 4.243), (0.3, 4.873, 5.369), (1.0, 6.380, 6.379)],
)
def test_effective_thickness_of_3_38_3(shear_transfer, for_deflection_mm, for_stress_mm):
    build = {"plies_mm": (3.0, 3.0), "interlayer_mm": 0.38, "shear_transfer": shear_transfer}
    assert thickness_for_deflection_mm(**build) == pytest.approx(for_deflection_mm, abs=0.0006)
    assert thickness_for_stress_mm(**build) == pytest.approx(for_stress_mm, abs=0.0006)


def test_an_unknown_kind_is_refused_by_name():
    with pytest.raises(BadInput, match="known are annealed, heat_strengthened"):
        strength_of("plastic", 0.74)  # type: ignore[arg-type]
