"""A changed order says what changed since the issue before."""

import pytest

from demo_house import record
from jambwright.basis.problems import BadInput
from jambwright.paper.order_words import since_words
from jambwright.record import figure, order_of, same, since_issue
from jambwright.record.make_order import with_changes


def issue(n, **head):
    order = order_of(record())
    given = {"number": "A-7", "issue": n} | head
    return order.model_copy(update={"head": order.head.model_copy(update=given)})


def with_item(order, mark, **values):
    items = [each.model_copy(update=values) if each.opening == mark else each for each in order.items]
    return order.model_copy(update={"items": tuple(items)})


def with_light(order, mark, **values):
    item = next(each for each in order.items if each.opening == mark)
    first, *others = item.lights
    return with_item(order, mark, lights=(first.model_copy(update=values), *others))


def test_nothing_changed_is_said():
    since = since_issue(issue(2), issue(1))
    assert (since.issue, since.changes) == (1, ())
    assert [*since_words(since)] == ["Nothing on the order changed."]


@pytest.mark.parametrize(
    ("now", "told"),
    [
        (with_item(issue(2), "W1", width_mm=1758.0), ["W1, light A: width mm was 1759, is now 1758."]),
        (with_item(issue(2), "D1", colour="dark"), ["D1, light A: colour was white, is now dark."]),
        (
            with_light(issue(2), "W1", glass_width_mm=377.0, obscure=True),
            [
                "W1, light A: glass width mm was 387, is now 377.",
                "W1, light A: obscure was nothing, is now yes.",
            ],
        ),
        (with_item(issue(2), "W3", state="order"), ["W3: standing was hold, is now order."]),
        (issue(2, deliver_to="The yard"), ["Delivery place was nothing, is now The yard."]),
    ],
    ids=["size", "colour", "light", "freed", "head"],
)
def test_each_change_is_named_by_item_light_and_field(now, told):
    assert [*since_words(since_issue(now, issue(1)))] == told


def test_an_item_that_came_or_went_is_said():
    short = issue(1).model_copy(update={"items": issue(1).items[1:]})
    assert "W1, light A: new on the order." in [*since_words(since_issue(issue(2), short))]
    fewer = issue(2).model_copy(update={"items": issue(1).items[1:]})
    assert "W1, light A: no longer on the order." in [*since_words(since_issue(fewer, issue(1)))]


def test_the_same_issue_is_never_sent_twice():
    with pytest.raises(
        BadInput, match=r"Issue 2 of this order went out already; write issue: 3 under `order`"
    ):
        since_issue(issue(2), issue(2))


def test_an_issue_of_another_order_is_refused():
    with pytest.raises(BadInput, match="The earlier order is B-1, this one A-7"):
        since_issue(issue(2), issue(1, number="B-1"))


def test_the_record_keeps_what_changed_so_that_a_reprint_says_it_again():
    plan = record()
    head = plan.order.head.model_copy(update={"number": "A-7", "issue": 2})
    plan = plan.model_copy(update={"order": plan.order.model_copy(update={"head": head})})
    kept = with_changes(plan, with_item(issue(1), "W2", height_mm=900.0))
    assert [*since_words(order_of(kept).since)] == ["W2, light A: height mm was 900, is now 858."]


def test_cells_are_compared_as_a_reader_would():
    assert same("1 210", 1210.0) is False
    assert figure("12 boxes") is None
    assert same(4.0, "4")
