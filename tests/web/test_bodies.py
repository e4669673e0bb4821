"""What is sent: nested without end, with halves of a pair of code units, or with ids of no shape. Never a 500."""

import copy
import json
import time

import pytest
from fastapi.routing import iter_route_contexts
from hypothesis import given
from hypothesis import strategies as st
from starlette.testclient import TestClient
from test_door import FILLED

from jambwright.basis.tree import DEEPEST
from jambwright.store import add_house, read_house
from jambwright.web.json_bodies import depth, mended_json
from survey_trees import AS_FITTED, TREE

JSON = {"Content-Type": "application/json"}
HALF, MENDED = "crack \ud83d", "crack \ufffd"
AT = "2026-03-02T10:00:00+00:00"


@pytest.fixture
def client(client_for):
    made = client_for()
    return TestClient(
        made.app, base_url="http://127.0.0.1", headers=made.headers, raise_server_exceptions=False
    )


def broken_down(answer):
    """A fault of ours; too much work at once is none."""
    return answer.status_code >= 500 and not (answer.status_code == 503 and "Retry-After" in answer.headers)


def nested(deep, inner="1"):
    return "[" * deep + inner + "]" * deep


def mapped(deep):
    return '{"a":' * deep + "1" + "}" * deep


def deep_bodies(deep):
    """Nested at the top, and where something of any shape may stand."""
    change = {"id": "c1", "path": "/note", "was": None, "value": 7, "at": AT}
    return [
        nested(deep), mapped(deep), "[" * deep,
        json.dumps({"device": "d", "changes": [change]}).replace("7", nested(deep)),
        json.dumps({"survey": TREE | {"note": 7}}).replace("7", mapped(deep), 1),
        json.dumps(TREE["openings"][1] | {"note": 7}).replace("7", nested(deep)),
        json.dumps({"drawn": 7}).replace("7", nested(deep)),
    ]  # fmt: skip


def changing_routes(app, house):
    for route in iter_route_contexts(app.routes):
        path = route.path
        for name, value in (FILLED | {"house": house}).items():
            path = path.replace(f"{{{name}}}", value)
        for method in (route.methods or set()) & {"POST", "PUT", "PATCH"}:
            yield method, path


@pytest.mark.parametrize("deep", [60, 700, 100_000])
def test_what_is_nested_too_deep_is_refused_by_every_route(client, house, deep):
    before = read_house(client.app.state.store, house)
    for method, path in changing_routes(client.app, house):
        for body in deep_bodies(deep):
            for kind in ({**JSON}, {}, {"Content-Type": "application/problem+json; charset=utf-8"}):
                answer = client.request(method, path, content=body, headers=kind | {"If-Match": "*"})
                assert not broken_down(answer), (method, path, body[:40])
    told = client.post("/api/houses", content=nested(deep), headers=JSON)
    assert told.status_code == 422
    assert f"nested more than {DEEPEST} deep" in told.json()["problems"][0]["say"]
    assert (
        read_house(client.app.state.store, house).tree == before.tree
        or client.get(f"/api/houses/{house}").is_error
    )


@pytest.mark.parametrize("deep", [60, 700, 100_000])
def test_lines_drawn_that_are_nested_too_deep_are_refused(client, house, deep):
    form = {"at": AT, "drawn": nested(deep)}
    answer = client.put(f"/api/houses/{house}/photos/p1", files={"file": ("x.jpg", b"x")}, data=form)
    assert answer.status_code == 422


def broken(tree):
    """Every text of a tree with half a pair at its end, and a field of such a name."""
    if isinstance(tree, dict):
        return {name: broken(value) for name, value in tree.items()} | {HALF: HALF}
    if isinstance(tree, list):
        return [broken(value) for value in tree]
    return HALF if isinstance(tree, str) else tree


