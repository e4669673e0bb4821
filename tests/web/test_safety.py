import io
import re

import pytest
from PIL import Image
from PIL.ExifTags import GPS, IFD
from starlette.testclient import TestClient

from jambwright.store import invite, photo_jpeg
from jambwright.web import create_app
from jambwright.web.pictures import LONGEST_SIDE_PX

PAGES = ["/site", "/join", "/join/abcdefgh12345678", "/api/calc", "/worker.js", "/nowhere"]


@pytest.mark.parametrize("path", PAGES)
def test_every_answer_carries_the_safe_headers(stranger, path):
    headers = stranger.get(path).headers
    policy = headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"


@pytest.mark.parametrize("path", ["/site", "/join", "/join/abcdefgh12345678"])
def test_pages_hold_no_script_or_style_of_their_own(stranger, path):
    html = stranger.get(path).text
    assert not re.search(r"<script(?![^>]*\bsrc=)|<style|\son\w+=|\sstyle=", html)


def test_a_strange_host_name_is_refused(app):
    assert TestClient(app, base_url="http://evil.example").get("/site").status_code == 400


def join(client, secret, name="Bo"):
    return client.post(f"/join/{secret}", data={"name": name})


def test_joining_gives_a_cookie_that_scripts_and_other_sites_cannot_use(stranger, store):
    answer = join(stranger, invite(store, name="x", role="fitter"))
    cookie = answer.headers["Set-Cookie"].lower()
    assert answer.status_code == 303
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert stranger.get("/api/me").json()["name"] == "Bo"


@pytest.mark.parametrize(
    ("address", "warned"),
    [("http://house.lan", True), ("https://house.lan", False), ("http://127.0.0.1:8321", False)],
)
def test_a_phone_is_told_before_it_joins_that_it_cannot_open_the_app_without_signal(store, address, warned):
    client = TestClient(create_app(store, hosts=["house.lan"]), base_url=address)
    text = client.get(f"/join/{invite(store, name='x', role='fitter')}").text
    assert ("leave it open" in text) == warned


def test_looking_at_an_invitation_does_not_use_it_up(stranger, store):
    secret = invite(store, name="x", role="fitter")
    stranger.get(f"/join/{secret}")
    assert join(stranger, secret).status_code == 303
    stranger.cookies.clear()
    assert join(stranger, secret).status_code == 403


def test_a_change_by_cookie_needs_the_page_token(stranger, store):
    join(stranger, invite(store, name="x", role="office"))
    assert stranger.post("/api/houses", json={"label": "x"}).status_code == 403
    token = stranger.get("/api/me").json()["token"]
    made = stranger.post("/api/houses", json={"label": "x"}, headers={"X-Jambwright-Token": token})
    assert made.status_code == 201
    wrong = stranger.post("/api/houses", json={"label": "x"}, headers={"X-Jambwright-Token": token[::-1]})
    assert wrong.status_code == 403


ALLOWED = {
    "read_only": {"read"},
    "fitter": {"read", "measure"},
    "office": {"read", "measure", "manage"},
}


@pytest.mark.parametrize("role", ALLOWED)
def test_roles_may_do_what_they_are_for(client_for, house, role):
    client = client_for(role)
    done = {
        "read": client.get(f"/api/houses/{house}").status_code,
        "measure": client.post("/api/houses", json={"label": "x"}).status_code,
        "manage": client.post("/api/people", json={"name": "Cy", "role": "fitter"}).status_code,
    }
    assert {what for what, status in done.items() if status < 300} == ALLOWED[role]
    assert {status for status in done.values() if status >= 300} <= {403}


def test_an_address_of_this_machine_alone_says_so_and_draws_no_code(client):
    made = client.post("/api/people", json={"name": "Cy", "role": "fitter"}).json()
    assert (made["only_here"], made["code"]) == (True, "")


