"""Proposals over HTTP: told, put in, taken back, with every changed field in the history."""

import pytest

from jambwright.store import history, read_house, replace


@pytest.fixture
def where(demo):
    return f"/api/houses/{demo}/proposals"


def wanted(store, demo):
    return next(o for o in read_house(store, demo).tree["openings"] if o["id"] == "W3")


def test_proposals_are_told_by_opening_with_what_they_change(client, where):
    told = client.get(where)
    assert list(told.json()) == ["W3", "W4"]
    first = told.json()["W3"][0]
    assert first["say"] == "light A: 35 mm wider at the cost of light B"
    assert first["mends"] == ["escape.width", "ventilation.purge.kept"]
    assert [c["place"] for c in first["changes"]] == ["/openings/W3/wanted/layout/across/0/mm"]
    assert told.headers["ETag"] == '"1"'


def test_a_proposal_is_put_in_and_taken_back_and_history_tells_both(client, store, demo, where):
    before = wanted(store, demo)
    done = client.post(where, json={"opening": "W3", "number": 1}, headers={"If-Match": '"1"'})
    assert done.status_code == 200, done.json()
    assert done.headers["ETag"] == '"2"'
    after = wanted(store, demo)
    assert after["accepted"][0]["by"] == "Ada"
    assert after["wanted"]["layout"]["across"][0]["mm"] == 633
    kept = history(store, demo)
    assert {c.path for c in kept} == {"/openings/W3/wanted/layout/across/0/mm", "/openings/W3/accepted"}
    assert {c.who for c in kept} == {"Ada"}
    assert "W3" not in client.get(where).json()

    back = client.post(f"{where}/undo", json={"opening": "W3", "number": 1}, headers={"If-Match": '"2"'})
    assert back.status_code == 200, back.json()
    assert wanted(store, demo) == before
    assert len(history(store, demo)) == 4


def test_a_number_counts_only_for_the_version_it_was_told_of(client, store, demo, where):
    body = {"opening": "W3", "number": 1}
    assert client.post(where, json=body).status_code == 428
    tree = read_house(store, demo).tree
    replace(store, demo, tree | {"note": "x"}, who="Bo", at="2026-05-04T10:00:00Z", device="desk")
    for path in (where, f"{where}/undo"):
        assert client.post(path, json=body, headers={"If-Match": '"1"'}).status_code == 412


@pytest.mark.parametrize(
    ("body", "status"),
    [
        ({"opening": "W3", "number": 9}, 422),
        ({"opening": "W77", "number": 1}, 422),
        ({"opening": "W3", "number": 0}, 422),
        ({"opening": "W3"}, 422),
    ],
)
def test_what_cannot_be_put_in_or_taken_back_is_refused(client, store, demo, where, body, status):
    for path in (where, f"{where}/undo"):
        assert client.post(path, json=body, headers={"If-Match": '"1"'}).status_code == status
    assert read_house(store, demo).version == 1


def test_who_may_only_look_puts_nothing_in(client_for, where):
    reader = client_for("read_only")
    assert reader.get(where).status_code == 200
    for path in (where, f"{where}/undo"):
        answer = reader.post(path, json={"opening": "W3", "number": 1}, headers={"If-Match": '"1"'})
        assert answer.status_code == 403


def test_an_opening_that_is_ordered_is_not_changed(client, store, demo, where):
    tree = read_house(store, demo).tree
    for opening in tree["openings"]:
        if opening["id"] == "W3":
            opening["done"] = ["ordered"]
    replace(store, demo, tree, who="Ada", at="2026-05-04T10:00:00Z", device="desk")
    answer = client.post(where, json={"opening": "W3", "number": 1}, headers={"If-Match": '"2"'})
    assert answer.status_code == 422
    assert "W3 front bedroom is ordered already" in answer.json()["problems"][0]["say"]