def test_half_a_pair_is_mended_wherever_it_is_sent_and_nothing_answers_500_ever_after(client, house):
    at = f"/api/houses/{house}"
    note = {"id": "c1", "path": "/note", "was": TREE["note"], "value": HALF, "at": AT, "typed": HALF}
    wild = [{"id": f"w{n}", "path": path, "was": HALF, "value": value, "at": AT, "typed": HALF}
            for n, (path, value) in enumerate((
                (f"/{HALF}", HALF), (f"/openings/{HALF}/note", HALF), ("/house", {HALF: HALF}), ("/openings/W1", HALF),
                ("/openings/W1/note", [HALF]), ("/openings/W1/room", HALF), ("/fitted/W1", AS_FITTED | {"note": HALF}),
            ))]  # fmt: skip
    label = HALF + " Example Row (invented)"
    survey = copy.deepcopy(TREE) | {"note": HALF}
    sent = [
        ("POST", f"{at}/changes", {"device": "d", "changes": [note]}),
        ("POST", f"{at}/changes", {"device": "d", "changes": wild}),
        ("POST", "/api/houses", {"label": label}),
        ("POST", "/api/houses", {"survey": survey}),
        ("POST", "/api/people", {"name": HALF, "role": "fitter"}),
        ("PUT", at, survey),
        ("PUT", f"{at}/openings/W2", TREE["openings"][1] | {"note": HALF}),
        ("POST", f"{at}/openings", {"id": "D1", "room": HALF, "outside": {}}),
        ("POST", f"{at}/openings/W2/rename", {"id": HALF}),
        ("PATCH", f"{at}/photos/p1", {"caption": HALF}),
        ("POST", f"{at}/proposals", {"opening": HALF, "number": 1}),
        ("POST", "/api/reading-check", {"name": HALF, "outside": {"width": {"top": 1200}}, "tape": HALF}),
    ]
    sent += [(method, path, broken(body)) for method, path, body in sent]
    for name in [line["name"] for line in client.get("/api/calc").json()]:
        sent.append(("POST", f"/api/calc/{name}", broken(client.get(f"/api/calc/{name}").json()["example"])))
    for method, path, body in sent:
        answer = client.request(method, path, content=json.dumps(body), headers=JSON | {"If-Match": "*"})
        assert not broken_down(answer), (method, path, answer.text[:200])
        answer.content.decode()
    quoted = b'jambwright_prices: 1\nnote: "crack \\ud83d"\n'
    for path in ("/api/prices", f"{at}/survey.yaml", f"{at}/fitted.yaml"):
        for body in (quoted, b"note: crack \xed\xa0\xbd", json.dumps(survey).encode()):
            answer = client.put(
                path, content=body, headers={"If-Match": "*", "Content-Type": "application/yaml"}
            )
            assert not broken_down(answer), (path, body)
    form = {"at": AT, "caption": HALF.encode("utf-8", "surrogatepass"), "mark": "W1"}
    assert (
        client.put(f"{at}/photos/p1", files={"file": (f"{MENDED}.jpg", b"x")}, data=form).status_code == 422
    )
    kept = client.get(at).json()["survey"]
    assert MENDED in (kept["note"], kept["openings"][0].get("note"), kept["openings"][1].get("note"))
    for path in (at, f"{at}/survey.yaml", f"{at}/changes", f"{at}/photos", "/api/houses", "/api/people", "/people", "/",
                 "/prices", f"/houses/{house}", f"/houses/{house}/history", f"/houses/{house}/openings/W1",
                 f"/houses/{house}/survey"):  # fmt: skip
        assert client.get(path).status_code == 200, path


BAD_IDS = [
    "%2e%2e", "%00", "0123456789ABCDEF", "0123456789abcde", "0123456789abcdef0", "0123456789abcdef%0a", "a" * 400,
           "%ff%fe", "%F0%9F%91%B7", "' OR 1=1 --", "%25", "*"]  # fmt: skip


