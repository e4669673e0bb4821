"""Joining, leaving and being shut out, over HTTP; wrong codes, and what is refused."""

import time

import httpx2
import pytest
from starlette.testclient import TestClient
from test_door import FILLED, every_route

from jambwright.store import audit_lines, end_session, invite, keep_plan, login_of, read_house
from jambwright.store import join as let_in
from jambwright.store.tables import metadata
from jambwright.web import create_app
from jambwright.web.joining import ADDRESSES_REMEMBERED, TRIES, Slower
from jambwright.web.refusals import KINDS_A_MINUTE, MANY


def join(client, secret, name=""):
    return client.post(f"/join/{secret}", data={"name": name})


def wrong(client, times):
    return [join(client, f"guess-number-{n}").status_code for n in range(times)]


@pytest.fixture
def quick(monkeypatch):
    """Slowed answers that take no time."""
    monkeypatch.setattr("jambwright.web.joining.SLOWED_S", 0.0)


def device_at(app, address):
    return TestClient(app, base_url="http://127.0.0.1", client=(address, 50000), follow_redirects=False)


def test_wrong_codes_are_answered_slowly_after_a_few(stranger):
    assert set(wrong(stranger, TRIES)) == {403}
    began = time.monotonic()
    late = join(stranger, "guess-number-9")
    assert late.status_code == 429
    assert int(late.headers["Retry-After"]) > 0
    assert time.monotonic() - began >= 0.9


@pytest.mark.usefixtures("quick")
def test_a_right_code_is_let_in_at_once_whoever_guesses_from_wherever(app, store):
    hostile, phone = device_at(app, "192.0.2.9"), device_at(app, "192.0.2.10")
    assert wrong(hostile, 60)[-1] == 429
    assert join(phone, "no-such-code").status_code == 403, "another address is not slowed"
    assert join(phone, invite(store, name="Bo", role="fitter")).status_code == 303
    assert join(hostile, invite(store, name="Cy", role="fitter")).status_code == 303, (
        "nor a right code from the same"
    )


def test_nobody_says_of_themselves_where_they_come_from(running, monkeypatch):
    monkeypatch.setattr("jambwright.web.joining.SLOWED_S", 0)
    with httpx2.Client(base_url=running.address, timeout=10) as hostile:
        answers = [
            hostile.post(f"/join/guess-number-{n}", headers={"X-Forwarded-For": f"192.0.2.{n}"})
            for n in range(TRIES + 1)
        ]
    assert [answer.status_code for answer in answers] == [403] * TRIES + [429]


@pytest.mark.parametrize(("role", "width", "lands"), [
    ("office", 390, "/site"), ("office", 1280, "/"), ("fitter", 1280, "/site"), ("read_only", 390, "/site"),
])  # fmt: skip
def test_who_joins_on_a_phone_lands_on_site_with_a_way_to_the_desk(new_page, role, width, lands):
    page = new_page(role=role, width=width)
    page.wait_for_url(f"**{lands}")
    if lands == "/site" and role == "office":
        page.get_by_role("link", name="At the desk").click()
        page.get_by_role("heading", name="Houses").first.wait_for()
        assert page.url.endswith("/")


def test_addresses_that_guess_are_remembered_up_to_a_bound():
    slower = Slower()
    for n in range(ADDRESSES_REMEMBERED + 50):
        slower.failed(f"address {n}")
    assert len(slower._failed) == ADDRESSES_REMEMBERED
    assert [slower.failed("192.0.2.9") for _ in range(TRIES + 2)] == [False] * TRIES + [True] * 2


def test_a_name_that_is_taken_is_told_and_the_code_stays_good(stranger, client, store):
    client.get("/api/me")
    secret = invite(store, name="Bo", role="fitter")
    refused = join(stranger, secret, "ÁDA")
    assert refused.status_code == 422
    assert "Ada is the name of somebody" in refused.text
    assert f'action="/join/{secret}"' in refused.text
    assert join(stranger, secret, "Bo").status_code == 303


def test_the_office_is_told_that_a_code_is_for_another_device_of_the_same_person(client, client_for):
    client_for("fitter", "Bo")
    known = [
        client.post("/api/people", json={"name": n, "role": "fitter"}).json()["known"] for n in ("bo", "Cy")
    ]
    assert known == [True, False]
    for name in ("Ada", "Office", "\u200b"):
        answer = client.post("/api/people", json={"name": name, "role": "fitter"})
        assert answer.status_code == 422, name
        assert answer.json()["problems"][0]["field"] == "name"


def test_the_office_shuts_a_lost_phone_out_at_once(client_for):
    office, lost, tablet = client_for("office"), client_for("fitter", "Bo"), client_for("fitter", "Bo")
    [newest, login] = [line for line in office.get("/api/people").json() if line["name"] == "Bo"]
    assert login["began"] <= newest["began"]
    assert office.delete(f"/api/people/{login['id']}").status_code == 204
    assert lost.get("/api/houses").status_code == 401
    assert tablet.get("/api/houses").status_code == 200
    assert tablet.delete(f"/api/people/{newest['id']}").status_code == 403


def test_who_leaves_is_out_and_their_token_is_worth_nothing(stranger, store, client):
    join(stranger, invite(store, name="Bo", role="fitter"))
    token, cookie = stranger.get("/api/me").json()["token"], stranger.cookies["jambwright"]
    left = stranger.delete("/api/me", headers={"X-Jambwright-Token": token})
    assert left.status_code == 204
    assert "jambwright" not in stranger.cookies
    stranger.cookies.set("jambwright", cookie)
    assert stranger.get("/api/me").status_code == 401
    done = [line.action for line in audit_lines(store) if line.who == "Bo"]
    assert done == ["left", "joined"]
    assert "Leave" in client.get("/").text


