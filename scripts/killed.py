"""Kill programs that write to a database without warning, many times over, and count what is missing after it.

Every change that was acknowledged must be in its house and in the history: after the kill, and in a copy made then
and put back. For SQLite the copy is ours; for PostgreSQL it is the server's own dump.

    python scripts/killed.py --times 20
"""

import argparse
import json
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from sqlalchemy.engine import make_url

from jambwright.store import add_house, back_up, history, new_tree, open_store, read_house, restore

ROOT = Path(__file__).parents[1]
HANDS = 8
"""Threads that write at once."""
HOUSES = 3
WRITER = """
import sys, threading
from jambwright.store import Change, open_store, read_house, take
from jambwright.store.database import now
where, run, hands, *houses = sys.argv[1:]
store = open_store(where)
told = threading.Lock()
def write(hand):
    n = 0
    stands = {house: read_house(store, house).tree["house"]["rooms"][hand]["floor_area_m2"] for house in houses}
    while True:
        n += 1
        house, value = houses[n % len(houses)], 1 + n % 90
        change = Change(id=f"{run}-{hand}-{n}", path=f"/house/rooms/room{hand}/floor_area_m2", was=stands[house],
                        value=value, at=now(), who=f"Fitter {hand}", device="test")
        stands[house] = value
        [_, kept] = take(store, house, [change])
        with told:
            print(house, kept[0].id, kept[0].outcome, flush=True)
for hand in range(int(hands)):
    threading.Thread(target=write, args=(hand,), daemon=True).start()
threading.Event().wait()
"""


def written_until_killed(where: str, run: str, houses: list[str], seconds: float) -> list[tuple[str, str]]:
    """House and number of every change that was acknowledged before the kill."""
    writer = subprocess.Popen(
        [sys.executable, "-c", WRITER, where, run, str(HANDS), *houses], stdout=subprocess.PIPE, text=True
    )
    assert writer.stdout
    told = [writer.stdout.readline()]
    time.sleep(seconds)
    os.kill(writer.pid, signal.SIGKILL)
    told += writer.stdout.read().splitlines(keepends=True)
    writer.wait()
    return [(line.split()[0], line.split()[1]) for line in told if line.endswith("\n")]


def missing(where: str, acknowledged: list[tuple[str, str]], houses: list[str]) -> list[str]:
    """What a database lacks of it. Raises where a house can't be read or a value isn't the last one written."""
    store = open_store(where)
    lacking: list[str] = []
    for house in houses:
        kept = history(store, house, limit=1_000_000)
        have = {each.id for each in kept if each.outcome in ("taken", "same")}
        lacking += [name for at, name in acknowledged if at == house and name not in have]
        tree = read_house(store, house).tree
        for room in tree["house"]["rooms"]:
            written = [each.after for each in kept if each.path.startswith(f"/house/rooms/{room['name']}/")]
            if written and room["floor_area_m2"] != written[0]:
                lacking.append(f"{room['name']}: {room['floor_area_m2']} stands, {written[0]} was written")
    store.close()
    return lacking


def _house() -> dict:
    rooms = [{"name": f"room{hand}", "use": "study", "floor_area_m2": 1} for hand in range(HANDS)]
    return new_tree("Invented house, killed often") | {"house": {"rooms": rooms}}


def campaign(where: str, again: "Again", times: int, seed: int) -> tuple[int, list[str]]:
    """Changes acknowledged, and what was missing at any time."""
    chance = random.Random(seed)
    store = open_store(where)
    houses = [add_house(store, _house()) for _ in range(HOUSES)]
    store.close()
    acknowledged: list[tuple[str, str]] = []
    lacking: list[str] = []
    for run in range(times):
        acknowledged += written_until_killed(where, f"r{run}", houses, chance.uniform(0.3, 1.2))
        lacking += missing(where, acknowledged, houses)
        again(where, run)
        lacking += [f"after the copy: {name}" for name in missing(where, acknowledged, houses)]
        print(f"kill {run + 1}: {len(acknowledged)} acknowledged, {len(lacking)} missing", flush=True)
    return len(acknowledged), lacking


class Again:
    """Makes a copy of a database and puts it back in its place."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def __call__(self, where: str, run: int) -> None:
        """SQLite: our own copy and `restore`."""
        copy = self.folder / f"copy-{run}.db"
        back_up(where, copy)
        restore(copy, where)


class AgainOnServer(Again):
    """PostgreSQL: dumped, dropped, read in again by the server's own programs."""

    def __init__(self, folder: Path, programs: Path) -> None:
        super().__init__(folder)
        self.programs = programs

    def __call__(self, where: str, run: int) -> None:
        """As its handbook says."""
        dump = self.folder / f"copy-{run}.dump"
        subprocess.run([self.programs / "pg_dump", "-Fc", "-f", dump, where], check=True)
        subprocess.run(
            [
                self.programs / "pg_restore",
                "--clean",
                "--if-exists",
                "--single-transaction",
                "-d",
                where,
                dump,
            ],
            check=True,
        )


def main() -> int:
    """Run it on both."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--times", type=int, default=20)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    sys.path.insert(0, str(ROOT / "tests"))
    from postgres_server import _programs, postgres_server

    failed = 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        done, lacking = campaign(str(folder / "houses.db"), Again(folder), given.times, given.seed)
        print(
            json.dumps({"database": "SQLite", "kills": given.times, "acknowledged": done, "missing": lacking})
        )
        failed += len(lacking)
        with postgres_server() as address:
            where = make_url(address).render_as_string(hide_password=False)
            done, lacking = campaign(where, AgainOnServer(folder, _programs()), given.times, given.seed)
        print(
            json.dumps(
                {"database": "PostgreSQL", "kills": given.times, "acknowledged": done, "missing": lacking}
            )
        )
        failed += len(lacking)
    return failed


if __name__ == "__main__":
    sys.exit(1 if main() else 0)
