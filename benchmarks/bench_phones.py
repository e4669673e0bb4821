"""Fifty phones typing for two minutes into a served database: what was lost (nothing), and how long they waited.

The phones run in this process and the server in one of its own, on the machine's cores together. Waiting is
told as a ratio to the same server's answer to a request that keeps and reckons nothing (`GET /api/calc`).
"""

import statistics
import time
from pathlib import Path

import httpx2
import pytest

from jambwright.store import open_store
from phones import missing_afterwards, run_phones
from postgres_server import postgres_server
from web_server import Served

RESULTS = Path(__file__).parent / "results" / "phones.md"
PHONES, LOOKING, SECONDS = 50, 20, 120


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_fifty_phones_for_two_minutes(benchmark, kind, tmp_path):
    if kind == "sqlite":
        benchmark.pedantic(_run, args=(kind, tmp_path / "houses.db"), rounds=1)
    else:
        with postgres_server() as url:
            benchmark.pedantic(_run, args=(kind, url), rounds=1)


def _run(kind, data):
    served = Served(data)
    store = open_store(data)
    try:
        plain_ms = _plain_ms(served.address)
        tally, houses = run_phones(served.address, store, phones=PHONES, seconds=SECONDS, looking=LOOKING)
        lost = missing_afterwards(store, tally, houses)
    finally:
        served.kill()
        store.close()
    saves, looks = (
        [tally.percentile_ms(t, share) for share in (0.5, 0.95)] for t in (tally.saves_s, tally.looks_s)
    )
    _write(kind, len(tally.acknowledged), len(lost), tally.unanswered, saves, looks, plain_ms)
    assert lost == []


def _plain_ms(address):
    times = []
    with httpx2.Client(base_url=address) as client:
        for _ in range(30):
            began = time.perf_counter()
            client.get("/api/calc")
            times.append(time.perf_counter() - began)
    return statistics.median(times) * 1000


HEAD = (
    "| database | phones | seconds | acknowledged | lost | unanswered | save p50, p95 ms | look p50, p95 ms "
    "| look p95 over a plain request |"
)


def _write(kind, acknowledged, lost, unanswered, saves, looks, plain_ms):
    """One row a database, the newest run in place of the one before."""
    RESULTS.parent.mkdir(exist_ok=True)
    rows = RESULTS.read_text().splitlines()[4:] if RESULTS.exists() else []
    row = (
        f"| {kind} | {PHONES} | {SECONDS} | {acknowledged} | {lost} | {unanswered} | {saves[0]:.0f}, {saves[1]:.0f} "
        f"| {looks[0]:.0f}, {looks[1]:.0f} | {looks[1] / plain_ms:.1f} |"
    )
    rows = sorted([r for r in rows if not r.startswith(f"| {kind} ")] + [row])
    title = f"# Phones ({LOOKING} of them asking for a look at each reading; phones and server on the same two cores)"
    RESULTS.write_text("\n".join([title, "", HEAD, "|" + "---|" * (HEAD.count("|") - 1), *rows]) + "\n")
