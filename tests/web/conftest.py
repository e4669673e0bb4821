import signal
from contextlib import contextmanager, suppress

import pytest
from playwright.sync_api import sync_playwright
from starlette.testclient import TestClient

import demo_house
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.paper.drawings import drawings
from jambwright.store import add_house, invite, join, open_store
from jambwright.web import create_app
from survey_trees import TREE
from web_server import CHROMIUM, CHROMIUM_WORDS, Running


@pytest.fixture
def store(tmp_path):
    opened = open_store(tmp_path / "houses.db")
    yield opened
    opened.close()


@pytest.fixture
def app(store):
    return create_app(store)


LOAD = """(name) => new Promise((resolve) => {
  const base = [...document.scripts].find((s) => s.src.includes("/static/")).src.replace(/[^/]*$/, "");
  import(base + name).then((module) => { window.all = { ...window.all, ...module }; resolve(true); });
})"""


@pytest.fixture(scope="module")
def with_scripts(browser, tmp_path_factory):
    """Pages of a served store with what some scripts export in them, under ``all``."""
    store = open_store(tmp_path_factory.mktemp("scripts") / "houses.db")
    running = Running(store)
    pages = []

    def make(*names):
        page = browser.new_page(base_url=running.address)
        pages.append(page)
        page.goto(f"/join/{invite(store, name='Ada', role='fitter')}")
        page.get_by_role("button").click()
        page.goto("/site")
        for name in names:
            page.evaluate(LOAD, name)
        return page

    yield make
    for page in pages:
        page.close()
    running.stop()
    store.close()


NAMES = {"office": "Ada", "fitter": "Fay", "read_only": "Lou"}


def session(store, role="office", name=None):
    """A session's token."""
    return join(store, invite(store, name=name or NAMES[role], role=role), device="test")[0]


@pytest.fixture
def client_for(app, store):
    """Clients by role, authorised by header."""

    def make(role="office", name=None):
        headers = {"Authorization": f"Bearer {session(store, role, name)}"}
        return TestClient(app, base_url="http://127.0.0.1", headers=headers)

    return make


@pytest.fixture
def client(client_for):
    return client_for()


@pytest.fixture
def stranger(app):
    return TestClient(app, base_url="http://127.0.0.1", follow_redirects=False)


@pytest.fixture
def house(store):
    return add_house(store, TREE)


@pytest.fixture
def demo(store):
    return add_house(store, parse_tree(read_text("demo_house.yaml")))


@pytest.fixture
def running(store):
    server = Running(store)
    yield server
    server.stop()


@pytest.fixture(scope="session")
def browser():
    with sync_playwright() as player:
        opened = player.chromium.launch(executable_path=CHROMIUM, args=CHROMIUM_WORDS)
        yield opened
        opened.close()


CLOSED_S = 20
"""Chromium seldom, but now and then, never tells that a context is closed; nothing of the test hangs on it."""


@contextmanager
def at_most(seconds):
    """Raise ``TimeoutError`` after so long; the time that the whole test has goes on."""

    def over(*_):
        raise TimeoutError

    before, (left, _) = signal.signal(signal.SIGALRM, over), signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, left)
        signal.signal(signal.SIGALRM, before)


@pytest.fixture
def new_page(browser, running):
    """Pages of devices of their own, let in and watched for faults."""
    contexts = []

    def make(role="fitter", name="Ada", width=390, height=844, address=None, watch=None, **more):
        context = browser.new_context(
            viewport={"width": width, "height": height},
            has_touch=width < 800,
            base_url=running.address,
            **more,
        )
        contexts.append(context)
        if watch:
            watch(context)
        page = context.new_page()
        page.faults = []
        page.on("pageerror", lambda error: page.faults.append(str(error)))
        page.on(
            "console", lambda told: page.faults.append(told.text) if "Content Security" in told.text else None
        )
        page.set_default_timeout(20_000)
        page.goto(address or running.invitation(role, name))
        page.get_by_role("button", name="Let this device in").click()
        page.wait_for_url("**/*")
        return page

    yield make
    for context in contexts:
        faults = [fault for page in context.pages for fault in getattr(page, "faults", [])]
        with suppress(TimeoutError), at_most(CLOSED_S):
            context.close()
        assert not faults


@pytest.fixture(scope="session")
def demo_plan():
    """The record of the demo house as it is kept, and some of its papers."""
    record = demo_house.record()
    papers = {f"drawings/{name}": body for name, body in drawings(demo_house.recorded("W4")).items()}
    return record.model_dump(mode="json"), papers | {"summary.txt": b"W4"}
