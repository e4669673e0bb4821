"""Work in processes of its own: held to a time and a memory, ended and replaced, nobody held up by another."""

import io
import os
import subprocess
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor

import psutil
import pytest
from PIL import Image
from starlette.testclient import TestClient

import greedy
from jambwright import calc
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.store import add_house, house_plans, invite, join
from jambwright.web import create_app, heavy, workshop
from jambwright.web.workers import Bench, Broke, Budget, Busy, Stopped, nothing

ENDLESS = """
import greedy
from jambwright.web.workers import Bench, Budget
Bench(Budget(workers=1, seconds=60, memory_mb=300)).do("a", greedy.endless)
"""


@pytest.fixture
def bench(seconds):
    made = Bench(Budget(workers=2, seconds=seconds, memory_mb=300, waiting=3, waiting_of_one=1))
    yield made
    made.close()


@pytest.fixture
def seconds():
    """More than anything here takes, whatever else the machine does."""
    return 60


def until(true, seconds=20):
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end
        time.sleep(0.02)


@pytest.mark.parametrize("seconds", [2])
def test_what_takes_too_long_is_ended_in_words_and_others_go_on(bench):
    with ThreadPoolExecutor() as askers:
        late = askers.submit(bench.do, "a", greedy.endless)
        until(lambda: bench._working == ["a"])
        assert bench.do("b", greedy.waits, 0) > 0
        with pytest.raises(BadInput, match="longer than 2 s"):
            late.result()
    assert bench.do("a", greedy.waits, 0) > 0


@pytest.mark.parametrize("work", [greedy.huge, greedy.dies])
def test_what_takes_too_much_memory_is_refused_in_words_and_the_worker_replaced(bench, work):
    before = bench.do("a", greedy.waits, 0)
    with pytest.raises(BadInput, match="300 MB"):
        bench.do("a", work)
    assert bench.do("a", greedy.waits, 0) != before


def test_a_worker_that_has_grown_gives_its_memory_back(bench):
    small, _ = bench.do("a", greedy.grown, 1)
    grown, _ = bench.do("a", greedy.grown, 250)
    assert small == grown
    assert bench.do("a", greedy.grown, 1)[0] != grown
    assert not psutil.pid_exists(grown)


def test_work_under_way_ends_with_a_server_that_is_killed():
    """It went on for minutes, and nobody was left to end it."""
    server = subprocess.Popen(
        [sys.executable, "-c", ENDLESS], env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    )
    workers = []

    def at_work():
        workers[:] = psutil.Process(server.pid).children(recursive=True)
        return any(sum(each.cpu_times()[:2]) > 3 for each in workers)

    until(at_work, 60)
    server.kill()
    server.wait()
    assert psutil.wait_procs(workers, timeout=10)[1] == []


def test_a_fault_of_the_program_is_told_with_its_place_and_the_worker_goes_on(bench):
    before = bench.do("a", greedy.waits, 0)
    with pytest.raises(Broke, match=r"greedy\.py"):
        bench.do("a", greedy.breaks)
    assert bench.do("a", greedy.waits, 0) == before


def test_nobody_has_two_under_way_while_others_wait(bench):
    """Two workers: one who asks for all there is leaves one free for the others."""
    with ThreadPoolExecutor() as askers:
        greedily = [askers.submit(bench.do, "a", greedy.waits, 1.0) for _ in range(2)]
        until(lambda: len(bench._waiting) == 1)
        began = time.monotonic()
        bench.do("b", nothing)
        assert time.monotonic() - began < 0.9
        assert len({one.result() for one in greedily}) == 1


def test_what_waits_is_bounded_for_each_and_for_all(bench):
    with ThreadPoolExecutor() as askers:
        for _ in range(2):
            askers.submit(bench.do, "a", greedy.waits, 1.5)
        until(lambda: bench._working == ["a"] and len(bench._waiting) == 1)
        with pytest.raises(Busy, match="asked for before") as mine:
            bench.ask("a")
        assert mine.value.retry_after_s >= 1
        others = [bench.ask(who) for who in "bcd"]
        with pytest.raises(Busy, match="Too much"):
            bench.ask("e")
        for ticket in others:
            ticket.stop()
            with pytest.raises(Stopped):
                bench.run(ticket, nothing)


def test_what_was_stopped_ends_and_leaves_room(bench):
    told, ended = [], []
    ticket = bench.ask("a")

    def run():
        with pytest.raises(Stopped):
            bench.run(ticket, greedy.endless, told=lambda *step: told.append(step))
        ended.append(time.monotonic())

    thread = threading.Thread(target=run)
    thread.start()
    until(lambda: told)
    stopped = time.monotonic()
    ticket.stop()
    thread.join()
    assert told == [("begun", 1, 1)]
    assert ended[0] - stopped < 1.0
    assert bench.do("a", greedy.waits, 0) > 0


def test_no_worker_is_left_once_the_server_is_done(store):
    app = create_app(store)
    with TestClient(app, base_url="http://127.0.0.1"):
        until(lambda: app.state.workshop.looks._idle)
        pid = app.state.workshop.looks.do("a", greedy.waits, 0)
    until(lambda: not psutil.pid_exists(pid))


