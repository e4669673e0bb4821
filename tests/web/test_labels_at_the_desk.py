"""Labels printed from the desk: their codes open the openings under the address that the desk has now."""

import pypdfium2
import pytest

from jambwright import job
from jambwright.paper import PAPERS
from jambwright.readings.survey_file import survey_from_tree
from jambwright.store import add_house, keep_plan, read_house
from survey_trees import TREE


@pytest.fixture
def kept(store):
    record = job.check(survey_from_tree(TREE))
    files = dict(PAPERS["the plan"](record)) | dict(PAPERS["labels"](record))
    house = add_house(store, TREE)
    plan = keep_plan(store, read_house(store, house), "Ada", record.model_dump(mode="json"), files)
    return house, plan.id


def said(body: bytes) -> str:
    return " ".join(pypdfium2.PdfDocument(body)[0].get_textpage().get_text_range().split())


def test_labels_are_made_for_the_address_of_the_desk_and_never_kept(app, client_for, kept):
    house, plan = kept
    app.state.address = "https://192.0.2.7:8321"
    client = client_for("office")
    page = client.get(f"/houses/{house}/papers").text
    assert f"/houses/{house}/plans/{plan}/labels/14" in page
    answer = client.get(f"/houses/{house}/plans/{plan}/labels/14")
    assert answer.status_code == 200
    assert answer.headers["cache-control"] == "no-store"
    assert f"https://192.0.2.7:8321/site/{house}" in said(answer.content)


def test_while_only_this_machine_reaches_the_desk_the_sheet_says_that_its_codes_open_nothing(
    app, client_for, kept
):
    house, plan = kept
    app.state.address = "http://127.0.0.1:8321"
    client = client_for("office")
    assert "Share the desk with the network" in client.get(f"/houses/{house}/papers").text
    assert "The codes open no page" in said(client.get(f"/houses/{house}/plans/{plan}/labels/8").content)


def test_sheets_that_are_not_listed_are_not_there(client_for, kept):
    house, plan = kept
    assert client_for("office").get(f"/houses/{house}/plans/{plan}/labels/9").status_code == 404