def test_the_code_shown_at_the_desk_lets_a_phone_in(client, stranger):
    client.app.state.address = "http://192.0.2.7:8321"  # an address kept for documentation (RFC 5737)
    made = client.post("/api/people", json={"name": "Cy", "role": "fitter"}).json()
    assert made["address"].startswith("http://192.0.2.7:8321/join/")
    assert not made["only_here"]
    assert made["code"].startswith("<svg")
    assert join(stranger, made["address"].rsplit("/", 1)[1], name="").status_code == 303
    assert stranger.get("/api/me").json() == {
        "name": "Cy",
        "role": "fitter",
        "token": stranger.get("/api/me").json()["token"],
    }


def photo(size=(3000, 1200), gps=True, kind="JPEG"):
    picture = Image.new("RGB", size, (200, 120, 40))
    exif = Image.Exif()
    exif[0x010F] = "Maker"
    exif[0x0112] = 6
    if gps:
        exif.get_ifd(IFD.GPSInfo).update({
            GPS.GPSLatitudeRef: "N", GPS.GPSLatitude: (51.0, 30.0, 0.0),
            GPS.GPSLongitudeRef: "W", GPS.GPSLongitude: (0.0, 7.0, 30.0),
        })  # fmt: skip
    out = io.BytesIO()
    picture.save(out, kind, exif=exif)
    return out.getvalue()


def send(client, house, body, **more):
    form = {"mark": "W1", "at": "2026-03-02T10:00:00Z", "drawn": "[[[0.1,0.2],[0.3,0.4]]]"} | more
    return client.put(f"/api/houses/{house}/photos/p1", files={"file": ("../../x.jpg", body)}, data=form)


def test_a_photo_is_written_anew_upright_smaller_and_without_what_the_camera_put_in(client, house, store):
    kept = send(client, house, photo()).json()
    assert kept["place"] is None
    again = Image.open(io.BytesIO(photo_jpeg(store, house, "p1")))
    assert again.size == (kept["width_px"], kept["height_px"]) == (819, LONGEST_SIDE_PX)
    assert not again.getexif()
    assert client.get(f"/api/houses/{house}/photos/p1.jpg").headers["Content-Type"] == "image/jpeg"


def test_where_a_photo_was_taken_is_kept_only_when_wanted(client, house):
    assert send(client, house, photo(), keep_place="true").json()["place"] == [51.5, -0.125]


def test_a_photo_sent_twice_is_there_once(client, house):
    send(client, house, photo())
    send(client, house, photo())
    assert len(client.get(f"/api/houses/{house}/photos").json()) == 1


@pytest.mark.parametrize(
    "body",
    [
        pytest.param(b"", id="empty"),
        pytest.param(b"GIF89a" + b"\0" * 40, id="another kind"),
        pytest.param(photo()[:400], id="cut short"),
        pytest.param(b"<svg xmlns='http://www.w3.org/2000/svg'/>", id="a drawing with scripts"),
    ],
)
def test_what_is_no_photo_is_refused(client, house, body):
    answer = send(client, house, body)
    assert answer.status_code == 422
    assert answer.json()["problems"][0]["field"] == "photo"


def test_a_photo_of_too_many_pixels_is_refused_before_it_is_unpacked(client, house):
    answer = send(client, house, photo((9000, 7000), kind="PNG"))
    assert answer.status_code == 422
    assert "million pixels" in answer.json()["problems"][0]["say"]


def test_lines_that_are_no_lines_are_refused(client, house):
    for drawn in ("{", "[[1]]", '"x"', "[" * 5000, "null"):
        assert send(client, house, photo(), drawn=drawn).status_code == 422


@pytest.mark.parametrize(
    "path", ["/static/..%2f..%2fapp.py", "/static/x/../../store/tables.py", "/api/houses/..%2f..%2fetc"]
)
def test_paths_lead_nowhere_outside(client, path):
    assert client.get(path).status_code in (401, 404, 422)
