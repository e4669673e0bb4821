"""The frame from outside: lights with their marks, hinge triangles, handles, glass sizes and bar centres."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial

from jambwright.basis.units import show_mm
from jambwright.paper.dimension import CLEAR_MM, ROW_MM, SMALL_MM, Rail, levels
from jambwright.paper.hatching import kept_off
from jambwright.paper.lettering import CAPITAL, advance_mm
from jambwright.paper.scale import NoScaleFits, at_largest_scale
from jambwright.paper.scene import Area, Box, Ink, Item, Line, Point, Scene, Words, rectangle
from jambwright.paper.symbols import SIGNS, handle
from jambwright.record import Layout, PlacedLight, Rect, VentSlots

MARK_MM = 5.0
"""Lettering of a light's mark."""
LEAST_FOR_SIGNS_MM = 9.0
"""A light smaller than this on paper has no room for handle and vent beside its mark."""
LEAD_MM = ROW_MM - SMALL_MM
BACKSET_MM = 60.0
"""From the edge of a slab to its handle. Common practice, no published source."""
TRIANGLES = "Triangles point to the hinges; whole lines open out, dashed lines open in."
ARROWS = "Arrows show where a sash or pane slides."
FOLDS = "Arrows show to which jamb a leaf folds."
REVERSES = "Two triangles, one whole and one dashed: it swings and turns over."


@dataclass(frozen=True, slots=True, kw_only=True)
class ElevationView:
    """What the elevation shows, in frame coordinates."""

    title: str
    outer: Rect
    layout: Layout
    sill_length_mm: float = 0.0
    sill_height_mm: float = 0.0
    slots: Mapping[str, VentSlots] = field(default_factory=dict)
    """Ventilators by light, where the sheet of its system tells which."""
    figured: bool = True
    """Sizes are written in; without them it only shows how the lights stand."""


def elevation(view: ElevationView, box: Box) -> Scene:
    """The elevation at the largest scale that fits the box.

    ``NoScaleFits`` also where a light would be too small for its mark.
    """
    least = max(view.outer.width_mm / box.width_mm, view.outer.height_mm / box.height_mm)
    scene = at_largest_scale(partial(drawn_at, view), box, least=least)
    small = [light.mark for light in view.layout.lights if not _holds_its_mark(light, scene.scale)]
    if small:
        raise NoScaleFits(
            f"light {small[0]} is too small for its mark on {box.width_mm:g} x {box.height_mm:g} mm"
        )
    return scene


def signs_said(layout: Layout) -> str:
    """What the signs of opening on a drawing mean, those alone that stand on it."""
    signs = {light.moves.sign for light in layout.lights}
    swung = [light for light in layout.lights if light.swings]
    said = [] if "slides" in signs and not swung else [TRIANGLES]
    by_sign = {"slides": ARROWS, "folds": FOLDS, "reverses": REVERSES}
    return " ".join([*said, *(text for sign, text in by_sign.items() if sign in signs)])


def _holds_its_mark(light: PlacedLight, scale: float) -> bool:
    """Whether there is room for the mark, lying or turned upright."""
    return any(_mark_fits(light, scale, upright=upright) for upright in (False, True))


def _mark_fits(light: PlacedLight, scale: float, *, upright: bool) -> bool:
    wide, high = advance_mm(light.mark, SMALL_MM, bold=True), CAPITAL * SMALL_MM
    if upright:
        wide, high = high, wide
    return light.sight.width_mm >= wide * scale and light.sight.height_mm >= high * scale


def drawn_at(view: ElevationView, scale: float) -> Scene:
    """The elevation at a given scale."""
    items: list[Item] = [Line(points=_corners(view.outer), ink="frame", closed=True)]
    lettering: list[Words] = []
    for light in view.layout.lights:
        drawn, words = _light(light, scale, figured=view.figured)
        if light.wanted.vent_mm2 and _has_signs(light, scale):
            drawn += _vents(view, light, scale)
        items += drawn
        lettering += words
    if view.sill_height_mm:
        start = view.outer.x_mm + (view.outer.width_mm - view.sill_length_mm) / 2
        under = rectangle(start, -view.sill_height_mm, view.sill_length_mm, view.sill_height_mm)
        items.append(Line(points=under, ink="frame", closed=True))
    items = [*kept_off(items, lettering, scale=scale), *(_dimensions(view, scale) if view.figured else ())]
    return Scene(title=f"{view.title} from outside", items=(*items, *lettering), scale=scale)


def _light(light: PlacedLight, scale: float, *, figured: bool) -> tuple[list[Item], list[Words]]:
    items: list[Item] = [_round(light.daylight, "glass")]
    outwards = light.wanted.swing == "out"
    if light.sash:
        corners = _corners(light.sash if light.moves.hinges else light.daylight)
        items.insert(0, _round(light.sash, "sash"))
        items += SIGNS[light.moves.sign](light.moves, corners, scale, outwards)
        items += _handle(light, scale) if _has_signs(light, scale) and not light.without_handle else ()
        items += _horns(light) if light.horn_mm else ()
    return items, _lettering(light, scale, figured=figured)


def _has_signs(light: PlacedLight, scale: float) -> bool:
    """Whether there is room for handle and ventilator beside its mark."""
    return min(light.sight.width_mm, light.sight.height_mm) >= LEAST_FOR_SIGNS_MM * scale


def _horns(light: PlacedLight) -> Iterator[Item]:
    """The stiles of an upper sash below its meeting rail, cut away towards the glass."""
    assert light.sash is not None
    sash, stile = light.sash, light.daylight.x_mm - light.sash.x_mm
    foot = sash.y_mm - light.horn_mm
    for edge, inwards in ((sash.x_mm, stile), (sash.right_mm, -stile)):
        corners = ((edge, sash.y_mm), (edge, foot), (edge + 0.5 * inwards, foot), (edge + inwards, sash.y_mm))
        yield Line(points=corners, ink="sash")


