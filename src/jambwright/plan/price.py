"""What a house costs the firm, line by line, and what the owner is asked for it.

The cost of each opening and of what belongs to the whole house is built up in lines rounded to the penny.
What is earned is put on each part, so the parts the owner sees add up to the total, and VAT on it as the
price file says.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from functools import partial

from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.basis.units import show_mm
from jambwright.checks.cautions import storey_of
from jambwright.checks.system_fit import kind_of
from jambwright.plan.hours import PAIR, Pace, day_hours, days_by_hours, leaves_of, pair_hours, standing
from jambwright.plan.house import HousePlan, OpeningPlan
from jambwright.plan.materials import Material
from jambwright.plan.money import HUNDRED, Line, counted, penny, price_by_margin, price_by_mark_up
from jambwright.plan.price_list import PriceList
from jambwright.plan.prices import Prices
from jambwright.readings.survey import Survey

MADE_TO_SIZE = ("frame", "glass", "panel")
PACES: Mapping[str, Pace] = {"low": "low", "typical": "usual", "high": "high"}
"""Columns of the table of hours by their name in a price file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One opening, or one thing of the whole house, as the owner sees it."""

    name: str
    detail: str
    lines: tuple[Line, ...]
    """What it costs the firm."""
    price: Decimal
    """Before VAT."""

    @property
    def cost(self) -> Decimal:
        """Sum of the lines."""
        return sum((line.amount for line in self.lines), Decimal(0))


@dataclass(frozen=True, slots=True, kw_only=True)
class WrongSize:
    """What it costs the firm when one frame comes in the wrong size."""

    name: str
    remake: Decimal
    """Frame and glass again."""
    visit: Decimal
    """Coming again and fitting again."""

    @property
    def cost(self) -> Decimal:
        """Both."""
        return self.remake + self.visit


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """The estimate of a house. Every sum adds what is printed."""

    prices: Prices
    openings: tuple[Part, ...]
    whole_house: tuple[Part, ...]
    wrong_sizes: tuple[WrongSize, ...]
    unsettled: tuple[str, ...]
    """Openings that must not be ordered yet: their price may change."""

    @property
    def parts(self) -> tuple[Part, ...]:
        """Openings, then what belongs to the whole house."""
        return (*self.openings, *self.whole_house)

    @property
    def cost(self) -> Decimal:
        """What it costs the firm, before VAT."""
        return sum((part.cost for part in self.parts), Decimal(0))

    @property
    def net(self) -> Decimal:
        """Price before VAT."""
        return sum((part.price for part in self.parts), Decimal(0))

    @property
    def earned(self) -> Decimal:
        """Price less cost."""
        return self.net - self.cost

    @property
    def vat(self) -> Decimal:
        """VAT on the total, or line by line and added up, as the price file says."""
        if self.prices.vat.per == "total":
            return self.vat_on(self.net)
        return sum((self.vat_on(part.price) for part in self.parts), Decimal(0))

    def vat_on(self, price: Decimal) -> Decimal:
        """VAT on one amount, to the penny."""
        return penny(price * self.prices.vat.percent / HUNDRED)

    @property
    def total(self) -> Decimal:
        """What the owner pays."""
        return self.net + self.vat

    @property
    def valid_until(self) -> date:
        """Last day the estimate stands."""
        return self.prices.dated + timedelta(days=self.prices.valid_days)


def price_house(
    house: HousePlan,
    materials: Sequence[Material],
    prices: Prices,
    *,
    days: int | None = None,
    unsettled: Sequence[str] = (),
) -> Estimate:
    """Price a planned house and its materials. ``unsettled`` names openings that must not be ordered yet.

    ``days`` are those the crew comes; by the usual hours where they are not planned.

    Raises ``BadInput`` with every price that is missing."""
    listed = PriceList(prices)
    priced = _earning(prices)
    openings, wrong = [], []
    for plan in house.openings:
        lines = tuple(_opening_lines(house.survey, plan, listed))
        openings.append(Part(name=plan.name, detail=_detail(plan), lines=lines, price=priced(_sum(lines))))
        wrong.append(_wrong_size(plan, lines, listed))
    whole_house = [
        Part(name=name, detail=detail, lines=lines, price=priced(_sum(lines)))
        for name, detail, lines in (
            (
                "Materials",
                "sills, trims, fixings, packers, foam, sealant, protection",
                tuple(_material_lines(materials, listed)),
            ),
            (
                "Site",
                "travel, access, setting up and clearing each day",
                tuple(_site_lines(house, days or days_by_hours(house), listed)),
            ),
        )
    ]
    if listed.missing:
        raise BadInput(listed.missing)
    return Estimate(
        prices=prices,
        openings=tuple(openings),
        whole_house=tuple(whole_house),
        wrong_sizes=tuple(wrong),
        unsettled=tuple(unsettled),
    )


def old_unit_kg(plan: OpeningPlan) -> float:
    """Mass of what is taken away, by its kind and the new frame's area."""
    now = plan.opening.now
    per_m2 = table("old_units").find(
        material=now.material or "other", glazing="single" if now.glazing == "single" else "double"
    )["kg_m2"]
    return float(per_m2 * plan.frame.outer.area_m2)


