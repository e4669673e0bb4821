"""A mark on a photo: kept with it, told at the desk, and an answer of the opening that stops what it puts in doubt."""

import io

import pytest
from PIL import Image
from test_on_site import at_opening, eventually

from jambwright.store import Change, history, house_photos, new_id, read_house, take


def jpeg():
    picture = io.BytesIO()
    Image.new("RGB", (60, 40), (90, 120, 60)).save(picture, "JPEG")
    return picture.getvalue()


def send(client, house, photo="p1", **form):
    form = {"at": "2026-03-02T10:00:00Z", "mark": "W1"} | form
    return client.put(f"/api/houses/{house}/photos/{photo}", files={"file": ("x.jpg", jpeg())}, data=form)


def opening(store, house, mark="W1"):
    return next(o for o in read_house(store, house).tree["openings"] if o["id"] == mark)


def test_a_mark_is_kept_with_the_photo_and_becomes_an_answer_in_the_history(client, store, house):
    assert send(client, house, shows='["asbestos", "damp"]').status_code == 200
    [photo] = house_photos(store, house)
    assert photo.shows == ["asbestos", "damp"]
    assert client.get(f"/api/houses/{house}/photos").json()[0]["shows"] == ["asbestos", "damp"]
    assert opening(store, house)["seen"] == {"asbestos": True, "damp": True}
    assert [(c.path, c.who) for c in history(store, house)] == [
        ("/openings/W1/seen/damp", "Ada"), ("/openings/W1/seen/asbestos", "Ada"),
    ]  # fmt: skip


def test_a_photo_sent_again_does_not_mark_again_what_was_answered_since(client, store, house):
    send(client, house, shows='["lintel"]')
    back = Change(
        path="/openings/W1/seen/lintel", was=True, value=False, who="Bo", at="", device="d", id=new_id()
    )
    take(store, house, [back])
    assert send(client, house, shows='["lintel"]').status_code == 200
    assert opening(store, house)["seen"] == {"lintel": False}


@pytest.mark.parametrize(
    "form",
    [
        {"shows": '["rot"]'},
        {"shows": "lintel"},
        {"shows": '["lintel"]', "mark": ""},
        {"shows": '["lintel"]', "mark": "W9"},
    ],
)
def test_a_mark_that_could_stop_nothing_is_refused_with_its_photo(client, store, house, form):
    assert send(client, house, **form).status_code == 422
    assert house_photos(store, house) == []


def test_asbestos_suspected_on_a_photo_stops_the_work_at_once_without_signal_and_is_told_at_the_desk(
    new_page, store, house
):
    page = new_page(width=320, height=568)
    at_opening(page, house, "W1")
    page.get_by_role("link", name="Photos").tap()
    page.get_by_text("No photo yet.").wait_for()
    page.evaluate("navigator.serviceWorker.ready")
    page.context.set_offline(True)
    page.locator("#photo").set_input_files({"name": "x.jpg", "mimeType": "image/jpeg", "buffer": jpeg()})
    marks = page.get_by_role("group", name="Does it show something to stop for?")
    assert [b.get_attribute("aria-pressed") for b in marks.get_by_role("button").all()] == ["false"] * 3
    marks.get_by_role("button", name="Asbestos suspected").tap()
    page.get_by_role("button", name="Keep photo").tap()
    page.get_by_role("alert").filter(has_text="Do not start yet").wait_for()
    assert "licensed surveyor" in page.get_by_role("alert").inner_text()
    page.get_by_role("link", name="Do not start yet").wait_for()
    assert page.locator(".photos .suspected").inner_text() == "Asbestos suspected"
    page.context.set_offline(False)
    eventually(lambda: [photo.shows for photo in house_photos(store, house)] == [["asbestos"]], 40)
    assert opening(store, house)["seen"] == {"asbestos": True}
    desk = new_page(role="office", name="Bo", width=1280, height=800)
    desk.goto(f"/houses/{house}/openings/W1")
    assert desk.locator("figure .suspected").inner_text() == "Asbestos suspected"


def test_a_mark_put_to_a_photo_that_was_sent_before_becomes_an_answer_as_at_sending(
    client, client_for, store, house
):
    send(client, house, shows='["damp"]')
    at = f"/api/houses/{house}/photos/p1"
    assert client.patch(at, json={"shows": ["asbestos", "damp"]}).status_code == 204
    assert house_photos(store, house)[0].shows == ["damp", "asbestos"]
    assert opening(store, house)["seen"] == {"damp": True, "asbestos": True}
    assert client.patch(at, json={"caption": "Soffit"}).status_code == 204
    assert (house_photos(store, house)[0].caption, house_photos(store, house)[0].shows[0]) == (
        "Soffit",
        "damp",
    )
    assert client.patch(at, json={"shows": ["rot"]}).status_code == 422
    for line in ([[0.5, 1e308]], [[-0.1, 0.5]], [[0.5, 1.1]]):
        assert client.patch(at, json={"drawn": [line]}).status_code == 422
    assert client.patch(at, json={"drawn": [[[0, 1], [0.25, 0.5]]]}).status_code == 204
    assert client.patch(f"/api/houses/{house}/photos/p9", json={"shows": ["damp"]}).status_code == 404
    assert client_for("read_only").patch(at, json={"shows": ["lintel"]}).status_code == 403
    send(client, house, photo="p2", mark="")
    assert client.patch(f"/api/houses/{house}/photos/p2", json={"shows": ["damp"]}).status_code == 422
    assert house_photos(store, house)[1].shows == []


def test_a_sent_photo_is_marked_on_the_phone_without_signal_and_at_the_desk(new_page, store, house):
    page = new_page(width=320, height=568)
    at_opening(page, house, "W1")
    page.get_by_role("link", name="Photos").tap()
    page.evaluate("navigator.serviceWorker.ready")
    page.locator("#photo").set_input_files({"name": "x.jpg", "mimeType": "image/jpeg", "buffer": jpeg()})
    page.get_by_role("button", name="Keep photo").tap()
    eventually(lambda: len(house_photos(store, house)) == 1)
    page.locator(".sent.all").wait_for()
    page.context.set_offline(True)
    page.locator(".photos summary").tap()
    page.locator(".photos").get_by_role("button", name="Asbestos suspected").tap()
    page.get_by_role("alert").filter(has_text="Do not start yet").wait_for()
    assert page.locator(".photos .suspected").inner_text() == "Asbestos suspected"
    page.context.set_offline(False)
    eventually(lambda: [photo.shows for photo in house_photos(store, house)] == [["asbestos"]], 40)
    assert opening(store, house)["seen"] == {"asbestos": True}
    desk = new_page(role="office", name="Bo", width=1280, height=800)
    desk.goto(f"/houses/{house}/openings/W1")
    desk.locator("figure summary", has_text="Mark it").click()
    desk.locator("figure").get_by_role("button", name="Lintel in doubt").click()
    desk.locator("figure .suspected", has_text="Lintel in doubt").wait_for()
    assert opening(store, house)["seen"] == {"asbestos": True, "lintel": True}
