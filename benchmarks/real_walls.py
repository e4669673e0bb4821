"""Whether stated chances are true, and who is blamed, in worlds that owe nothing to the engine.

Run as a script with ``tests`` on the path; the figures go to ``results/real_walls.json`` and ``.md``.
"""

import json
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from jambwright.frame.chance import draw
from jambwright.opening import BETS, SCALES, Findings, Gaps, Outline, adjust, evidence, search
from jambwright.opening.contacts import snug
from jambwright.opening.explain_together import STEPPED
from jambwright.readings import QUARTERS, USUAL
from jambwright.readings.quarters import quarters_asked
from jambwright.readings.written import written_to_in
from worlds import WORLDS, Hole, World, frame_errors, holes, read

SEED = 15
MANY = 2000
GAPS = Gaps(left=5.0, right=5.0, head=5.0, bottom=5.0)
BANDS = ((0.8, 0.9), (0.9, 0.95), (0.95, 0.99), (0.99, 0.995))
BLAME = 0.9
FRAMES = 6
"""Frames of each size that are tried."""

RESULTS = Path(__file__).parent / "results"


def guilty(world: World, kind: str) -> bool:
    """Whether readings of a kind are wrong in a world."""
    return bool((kind == "width" and world.widths_mm) or kind == world.signs_turned)


def look(world: World, rng: np.random.Generator, many: int) -> dict[str, Any]:
    """Stated and true chance by band, alarms, and openings in which an innocent reading is blamed."""
    stated, true = np.zeros((many, len(BANDS))), np.zeros((many, len(BANDS)))
    doubted, blamed, stepped, hinted = (np.zeros(many, bool) for _ in range(4))
    every = list(holes(world, many, rng))
    for n, (hole, (outline, findings)) in enumerate(zip(every, looked_at(world, every, rng), strict=True)):
        doubted[n] = findings.doubted
        blamed[n] = any(s.chance >= BLAME and not guilty(world, s.kind) for s in findings.suspects)
        stepped[n] = bool(findings.steps) or any(
            e.shape and e.shape.kind == STEPPED for e in findings.explanations
        )
        read_there = {(r.kind, r.at): r.mm for r in outline.readings if (r.kind, r.at) not in QUARTERS}
        hinted[n] = bool(quarters_asked(read_there))
        for k, (size, chance) in enumerate(sizes(outline, rng)):
            stated[n, k] = chance
            true[n, k] = np.mean([hole.takes(*size, frame_errors(*size, rng)) for _ in range(FRAMES)])
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
        "called_stepped": float(stepped.mean()) if set(QUARTERS) <= set(world.read) else None,
        "quarters_asked_for": float(hinted.mean()),
    }


def looked_at(
    world: World, every: Sequence[Hole], rng: np.random.Generator
) -> Iterator[tuple[Outline, Findings]]:
    """Each opening surveyed, adjusted and searched, house by house."""
    for start in range(0, len(every), world.house):
        taken = [read(world, hole, rng) for hole in every[start : start + world.house]]
        trusts = [
            replace(USUAL, written_to=written_to_in([own, *(r for r in taken if r is not own)]))
            for own in taken
        ]
        outlines = [adjust(own, trust=trust) for own, trust in zip(taken, trusts, strict=True)]
        if world.house > 1:
            scatter = np.array([evidence(own, trust) for own, trust in zip(taken, trusts, strict=True)])
            crooked = np.array([outline.bow_and_lean_evidence() for outline in outlines])
        for n, (own, trust, outline) in enumerate(zip(taken, trusts, outlines, strict=True)):
            likely, bets = SCALES, BETS
            if world.house > 1:
                likely, bets = SCALES.after(np.delete(scatter, n, 0)), BETS.after(np.delete(crooked, n, 0))
            yield replace(outline, likely=bets), search(outline, own, trust, likely)


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
    either_way = 1.96 * (0.02 * 0.98 / figures["openings"]) ** 0.5
    lines = [
        "# Worlds outside the engine's assumptions", "",
        f"{figures['openings']} simulated openings a row, seed {figures['seed']}, by a generator and a judge that "
        "owe the engine nothing: 450 to 3000 mm, all sixteen readings unless a row says otherwise. Stated and true "
        "chance that a frame goes in, by band; openings in which something is doubted; openings in which a right "
        f"reading is blamed at 90 % or more. A share of 2 % is known to {either_way:.1%} "
        "either way (binomial, at 95 %). Where both quarter widths were read: openings whose jambs are called stepped; "
        "and in how many the middles alone would have had them asked for.", "",
        "| World | " + " | ".join(f"{a:.1%} to {b:.1%}" for a, b in BANDS)
        + " | doubted | innocent reading blamed | called stepped | quarters asked for |",
        "|---|" + "---|" * (len(BANDS) + 4),
    ]  # fmt: skip
    for name, w in figures["worlds"].items():
        cells = [f"{b['stated']:.1%} stated, {b['went_in']:.1%} went in" for b in w["bands"]]
        cells += [f"{w['doubted']:.1%}", f"{w['innocent_blamed']:.1%}"]
        cells += [
            "" if w["called_stepped"] is None else f"{w['called_stepped']:.1%}",
            f"{w['quarters_asked_for']:.0%}",
        ]
        lines.append(f"| {name} | {' | '.join(cells)} |")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    got = measure()
    (RESULTS / "real_walls.json").write_text(json.dumps(got, indent=2) + "\n")
    (RESULTS / "real_walls.md").write_text(as_text(got))
