"""The door: what is open, what asks for a session, and that a new route is shut until it is named open."""

import pytest
from fastapi.routing import iter_route_contexts

from jambwright.web.door import is_open

FILLED = {
    "house": "0123456789abcdef", "mark": "W1", "opening": "W1", "photo": "p1", "change": "c1", "plan": "0" * 16,
    "name": "lifting", "name:path": "order.csv", "number": "0" * 16, "part": "order", "login": "0" * 16,
    "secret": "abcdefgh12345678", "rest:path": "x", "purpose": "all", "sheet": "8",
}  # fmt: skip


def every_route(app):
    """Method and filled path of every route."""
    for route in iter_route_contexts(app.routes):
        path = route.path
        for name, value in FILLED.items():
            path = path.replace(f"{{{name}}}", value)
        assert "{" not in path, route.path
        yield from ((method, path) for method in (route.methods or {"GET"}) - {"HEAD"})


def test_every_route_asks_for_a_session_but_joining_and_the_empty_shell(stranger, app):
    asked = list(every_route(app))
    opened = {path for _, path in asked if is_open(path)}
    assert len(asked) > 60
    assert {path.split("/")[1] for path in opened} == {"join", "site", "worker.js", "static"}
    for method, path in asked:
        answer = stranger.request(method, path)
        assert is_open(path) or answer.status_code == 401, (method, path)


@pytest.mark.parametrize("path", ["/api/nothing", "/nowhere", "/joining", "/sites", "/api/../site/../api/me"])
def test_what_is_no_way_in_is_shut_whether_it_is_there_or_not(stranger, path):
    assert stranger.get(path).status_code == 401


def test_a_person_is_led_to_where_a_code_is_asked_for(stranger):
    answer = stranger.get("/", headers={"Accept": "text/html"})
    assert (answer.status_code, answer.headers["Location"]) == (303, "/join")


def test_nobody_is_made_to_read_what_a_stranger_sends(stranger):
    """The door stands before the body: what can't even be read is refused for want of a session."""
    answer = stranger.post("/api/calc/lifting", content=b"{", headers={"Content-Type": "application/json"})
    assert answer.status_code == 401


def test_calculations_and_the_description_are_for_everyone_let_in(client_for):
    client = client_for("read_only")
    given = client.get("/api/calc/lifting").json()["example"]
    assert client.post("/api/calc/lifting", json=given).status_code == 200
    assert "/api/houses" in client.get("/api/openapi.json").json()["paths"]
