"""Locks, letter plates and chains are asked of doors; of a window only where something stands already."""

import pytest
from starlette.testclient import TestClient

from conftest import session
from jambwright.readings.specified import FIELDS
from jambwright.store import add_house, open_store
from jambwright.web import create_app
from jambwright.web.asked_on_site import asked_on_site
from survey_trees import FULL_OPENING, tree

OF_DOORS = [name for name, needs in FIELDS.items() if needs == "door"]


@pytest.fixture
def desk(tmp_path):
    store = open_store(tmp_path / "houses.db")
    headers = {"Authorization": f"Bearer {session(store)}"}
    with TestClient(create_app(store), base_url="http://127.0.0.1", headers=headers) as client:
        yield store, client
    store.close()


def asked(desk, **wanted):
    store, client = desk
    house = add_house(store, tree(openings=[FULL_OPENING | {"wanted": wanted}]))
    page = client.get(f"/houses/{house}/form?at=/openings/W1").text
    return {name for name in FIELDS if f'data-path="/openings/W1/wanted/specified/{name}"' in page}


def test_a_window_is_asked_nothing_that_only_doors_have(desk):
    assert asked(desk) == set(FIELDS) - set(OF_DOORS)
    assert asked(desk, kind="window") == set(FIELDS) - set(OF_DOORS)


def test_a_door_is_asked_everything(desk):
    assert asked(desk, kind="door") == set(FIELDS)


def test_what_stands_there_is_shown_whatever_it_is_now(desk):
    assert set(OF_DOORS) & asked(desk, specified={"lock": "hooks"}) == {"lock"}


def test_the_phone_knows_which_they_are():
    questions = [one for part in asked_on_site()["rest"].values() for one in part]
    assert {one["path"] for one in questions if one["of_doors"]} == {
        f"wanted/specified/{n}" for n in OF_DOORS
    }