@pytest.mark.parametrize("bad", BAD_IDS)
def test_an_id_of_no_shape_finds_nothing_on_any_route(client, house, bad):
    """Every part of every path but the name of a page, a paper or a calculation: those are looked up in a list."""
    for route in iter_route_contexts(client.app.routes):
        if not route.path.startswith("/api"):
            continue
        parts = [
            name for name in FILLED if f"{{{name}}}" in route.path and name not in ("name:path", "rest:path")
        ]
        for wrong in parts:
            path = route.path
            for name, value in (FILLED | {"house": house}).items():
                path = path.replace(f"{{{name}}}", bad if name == wrong else value)
            for method in (route.methods or set()) - {"HEAD"}:
                answer = client.request(method, path, headers={"If-Match": "*"})
                assert answer.is_error, (method, path)
                assert not broken_down(answer), (method, path)


@pytest.mark.parametrize(
    ("path", "sent", "words"),
    [
        ("/api/houses", b'{"label": " "}', "label: ' ' can't be; write something; it can't be left blank."),
        ("/api/houses", b'{"survey": []}', "survey: fields with values are wanted here, not a list of 0."),
        ("/api/houses", b'{"name": "x"}', "name: there is no such field here. Correct or remove it."),
        ("/api/houses", b'"x"', "body: fields with values are wanted here, not 'x'."),
        ("/api/houses", b"{", "What was sent is no JSON that can be read."),
        ("/api/people", b'{"name": "x", "role": "king"}', "role: 'king' is not one of 'office', 'fitter'"),
        ("/api/reading-check", b'{"outside": {"width": {"top": ["x"]}}}', "outside.width.top.0: 'x' is not a number."),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_request_is_told_in_plain_words(client, path, sent, words):
    answer = client.post(path, content=sent, headers=JSON)
    assert answer.status_code == 422
    assert words in " ".join(problem["say"] for problem in answer.json()["problems"])


def test_what_is_wrong_with_an_address_is_told_in_plain_words(client, house):
    answer = client.get(f"/api/houses/{house}/changes?since=-1")
    assert answer.json()["problems"] == [
        {
            "field": "since",
            "say": "since: -1 can't be; it must be at least 0. Check the figure.",
            "kind": "bad",
        }
    ]


def test_a_number_of_a_change_is_no_larger_than_either_database_counts(client, house):
    assert client.get(f"/api/houses/{house}/changes?since={2**31 - 1}").status_code == 200
    assert client.get(f"/api/houses/{house}/changes?since={2**31}").status_code == 422


def test_a_body_at_the_bound_is_looked_through_in_no_time():
    for body in (
        b'"' * 900_000,
        b'"\\' * 450_000,
        b"[]" * 450_000,
        b'\\"' * 450_000,
        b'{"a":"\\ud800' + b"\\" * 900_000,
    ):
        began = time.monotonic()
        depth(body)
        mended_json(body)
        assert time.monotonic() - began < 1


trees = st.recursive(
    st.none() | st.integers() | st.text(), lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner)
)


def deepness(tree):
    inner = tree.values() if isinstance(tree, dict) else tree if isinstance(tree, list) else None
    return 0 if inner is None else 1 + max(map(deepness, inner), default=0)


@given(trees)
def test_depth_is_what_the_tree_has(tree):
    for plainly in (True, False):
        body = json.dumps(tree, ensure_ascii=plainly).encode("utf-8", "surrogatepass")
        assert depth(body) == deepness(tree)


@given(trees, st.booleans())
def test_what_has_no_odd_character_is_handed_on_as_it_came(tree, plainly):
    body = json.dumps(tree, ensure_ascii=plainly).encode("utf-8", "surrogatepass")
    given_on = json.loads(mended_json(body))
    json.dumps(given_on, ensure_ascii=False).encode()
    assert given_on == tree or mended_json(body) != body


def test_a_house_made_with_half_a_pair_is_there(client):
    made = client.post("/api/houses", content=json.dumps({"label": HALF}), headers=JSON).json()
    assert made["label"] == MENDED
    assert add_house(client.app.state.store, TREE)
