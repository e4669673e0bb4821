"""What was decided for a whole house: versioned, complete, and all that papers and screens know of a plan."""

from __future__ import annotations

from datetime import date
from typing import Literal

from jambwright.basis.problems import Problem
from jambwright.checks.gates import Gates, Reason
from jambwright.checks.opening_heat import HouseHeat
from jambwright.checks.verdict import Verdict
from jambwright.plan.buying import Buying
from jambwright.plan.crew.days import Stay
from jambwright.plan.crew.solve import CrewPlan
from jambwright.plan.hours import Spread
from jambwright.plan.options import HouseOptions
from jambwright.plan.order_check import OrderCheck
from jambwright.plan.price import Estimate
from jambwright.plan.saving import HouseSaving
from jambwright.plan.van_loads import VanLoad
from jambwright.readings.survey import Nation
from jambwright.record.opening import OpeningRecord, Unread
from jambwright.record.plain import Figure, Plain

VERSION = 2


class Site(Plain):
    """Whose house it is and where."""

    label: str
    note: str
    nation: Nation | None
    """None in a plan of an earlier version, which did not hold it."""
    date_of_work: date | None
    disturb: dict[str, str]
    """By room, what the household asked to be minded."""


class IssuedSize(Plain):
    """A size as a plan of an earlier version gave it; nothing else of that plan is known."""

    id: str
    room: str
    kind: str
    profile: str
    colour: str
    width_mm: float
    height_mm: float
    overall_height_mm: float
    """With the sill."""
    sill_length_mm: float | None
    sill_depth_mm: float | None
    glass: dict[str, tuple[float, float, str]]
    """By light: width and height as they were given, and the make-up; empty for a panel."""


class Days(Plain):
    """The crew's days."""

    first_day: date
    working_days: tuple[date, ...]
    plan: CrewPlan
    stays: tuple[Stay, ...]
    open_on: dict[str, date]
    """Day on which the wall of an opening is open, by its mark."""
    before: tuple[Reason, ...]
    """To be settled before the first day."""
    left_out: tuple[Problem, ...]
    """Openings that are not planned, each with why and the remedy."""
    stayed: tuple[str, ...] = ()
    """Openings that were kept on the days of the plan before; no better plan was looked for that moves them."""
    hours: Spread | None = None
    """Hours of a pair at the openings that are opened; none in a plan of an earlier version."""


class OrderHead(Plain):
    """What stands at the head of the order; ``None`` where it was not given."""

    purchaser: str | None = None
    contact: str | None = None
    number: str | None = None
    issue: int = 1
    wanted_on: date | None = None
    deliver_to: str | None = None
    access: str | None = None


class Change(Plain):
    """One thing that two forms of an order say differently."""

    opening: str
    light: str | None = None
    field: str
    """Heading of the order's table; empty where the whole line is meant."""
    was: str | float | None
    """In the form that is compared with; ``None`` for nothing."""
    now: str | float | None


class SinceIssue(Plain):
    """What changed since an issue of the same order went out."""

    issue: int
    plan_id: str
    changes: tuple[Change, ...]


class OrderRecord(Plain):
    """The order as a whole."""

    head: OrderHead
    listed: OrderCheck
    """Check figures of every item on the order."""
    to_make: OrderCheck
    """Of those that nothing holds and that are not ordered already."""
    since: SinceIssue | None = None
    """None where no earlier issue was at hand."""


class PlanRecord(Plain):
    """The plan of a house as it was decided."""

    jambwright_plan: Literal[2] = 2
    plan_id: str
    """Short mark of everything below; it stands on every paper of this plan."""
    made_with: str
    site: Site
    gates: Gates
    """Of the house: what stops every opening."""
    openings: tuple[OpeningRecord, ...] = ()
    unread: tuple[Unread, ...] = ()
    rules: tuple[Verdict, ...]
    """Findings on the house and the work as a whole."""
    heat: HouseHeat | None = None
    figures: dict[str, Figure]
    """Figures of the whole house, by name."""
    whole: bool = False
    """False where only what needs a person was asked for: no materials, days, options or price."""
    options: HouseOptions | None = None
    saving: HouseSaving | None = None
    """None where no old glazing was looked at."""
    buying: Buying | None = None
    loads: tuple[VanLoad, ...] = ()
    estimate: Estimate | None = None
    price_missing: tuple[Problem, ...] = ()
    """Prices that the price file lacks; no estimate is made then."""
    order: OrderRecord | None = None
    """None where it was not asked for, and in a plan kept before there was one."""
    days: Days | None = None
    days_missing: tuple[Problem, ...] = ()
    """Why there are no days, where that is not plain."""
    issued: tuple[IssuedSize, ...] = ()
    """Sizes of a plan that an earlier version made; its gates are shut until the house is planned again."""
    wants: tuple[Problem, ...] = ()
    """Inputs that findings lack: each told once, with where it is written and what is unknown until then."""
    remarks: tuple[Problem, ...] = ()
    """Figures of the house that are more often a slip than true: to be looked at again."""

    @property
    def every_opening(self) -> tuple[OpeningRecord | Unread, ...]:
        """Those planned, then those not read yet."""
        return (*self.openings, *self.unread)

    @property
    def needs_someone(self) -> bool:
        """Whether any gate is shut."""
        return bool(self.gates.shut or self.unread or any(o.gates.shut for o in self.openings))
