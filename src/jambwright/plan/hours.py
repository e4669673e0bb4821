"""How long the work at an opening takes: hours of two fitters together, low, usual and high."""

from __future__ import annotations

import math
from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from jambwright.basis.tables import Row, table
from jambwright.checks.cautions import storey_of
from jambwright.frame.frame import Frame
from jambwright.frame.layout import PlacedLight
from jambwright.plan.house import HousePlan, OpeningPlan
from jambwright.plan.three_point import four_in_five_h, three_point_mean_h, three_point_sd_h
from jambwright.readings.survey import Survey

Pace = Literal["low", "usual", "high"]
PAIR = 2
"""Fitters whose hours the table gives."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What the hours depend on beside the frame itself."""

    storey: int = 0
    face: str = "brick"
    old: str = "timber"
    """What the old frame is made of."""
    glazed_m2: float = 0.0
    """Glass that comes in the unit and is not put in on site."""


def standing(survey: Survey, plan: OpeningPlan) -> Standing:
    """Where a planned opening stands and how its frame comes."""
    opening, frame = plan.opening, plan.frame
    comes_in = [light for light in frame.layout.lights if light.mark not in plan.fitting.glass_in]
    return Standing(
        storey=storey_of(survey, opening),
        face=survey.wall_of(opening).face,
        old=opening.now.material or "other",
        glazed_m2=math.fsum(light.glass.area_m2 for light in comes_in),
    )


def pair_hours(frame: Frame, where: Standing, pace: Pace = "usual", over_usual: float = 1.0) -> float:
    """Hours of a pair to take out and fit one unit. ``over_usual``: the firm's own hours over those of the table.

    What comes glazed saves time, but never more than half.
    """
    hours = float(_row(frame)[pace])
    scale = {row["when"]: float(row[pace]) for row in table("labour_scale")}
    if where.storey > 0:
        hours *= scale["upstairs"]
    if where.face in ("render", "tile"):
        hours += scale["soft_face"]
    if where.old == "steel":
        hours += scale["steel_old"]
    return over_usual * max(hours / 2, hours - scale["comes_glazed"] * where.glazed_m2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """How long some work takes and how sure that is, hours of a pair."""

    mean: float
    sd: float

    @property
    def four_in_five(self) -> float:
        """Hours that are enough in four of five cases, if the sum is spread normally."""
        return four_in_five_h(mean=self.mean, sd=self.sd)


def spread(hours: Iterable[tuple[float, float, float]]) -> Spread:
    """The sum of three-point hours (low, usual, high), each taken to vary by itself.

    A house that makes all of them slow takes longer.

    >>> round(spread([(1.5, 2.5, 4.5)]).mean, 3), spread([(1.5, 2.5, 4.5)]).sd
    (2.667, 0.5)
    """
    each = list(hours)
    return Spread(
        mean=math.fsum(three_point_mean_h(low=low, usual=usual, high=high) for low, usual, high in each),
        sd=math.sqrt(math.fsum(three_point_sd_h(low=low, high=high) ** 2 for low, _, high in each)),
    )


def spread_of(house: HousePlan, marks: Container[str]) -> Spread:
    """The hours at some openings of a house."""
    survey = house.survey

    def at(plan: OpeningPlan, pace: Pace) -> float:
        return pair_hours(plan.frame, standing(survey, plan), pace, survey.defaults.pace)

    return spread(
        (at(plan, "low"), at(plan, "usual"), at(plan, "high"))
        for plan in house.openings
        if plan.opening.id in marks
    )


def day_hours(pace: Pace = "usual") -> float:
    """Hours of a pair that every day takes besides: setting up, sheets, tools and clearing."""
    return float(table("labour_scale").find(when="day")[pace])


def day_minutes(what: str) -> int:
    """One row of a crew's day on site, minutes."""
    return int(table("crew_day").find(what=what)["minutes"])


def days_by_hours(house: HousePlan) -> int:
    """Days of one pair that the usual hours fill, where nobody has planned the days yet; at least one."""
    survey = house.survey
    hours = math.fsum(
        pair_hours(p.frame, standing(survey, p), over_usual=survey.defaults.pace) for p in house.openings
    )
    on_site = day_minutes("ends") - day_minutes("begins")
    besides = day_minutes("set_up") + day_minutes("lunch") + day_minutes("clear_up")
    return max(1, math.ceil(60 * hours / (on_site - besides)))


def may_be_boarded(frame: Frame) -> bool:
    """Whether the opening may stand boarded overnight where it takes more than a day."""
    return bool(_row(frame)["boarded"] == "yes")


def leaves_of(lights: Sequence[PlacedLight]) -> int:
    """Door leaves side by side: the lower leaf of a stable door stands under the upper one."""
    return sum(light.door_leaf and not (light.made == "stable_door" and light.follows) for light in lights)


def _row(frame: Frame) -> Row:
    leaves = leaves_of(frame.layout.lights)
    slides = {light.way.clear for light in frame.layout.lights}

    def fits(row: Row) -> bool:
        return (
            row["kind"] == frame.chosen.kind
            and (row["most_m2"] is None or frame.outer.area_m2 <= row["most_m2"])
            and (row["leaves"] is None or leaves <= row["leaves"])
            and (not row["slides"] or f"slide_{row['slides']}" in slides)
            and row["material"] in ("", frame.chosen.profile.material)
        )

    return next(row for row in table("labour_hours") if fits(row))
