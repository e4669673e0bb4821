"""The order to the frame maker, complete and on its own: what `order.json` holds and all its forms are made from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Literal

from pydantic import ValidationError

from jambwright.basis.problems import BadInput
from jambwright.basis.tree import parse_json
from jambwright.frame.kinds.bi_fold import in_words
from jambwright.frame.kinds.slider import tracks
from jambwright.frame.layout import PlacedLight
from jambwright.frame.rect import Rect
from jambwright.plan.order_check import OrderCheck
from jambwright.readings.delivered import Remake
from jambwright.readings.specified import NONE_IF_NOT_SAID, Specified, fields_for
from jambwright.readings.ways import way_of
from jambwright.record.house import IssuedSize, OrderHead, PlanRecord, SinceIssue
from jambwright.record.opening import OpeningRecord, Unread
from jambwright.record.plain import Plain

VERSION = 1
VIEW = "All sizes and hands are viewed from outside. Frame sizes are without the sill."
State = Literal["order", "remake", "ordered already", "hold"]
MADE_NOW: tuple[State, ...] = ("order", "remake")
"""Of items that are made now."""


class Held(Plain):
    """One reason not to order, and what settles it."""

    say: str
    opens: str
    house: bool
    """It holds every item."""


class OrderLight(Plain):
    """One light of an item."""

    mark: str
    opens: str
    swing: Literal["out", "in"] | None
    """None for a light that does not open."""
    glass_width_mm: float
    glass_height_mm: float
    make_up: str | None
    """Outside first; None for a panel."""
    obscure: bool
    vent_mm2: float | None = None
    """Equivalent area; None for no vent."""
    handle_height_mm: float | None = None
    """Above the bottom of the sash; None where it was not asked for."""
    open_angle_deg: float | None = None
    restrictor: str | None = None
    one_of: str | None = None
    """What it is one sash, pane or leaf of; None for any other light."""
    sash_width_mm: float | None = None
    sash_height_mm: float | None = None
    """Of a sash or pane that slides past another, a slab, or a leaf of a set; None for any other light."""
    meets_at_mm: float | None = None
    """Middle of the meeting rails above the frame's bottom edge; of a pane or folding leaf, of its right interlock or
    the gap beside it from the left."""
    horns: str | None = None
    balance: str | None = None
    track: int | None = None
    """Of a pane of a slider, counted from outside."""
    hinge: str | None = None
    """Hinge or stay off the system's sheet; None where the sheet tells none."""
    vents: str | None = None
    """Ventilators off the system's sheet: how many, how long and where."""


class OrderSill(Plain):
    """The sill under an item."""

    length_mm: float
    depth_mm: float
    ends: str


class OrderItem(Plain):
    """One frame."""

    opening: str
    room: str
    state: State
    held: tuple[Held, ...] = ()
    remake: Remake | None = None
    """Why it is made again, in place of one that was delivered; None for any other."""
    kind: str
    profile: str
    colour: str
    width_mm: float
    height_mm: float
    overall_height_mm: float
    """With the sill."""
    threshold: str | None = None
    """None for a window."""
    threshold_mm: float | None = None
    """From the frame's bottom edge to the top of its threshold."""
    behind_nibs: str | None = None
    """How much the frame is larger than the hole seen from outside; None where it is not."""
    mullions_mm: tuple[float, ...] = ()
    """Centre lines from the frame's left edge."""
    transoms_mm: tuple[float, ...] = ()
    """Centre lines from the frame's bottom edge."""
    reinforcement: tuple[str, ...] = ()
    steel_in: tuple[str, ...] = ()
    """Frame and sashes that get steel for their size, by the system's sheet."""
    sill: OrderSill | None = None
    u_w_m2k: float | None = None
    """At the reference size."""
    index_kwh_m2: float | None = None
    band: str | None = None
    specified: Specified = Specified()
    """Of what it has; what is left out was not said."""
    not_said: tuple[str, ...] = ()
    """Names of the fields that it has and of which nothing was said."""
    perimeter_m: float | None = None
    area_m2: float | None = None
    mass_kg: float | None = None
    """Check figures of the frame without its sill; the mass with glass."""
    lights: tuple[OrderLight, ...]


class NotRead(Plain):
    """An opening of the house that can't be ordered yet."""

    opening: str
    room: str
    held: tuple[Held, ...]


class Order(Plain):
    """The order of a house to one maker. Lengths in millimetres, seen from outside."""

    jambwright_order: Literal[1] = 1
    plan_id: str
    made_with: str
    house: str
    view: str = VIEW
    head: OrderHead
    items: tuple[OrderItem, ...]
    not_read: tuple[NotRead, ...] = ()
    listed: OrderCheck | None = None
    """Check figures of every item; None in an order of a plan that kept none."""
    to_make: OrderCheck | None = None
    """Of the items that nothing holds."""
    since: SinceIssue | None = None
    """What changed since an earlier issue; None where none was at hand."""


