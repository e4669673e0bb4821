"""The order to the frame maker to be read: its head and check figures, then a page an item with its drawing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from jambwright.basis.units import show_mm
from jambwright.paper.elevation import ElevationView, elevation, glass_size, signs_said
from jambwright.paper.fit_views import elevation_view, planes_views, sill_view
from jambwright.paper.fit_words import where
from jambwright.paper.gate_words import SHUT, hold, order_state
from jambwright.paper.order_words import NO_CHECKS, check_cells, glass_lines, head_of, since_words
from jambwright.paper.pdf import typeset
from jambwright.paper.planes_drawing import PlanesView, planes_drawing
from jambwright.paper.render import svg
from jambwright.paper.scale import NoScaleFits, scale_name
from jambwright.paper.scene import Box, Scene
from jambwright.paper.sill_drawing import sill_section
from jambwright.paper.threshold_drawing import ThresholdView, threshold_section
from jambwright.record import (
    VIEW,
    OpeningRecord,
    OrderItem,
    OrderLight,
    PlanRecord,
    not_said,
    order_of,
    specification,
)

TEMPLATE = "order.typ"
DASH = "–"
BESIDE, ACROSS, LARGE = Box(width_mm=104, height_mm=112), Box(width_mm=186, height_mm=150), Box(
    width_mm=273, height_mm=300
)  # fmt: skip
"""Room for the lights: beside the words, over them, and over them on a page twice as large."""
SECTION = Box(width_mm=76, height_mm=48)
UPRIGHT, LYING = Box(width_mm=50, height_mm=48), Box(width_mm=80, height_mm=40)
"""Room for the planes of sashes, and of panes."""

Page = dict[str, Any]


def order_pdf(record: PlanRecord) -> bytes:
    """The order as PDF. What holds an item stands on it in the words of every other paper."""
    order = order_of(record)
    plans = {each.id: each for each in record.openings}
    since = order.since
    data: Page = {
        "order": f"Order {order.head.number or 'without a number'}, issue {order.head.issue}",
        "view": VIEW,
        "head": head_of(order.head),
        "list": [_row(item, plans[item.opening]) for item in order.items],
        "not_read": [(each.id, each.room, hold(each) or "") for each in record.unread],
        "checks": check_cells(order),
        "glass": glass_lines(order),
        "no_checks": "" if order.listed else NO_CHECKS,
        "since": f"Changed since issue {since.issue}, plan {since.plan_id}" if since else "",
        "changes": list(since_words(since)) if since else [],
        "items": [_item(item, plans[item.opening]) for item in order.items],
    }
    return typeset(TEMPLATE, record, data, gate="ordering")


def _row(item: OrderItem, plan: OpeningRecord) -> list[str]:
    return [
        item.opening,
        item.room,
        item.kind,
        _size(item.width_mm, item.height_mm),
        _decimals(item.perimeter_m, 3),
        _decimals(item.area_m2, 3),
        _decimals(item.mass_kg, 1),
        order_state(plan),
    ]


def _item(item: OrderItem, plan: OpeningRecord) -> Page:
    scene, box = _lights_drawn(elevation_view(plan))
    return {
        "mark": item.opening,
        "name": plan.name,
        "where": where(plan),
        "state": order_state(plan),
        "shut": order_state(plan) == SHUT["ordering"],
        "hold": hold(plan) or "",
        "size": _size(item.width_mm, item.height_mm),
        "lights": _picture(scene, box),
        "scale": scale_name(scene.scale),
        "signs": signs_said(plan.frame.layout),
        "beside": box is BESIDE,
        "large": box is LARGE,
        "facts": [*_facts(item)],
        "specified": specification(item),
        "not_said": not_said(item),
        "rows": [_light(light) for light in item.lights],
        "sashes_said": _sashes_said(item),
        "sashes": [_sash(light) for light in item.lights if light.sash_width_mm is not None],
        "check": _check(item),
        "planes": [_planes(view) for view in planes_views(plan)],
        "section": _section(item, plan),
    }


def _lights_drawn(view: ElevationView) -> tuple[Scene, Box]:
    """The lights as large as their lettering asks. ``NoScaleFits`` where no page has room for them."""
    for box in (BESIDE, ACROSS):
        try:
            return elevation(view, box), box
        except NoScaleFits:
            continue
    return elevation(view, LARGE), LARGE


def _facts(item: OrderItem) -> Iterator[tuple[str, str]]:
    yield "Kind", item.kind
    yield "Profile system", item.profile
    yield "Colour", item.colour
    yield "Frame width", f"{show_mm(item.width_mm)} mm"
    yield "Frame height", f"{show_mm(item.height_mm)} mm, without sill"
    if item.sill:
        yield "Height with sill", f"{show_mm(item.overall_height_mm)} mm"
        yield (
            "Sill",
            f"{show_mm(item.sill.length_mm)} long, {show_mm(item.sill.depth_mm)} deep, {item.sill.ends}",
        )
    else:
        yield "Sill", "none"
    if item.threshold:
        yield "Threshold", item.threshold
    if item.threshold_mm is not None:
        yield "Threshold height", f"{show_mm(item.threshold_mm)} mm"
    if item.mullions_mm:
        yield "Mullions, from left", f"{'; '.join(map(show_mm, item.mullions_mm))} mm to centre"
    if item.transoms_mm:
        yield "Transoms, from bottom", f"{'; '.join(map(show_mm, item.transoms_mm))} mm to centre"
    if item.reinforcement:
        yield "Reinforcement", "; ".join(item.reinforcement)
    if item.steel_in:
        yield "Steel in", "; ".join(item.steel_in)
    yield from _by_light("Hinges, stays, rollers", {light.mark: light.hinge for light in item.lights})
    yield from _by_light("Ventilators", {light.mark: light.vents for light in item.lights})
    if item.behind_nibs:
        yield "Behind nibs", f"goes in from inside, {item.behind_nibs} than the hole outside"
    if item.u_w_m2k is not None:
        yield "U, reference size", f"{item.u_w_m2k:.2f} W/m²K"
    if item.index_kwh_m2 is not None:
        yield "Energy index", f"{item.index_kwh_m2:.1f} kWh/m² a year, band {item.band}"


def _by_light(title: str, told: Mapping[str, str | None]) -> Iterator[tuple[str, str]]:
    """What goes into the lights, those alike told together."""
    alike: dict[str, list[str]] = {}
    for mark, words in told.items():
        if words:
            alike.setdefault(words, []).append(mark)
    if alike:
        yield title, "; ".join(f"{', '.join(marks)}: {words}" for words, marks in alike.items())


def _light(light: OrderLight) -> list[str]:
    return [
        light.mark,
        f"{light.opens}, {light.swing}" if light.swing else light.opens,
        glass_size(light.glass_width_mm, light.glass_height_mm),
        f"{light.make_up or 'panel'}{', obscure' if light.obscure else ''}",
        f"{light.vent_mm2:.0f}" if light.vent_mm2 else DASH,
        show_mm(light.handle_height_mm) if light.handle_height_mm is not None else DASH,
        f"{light.open_angle_deg:.0f}°" if light.open_angle_deg is not None else DASH,
        light.restrictor or DASH,
    ]


def _sashes_said(item: OrderItem) -> str:
    """From where what slides is measured."""
    sets = dict.fromkeys(light.one_of for light in item.lights if light.one_of)
    said = {
        **{f"{each[0].upper()}{each[1:]}.": True for each in sets},
        "Meeting rails: their middle above the frame's bottom edge. Balances: by the mass of the finished sash.": any(
            light.balance for light in item.lights
        ),
        "Leaves: middle of the gap at their right, from the frame's left edge; of a stable door middle of its meeting "
        "rails, above the frame's bottom edge.": any(
            light.one_of and light.meets_at_mm and not (light.balance or light.track) for light in item.lights
        ),
        "Panes: middle of the interlock at their right, from the frame's left edge. Track 1 is outermost.": any(
            light.track for light in item.lights
        ),
    }
    return " ".join(text for text, there in said.items() if there)


def _sash(light: OrderLight) -> list[str]:
    return [
        light.mark,
        light.opens,
        _size(light.sash_width_mm or 0.0, light.sash_height_mm or 0.0),
        show_mm(light.meets_at_mm) if light.meets_at_mm is not None else DASH,
        str(light.track) if light.track else DASH,
        light.horns or DASH,
        light.balance or DASH,
    ]


def _check(item: OrderItem) -> str:
    if item.perimeter_m is None or item.area_m2 is None or item.mass_kg is None:
        return NO_CHECKS
    return f"perimeter {item.perimeter_m:.3f} m, area {item.area_m2:.3f} m², mass with glass {item.mass_kg:.1f} kg"


def _section(item: OrderItem, plan: OpeningRecord) -> Page | None:
    """The sill, or a door's threshold, cut across."""
    sill, chosen = sill_view(plan), plan.frame.chosen
    if sill:
        scene = sill_section(sill, SECTION)
        said = (
            f"Sill {show_mm(sill.sill.depth_mm)} deep, {show_mm(sill.sill.height_mm)} high; frame set back "
            f"{show_mm(chosen.set_back_mm)} from the wall face. An outline: the maker's section rules."
        )
        return _picture(scene, SECTION) | {
            "title": f"Section of the sill, {scale_name(scene.scale)}",
            "said": said,
        }
    if item.threshold_mm is None:
        return None
    depth, height = chosen.profile.frame_depth_mm, item.threshold_mm
    view = ThresholdView(title=plan.name, depth_mm=depth, height_mm=height, set_back_mm=chosen.set_back_mm)
    scene = threshold_section(view, SECTION)
    said = (
        f"Threshold: {item.threshold}, {show_mm(height)} high, {show_mm(depth)} deep. An outline by the profile "
        f"system: the maker's section rules. {_floor(item)}"
    )
    return _picture(scene, SECTION) | {
        "title": f"Section of the threshold, {scale_name(scene.scale)}",
        "said": said,
    }


