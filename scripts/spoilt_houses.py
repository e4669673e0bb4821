"""Houses and tables spoilt by chance through `check`, `plan` and `gather`: no fault, none over 10 s or 1 GB.

A house may be planned or refused in words; anything else is a fault, and what caused it is kept in `build/spoilt`.
The houses are those of the kept plans; what is put in place of a value comes from other places of the same
houses, from the ends of what may be, and from what people type by mistake.

    python scripts/spoilt_houses.py --check 100000 --plan 5000 --gather 10000
"""

import argparse
import copy
import csv
import io
import json
import multiprocessing
import random
import resource
import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.readings.gathering import gathered, openings_in
from jambwright.readings.survey_file import survey_from_tree
from kept_plans import houses

ROOT = Path(__file__).parents[1]
KEPT = ROOT / "build" / "spoilt"
SLOWEST_S, LARGEST_MB = 10.0, 1000
BATCH = 1000
SLIPS: tuple[Any, ...] = (
    0, -1, 1, 5, 10, 40, 99, 100, 350, 1000, 2400, 6000, 10_000, 1e9, -0.0, 0.5, 1e-9, 1e300, None, True, False, "",
    " ", "none", "unknown", "1210", "12 10", "W1", "kitchen", "x" * 200, [], {}, [0], [None], {"mm": 1200},
    [1200, 1210], "2026-12-07", "2026-02-30", "9999-12-31", "fixed", "side_hung_left", "door", "window", "=1+1",
    "\ud83d", "\x00",
)  # fmt: skip

TYPED = (
    "1208",
    "1210 1212",
    "1211.5",
    "W9",
    "bathroom",
    "911 1/2",
    "1,5",
    "1.210,5",
    "120cm",
    '48"',
    "",
    "left jamb soft",
)

Place = tuple[dict[str, Any] | list[Any], Any]


def _places(tree: Any) -> Iterator[Place]:
    for key, value in list(tree.items() if isinstance(tree, dict) else enumerate(tree)):
        yield tree, key
        if isinstance(value, dict | list):
            yield from _places(value)


def spoilt(tree: dict[str, Any], chance: random.Random, others: list[Any]) -> dict[str, Any]:
    """One to three values replaced, doubled, swapped, scaled, added or dropped."""
    tree = copy.deepcopy(tree)
    for _ in range(chance.randint(1, 3)):
        places = list(_places(tree))
        parent, key = chance.choice(places)
        value = parent[key]
        how = chance.random()
        if isinstance(value, int | float) and not isinstance(value, bool) and how < 0.5:
            parent[key] = value * chance.choice((0.1, 0.5, 0.9, 0.97, 1.03, 1.1, 2, 10, -1)) + chance.choice(
                (0, 0, 20)
            )
        elif how < 0.6:
            parent[key] = chance.choice(SLIPS)
        elif how < 0.75:
            parent[key] = copy.deepcopy(chance.choice(others))
        elif how < 0.85 and isinstance(parent, dict):
            del parent[key]
        elif isinstance(parent, list):
            parent.insert(key, copy.deepcopy(value))
        else:
            parent[chance.choice(("note", "id", "opens", "across", "down", "kind", "wall", "now"))] = value
    return tree


def _checked(chance: random.Random, trees: list[Any], others: list[Any]) -> tuple[Any, Callable[[], Any]]:
    tree = spoilt(chance.choice(trees), chance, others)
    return tree, lambda: job.check(survey_from_tree(tree))


def _planned(chance: random.Random, trees: list[Any], others: list[Any]) -> tuple[Any, Callable[[], Any]]:
    """Only what is a survey at all, so that each gets as far as the plan."""
    while True:
        tree = spoilt(chance.choice(trees), chance, others)
        try:
            survey = survey_from_tree(tree)
        except BadInput:
            continue
        return tree, partial(job.plan_and_print, survey)


