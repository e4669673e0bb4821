"""How often the phone's own look at readings says what the engine says, and how long it takes.

Run as a script with ``tests`` on the path; the figures go to ``results/phone_look.json`` and ``.md``. The phone's part
runs in the headless browser that the tests use. Openings come from ``tests/worlds.py``, whose shapes and errors owe
nothing to the engine: as many for each size of slip, half of them half read, half with quarter widths too.
"""

import json
import sys
import tempfile
from pathlib import Path
from typing import Any

import numpy as np
from playwright.sync_api import Page, sync_playwright

from jambwright.store import open_store
from jambwright.web.live import look
from jambwright.web.shapes import ReadingCheck
from phone_looks import SLIPS, agreement, surveyed
from web_server import CHROMIUM, CHROMIUM_WORDS, Running

SEED = 14
MANY = 10_000
CHUNK = 250
READ = {
    "full": (False, False),
    "half": (True, False),
    "full, quarters": (False, True),
    "half, quarters": (True, True),
}
"""Whether half read, and whether quarter widths were."""
OF_DOUBTED = ("first named", "likely value")
RESULTS = Path(__file__).parent / "results"
BEGIN = """async () => {
  const base = [...document.scripts].find((one) => one.src.includes("/static/")).src.replace(/[^/]*$/, "");
  window.all = await import(`${base}look.js`);
  all.learn((await import(`${base}check.js`)).limits);
}"""
LOOK = """(several) => several.map((given) => {
  const began = performance.now();
  const found = all.look(given);
  return [found, performance.now() - began];
})"""


def looked(page: Page, several: list[dict[str, Any]]) -> tuple[list[dict[str, Any]], list[float]]:
    """What the phone says of these, and the milliseconds that each took."""
    both = [one for n in range(0, len(several), CHUNK) for one in page.evaluate(LOOK, several[n : n + CHUNK])]
    return [found for found, _ in both], [ms for _, ms in both]


def measure(page: Page, many: int) -> dict[str, Any]:
    """Shares of agreement by slip and read, of all, and times."""
    rng = np.random.default_rng(SEED)
    kinds = list(READ)
    of = [(SLIPS[n // len(kinds) % len(SLIPS)], kinds[n % len(kinds)]) for n in range(many)]
    several = [surveyed(slip, half=READ[read][0], quarters=READ[read][1], rng=rng) for slip, read in of]
    phone, times = looked(page, several)
    engine = [look(ReadingCheck.model_validate(given)) for given in several]

    def of_those(slip: float | str, read: str) -> dict[str, float]:
        some = [n for n in range(many) if of[n] == (slip, read)]
        return agreement([engine[n] for n in some], [phone[n] for n in some])

    return {
        "seed": SEED,
        "all": agreement(engine, phone),
        "by_slip": [{"slip": slip, "read": read} | of_those(slip, read) for slip in SLIPS for read in kinds],
        "ms": {f"p{p}": round(float(np.percentile(times, p)), 1) for p in (50, 95, 99)},
    }


def as_text(figures: dict[str, Any]) -> str:
    """The figures as a page."""
    whole, ms = figures["all"], figures["ms"]
    names = ("doubted", "verdict", "first named", "likely value", "next", "sentences")
    lines = [
        "# The phone's own look against the engine's", "",
        f"{whole['openings']} openings, seed {figures['seed']}: as many for each slip, half of them half "
        "read, half with quarter widths too and a jamb stepped in every second of these. Shares in which both give "
        "the same verdict, the same reading to take next and the same sentences to the letter; of "
        "those the engine doubts, in which both name the same reading first; of these, likely values within 0.5 mm.",
        "", f"A look takes {ms['p50']} ms (median), {ms['p95']} ms (95 %), {ms['p99']} ms (99 %) in the headless "
        "browser on the machine it was measured on.", "",
        "| slip, mm | read | " + " | ".join(names) + " |", "|---|---|" + "---|" * len(names),
    ]  # fmt: skip
    for row in [{"slip": "all", "read": "all"} | whole, *figures["by_slip"]]:
        shares = [
            f"{row[name]:.2%}" if row["doubted"] or name not in OF_DOUBTED else "–" for name in names[1:]
        ]
        lines.append(f"| {row['slip']} | {row['read']} | {row['doubted']} | {' | '.join(shares)} |")
    return "\n".join(lines) + "\n"


def main(many: int) -> None:
    """Measure, and write down a full run."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as player:
        store = open_store(Path(folder) / "houses.db")
        running = Running(store)
        browser = player.chromium.launch(executable_path=CHROMIUM, args=CHROMIUM_WORDS)
        page = browser.new_page(base_url=running.address)
        page.goto(running.invitation().removeprefix(running.address))
        page.get_by_role("button").click()
        page.goto("/site")
        page.evaluate(BEGIN)
        got = measure(page, many)
        browser.close()
        running.stop()
        store.close()
    if many == MANY:
        (RESULTS / "phone_look.json").write_text(json.dumps(got, indent=2) + "\n")
        (RESULTS / "phone_look.md").write_text(as_text(got))
    else:
        print(as_text(got))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else MANY)
