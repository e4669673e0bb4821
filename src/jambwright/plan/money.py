"""Money in decimal, to the penny. One rule of rounding: half up, once, on each line; sums add what is printed."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

PENNY = Decimal("0.01")
HUNDRED = Decimal(100)


def penny(amount: Decimal) -> Decimal:
    """Rounded half up to the penny.

    >>> penny(Decimal("2.345")), penny(Decimal("2.3449"))
    (Decimal('2.35'), Decimal('2.34'))
    """
    return amount.quantize(PENNY, ROUND_HALF_UP)


def counted(amount: float, places: int) -> Decimal:
    """A quantity as it is printed and charged, rounded half up.

    >>> counted(1.2345, 3), counted(7, 0)
    (Decimal('1.235'), Decimal('7'))
    """
    return Decimal(repr(float(amount))).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)


def price_by_margin(cost: Decimal, percent: Decimal) -> Decimal:
    """Price of which a share is earned.

    >>> price_by_margin(Decimal(75), Decimal(25))
    Decimal('100.00')
    """
    return penny(cost * HUNDRED / (HUNDRED - percent))


def price_by_mark_up(cost: Decimal, percent: Decimal) -> Decimal:
    """Cost with a share of the cost on top.

    >>> price_by_mark_up(Decimal(75), Decimal(25))
    Decimal('93.75')
    """
    return penny(cost * (HUNDRED + percent) / HUNDRED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """So much of one thing at a price each."""

    kind: str
    """`frame`, `glass`, `labour`, `access`, `waste`, `materials`, `travel`."""
    what: str
    quantity: Decimal
    unit: str
    each: Decimal

    @property
    def amount(self) -> Decimal:
        """To the penny."""
        return penny(self.quantity * self.each)