def test_a_small_calculation_takes_hardly_longer_for_being_done_elsewhere(bench):
    example = dict(calc.calculation("lifting").example)
    bench.do("a", heavy.calculated, "lifting", example, False)
    calc.answer("lifting", example)
    there, here = [], []
    for _ in range(20):
        for times, work in (
            (there, lambda: bench.do("a", heavy.calculated, "lifting", example, False)),
            (here, lambda: calc.answer("lifting", example)),
        ):
            began = time.perf_counter()
            work()
            times.append(time.perf_counter() - began)
    assert sorted(there)[10] - sorted(here)[10] < 0.05


LONG_SEARCH = {
    "stock_mm": [{"length": 6000}, {"length": 6500}],
    "pieces": [{"length_mm": 601.7 + 17.31 * n, "count": 5} for n in range(60)],
    "seconds": 3600,
}


def test_over_http_a_calculation_over_its_time_is_told_in_words(store, monkeypatch):
    monkeypatch.setattr(workshop, "QUICK", Budget(workers=1, seconds=1, memory_mb=2000))
    app = create_app(store)
    client = TestClient(app, base_url="http://127.0.0.1", headers=headers(store))
    answer = client.post("/api/calc/stock-cutting", json=LONG_SEARCH)
    assert answer.status_code == 422
    [problem] = answer.json()["problems"]
    assert problem["say"] == "This takes longer than 1 s and was ended. Ask for less at once."
    example = dict(calc.calculation("lifting").example)
    assert client.post("/api/calc/lifting", json=example).status_code == 200


def headers(store, name="Ada", role="office"):
    token, _ = join(store, invite(store, name=name, role=role), device="test")
    return {"Authorization": f"Bearer {token}"}


def test_over_http_too_much_at_once_is_told_when_to_try_again(store):
    app = create_app(store)
    client = TestClient(app, base_url="http://127.0.0.1", headers=headers(store))
    for _ in range(3):
        app.state.workshop.quick.ask("testclient")
    answer = client.post("/api/calc/lifting", json=dict(calc.calculation("lifting").example))
    assert answer.status_code == 503
    assert int(answer.headers["Retry-After"]) >= 1
    assert "Wait for it" in answer.json()["problems"][0]["say"]


def test_a_plan_is_stopped_by_the_one_who_started_it_and_by_nobody_else(store):
    app = create_app(store)
    house = add_house(store, parse_tree(read_text("demo_house.yaml")))
    ada, bo = (
        TestClient(app, base_url="http://127.0.0.1", headers=headers(store, who, "fitter"))
        for who in ("Ada", "Bo")
    )
    number = ada.post(f"/api/houses/{house}/plans").json()["work"]
    until(lambda: app.state.works.find(number).steps, 60)
    assert bo.delete(f"/api/work/{number}").status_code == 403
    assert ada.delete(f"/api/work/{number}").status_code == 204
    until(lambda: app.state.works.find(number).ended)
    assert app.state.works.find(number).problems[0]["say"] == "Stopped. Nothing of it was kept."
    assert house_plans(store, house) == []


def wide(mode="RGB", size=(7680, 7680)):
    out = io.BytesIO()
    Image.new(mode, size).save(out, "PNG")
    return out.getvalue()


@pytest.mark.parametrize(("mode", "many"), [("RGB", 10), ("RGBA", 4)])
def test_the_largest_photos_are_unpacked_one_at_a_time_and_the_memory_given_back(client, house, mode, many):
    """Ten of 59 million pixels at once. They took 4.3 GB together, and kept 3.9."""
    body, app = wide(mode), client.app
    example = dict(calc.calculation("lifting").example)
    client.post("/api/calc/lifting", json=example)  # workers have something to be branched off
    before, most, sending = _unshared_mb(), 0.0, True

    def send(n):
        form = {"at": "2026-03-02T10:00:00Z"}
        while True:
            sent = client.put(f"/api/houses/{house}/photos/p{n}", files={"file": ("x.png", body)}, data=form)
            if sent.status_code != 503:
                return sent.status_code
            time.sleep(0.1)  # as a phone does: sent until acknowledged

    def watch():
        nonlocal most
        while sending:
            most = max(most, _unshared_mb())
            time.sleep(0.2)

    watcher = threading.Thread(target=watch)
    watcher.start()
    with ThreadPoolExecutor(10) as phones:
        answers = list(phones.map(send, range(many)))
    sending = False
    watcher.join()
    assert answers == [200] * many
    assert most - before < 600
    assert _unshared_mb() - before < 100
    assert not app.state.workshop.photos._working


def _unshared_mb():
    """What this program and its workers hold for themselves; not a browser that other tests have open."""
    total, program = 0, psutil.Process().exe()
    for process in (psutil.Process(), *psutil.Process().children(recursive=True)):
        try:
            total += process.memory_full_info().uss if process.exe() == program else 0
        except psutil.NoSuchProcess:
            continue
    return total / 1e6