def _gathered(chance: random.Random, trees: list[Any], _: list[Any]) -> tuple[Any, Callable[[], Any]]:
    base = chance.choice(trees)
    room = base["house"]["rooms"][0]["name"]
    rows = [
        [
            "opening",
            "room",
            "width top mm",
            "width bottom mm",
            "height left mm",
            "diagonal rising mm",
            "note",
        ],
        *([f"W{n}", room, "1210 1211", "1209", "1050", "1601.5", "over the sink"] for n in range(1, 4)),
    ]
    for _ in range(chance.randint(1, 3)):
        # headings seldom: a table that is refused at once by them shows nothing of its rows
        row = chance.choice(rows if chance.random() < 0.1 else rows[1:])
        at = chance.randrange(len(row)) if row else 0
        how = chance.random()
        if how < 0.5 and row:
            row[at] = chance.choice(TYPED)
        elif how < 0.8 and row:
            row[at] = str(chance.choice((*SLIPS, row[at] * 2)))
        elif how < 0.85:
            row.insert(at, str(chance.choice(SLIPS)))
        elif how < 0.9 and row:
            del row[at]
        else:
            rows.insert(chance.randrange(len(rows) + 1), list(row))
    table = io.StringIO()
    csv.writer(table, delimiter=chance.choice(",;\t")).writerows(rows)
    content = table.getvalue().encode(errors="replace")

    def gather() -> None:
        openings, _ = openings_in(content)
        tree, *_ = gathered(base, openings)
        survey_from_tree(tree)

    return content.decode(), gather


WAYS = {"check": _checked, "plan": _planned, "gather": _gathered}


def _batch(way: str, seed: int, count: int) -> tuple[Counter[str], float, list[tuple[Any, str]]]:
    """So many of one way: how they ended, the slowest, and the faults. Runs in a process of its own."""
    chance = random.Random(seed)
    trees = [*houses().values(), _one_of_demo(chance)]
    others = [parent[key] for tree in trees for parent, key in _places(tree)]
    ended: Counter[str] = Counter()
    slowest, faults = 0.0, []
    for _ in range(count):
        given, act = WAYS[way](chance, trees, others)
        start = time.process_time()
        try:
            act()
            ended["taken"] += 1
        except BadInput as refused:
            ended["refused in words"] += 1
            if not all(problem.say.strip() for problem in refused.problems):
                faults.append((given, "refused without a word"))
        except Exception:  # whatever it is, it is the fault looked for
            ended["fault"] += 1
            faults.append((given, traceback.format_exc()[-1500:]))
        took = time.process_time() - start  # whatever else the machine does
        slowest = max(slowest, took)
        if took > SLOWEST_S:
            faults.append((given, f"took {took:.0f} s"))
    return ended, slowest, faults


def _one_of_demo(chance: random.Random) -> dict[str, Any]:
    tree: dict[str, Any] = json.loads(json.dumps(parse_tree(read_text("demo_house.yaml")), default=str))
    tree["openings"] = chance.sample(tree["openings"], 2)
    return tree


def _told(job_of: tuple[str, int, int]) -> tuple[Counter[str], float, list[tuple[Any, str]], int]:
    found = _batch(*job_of)
    return (*found, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)


def main() -> int:
    """Run the ways asked for; the number of faults."""
    asked = argparse.ArgumentParser(description=__doc__)
    for way in WAYS:
        asked.add_argument(f"--{way}", type=int, default=0)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--at-once", type=int, default=2)
    given = asked.parse_args()
    KEPT.mkdir(parents=True, exist_ok=True)
    number = 0
    for way in WAYS:
        count = getattr(given, way)
        batches = [(way, given.seed * 1_000_003 + n, min(BATCH, count - n)) for n in range(0, count, BATCH)]
        ended: Counter[str] = Counter()
        slowest, memory, wrong = 0.0, 0, Counter[str]()
        # a process a batch: what one holds on to can't be laid to the next
        with multiprocessing.get_context("spawn").Pool(given.at_once, maxtasksperchild=1) as pool:
            for done, (how, slow, faults, peak) in enumerate(pool.imap_unordered(_told, batches), 1):
                ended += how
                slowest, memory = max(slowest, slow), max(memory, peak)
                if peak > LARGEST_MB:
                    faults.append((None, f"held {peak} MB"))
                for tree, why in faults:
                    last = why.strip().splitlines()[-1]
                    wrong[last[:120]] += 1
                    if wrong[last[:120]] <= 3:
                        number += 1
                        kept = {"why": why, "given": tree}
                        (KEPT / f"{way}-{number}.json").write_text(json.dumps(kept, default=str, indent=1))
                if done % 5 == 0 or done == len(batches):
                    told = f"{way}: {ended.total()} of {count}, {dict(ended)}, slowest {slowest:.1f} s, {memory} MB"
                    print(told, dict(wrong) or "", flush=True)
    return number


if __name__ == "__main__":
    sys.exit(1 if main() else 0)
