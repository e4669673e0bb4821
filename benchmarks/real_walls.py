"""Whether stated chances are true, and who is blamed, in worlds that owe nothing to the engine.

Run as a script with ``tests`` on the path; the figures go to ``results/real_walls.json`` and ``.md``.
"""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from jambwright.frame.chance import draw
from jambwright.opening import Gaps, Outline, adjust, search
from jambwright.opening.contacts import snug
from jambwright.readings import USUAL
from jambwright.readings.written import written_to
from worlds import WORLDS, World, frame_errors, holes, read

SEED = 15
MANY = 2000
GAPS = Gaps(left=5.0, right=5.0, head=5.0, bottom=5.0)
BANDS = ((0.8, 0.9), (0.9, 0.95), (0.95, 0.99), (0.99, 0.995))
BLAME = 0.9
RESULTS = Path(__file__).parent / "results"


def guilty(world: World, kind: str) -> bool:
    """Whether readings of a kind are wrong in a world."""
    return bool((kind == "width" and world.widths_mm) or kind == world.signs_turned)


def look(world: World, rng: np.random.Generator, many: int) -> dict[str, Any]:
    """Stated and true chance by band, alarms, and openings in which an innocent reading is blamed."""
    stated, true = np.full((many, len(BANDS)), np.nan), np.zeros((many, len(BANDS)))
    doubted, blamed = np.zeros(many, bool), np.zeros(many, bool)
    for n, hole in enumerate(holes(world, many, rng)):
        taken = read(world, hole, rng)
        trust = replace(USUAL, written_to=written_to(taken))
        outline = adjust(taken, trust=trust)
        findings = search(outline, taken, trust)
        doubted[n] = findings.doubted
        blamed[n] = any(s.chance >= BLAME and not guilty(world, s.kind) for s in findings.suspects)
        for k, (size, chance) in enumerate(sizes(outline, rng)):
            stated[n, k] = chance
            true[n, k] = hole.takes(*size, frame_errors(*size, rng))
    return {
        "bands": [
            {
                "from": low,
                "to": high,
                "stated": float(stated[:, k].mean()),
                "went_in": float(true[:, k].mean()),
            }
            for k, (low, high) in enumerate(BANDS)
        ],
        "doubted": float(doubted.mean()),
        "innocent_blamed": float(blamed.mean()),
    }


def sizes(outline: Outline, rng: np.random.Generator) -> list[tuple[tuple[float, float], float]]:
    """A frame for each band, with the chance stated for it."""
    space = outline.space()
    near = snug(space, GAPS)
    draws = draw(outline, space, GAPS, near, draws_log2=12)
    slack = np.sort(np.minimum(draws.width_most - near.width, draws.height_most - near.height))
    found = []
    for low, high in BANDS:
        more = float(slack[int((1 - rng.uniform(low, high)) * len(slack))])
        size = (near.width + more, near.height + more)
        found.append((size, draws.probability(*size)))
    return found


def measure(many: int = MANY) -> dict[str, Any]:
    """All worlds."""
    return {
        "seed": SEED,
        "openings": many,
        "worlds": {
            name: look(world, np.random.default_rng([SEED, n]), many)
            for n, (name, world) in enumerate(WORLDS.items())
        },
    }


def as_text(figures: dict[str, Any]) -> str:
    """The figures as a page."""
    lines = [
        "# Worlds outside the engine's assumptions", "",
        f"{figures['openings']} simulated openings a row, seed {figures['seed']}.", "",
        "| World | " + " | ".join(f"{a:.1%} to {b:.1%}" for a, b in BANDS) + " | doubted | innocent reading blamed |",
        "|---|" + "---|" * (len(BANDS) + 2),
    ]  # fmt: skip
    for name, w in figures["worlds"].items():
        cells = [f"{b['stated']:.1%} stated, {b['went_in']:.1%} went in" for b in w["bands"]]
        lines.append(f"| {name} | {' | '.join(cells)} | {w['doubted']:.1%} | {w['innocent_blamed']:.1%} |")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    got = measure()
    (RESULTS / "real_walls.json").write_text(json.dumps(got, indent=2) + "\n")
    (RESULTS / "real_walls.md").write_text(as_text(got))