def order_of(record: PlanRecord) -> Order:
    """The order of a plan, as it was decided."""
    own = record.order
    return Order(
        plan_id=record.plan_id,
        made_with=record.made_with,
        house=record.site.label,
        head=own.head if own else OrderHead(),
        items=(*(_issued(each, record) for each in record.issued), *map(_item, record.openings)),
        not_read=tuple(NotRead(opening=each.id, room=each.room, held=_held(each)) for each in record.unread),
        listed=own and own.listed,
        to_make=own and own.to_make,
        since=own and own.since,
    )


def read_order(text: str | bytes) -> Order:
    """The order in an ``order.json``. Raises ``BadInput`` where it is none, or of a version not known here."""
    try:
        tree = parse_json(text)
    except ValueError:
        raise _no_order("it can't be read as JSON") from None
    version = tree.get("jambwright_order") if isinstance(tree, dict) else None
    if version is None:
        raise _no_order("it has no `jambwright_order`")
    if version != VERSION:
        raise _no_order(f"it is of version {version} and this program knows {VERSION}")
    try:
        return Order.model_validate(tree)
    except ValidationError as error:
        at = ".".join(map(str, error.errors()[0]["loc"]))
        raise BadInput.one(
            "order",
            f"This order was changed by hand or is damaged at {at}. Take the order.json that was sent.",
        ) from None


def _no_order(why: str) -> BadInput:
    return BadInput.one("order", f"This is no order: {why}. Take the order.json of a papers folder.")


def _item(plan: OpeningRecord) -> OrderItem:
    frame, order, unit = plan.frame, plan.order, plan.heat.unit
    sill, laps = frame.sill, plan.lapped
    said, not_said = _specified(plan)
    bars = (f"{bar.name} {bar.reinforcement.section}" for bar in plan.fitting.bars if bar.reinforcement)
    return OrderItem(
        opening=plan.id,
        room=plan.room,
        state=_state(plan),
        held=() if plan.ordered and not plan.remake else _held(plan),
        remake=plan.remake,
        kind=frame.chosen.kind,
        profile=frame.chosen.profile.title,
        colour=frame.chosen.colour,
        width_mm=order.width.value,
        height_mm=order.height.value,
        overall_height_mm=order.overall_height.value,
        threshold=plan.asked.threshold if frame.chosen.kind == "door" else None,
        threshold_mm=_threshold_mm(plan),
        behind_nibs=laps.larger if laps else None,
        mullions_mm=frame.layout.centre_lines_mm("mullion"),
        transoms_mm=frame.layout.centre_lines_mm("transom"),
        reinforcement=tuple(bars),
        steel_in=plan.by_sheet.steel_in,
        sill=OrderSill(length_mm=order.sill_length.value, depth_mm=order.sill_depth.value, ends=sill.ends)
        if sill and order.sill_length and order.sill_depth
        else None,
        u_w_m2k=round(unit.reference.u_w_m2k, 2),
        index_kwh_m2=round(unit.index_kwh_m2, 1) if unit.band and unit.index_kwh_m2 is not None else None,
        band=unit.band.band if unit.band and unit.index_kwh_m2 is not None else None,
        specified=said,
        not_said=not_said,
        perimeter_m=order.perimeter and order.perimeter.value,
        area_m2=order.area and order.area.value,
        mass_kg=order.check_kg.value if order.check_kg else round(order.whole_kg.value, 1),
        lights=tuple(_light(plan, light) for light in frame.layout.lights),
    )


def _threshold_mm(plan: OpeningRecord) -> float | None:
    """As the frame was laid out: the lowest sight line of a door."""
    lights = plan.frame.layout.lights
    return min(light.sight.y_mm for light in lights) if plan.frame.chosen.kind == "door" else None


def _specified(plan: OpeningRecord) -> tuple[Specified, tuple[str, ...]]:
    """What is said of what the unit has, and the names of what is not."""
    said = plan.frame.chosen.specified.model_dump(exclude_none=True)
    fields = tuple(fields_for(plan.frame.has))
    own = {name: value for name, value in said.items() if name in fields}
    return Specified.model_validate(own), tuple(
        name for name in fields if name not in own and name not in NONE_IF_NOT_SAID
    )


