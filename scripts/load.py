"""Fifty phones on a served house, first alone and then beside one hostile client at every limit.

Phones send changes, read the house back and look at readings. The hostile client, let in as a fitter, sends the
largest bodies, images and calculations there may be and wrong codes, each as fast as it is answered, and from a
second address heads a byte at a time. Its program stands back for the others on this machine, as if it ran on one of
its own. Everything stays on the loopback, where each phone has an address of its own (RFC 1122, 3.2.1.3), and ends
by itself. Prints the 50th and 95th percentile of what the phones waited in both, and their ratio.
"""

import argparse
import io
import itertools
import multiprocessing
import os
import random
import socket
import sys
import tempfile
import threading
import time
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

import httpx2
from PIL import Image

from jambwright.store import Store, add_house, invite, join, new_id, open_store
from jambwright.web.pictures import LARGEST_PIXELS

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
from phones import PLACES_READ, TRUE_MM
from web_server import Served

HOSTILE, AND_SLOW = "127.0.0.66", "127.0.0.67"
"""Its slow connections have another address: on its own they would keep out the rest of it."""
PHONES_A_HOUSE = 5
PAUSE_S = 2.0
"""From one reading to the next: an honest tape is no quicker."""


@dataclass
class Waited:
    """Seconds the phones waited, by what for."""

    by: dict[str, list[float]] = field(default_factory=dict)
    failed: int = 0

    def add(self, what: str, seconds: float) -> None:
        """Note one."""
        self.by.setdefault(what, []).append(seconds)

    def ms(self, what: str, share: float) -> float:
        """A percentile in milliseconds."""
        times = sorted(self.by.get(what, [0.0]))
        return times[min(len(times) - 1, int(share * len(times)))] * 1000


def device(served: str, address: str, token: str) -> httpx2.Client:
    """A client with an address of its own, of the server at that of ``served``."""
    transport = httpx2.HTTPTransport(local_address=address)
    return httpx2.Client(
        base_url=served, transport=transport, timeout=30, headers={"Authorization": f"Bearer {token}"}
    )


def session(store: Store, name: str) -> str:
    """A fitter's token."""
    joined = join(store, invite(store, name=name, role="fitter"), device="load")
    assert joined
    return joined[0]


def phone(served: Served, token: str, house: str, n: int, until: float, waited: Waited) -> None:
    """Type readings until then."""
    chance, standing, taken = random.Random(n), {}, {}
    with device(served.address, f"127.0.2.{n + 1}", token) as client:
        time.sleep(chance.uniform(0, PAUSE_S))
        while time.monotonic() < until:
            kind, at = chance.choice(PLACES_READ)
            mm = round(TRUE_MM[kind] + chance.gauss(0, 1), 1)
            path = f"/openings/W{n}/outside/{kind}/{at}"
            change = {"id": new_id(), "path": path, "was": standing.get(path), "value": mm,
                      "at": "2026-03-02T10:00:00Z"}  # fmt: skip
            standing[path] = mm
            taken.setdefault(kind, {})[at] = mm
            asked = (
                ("save", "POST", f"/api/houses/{house}/changes", {"device": f"d{n}", "changes": [change]}),
                ("read", "GET", f"/api/houses/{house}", None),
                ("look", "POST", "/api/reading-check", {"name": f"W{n}", "outside": taken}),
            )
            for what, method, where, body in asked:
                began = time.monotonic()
                try:
                    answer = client.request(method, where, json=body)
                    waited.failed += answer.status_code >= 400
                except httpx2.HTTPError:
                    waited.failed += 1
                waited.add(what, time.monotonic() - began)
            time.sleep(chance.uniform(0.5, 1.5) * PAUSE_S)


