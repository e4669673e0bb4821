"""Greatest permitted errors of tapes.

Source: Directive 2014/32/EU, MI-008 (SI 2016/1153 schedule 1I): a + b L, L in whole metres rounded up; I
0.1 + 0.1 L, II 0.3 + 0.2 L, III 0.6 + 0.4 L; from the hook add 0.1, 0.2, 0.3 (read).
"""

import pytest

from jambwright.basis import table
from jambwright.readings.tools import tape_limit_mm

# printed at 3, 5, 8 and 10 m
LIMITS = {"I": (0.4, 0.6, 0.9, 1.1), "II": (0.9, 1.3, 1.9, 2.3), "III": (1.8, 2.6, 3.8, 4.6)}


@pytest.mark.parametrize("class_", LIMITS)
def test_limits_at_the_printed_lengths(class_: str) -> None:
    row = table("tape_classes").find(**{"class": class_})
    found = [
        tape_limit_mm(length_mm=m * 1000, a_mm=row["a_mm"], b_mm_per_m=row["b_mm_per_m"])
        for m in (3, 5, 8, 10)
    ]
    assert found == pytest.approx(LIMITS[class_])


@pytest.mark.parametrize(("length", "limit"), [(1200, 0.9), (2400, 1.1)])
def test_class_two_from_the_end(length: float, limit: float) -> None:
    """Source: same notes, worked from the schedule."""
    row = table("tape_classes").find(**{"class": "II"})
    found = tape_limit_mm(
        length_mm=length, a_mm=row["a_mm"], b_mm_per_m=row["b_mm_per_m"], end_mm=row["end_mm"]
    )
    assert found == pytest.approx(limit)