def _handle(light: PlacedLight, scale: float) -> tuple[Item, ...]:
    """On the stile or rail opposite the (first) hinge side or where it slides, at its height where that was given."""
    sash = light.sash or light.sight
    hinges = light.moves.hangs or light.moves.slides
    mid = (sash.y_mm + light.daylight.y_mm) / 2, (sash.top_mm + light.daylight.top_mm) / 2
    up = sash.y_mm + (light.wanted.handle_height_mm or sash.height_mm / 2)
    slab = light.made == "slab"
    side_x = {
        "left": sash.right_mm - BACKSET_MM if slab else (light.daylight.right_mm + sash.right_mm) / 2,
        "right": sash.x_mm + BACKSET_MM if slab else (sash.x_mm + light.daylight.x_mm) / 2,
    }
    if hinges in side_x:
        return handle((side_x[hinges], min(up, sash.top_mm)), scale, upright=True)
    return handle(
        (sash.x_mm + sash.width_mm / 2, mid[0] if hinges == "top" else mid[1]), scale, upright=False
    )


def _vents(view: ElevationView, light: PlacedLight, scale: float) -> Iterator[Item]:
    """Slots with three bars each in the head of the frame, or of the sash where the sheet has them there.

    As long as they are and side by side; one without a size where the sheet does not tell.
    """
    slots, part = view.slots.get(light.mark), view.layout.part_rect(light.path)
    within, y = part, (part.top_mm + light.sight.top_mm) / 2
    if slots and slots.in_sash and light.sash:
        within, y = light.sash, (light.sash.top_mm + light.daylight.top_mm) / 2
    elif part.top_mm < view.outer.top_mm - 0.5:
        y = light.sight.top_mm  # what is asked for under a transom
    count, long = (slots.count, slots.length_mm) if slots else (1, 8.0 * scale)
    x, tall = within.x_mm + within.width_mm / 2 - count * long / 2, 0.6 * scale
    for start in (x + n * long for n in range(count)):
        yield Area(points=rectangle(start, y - tall, long, 2 * tall), ink="glass", fill="blank")
        for at in (start + n * long / 4 for n in (1, 2, 3)):
            yield Line(points=((at, y - tall), (at, y + tall)), ink="glass")


def _lettering(light: PlacedLight, scale: float, *, figured: bool) -> list[Words]:
    """The mark always; glass size and what else is to know as far as the light has room for them."""
    room = light.daylight
    wide, high = room.width_mm / scale - 2 * CLEAR_MM, room.height_mm / scale - 2 * CLEAR_MM
    facts = [text for text in _facts(light, figured=figured) if advance_mm(text, SMALL_MM) <= wide]
    large = high >= MARK_MM and wide >= advance_mm(light.mark, MARK_MM, bold=True)
    mark_mm = MARK_MM if large else SMALL_MM
    while facts and mark_mm + LEAD_MM + len(facts) * ROW_MM > high:
        facts.pop()
    rows = [(light.mark, mark_mm, True), *((text, SMALL_MM, False) for text in facts)]
    x, y = room.x_mm + room.width_mm / 2, room.y_mm + room.height_mm / 2
    if not _mark_fits(light, scale, upright=False):
        return [Words(at=(x, y), text=light.mark, size_mm=SMALL_MM, bold=True, turn_deg=90.0)]
    y += scale * sum(size + LEAD_MM for _, size, _ in rows) / 2
    words = []
    for text, size, bold in rows:
        step = (size + LEAD_MM) * scale
        words.append(Words(at=(x, y - step / 2), text=text, size_mm=size, bold=bold))
        y -= step
    return words


def glass_size(width_mm: float, height_mm: float) -> str:
    """Glass or panel as ordered."""
    return f"{show_mm(width_mm)} × {show_mm(height_mm)}"


def _facts(light: PlacedLight, *, figured: bool) -> list[str]:
    wanted = light.wanted
    facts = [glass_size(light.glass.width_mm, light.glass.height_mm)] if figured else []
    facts += ["fixed"] if wanted.opens == "fixed" else []
    facts += ["panel"] if wanted.infill == "panel" else []
    facts += ["obscure"] if wanted.obscure else []
    return facts


def _dimensions(view: ElevationView, scale: float) -> list[Item]:
    """Bar centres below and at the left, the whole size beyond them."""
    outer, sill = view.outer, view.sill_height_mm
    upright = view.layout.centre_lines_mm("mullion")
    level = view.layout.centre_lines_mm("transom")
    below = Rail(side="bottom", base_mm=outer.y_mm - sill, scale=scale)
    horn = max(0.0, (view.sill_length_mm - outer.width_mm) / 2)
    beside = Rail(side="left", base_mm=outer.x_mm - horn, scale=scale)
    return [
        *levels(below, (outer.x_mm, *upright, outer.right_mm), out_mm=CLEAR_MM),
        *levels(beside, (outer.y_mm, *level, outer.top_mm), out_mm=CLEAR_MM),
    ]


def _round(rect: Rect, ink: Ink) -> Line:
    """A rectangle as an open line back to its start, so that lettering may interrupt it."""
    corners = _corners(rect)
    return Line(points=(*corners, corners[0]), ink=ink)


def _corners(rect: Rect) -> tuple[Point, ...]:
    return rectangle(rect.x_mm, rect.y_mm, rect.width_mm, rect.height_mm)
