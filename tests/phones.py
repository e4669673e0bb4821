"""Simulated phones typing readings into a served house, and the count of what must be there afterwards."""

import math
import random
import threading
import time
from dataclasses import dataclass, field

import httpx2

from jambwright.readings import PLACES
from jambwright.store import add_house, history, invite, new_id, new_tree, read_house

PLACES_READ = [(kind, at) for kind in ("width", "height", "diagonal") for at in PLACES[kind]]
TRUE_MM = {"width": 1200.0, "height": 1050.0, "diagonal": math.hypot(1200, 1050)}
MISREAD_MM, MISREAD_SHARE = 100, 0.03
"""An honest tape on one opening, and now and then a misread."""
PHONES_A_HOUSE = 5
AWHILE_S = 15.0


@dataclass
class Tally:
    """What the phones saw."""

    acknowledged: list[str] = field(default_factory=list)
    last: dict[tuple[str, str, str], float] = field(default_factory=dict)
    """By house, path and phone: the last figure the server acknowledged."""
    saves_s: list[float] = field(default_factory=list)
    looks_s: list[float] = field(default_factory=list)
    unanswered: int = 0

    def percentile_ms(self, times: list[float], share: float) -> float:
        return sorted(times)[min(len(times) - 1, int(share * len(times)))] * 1000 if times else 0.0


def run_phones(address, store, *, phones, seconds, pause_s=1.0, looking=20, seed=1):
    """Let phones type for some seconds. ``looking`` of them also ask for a look at each reading."""
    tally, lock = Tally(), threading.Lock()
    houses = []
    for n in range(0, phones, PHONES_A_HOUSE):
        tree = new_tree(f"{n} Example Row (invented)")
        tree["openings"] = [
            {"id": f"W{k}", "room": "Room", "outside": {}} for k in range(n, min(n + PHONES_A_HOUSE, phones))
        ]
        houses.append(add_house(store, tree))
    until = time.monotonic() + seconds
    typists = [
        threading.Thread(
            target=_phone,
            args=(address, invite(store, name=f"P{n}", role="fitter"), houses[n // PHONES_A_HOUSE], n),
            kwargs={"until": until, "pause_s": pause_s, "looks": n < looking, "tally": tally, "lock": lock,
                    "chance": random.Random(seed * 1000 + n)},
        )
        for n in range(phones)
    ]  # fmt: skip
    for thread in typists:
        thread.start()
    for thread in typists:
        thread.join()
    return tally, houses


def _phone(address, secret, house, n, *, until, pause_s, looks, tally, lock, chance):
    with httpx2.Client(base_url=address, timeout=AWHILE_S) as client:
        client.post(f"/join/{secret}", data={"name": f"P{n}"})
        client.headers["X-Jambwright-Token"] = client.get("/api/me").json()["token"]
        standing, taken = {}, {}
        time.sleep(chance.uniform(0, pause_s))  # people don't begin at one stroke
        while time.monotonic() < until:
            kind, at = chance.choice(PLACES_READ)
            mm = round(TRUE_MM[kind] + chance.gauss(0, 1), 1) + (
                MISREAD_MM if chance.random() < MISREAD_SHARE else 0
            )
            path = f"/openings/W{n}/outside/{kind}/{at}"
            change = {"id": new_id(), "path": path, "was": standing.get(path), "value": mm, "typed": str(mm),
                      "at": "2026-03-02T10:00:00Z"}  # fmt: skip
            began = time.monotonic()
            answer = None
            while answer is None:  # sent again until it is answered, as a phone does
                try:
                    answer = client.post(
                        f"/api/houses/{house}/changes", json={"device": f"d{n}", "changes": [change]}
                    )
                except httpx2.HTTPError:
                    with lock:
                        tally.unanswered += 1
                    if time.monotonic() > until + AWHILE_S:
                        return
            with lock:
                tally.saves_s.append(time.monotonic() - began)
            if answer.status_code == 200 and answer.json()["outcomes"][0]["outcome"] in ("taken", "same"):
                standing[path] = mm
                taken.setdefault(kind, {})[at] = mm
                with lock:
                    tally.acknowledged.append(change["id"])
                    tally.last[house, path, f"P{n}"] = mm
            if looks:
                began = time.monotonic()
                client.post("/api/reading-check", json={"name": f"W{n}", "outside": taken})
                with lock:
                    tally.looks_s.append(time.monotonic() - began)
            time.sleep(chance.uniform(0.5, 1.5) * pause_s)


def missing_afterwards(store, tally, houses):
    """Acknowledged changes that are not in the store, and figures that are not the last acknowledged."""
    there = {
        c.id
        for house in houses
        for c in history(store, house, limit=1_000_000)
        if c.outcome in ("taken", "same")
    }
    lost = [change for change in tally.acknowledged if change not in there]
    trees = {house: read_house(store, house).tree for house in houses}
    for (house, path, _), mm in tally.last.items():
        _, _, mark, face, kind, at = path.split("/")
        opening = next(o for o in trees[house]["openings"] if o["id"] == mark)
        if opening[face].get(kind, {}).get(at) != mm:
            lost.append(path)
    return lost