def _light(plan: OpeningRecord, light: PlacedLight) -> OrderLight:
    wanted, glass = light.wanted, plan.glass[light.mark]
    return OrderLight(
        mark=light.mark,
        opens=light.moves.words,
        swing=light.swings,
        glass_width_mm=glass.width.value,
        glass_height_mm=glass.height.value,
        make_up=glass.make_up,
        obscure=glass.obscure,
        vent_mm2=wanted.vent_mm2 or None,
        handle_height_mm=wanted.handle_height_mm,
        open_angle_deg=wanted.open_angle_deg,
        restrictor=restrictor(wanted.restrictor) or None,
        **_sliding(plan, light),
        hinge=plan.by_sheet.hinges.get(light.mark),
        vents=plan.by_sheet.vents.get(light.mark),
    )


def _sliding(plan: OpeningRecord, light: PlacedLight) -> dict[str, Any]:
    """What only a sash or pane has that slides past another; nothing for any other light."""
    if light.sash is not None and light.made == "slab":
        return {
            "sash_width_mm": round(light.sash.width_mm, 1),
            "sash_height_mm": round(light.sash.height_mm, 1),
        }
    if light.sash is None or not light.leaf or light.is_paired:
        return {}
    if not light.slides_past:
        return _of_set(plan, light, light.sash)
    balance = next((each for each in plan.frame.balances if each.light == light.mark), None)
    upper, upright = light.moves.slides == "down", light.moves.clear == "slide_up"
    leaves = plan.frame.layout.leaves_at(light.path)
    track = dict(zip((leaf.mark for leaf in leaves), tracks([leaf.moves for leaf in leaves]), strict=True))
    last = light.mark == leaves[-1].mark
    at = light.sight.y_mm if upper else None if upright or last else light.sight.right_mm
    return {
        "one_of": way_of(light.wanted.opens).words,
        "sash_width_mm": round(light.sash.width_mm, 1),
        "sash_height_mm": round(light.sash.height_mm, 1),
        "meets_at_mm": None if at is None else round(at, 1),
        "horns": HORNS[light.wanted.horns or "none"] if upper else None,
        "balance": str(balance) if balance else None,
        "track": None if upright else track[light.mark],
    }


def _of_set(plan: OpeningRecord, light: PlacedLight, sash: Rect) -> dict[str, Any]:
    """Of the leaves of a bi-fold set or a stable door: what it is one of, its size, and where the leaves meet."""
    leaves = plan.frame.layout.leaves_at(light.path)
    folds, asked = light.made == "bi_fold", light.wanted
    at = light.sight.right_mm if folds else light.sight.y_mm
    return {
        "one_of": in_words(asked, [leaf.leaf for leaf in leaves]) if folds else way_of(asked.opens).words,
        "sash_width_mm": round(sash.width_mm, 1),
        "sash_height_mm": round(sash.height_mm, 1),
        "meets_at_mm": None if light.mark == leaves[-1].mark else round(at, 1),
    }


HORNS: Mapping[str, str] = {
    "none": "no horns", "planted": "planted horns", "run_through": "run-through horns",
}  # fmt: skip


def restrictor(asked: bool | str) -> str:
    """The restrictor of an opening light; nothing where none is asked for.

    >>> restrictor(True), restrictor("key"), restrictor(False)
    ('restrictor, freed without a key', 'restrictor, freed with a key', '')
    """
    ways = {"key": "restrictor, freed with a key", "fixed": "restrictor that is not freed"}
    return "" if not asked else ways.get(str(asked), "restrictor, freed without a key")


def _state(plan: OpeningRecord) -> State:
    if plan.ordered and not plan.remake:
        return "ordered already"
    if plan.gates.ordering.state == "shut":
        return "hold"
    return "remake" if plan.remake else "order"


def _held(plan: OpeningRecord | Unread) -> tuple[Held, ...]:
    return tuple(Held(say=r.say, opens=r.opens, house=r.house) for r in plan.gates.ordering.reasons)


def _issued(each: IssuedSize, record: PlanRecord) -> OrderItem:
    """A size of an earlier version: what it tells, held until the house is planned again."""
    reasons = record.gates.ordering.reasons
    return OrderItem(
        opening=each.id,
        room=each.room,
        state="hold",
        held=tuple(Held(say=r.say, opens=r.opens, house=True) for r in reasons),
        kind=each.kind,
        profile=each.profile,
        colour=each.colour,
        width_mm=each.width_mm,
        height_mm=each.height_mm,
        overall_height_mm=each.overall_height_mm,
        sill=OrderSill(length_mm=each.sill_length_mm, depth_mm=each.sill_depth_mm, ends="")
        if each.sill_length_mm is not None and each.sill_depth_mm is not None
        else None,
        lights=tuple(_issued_lights(each)),
    )


def _issued_lights(each: IssuedSize) -> Iterator[OrderLight]:
    for mark, (width, height, make_up) in each.glass.items():
        yield OrderLight(
            mark=mark, opens="", swing=None, glass_width_mm=width, glass_height_mm=height,
            make_up=make_up or None, obscure=False,
        )  # fmt: skip
