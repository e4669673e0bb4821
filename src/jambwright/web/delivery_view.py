"""What is looked at of an ordered unit, for the phone: by field what was ordered and what is allowed."""

from __future__ import annotations

from typing import Any

from jambwright.paper.delivery_words import every_look
from jambwright.record import DeliveryList

Plain = dict[str, Any]


def delivery_view(listed: DeliveryList | None) -> Plain | None:
    """The list of one unit; ``None`` where its plan keeps none."""
    if listed is None:
        return None
    return {
        "looks": [
            {
                "path": look.path, "allowed": look.allowed, "least_mm": look.least_mm, "most_mm": look.most_mm,
                "right": look.right,
            }
            for look in every_look(listed)
        ],
        "diagonals_mm": listed.diagonals.most_mm,
        "lights": [{"mark": glass.light, "make_up": glass.make_up} for glass in listed.glass],
    }  # fmt: skip