def _floor(item: OrderItem) -> str:
    build_up = item.specified.floor_build_up_mm
    if build_up is None:
        return "Floor build-up and packing under it are not stated on this order."
    return (
        f"The finished floor is {show_mm(build_up)} above the structural one; packing under it is not stated."
    )


def _planes(view: PlanesView) -> Page:
    scene = planes_drawing(view, UPRIGHT if view.upright else LYING)
    seen = "from the left end, outside at the left" if view.upright else "from above, outside at the bottom"
    said = (
        f"Leaves shut, and half folded dashed, {seen}; {scale_name(scene.scale)}."
        if view.folded
        else f"Planes they slide in, {seen}; {scale_name(scene.scale)} along, across not to scale."
    )
    return _picture(scene, UPRIGHT if view.upright else LYING) | {"said": said}


def _picture(scene: Scene, box: Box) -> Page:
    needs = scene.paper_size()
    paper = Box(width_mm=box.width_mm, height_mm=needs.height_mm)
    return {"svg": svg(scene, paper), "width": paper.width_mm, "alt": scene.title}


def _size(width_mm: float, height_mm: float) -> str:
    return f"{show_mm(width_mm)} × {show_mm(height_mm)}"


def _decimals(value: float | None, places: int) -> str:
    return DASH if value is None else f"{value:.{places}f}"
