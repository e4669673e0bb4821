"""The order of a house as a whole: its head and the check figures of all its items."""

from __future__ import annotations

from collections.abc import Sequence

from jambwright.plan.order_check import ItemCheck, OrderCheck, order_check
from jambwright.readings.ordering import OnEveryOrder, OrderAsked
from jambwright.record.house import OrderHead, OrderRecord, PlanRecord
from jambwright.record.opening import OpeningRecord
from jambwright.record.order_compare import since_issue
from jambwright.record.order_document import Order, order_of


def order_record(
    asked: OrderAsked, usual: OnEveryOrder | None, openings: Sequence[OpeningRecord]
) -> OrderRecord:
    """From what the survey says and, where it is silent, what the firm set once."""
    to_make = (each for each in openings if each.remake or not each.ordered)
    free = [each for each in to_make if each.gates.ordering.state == "open"]
    return OrderRecord(head=_head(asked, usual), listed=_check(openings), to_make=_check(free))


def _head(asked: OrderAsked, usual: OnEveryOrder | None) -> OrderHead:
    own = {name: said for name, said in asked.model_dump().items() if said is not None}
    return OrderHead(**((usual.model_dump() if usual else {}) | own))


def _check(openings: Sequence[OpeningRecord]) -> OrderCheck:
    return order_check([item for each in openings if (item := _item(each))])


def _item(each: OpeningRecord) -> ItemCheck | None:
    order = each.order
    if not (order.perimeter and order.area and order.check_kg):
        return None  # only in a plan kept by an earlier version, whose order is not made again
    return ItemCheck(
        width_mm=order.width.value,
        height_mm=order.height.value,
        perimeter_m=order.perimeter.value,
        area_m2=order.area.value,
        mass_kg=order.check_kg.value,
        glass=tuple((glass.make_up or "", glass.obscure) for glass in each.glass.values()),
    )


def with_changes(record: PlanRecord, earlier: Order | None) -> PlanRecord:
    """The plan with what changed since an earlier issue of its order. Raises ``BadInput`` as ``since_issue`` does."""
    if record.order is None or earlier is None:
        return record
    since = since_issue(order_of(record), earlier)
    return record.model_copy(update={"order": record.order.model_copy(update={"since": since})})
