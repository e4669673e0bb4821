"""Whether the stated chance that a frame goes in is the true one, in five bands.

Run as a script; the figures go to ``results/fit_chances.json`` and ``results/fit_chances.md``. Every
simulated opening is measured, adjusted, and given one frame for each band; the frame, off by what its maker
leaves, is then tried in the true opening.
"""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
from surveys import (
    FULL,
    NO_BOWS,
    SETS,
    SHAPE,
    TAPE_ONLY,
    Floats,
    Houses,
    honest_readings,
    net_over,
    true_openings,
)

from jambwright.frame.chance import MAKER, draw
from jambwright.opening import Gaps, Outline, Rectangle, Space
from jambwright.opening.contacts import contacts, snug
from jambwright.opening.outline import outline_of

SEED = 8213
MANY = 20_000
COMMON_MM = 0.5
GAPS = Gaps(left=5.0, right=5.0, head=5.0, bottom=5.0)
BANDS = ((0.5, 0.8), (0.8, 0.9), (0.9, 0.95), (0.95, 0.99), (0.99, 0.999))
RESULTS = Path(__file__).parent / "results"


def surveyed(
    set_name: str, many: int, rng: np.random.Generator, houses: Houses
) -> tuple[Floats, list[Outline]]:
    """True openings and their outlines from readings that share a tape error."""
    p = true_openings(many, rng, houses)
    places = SETS[set_name]
    read = honest_readings(p, places, rng)
    lengths = np.array([kind in ("width", "height", "diagonal") for kind, _ in places])
    read += lengths * rng.normal(0, COMMON_MM, (many, 1))
    net = net_over(places, p)
    fit = net.adjust(read)
    outlines = [
        outline_of(fit.one(n), replace(net, upright_sigmas=net.upright_sigmas[n]), []) for n in range(many)
    ]
    return p, outlines


def space_of_truth(p: Floats) -> tuple[Floats, ...]:
    """Where each side of a frame may go in the true opening: at its two ends and between them."""
    points = tuple((float(x), float(y)) for x, y in SHAPE.boundary(p)[0])
    space = Space(points=points, sides=SHAPE.sides)
    found = contacts(space, GAPS, snug(space, GAPS))
    share = {"bottom": 0.0, "middle": 0.5, "top": 1.0}
    low, high = (np.array([[c.limit, share[c.at]] for c in found[s]]) for s in ("left", "right"))
    return low, high, *(np.array([c.limit for c in found[s]]) for s in ("bottom", "head"))


def goes_in(truth: tuple[Floats, ...], width: float, height: float, errors: Floats) -> bool:
    """Whether a frame off by ``errors`` (width, height, rack) has a place with all gaps kept."""
    low, high, bottom, head = truth
    room_across = np.min(high[:, 0] - errors[2] * high[:, 1]) - np.max(low[:, 0] - errors[2] * low[:, 1])
    return bool(room_across >= width + errors[0] and head.min() - bottom.max() >= height + errors[1])


def measure_set(set_name: str, houses: Houses) -> list[dict[str, float]]:
    """Stated and true share that goes in, by band."""
    rng = np.random.default_rng(SEED)
    truths, outlines = surveyed(set_name, MANY, rng, houses)
    stated, went_in = np.zeros((MANY, len(BANDS))), np.zeros((MANY, len(BANDS)), bool)
    for n, outline in enumerate(outlines):
        space = outline.space()
        near = snug(space, GAPS)
        draws = draw(outline, space, GAPS, near, common_mm=COMMON_MM, draws_log2=12)
        slack = np.sort(np.minimum(draws.width_most - near.width, draws.height_most - near.height))
        rack = MAKER.diagonal_mm / 2 * np.hypot(near.width, near.height) / (2 * near.width)
        errors = rng.normal(0, [MAKER.size_mm / 2, MAKER.size_mm / 2, rack])
        truth = space_of_truth(truths[n])
        for k, band in enumerate(BANDS):
            more = slack[int((1 - rng.uniform(*band)) * len(slack))]
            size = Rectangle(0, 0, near.width + more, near.height + more)
            stated[n, k] = draws.probability(size.width, size.height)
            went_in[n, k] = goes_in(truth, size.width, size.height, errors)
    return [
        {
            "from": band[0],
            "to": band[1],
            "stated": float(stated[:, k].mean()),
            "went_in": float(went_in[:, k].mean()),
        }
        for k, band in enumerate(BANDS)
    ]


def measure() -> dict[str, Any]:
    """All figures: houses as crooked as the stand-ins take them, with edges bowed as their prior says."""
    as_taken = Houses(corner_mm=None, bow_mm=3.0)
    sets = {name: measure_set(name, as_taken) for name in (FULL, NO_BOWS, TAPE_ONLY)}
    worst = max(abs(b["stated"] - b["went_in"]) for bands in sets.values() for b in bands)
    return {"seed": SEED, "openings": MANY, "worst_difference": worst, "sets": sets}


def as_text(figures: dict[str, Any]) -> str:
    """The figures as a page."""
    lines = [
        "# Stated chance that the frame goes in, and the share that did",
        "",
        f"{figures['openings']} simulated openings a set, each with one frame a band, seed "
        f"{figures['seed']}; maker's tolerance 2 mm on sizes and diagonals, tape error in common 0.5 mm. "
        f"Largest difference {100 * figures['worst_difference']:.2f} percentage points.",
        "",
        "| Readings | " + " | ".join(f"{a:.1%} to {b:.1%}" for a, b in BANDS) + " |",
        "|---|" + "---|" * len(BANDS),
    ]
    for name, bands in figures["sets"].items():
        cells = [f"{b['stated']:.2%} stated, {b['went_in']:.2%} went in" for b in bands]
        lines.append(f"| {name} | " + " | ".join(cells) + " |")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    got = measure()
    (RESULTS / "fit_chances.json").write_text(json.dumps(got, indent=2) + "\n")
    (RESULTS / "fit_chances.md").write_text(as_text(got))
