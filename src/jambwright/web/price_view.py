"""An estimate as plain values for the screen: parts, what each costs line by line, and the sums."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from jambwright.basis.problems import BadInput
from jambwright.plan.house import HousePlan
from jambwright.plan.materials import Material
from jambwright.plan.price import Estimate, Part, price_house
from jambwright.plan.prices import Prices


def price_view(plan: HousePlan, materials: Sequence[Material], prices: Prices) -> dict[str, Any]:
    """The estimate, or which prices are missing."""
    try:
        estimate = price_house(plan, materials, prices)
    except BadInput as missing:
        return {"missing": [p.say for p in missing.problems]}
    return {
        "missing": [],
        "sign": prices.sign,
        "parts": [_part(part) for part in estimate.parts],
        "sums": _sums(estimate),
        "valid_until": estimate.valid_until.isoformat(),
        "wrong_sizes": [{"name": each.name, "cost": str(each.cost)} for each in estimate.wrong_sizes],
        "wait": list(estimate.to_measure_again),
    }


def _part(part: Part) -> dict[str, Any]:
    lines = [
        {k: str(v) for k, v in asdict(line).items()} | {"amount": str(line.amount)} for line in part.lines
    ]
    return {
        "name": part.name,
        "detail": part.detail,
        "cost": str(part.cost),
        "price": str(part.price),
        "lines": lines,
    }


def _sums(estimate: Estimate) -> dict[str, str]:
    names = ("cost", "earned", "net", "vat", "total")
    return {name: str(getattr(estimate, name)) for name in names}
