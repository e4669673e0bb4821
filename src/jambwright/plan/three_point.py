"""What is expected of an estimate by three points: low, usual and high."""

from __future__ import annotations

from jambwright.basis.clause import clause

THREE_POINT = "Malcolm, Roseboom, Clark and Fazar, Operations Research 7 (1959)"


@clause(THREE_POINT, "mean", unit="h", formula="(low + 4 usual + high) / 6")
def three_point_mean_h(*, low: float, usual: float, high: float) -> float:
    """Mean of an estimate by three points.

    >>> three_point_mean_h(low=1.5, usual=2.5, high=4.5)
    2.667
    """
    return (low + 4 * usual + high) / 6


@clause(THREE_POINT, "spread", unit="h", formula="(high − low) / 6")
def three_point_sd_h(*, low: float, high: float) -> float:
    """Standard deviation of an estimate by three points.

    >>> three_point_sd_h(low=1.5, high=4.5)
    0.5
    """
    return (high - low) / 6


@clause("Normal distribution", "80 % quantile", unit="h", formula="mean + 0.8416 sd", how="calculated")
def four_in_five_h(*, mean: float, sd: float) -> float:
    """Hours that are enough four times in five, for a sum of many tasks.

    >>> four_in_five_h(mean=15.77, sd=1.221)
    16.79
    """
    return mean + 0.8416 * sd
