"""The order as a table, one row a light: the one form that is sent as CSV and workbook, answered, and compared."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from jambwright.plan.order_check import OrderCheck
from jambwright.readings.asked import fields_of, words_of
from jambwright.readings.specified import FIELDS, Specified
from jambwright.record.order_document import Order, OrderItem, OrderLight

OPENING, LIGHT = "opening", "light"
SPECIFIED = {name: name.replace("_", " ") for name in FIELDS}
"""Heading of each field of the specification."""
HEADINGS = (
    OPENING, LIGHT, "room", "kind", "profile", "colour", "width mm", "height mm", "overall height with sill mm",
    "threshold", "threshold height mm", "behind nibs", "mullions from left mm", "transoms from bottom mm",
    "reinforcement of bars", "steel in", "sill length mm", "sill depth mm", "sill ends", *SPECIFIED.values(),
    "opens (seen from outside)", "swing", "glass width mm", "glass height mm", "make-up", "obscure", "vent mm2",
    "handle height mm", "stay angle deg", "restrictor", "hinge or stay", "ventilators", "one of", "sash width mm",
    "sash height mm", "sashes meet at mm", "horns", "balance", "track from outside",
    "count", "perimeter m", "area m2", "unit kg", "U at reference size W/m2K", "energy index kWh/m2 year", "band",
)  # fmt: skip
"""Of every figure and word of an item; what holds it is no part of what is made."""
OF_LIGHTS = (
    "opens (seen from outside)", "swing", "glass width mm", "glass height mm", "make-up", "obscure", "vent mm2",
    "handle height mm", "stay angle deg", "restrictor", "hinge or stay", "ventilators", "one of", "sash width mm",
    "sash height mm", "sashes meet at mm", "horns", "balance", "track from outside",
)  # fmt: skip
"""Of these each light has its own."""
ALL_ITEMS, ALL_GLASS, TO_MAKE, GLASS_TO_MAKE = (
    "all items", "all glass", "to make now", "glass to make now",
)  # fmt: skip
"""In place of a mark: rows of check figures."""
CHECK_ROWS = (ALL_ITEMS, ALL_GLASS, TO_MAKE, GLASS_TO_MAKE)
GLASS_ROWS = (ALL_GLASS, GLASS_TO_MAKE)
PANEL = "panel"

Cell = str | float | None
Row = Mapping[str, Cell]
Key = tuple[str, str, str]
"""Mark, light, and for a row of glass its make-up: what tells one row from another."""


def item_rows(item: OrderItem) -> Iterator[dict[str, Cell]]:
    """One row a light; what belongs to the frame stands on its first light's row."""
    own = _of_frame(item)
    for light in item.lights:
        yield {OPENING: item.opening, **own, **_of_light(light)}
        own = {}
    if own:
        yield {OPENING: item.opening, **own}


def check_rows(order: Order) -> Iterator[dict[str, Cell]]:
    """The check figures of all items, then of those to be made now, each with its glass."""
    for check, items, glass in (
        (order.listed, ALL_ITEMS, ALL_GLASS),
        (order.to_make, TO_MAKE, GLASS_TO_MAKE),
    ):
        if check:
            yield from _checked(check, items, glass)


def key_of(row: Mapping[str, object]) -> Key:
    """What tells a row from the others."""
    mark = str(row.get(OPENING) or "").strip()
    of_glass = mark in GLASS_ROWS
    obscure = ", obscure" if str(row.get("obscure") or "").strip().casefold() == "yes" else ""
    glass = f"{row.get('make-up') or ''}{obscure}".strip() if of_glass else ""
    return mark, str(row.get(LIGHT) or "").strip(), glass


def _of_frame(item: OrderItem) -> dict[str, Cell]:
    sill = item.sill
    return {
        "room": item.room,
        "kind": item.kind,
        "profile": item.profile,
        "colour": item.colour,
        "width mm": item.width_mm,
        "height mm": item.height_mm,
        "overall height with sill mm": item.overall_height_mm,
        "threshold": item.threshold,
        "threshold height mm": item.threshold_mm,
        "behind nibs": f"in from inside, {item.behind_nibs} than the hole outside"
        if item.behind_nibs
        else None,
        "mullions from left mm": _listed(item.mullions_mm),
        "transoms from bottom mm": _listed(item.transoms_mm),
        "reinforcement of bars": "; ".join(item.reinforcement) or None,
        "steel in": "; ".join(item.steel_in) or None,
        "sill length mm": sill.length_mm if sill else None,
        "sill depth mm": sill.depth_mm if sill else None,
        "sill ends": sill.ends if sill else "none",
        **{SPECIFIED[name]: said for name, said in specified_words(item.specified).items()},
        "perimeter m": item.perimeter_m,
        "area m2": item.area_m2,
        "unit kg": item.mass_kg,
        "U at reference size W/m2K": item.u_w_m2k,
        "energy index kWh/m2 year": item.index_kwh_m2,
        "band": item.band,
    }


def specified_words(said: Specified) -> dict[str, Cell]:
    """What is said of a unit, by field, as it is read: words of what is chosen, figures as they are."""
    given = said.model_dump(exclude_none=True)
    return {
        field.name: words_of(field, given[field.name])
        if field.kind in ("yes", "choice")
        else given[field.name]
        for field in fields_of("Specified")
        if field.name in given
    }


def specification(item: OrderItem) -> list[tuple[str, str]]:
    """What is said of the unit, as label and words."""
    fields = {field.name: field for field in fields_of("Specified")}
    return [
        (fields[name].label, said if isinstance(said, str) else f"{said:g} {fields[name].unit}".rstrip())
        for name, said in specified_words(item.specified).items()
    ]


def not_said(item: OrderItem) -> str:
    """What nothing is said of, in a line; the maker asks, or makes it as usual."""
    labels = {field.name: field.label for field in fields_of("Specified")}
    return "; ".join(labels[name][:1].lower() + labels[name][1:] for name in item.not_said)


def _of_light(light: OrderLight) -> dict[str, Cell]:
    return {
        LIGHT: light.mark,
        "opens (seen from outside)": light.opens or None,
        "swing": light.swing,
        "glass width mm": light.glass_width_mm,
        "glass height mm": light.glass_height_mm,
        "make-up": light.make_up or PANEL,
        "obscure": "yes" if light.obscure else None,
        "vent mm2": light.vent_mm2,
        "handle height mm": light.handle_height_mm,
        "stay angle deg": light.open_angle_deg,
        "restrictor": light.restrictor,
        "hinge or stay": light.hinge,
        "ventilators": light.vents,
        "one of": light.one_of,
        "sash width mm": light.sash_width_mm,
        "sash height mm": light.sash_height_mm,
        "sashes meet at mm": light.meets_at_mm,
        "horns": light.horns,
        "balance": light.balance,
        "track from outside": light.track,
    }


def _checked(check: OrderCheck, items: str, glass: str) -> Iterator[dict[str, Cell]]:
    yield {
        OPENING: items,
        "count": check.items,
        "width mm": check.widths_mm,
        "height mm": check.heights_mm,
        "perimeter m": check.perimeter_m,
        "area m2": check.area_m2,
        "unit kg": check.mass_kg,
    }
    for each in check.glass:
        yield {
            OPENING: glass,
            "make-up": each.make_up or PANEL,
            "obscure": "yes" if each.obscure else None,
            "count": each.count,
        }


def _listed(values: tuple[float, ...]) -> str | None:
    return "; ".join(f"{value:.1f}".removesuffix(".0") for value in values) or None
