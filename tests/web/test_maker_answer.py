"""The maker's answer at the desk, and issues of an order that are found by themselves."""

from dataclasses import replace

import pytest

from demo_house import papers, record
from jambwright.record import read_order
from jambwright.store import keep_plan, read_house
from jambwright.web.planning import earlier_issue
from survey_trees import tree

ORDER = ("order.json", "order.csv", "order.xlsx")


@pytest.fixture
def kept(store, demo):
    bodies = {name: papers()[name] for name in ORDER}
    return keep_plan(store, read_house(store, demo), "Ada", record().model_dump(mode="json"), bodies).id


def answered(client, demo, plan, body):
    return client.post(f"/api/houses/{demo}/plans/{plan}/answer", files={"file": ("answer", body)})


@pytest.mark.parametrize("name", ORDER[1:])
def test_the_order_as_it_was_sent_agrees(client, demo, kept, name):
    found = answered(client, demo, kept, papers()[name]).json()
    assert (found["agrees"], found["differences"]) == (True, [])
    assert found["say"][0].startswith("The answer agrees with the order")


def test_a_difference_is_named(client, demo, kept):
    wrong = papers()["order.csv"].replace(b"1759.0,1007.0", b"1795.0,1007.0", 1)
    assert wrong != papers()["order.csv"]
    found = answered(client, demo, kept, wrong).json()
    assert found["say"] == ["W1, light A: width mm: ordered 1759, answered 1795.0."]


def test_a_bad_file_is_told_and_who_may_only_look_sends_none(client, client_for, demo, kept):
    refused = answered(client, demo, kept, b"\xff\xfe\x00")
    assert refused.status_code == 422
    assert refused.json()["problems"][0]["say"] == "This is neither a workbook nor text in UTF-8."
    assert answered(client_for("read_only"), demo, kept, b"x").status_code == 403
    assert answered(client, demo, "0" * 16, b"x").status_code == 404


@pytest.mark.usefixtures("kept")
def test_the_button_on_the_order_shows_the_differences(new_page, demo):
    page = new_page(role="office", width=1200)
    page.goto(f"/houses/{demo}/order")
    wrong = papers()["order.csv"].replace(b"1759.0,1007.0", b"1795.0,1007.0", 1)
    file = {"name": "answer.csv", "mimeType": "text/csv", "buffer": wrong}
    page.get_by_label("File with the answer").set_input_files(file)
    page.get_by_role("button", name="Lay beside the order").click()
    page.get_by_text("W1, light A: width mm: ordered 1759, answered 1795.").wait_for()


def issued(store, house, issue, width_mm):
    """Keep a plan with an order of that issue."""
    order = read_order(papers()["order.json"])
    head = order.head.model_copy(update={"number": "A-7", "issue": issue})
    first = order.items[0].model_copy(update={"width_mm": width_mm})
    made = (
        order.model_copy(update={"head": head, "items": (first, *order.items[1:])}).model_dump_json().encode()
    )
    keep_plan(store, read_house(store, house), "Ada", {}, {"order.json": made})
    return made


def test_the_issue_before_is_the_one_made_last_of_the_highest_before_this(store, house):
    found = read_house(store, house)
    assert earlier_issue(store, found) is None
    first = issued(store, house, 1, 1750)
    issued(store, house, 2, 1751)
    again = issued(store, house, 2, 1752)
    issued(store, house, 3, 1753)

    def at(number, issue):
        return earlier_issue(store, replace(found, tree=tree(order={"number": number, "issue": issue})))

    assert at("A-7", 3) == again
    assert at("A-7", 2) == first
    assert at("A-7", 1) is None
    assert at("B-9", 3) is None, "of another order"
