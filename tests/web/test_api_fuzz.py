"""The HTTP interface and the readers of files, fed with what nobody should send."""

import contextlib
import json
import os

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.errors import Unsatisfiable
from PIL import Image
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import response_schema_conformance, status_code_conformance
from starlette.testclient import TestClient

from jambwright.basis.problems import BadInput
from jambwright.basis.tree import parse_tree
from jambwright.store import add_house, invite, join, open_store
from jambwright.web import create_app
from jambwright.web.pictures import LONGEST_SIDE_PX, make_safe
from survey_trees import TREE

EXAMPLES = 8


@pytest.fixture(scope="module")
def fuzzed(tmp_path_factory):
    store = open_store(tmp_path_factory.mktemp("fuzz") / "houses.db")
    app = create_app(store, hosts=["testserver"])
    token, _ = join(store, invite(store, name="Ada", role="office"), device="fuzz")
    yield app, {"Authorization": f"Bearer {token}"}, add_house(store, TREE)
    store.close()


@pytest.fixture(scope="module")
def operations(fuzzed):
    app, headers, _ = fuzzed
    found = schemathesis.openapi.from_asgi("/api/openapi.json", app, headers=headers).get_all_operations()
    return {operation.label: operation for operation in (result.ok() for result in found)}


ENDLESS = ("/watch", "/api/work/", "/plans")
LEAVING = "DELETE /api/me"
"""Ends the session that all is asked in."""
LABELS = [
    f"{method.upper()} {path}"
    for path, methods in create_app(None).openapi()["paths"].items()
    for method in methods
    if not any(part in path for part in ENDLESS) and f"{method.upper()} {path}" != LEAVING
]
PROMISED = [not_a_server_error, status_code_conformance, response_schema_conformance]


@pytest.mark.parametrize("mode", GenerationMode, ids=["as described", "otherwise"])
@pytest.mark.parametrize("label", LABELS)
def test_whatever_is_sent_the_answer_is_one_that_was_promised(operations, fuzzed, label, mode):
    _, headers, house = fuzzed

    @settings(max_examples=EXAMPLES, suppress_health_check=list(HealthCheck), database=None)
    @given(case=operations[label].as_strategy(mode), there=st.booleans())
    def send(case, there):
        if there and "house" in (case.path_parameters or {}) and case.method != "DELETE":
            case.path_parameters["house"] = house
        case.headers = {k: v for k, v in (case.headers or {}).items() if k.lower() != "authorization"}
        answer = case.call(headers=headers)
        case.validate_response(answer, checks=PROMISED)
        if answer.status_code >= 400:
            assert all(p["say"] for p in answer.json()["problems"])

    with contextlib.suppress(Unsatisfiable):  # nothing can be sent otherwise where nothing is asked for
        send()


@pytest.fixture(scope="module")
def open_client(fuzzed):
    app, headers, _ = fuzzed
    with TestClient(
        app, base_url="http://127.0.0.1", headers=headers, raise_server_exceptions=False
    ) as client:
        yield client


YAML_ODDITIES = [
    b"&a [*a]", b"a: &x 1\nb: *x", b"!!python/object/apply:os.system ['true']", b"{" * 5000, b"- " * 3000 + b"x",
    b"\xff\xfe\x00", b"a: .nan", b"a: .inf", b"? [1, 2]\n: x", b"a: 1\na: 2", b"\x00", b"", b"%YAML 9.9\n---\na",
    b"---\na: 1\n---\nb: 2", b"jambwright: 1\nsite: {label: x}\nopenings: 1e400", b"2026-99-99", b"1" * 5000,
    b"[" * 60 + b"]" * 60, b"a: 0x" + b"f" * 6000,
]  # fmt: skip


@pytest.mark.parametrize("body", YAML_ODDITIES, ids=range(len(YAML_ODDITIES)))
def test_odd_yaml_is_refused_in_words(open_client, body):
    answer = open_client.post(
        "/api/houses/import", content=body, headers={"Content-Type": "application/yaml"}
    )
    assert answer.status_code == 422
    assert answer.json()["problems"][0]["say"]


@settings(max_examples=150)
@given(
    st.one_of(
        st.binary(max_size=200), st.text(alphabet="{}[]&*!|>-:,\"'#%@ \nab1.~", max_size=60).map(str.encode)
    )
)
def test_any_text_reads_as_a_tree_or_is_refused(body):
    try:
        tree = parse_tree(body.decode("utf-8", "replace"))
    except BadInput as bad:
        told = [p.say for p in bad.problems]
    else:
        told = [json.dumps(tree, default=str)]
    assert all(told)


def encoded(kind):
    import io

    out = io.BytesIO()
    Image.new("RGB", (40, 30), (9, 120, 200)).save(out, kind)
    return out.getvalue()


WHOLE = {kind: encoded(kind) for kind in ("JPEG", "PNG", "WEBP")}


@settings(max_examples=200)
@given(
    kind=st.sampled_from(sorted(WHOLE)),
    cuts=st.lists(st.tuples(st.integers(0, 400), st.binary(min_size=1, max_size=6)), max_size=4),
    length=st.integers(0, 800),
)
def test_a_spoilt_photo_is_re_encoded_or_refused(kind, cuts, length):
    body = bytearray(WHOLE[kind])
    for at, new in cuts:
        body[at : at + len(new)] = new
    try:
        picture = make_safe(bytes(body[: length or None]))
    except BadInput as bad:
        picture = None
        field = bad.problems[0].field
    assert (
        field == "photo" if picture is None else max(picture.width_px, picture.height_px) <= LONGEST_SIDE_PX
    )


def test_noise_for_a_photo_is_refused(open_client, fuzzed):
    _, _, house = fuzzed
    for size in (0, 1, 100, 100_000):
        sent = {"file": ("x.jpg", os.urandom(size))}
        answer = open_client.put(
            f"/api/houses/{house}/photos/n{size}", files=sent, data={"at": "2026-03-02T10:00:00Z"}
        )
        assert answer.status_code == 422
