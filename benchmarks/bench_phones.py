"""Phones typing into a served database: what was lost (nothing), and how long they waited.

Fifty phones for two minutes against each database, a reading a second each; and twenty phones that also ask
for the full look at every reading, a reading in three seconds each. Phones run in this process and the server
in one of its own, on the machine's cores together. Waiting is also told as a ratio to the same server's
answer to a request that keeps and reckons nothing (`GET /api/calc`).
"""

import os
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
RUNS = {
    "saving": {"phones": 50, "seconds": 120, "pause_s": 1.0, "looking": 0},
    "live look": {"phones": 20, "seconds": 60, "pause_s": 3.0, "looking": 20},
}


@pytest.mark.parametrize(
    ("run", "kind"), [("saving", "sqlite"), ("saving", "postgresql"), ("live look", "sqlite")]
)
def test_phones_typing(benchmark, run, kind, tmp_path):
    if kind == "sqlite":
        benchmark.pedantic(_run, args=(run, kind, tmp_path / "houses.db"), rounds=1)
    else:
        with postgres_server() as url:
            benchmark.pedantic(_run, args=(run, kind, url), rounds=1)


def _run(run, kind, data):
    served = Served(data)
    store = open_store(data)
    try:
        plain_ms = _plain_ms(served)
        tally, houses = run_phones(served.address, store, **RUNS[run])
        lost = missing_afterwards(store, tally, houses)
    finally:
        served.kill()
        store.close()
    _write(run, kind, tally, len(lost), plain_ms)
    assert lost == []


def _plain_ms(served):
    times = []
    with httpx2.Client(base_url=served.address) as client:
        client.post(served.invitation)
        for _ in range(30):
            began = time.perf_counter()
            client.get("/api/calc")
            times.append(time.perf_counter() - began)
    return statistics.median(times) * 1000


HEAD = (
    "| run | database | phones | seconds | acknowledged | lost | unanswered | save p50, p95 ms "
    "| look p50, p95 ms | p95 over a plain request | load of the machine |"
)


def _write(run, kind, tally, lost, plain_ms):
    """One row a run, the newest in place of the one before."""
    RESULTS.parent.mkdir(exist_ok=True)
    rows = RESULTS.read_text().splitlines()[4:] if RESULTS.exists() else []
    saves, looks = (
        [tally.percentile_ms(t, share) for share in (0.5, 0.95)] for t in (tally.saves_s, tally.looks_s)
    )
    telling = looks if tally.looks_s else saves
    row = (
        f"| {run} | {kind} | {RUNS[run]['phones']} | {RUNS[run]['seconds']} | {len(tally.acknowledged)} | {lost} "
        f"| {tally.unanswered} | {saves[0]:.0f}, {saves[1]:.0f} | {looks[0]:.0f}, {looks[1]:.0f} "
        f"| {telling[1] / plain_ms:.1f} | {os.getloadavg()[1]:.1f} on {os.cpu_count()} cores |"
    )
    rows = sorted([r for r in rows if not r.startswith(f"| {run} | {kind} ")] + [row])
    title = "# Phones typing into a served database, phones and server on the same cores"
    RESULTS.write_text("\n".join([title, "", HEAD, "|" + "---|" * (HEAD.count("|") - 1), *rows]) + "\n")