def _opening_lines(survey: Survey, plan: OpeningPlan, listed: PriceList) -> Iterator[Line]:
    yield from _frame_lines(plan, listed)
    yield from _glass_lines(plan, listed)
    storey = storey_of(survey, plan.opening)
    labour, prices = listed.prices.labour, listed.prices
    hours = pair_hours(plan.frame, standing(survey, plan), PACES[labour.pace], survey.defaults.pace)
    yield Line(
        kind="labour",
        what="take out and fit" + (", upstairs" if storey > 0 else ""),
        quantity=counted(PAIR * hours, 2),
        unit="person-hours",
        each=listed.plain(labour.per_hour, "labour.per_hour", "an hour of labour"),
    )
    if storey > 0:
        each = listed.plain(prices.access.per_opening, "access.per_opening", "access to an opening upstairs")
        yield Line(kind="access", what="access upstairs", quantity=Decimal(1), unit="opening", each=each)
    yield Line(
        kind="waste",
        what="old unit away",
        quantity=counted(old_unit_kg(plan) / 1000, 3),
        unit="t",
        each=listed.plain(prices.waste_per_tonne, "waste_per_tonne", "tipping"),
    )


def _frame_lines(plan: OpeningPlan, listed: PriceList) -> Iterator[Line]:
    frame = plan.frame
    opening = [light for light in frame.layout.lights if light.opens]
    by_kind = {light.mark: listed.sash(frame.chosen, kind_of(light)) for light in opening}
    others = [light for light in opening if by_kind[light.mark] is None]
    leaves = leaves_of(others)
    sashes = len(others) - leaves
    for part, what, quantity, unit in (
        ("per_frame", "frame", Decimal(1), "frame"),
        ("per_m2", "frame by its area", counted(frame.outer.area_m2, 3), "m2"),
        ("per_opener", "opening light", Decimal(sashes), "light"),
        ("per_door_leaf", "door leaf", Decimal(leaves), "leaf"),
    ):
        if quantity:
            each = listed.frame(frame.chosen, part)
            yield Line(kind="frame", what=what, quantity=quantity, unit=unit, each=each)
    counted_by_kind = Counter(
        (light.way.family, price) for light in opening if (price := by_kind[light.mark]) is not None
    )
    for (family, price), count in counted_by_kind.items():
        yield Line(kind="frame", what=family, quantity=Decimal(count), unit="sash", each=price)


def _glass_lines(plan: OpeningPlan, listed: PriceList) -> Iterator[Line]:
    for light in plan.frame.layout.lights:
        unit, area = plan.frame.glazing[light.mark], counted(light.glass.area_m2, 3)
        line = partial(Line, kind="glass", quantity=area, unit="m2")
        if unit is None and light.made == "slab":
            continue  # its price is the leaf's
        if unit is None:
            each = listed.plain(listed.prices.panel_per_m2, "panel_per_m2", "panels")
            yield line(what=f"panel {light.mark}", each=each)
            continue
        yield line(what=f"glass {light.mark}, {unit}", each=listed.glass(unit))
        if light.wanted.obscure:
            yield line(what=f"glass {light.mark} obscured", each=listed.glass(unit, "obscure_more_per_m2"))


def _material_lines(materials: Sequence[Material], listed: PriceList) -> Iterator[Line]:
    for material in materials:
        if material.item not in MADE_TO_SIZE:
            yield Line(
                kind="materials",
                what=material.name,
                quantity=Decimal(material.packs),
                unit=material.pack.name,
                each=listed.material(material),
            )


def _site_lines(house: HousePlan, days: int, listed: PriceList) -> Iterator[Line]:
    prices, survey = listed.prices, house.survey
    travel = listed.plain(prices.travel_per_visit, "travel_per_visit", "travel of a day")
    yield Line(kind="travel", what="travel", quantity=Decimal(days), unit="day", each=travel)
    if any(storey_of(survey, plan.opening) > 0 for plan in house.openings):
        once = listed.plain(prices.access.once, "access.once", "putting up a tower")
        yield Line(kind="access", what="tower up and down", quantity=Decimal(1), unit="time", each=once)
    hours = days * PAIR * day_hours(PACES[prices.labour.pace])
    yield Line(
        kind="labour",
        what="set up and clear, each day",
        quantity=counted(survey.defaults.pace * hours, 2),
        unit="person-hours",
        each=listed.plain(prices.labour.per_hour, "labour.per_hour", "an hour of labour"),
    )


def _wrong_size(plan: OpeningPlan, lines: tuple[Line, ...], listed: PriceList) -> WrongSize:
    travel = listed.prices.travel_per_visit or Decimal(0)
    return WrongSize(
        name=plan.name,
        remake=_sum(tuple(line for line in lines if line.kind in ("frame", "glass"))),
        visit=penny(travel) + _sum(tuple(line for line in lines if line.kind in ("labour", "access"))),
    )


def _earning(prices: Prices) -> Callable[[Decimal], Decimal]:
    if prices.margin_percent is not None:
        return partial(price_by_margin, percent=prices.margin_percent)
    assert prices.mark_up_percent is not None
    return partial(price_by_mark_up, percent=prices.mark_up_percent)


def _detail(plan: OpeningPlan) -> str:
    frame = plan.frame
    kinds = dict.fromkeys(str(unit) for unit in frame.glazing.values() if unit)
    lights = len(frame.layout.lights)
    opening = sum(light.opens for light in frame.layout.lights)
    said = [
        f"{frame.chosen.profile.title}, {frame.chosen.colour}",
        f"{show_mm(frame.width_mm)} x {show_mm(frame.height_mm)} mm",
        f"{lights} light{'s' if lights > 1 else ''}, {opening} opening",
        *(f"glass {kind}" for kind in kinds),
    ]
    return "; ".join(said)


def _sum(lines: tuple[Line, ...]) -> Decimal:
    return sum((line.amount for line in lines), Decimal(0))