def hostile(served: str, token: str, house: str, seconds: float) -> dict[str, int]:
    """Everything at once and at the limit, from one address; how many of each were sent."""
    until = time.monotonic() + seconds
    side = int(LARGEST_PIXELS["PNG"] ** 0.5)
    out = io.BytesIO()
    Image.new("RGBA", (side, side)).save(out, "PNG")
    cut = {
        "stock_mm": [{"length": 6000 + n} for n in range(40)],
        "pieces": [{"length_mm": 301.7 + 7.31 * n, "count": 4} for n in range(400)], "seconds": 3600,
    }  # fmt: skip
    fields = {f"field{n}": n for n in range(45_000)}
    changes = {"device": "x", "changes": [
        {"id": f"h{n}", "path": "/note", "was": 1, "value": [1] * 2000, "at": "2026-03-02T10:00:00Z"}
        for n in range(150)
    ]}  # fmt: skip
    photo = {"files": {"file": ("x.png", out.getvalue())}, "data": {"at": "2026-03-02T10:00:00Z"}}
    count = itertools.count()
    sent = {
        "calculations": lambda c: c.post("/api/calc/stock-cutting", json=cut),
        "bodies": lambda c: c.post("/api/houses", json=fields),
        "changes": lambda c: c.post(f"/api/houses/{house}/changes", json=changes),
        "images": lambda c: c.put(f"/api/houses/{house}/photos/p{next(count)}", **photo),
        "plans": lambda c: c.post(f"/api/houses/{house}/plans"),
        "codes": lambda c: c.post(f"/join/guess-number-{next(count)}", data={"name": "x"}),
        "files": lambda c: c.post("/api/houses/import", content=b"[" + b"1," * 1_900_000 + b"1]"),
    }
    told = dict.fromkeys(sent, 0)

    def again(what: str) -> None:
        with device(served, HOSTILE, token) as client:
            while time.monotonic() < until:
                try:
                    sent[what](client)
                    told[what] += 1
                except httpx2.HTTPError:
                    time.sleep(0.05)

    threads = [threading.Thread(target=again, args=(what,)) for what in sent for _ in range(2)]
    threads += [threading.Thread(target=_slow_heads, args=(served, until))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return told


def _slow_heads(served: str, until: float) -> None:
    """Two hundred connections, each a byte a second."""
    held: list[socket.socket] = []
    port = int(served.rsplit(":", 1)[1])
    while time.monotonic() < until:
        while len(held) < 200:
            held.append(socket.create_connection(("127.0.0.1", port), 5, (AND_SLOW, 0)))
        for each in list(held):
            try:
                each.send(b"G")
            except OSError:
                each.close()
                held.remove(each)
        time.sleep(1)
    for each in held:
        each.close()


def run(phones: int, seconds: float, *, attacked: bool) -> tuple[Waited, dict[str, int]]:
    """One served database with phones for so long."""
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder) / "houses.db"
        store = open_store(data)
        houses = [
            add_house(store, {
                "jambwright": 1, "site": {"label": f"{n} Example Row (invented)"},
                "openings": [{"id": f"W{k}", "room": "Room", "outside": {}} for k in range(n, n + PHONES_A_HOUSE)],
            })
            for n in range(0, phones, PHONES_A_HOUSE)
        ]  # fmt: skip
        tokens = [session(store, f"P{n}") for n in range(phones)]
        theirs = session(store, "X")
        store.close()
        served, waited = Served(data), Waited()
        try:
            with device(
                served.address, "127.0.2.250", tokens[0]
            ) as first:  # workers are there before anything is timed
                first.post(
                    "/api/reading-check", json={"outside": {"width": {"top": 1200}, "height": {"left": 1050}}}
                )
            until = time.monotonic() + seconds
            apart = ProcessPoolExecutor(1, multiprocessing.get_context("spawn"), os.nice, (15,))
            with ThreadPoolExecutor(phones) as all_of_them, apart:
                told = apart.submit(hostile, served.address, theirs, houses[0], seconds) if attacked else None
                for n in range(phones):
                    all_of_them.submit(
                        phone, served, tokens[n], houses[n // PHONES_A_HOUSE], n, until, waited
                    )
            return waited, told.result() if told else {}
        finally:
            served.kill()


def main() -> None:
    """Both runs, one after the other."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--phones", type=int, default=50)
    asked.add_argument("--seconds", type=float, default=60)
    words = asked.parse_args()
    quiet, _ = run(words.phones, words.seconds, attacked=False)
    beside, sent = run(words.phones, words.seconds, attacked=True)
    print(f"{words.phones} phones, {words.seconds:g} s each; the hostile client had answered: {sent}")
    print("| what | quiet p50, p95 ms | attacked p50, p95 ms | ratio of p95 |\n|---|---|---|---|")
    for what in ("save", "read", "look"):
        a, b = ([w.ms(what, share) for share in (0.5, 0.95)] for w in (quiet, beside))
        print(f"| {what} | {a[0]:.0f}, {a[1]:.0f} | {b[0]:.0f}, {b[1]:.0f} | {b[1] / a[1]:.2f} |")
    print(f"Refused or unanswered to phones: quiet {quiet.failed}, attacked {beside.failed}.")


if __name__ == "__main__":
    main()