def test_the_cookie_over_https_is_kept_for_this_host_alone(store):
    phone = TestClient(
        create_app(store, hosts=["house.lan"]), base_url="https://house.lan", follow_redirects=False
    )
    cookie = join(phone, invite(store, name="Bo", role="fitter")).headers["Set-Cookie"]
    assert cookie.startswith("__Host-jambwright=")
    assert {"Secure", "HttpOnly", "Path=/", "SameSite=strict"} <= set(cookie.split("; "))
    assert phone.get("/api/me").json()["name"] == "Bo"


def test_what_is_refused_is_counted_in_the_audit_log_by_whom_and_why(app, store, client, client_for, house):
    stranger = device_at(app, "192.0.2.9")
    for _ in range(30):
        stranger.get("/api/houses")
    wrong(stranger, 2)
    client_for("read_only").post("/api/houses", json={"label": "x"})
    TestClient(app, base_url="http://evil.example").get("/api/me")
    client.post("/api/houses", content=b"x" * 1_100_000, headers={"Content-Type": "application/json"})
    shown = client.get("/people").text
    told = {(line.who, line.action): line.subject for line in audit_lines(store) if "refused" in line.action}
    assert told["", "refused: no session"] == "30 times, GET /api/houses"
    assert told["", "refused: may not"] == "2 times, POST /join"
    assert told["Lou", "refused: may not"] == "once, POST /api/houses"
    assert told["", "refused: strange host name, or can't be read"] == "once, GET /api/me"
    assert told["Ada", "refused: too large"] == "once, POST /api/houses"
    assert "30 times, GET /api/houses" in shown
    assert house not in str(told)


def test_a_thousand_addresses_make_a_few_rows(app, store, client):
    for n in range(KINDS_A_MINUTE * 3):
        device_at(app, f"address {n}").get("/api/me")
    client.get("/people")
    rows = [line for line in audit_lines(store, limit=10_000) if line.action == "refused: no session"]
    assert len(rows) <= 2 * (KINDS_A_MINUTE + 1), "a minute may end meanwhile"
    assert MANY in {line.address for line in rows}
    times = [line.subject.split(",")[0].removesuffix(" times") for line in rows]
    assert sum(1 if each == "once" else int(each) for each in times) == KINDS_A_MINUTE * 3


def test_who_is_shut_out_is_told_nothing_more_of_a_house_they_watch(running, store, house, monkeypatch):
    monkeypatch.setattr("jambwright.web.api_changes.LOOK_EVERY_S", 0.05)
    token, _ = let_in(store, invite(store, name="Bo", role="fitter"), device="phone")
    client = httpx2.Client(base_url=running.address, headers={"Authorization": f"Bearer {token}"}, timeout=10)
    with client, client.stream("GET", f"/api/houses/{house}/watch") as answer:
        lines = answer.iter_lines()
        assert any(line.startswith("data:") for line in lines)
        end_session(store, login_of(token))
        assert [line for line in lines if line.startswith("data:")] == []


def test_a_device_that_joins_again_has_one_session(stranger, client, store):
    join(stranger, invite(store, name="Bo", role="fitter"))
    before = stranger.cookies["jambwright"]
    join(stranger, invite(store, name="Bo", role="fitter"))
    assert stranger.cookies["jambwright"] != before
    assert [each["name"] for each in client.get("/api/people").json()] == ["Bo", "Ada"]
    stranger.cookies.clear()
    assert stranger.get("/api/me", headers={"Authorization": f"Bearer {before}"}).status_code == 401


def test_papers_are_given_as_what_they_are_and_only_harmless_kinds_in_place(client, store, house):
    bodies = {"order.csv": b"W1", "fit-sheets.pdf": b"%PDF", "drawings/W1.svg": b"<svg/>", "plan.json": b"{}"}
    line = keep_plan(store, read_house(store, house), "Ada", {}, bodies)
    told = {}
    for name in bodies:
        headers = client.get(f"/api/houses/{house}/plans/{line.id}/papers/{name}").headers
        told[name] = (headers["Content-Type"], headers["Content-Disposition"])
        assert headers["X-Content-Type-Options"] == "nosniff"
    assert told == {
        "order.csv": ("text/csv; charset=utf-8", 'attachment; filename="order.csv"'),
        "fit-sheets.pdf": ("application/pdf", 'inline; filename="fit-sheets.pdf"'),
        "drawings/W1.svg": ("image/svg+xml", 'inline; filename="drawings-W1.svg"'),
        "plan.json": ("application/json", 'attachment; filename="plan.json"'),
    }


def rows_of(store):
    with store.reading() as connection:
        return {
            t.name: connection.execute(t.select()).all() for t in metadata.sorted_tables if t.name != "audit"
        }


def test_looking_changes_nothing_but_the_audit_log(client, app, store, house):
    keep_plan(store, read_house(store, house), "Ada", {}, {})
    before = rows_of(store)
    assert before["houses"]
    for method, path in every_route(app):
        if method == "GET" and not path.endswith("/watch"):
            client.get(path.replace(FILLED["house"], house))
    assert rows_of(store) == before


def test_a_fault_of_the_program_tells_nothing_of_its_inside(client, monkeypatch):
    def broken(_):
        raise RuntimeError("inside")

    monkeypatch.setattr("jambwright.web.first_page.house_lines", broken)
    there = TestClient(
        client.app, base_url="http://127.0.0.1", headers=client.headers, raise_server_exceptions=False
    )
    answer = there.get("/")
    assert (answer.status_code, answer.text) == (500, "Internal Server Error")
