"""The buying list of a house as CSV."""

from __future__ import annotations

import csv
import io
from collections import defaultdict
from typing import get_args

from jambwright.plan.house import HousePlan
from jambwright.plan.quantities import Item, quantities

Key = tuple[str, str, str]
"""Item, size and unit."""


def buying_csv(house: HousePlan) -> bytes:
    """One line a thing and size: how much in all, and for which openings."""
    amount: dict[Key, float] = defaultdict(float)
    openings: dict[Key, dict[str, None]] = defaultdict(dict)
    for plan in house.openings:
        for part in quantities(plan):
            key: Key = (part.item, part.size, part.unit)
            amount[key] += part.amount
            openings[key][part.opening_id] = None
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(("item", "size", "amount", "unit", "openings"))
    order = list(get_args(Item))
    for key, total in sorted(amount.items(), key=lambda pair: order.index(pair[0][0])):
        item, size, unit = key
        writer.writerow((item, size, f"{total:.1f}".removesuffix(".0"), unit, " ".join(openings[key])))
    return text.getvalue().encode("utf-8-sig")
