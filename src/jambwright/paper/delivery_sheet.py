"""The delivery check: unit by unit what is looked at before anybody signs, with limits, boxes and room to write."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from jambwright.basis.units import show_mm
from jambwright.paper.delivery_words import (
    Look,
    damage_look,
    frame_looks,
    glass_looks,
    part_looks,
    sources_of,
)
from jambwright.paper.elevation import elevation
from jambwright.paper.fit_views import elevation_view
from jambwright.paper.fit_words import where
from jambwright.paper.gate_words import order_state, remake_words
from jambwright.paper.pdf import typeset
from jambwright.paper.render import svg
from jambwright.paper.scale import NoScaleFits
from jambwright.paper.scene import Box
from jambwright.record import DeliveryList, OpeningRecord, PlanRecord

LIGHTS = Box(width_mm=50, height_mm=50)
"""Room for the lights beside the head of an item."""
GROUP = "delivery."

Part = dict[str, Any]


def to_deliver(record: PlanRecord) -> list[tuple[OpeningRecord, DeliveryList]]:
    """Units that are still to come or not fitted yet, each with what is looked at."""
    return [(each, each.delivery) for each in record.openings if each.delivery]


def delivery_pdf(record: PlanRecord) -> bytes:
    """The list of a house as PDF; a unit that was looked at already bears what was found."""
    units = to_deliver(record)
    data = {
        "items": [_item(each, listed) for each, listed in units],
        "sources": list(dict.fromkeys(said for _, listed in units for said in sources_of(listed))),
    }
    return typeset("delivery.typ", record, data)


def _item(plan: OpeningRecord, listed: DeliveryList) -> Part:
    chosen, order = plan.frame.chosen, plan.order
    return {
        "mark": plan.id,
        "name": plan.name,
        "where": where(plan),
        "made_of": f"{chosen.kind}, {chosen.profile.title}, {chosen.colour}",
        "state": order_state(plan),
        "size": f"{show_mm(order.width.value)} × {show_mm(order.height.value)}",
        "remake": remake_words(plan.remake) if plan.remake else "",
        "found": [f"{v.word.capitalize()}: {v.sentence}" for v in plan.checks if v.rule.startswith(GROUP)],
        "picture": lights(plan),
        "frame": _rows((*frame_looks(listed), *part_looks(listed), damage_look())),
        "glass": [
            {
                "light": glass.light,
                "make_up": f"{glass.make_up}{', obscure' if glass.obscure else ''}",
                "rows": _rows(look for look in glass_looks(glass) if not look.loose),
                "loose": _rows(look for look in glass_looks(glass) if look.loose),
            }
            for glass in listed.glass
        ],
    }


def _rows(looks: Iterable[Look]) -> list[list[str]]:
    return [[look.what, look.allowed] for look in looks]


def lights(plan: OpeningRecord, box: Box = LIGHTS) -> Part | None:
    """How the lights stand and are hung; ``None`` where they are too many to be told apart so small."""
    try:
        scene = elevation(replace(elevation_view(plan), figured=False), box)
    except NoScaleFits:
        return None
    needs = scene.paper_size()
    paper = Box(width_mm=needs.width_mm, height_mm=needs.height_mm)
    return {"svg": svg(scene, paper), "width": paper.width_mm, "alt": scene.title}
