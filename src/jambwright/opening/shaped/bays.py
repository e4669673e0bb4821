"""The plan of a bay or a bow: facets between the points where their reference lines meet.

``P0`` is the origin, the last point lies on the wall line at ``W``; x runs along the wall, z out of it. Readings:
facets ``f1 f2 ...``; the back span ``W``; inside angles ``A1 A2 ...`` and those to the wall line ``A0`` and the last;
throws ``p1 ...`` and their feet along the string ``t1 ...``; ties between corners that are not neighbours ``T02 ...``.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from functools import partial
from itertools import pairwise

import numpy as np

from jambwright.basis.problems import BadInput, Problem
from jambwright.opening.shape import Floats
from jambwright.opening.shaped.figure import Cells, Figure, Values, angle_deg, distance

LEAST_FACETS, MOST_FACETS = 2, 9
LEAST_FACET_MM = 150.0
"""No frame is narrower."""
SLACK_DEG = 15.0
"""So much the angles may be out in all before no plan closes; a single slip is named. House default."""
SLIGHT = 0.02
"""A corner so far into the wall, beside the span, is but error. House default."""
BOTH_ENDS = 2


def bay(kind: str, facets: int) -> Figure:
    """A bay of so many facets."""
    corners = range(1, facets)
    apart = [(i, j) for i in range(facets + 1) for j in range(i + 2, facets + 1) if (i, j) != (0, facets)]
    return Figure(
        kind=kind,
        parameters=("W", *(f"{axis}{j}" for j in corners for axis in "xz")),
        read=partial(_readings, facets),
        places=(
            *(f"f{j + 1}" for j in range(facets)), "W", *(f"A{j}" for j in range(facets + 1)),
            *(f"p{j}" for j in corners), *(f"t{j}" for j in corners), *(f"T{i}{j}" for i, j in apart),
        ),
        start=partial(_start, facets),
        faults=partial(_faults, facets),
        derived=partial(_derived, facets),
        stands=partial(_stands, facets),
        bevels=frozenset(f"A{j}" for j in range(facets + 1)),
    )  # fmt: skip


def _readings(facets: int, p: Values) -> Values:
    none = 0.0 * p["W"]
    x: list[Cells] = [none, *(p[f"x{j}"] for j in range(1, facets)), p["W"]]
    z: list[Cells] = [none, *(p[f"z{j}"] for j in range(1, facets)), none]
    steps = [(x[j + 1] - x[j], z[j + 1] - z[j]) for j in range(facets)]
    said: dict[str, Cells] = {"W": p["W"], "A0": angle_deg(*steps[0])}
    for j, step in enumerate(steps):
        said[f"f{j + 1}"] = distance(*step)
    for j, ((ax, az), (bx, bz)) in enumerate(pairwise(steps), 1):
        # how far the next facet turns towards the wall
        said[f"A{j}"] = 180.0 - angle_deg(ax * bx + az * bz, az * bx - ax * bz)
        said[f"p{j}"], said[f"t{j}"] = z[j], x[j]
    said[f"A{facets}"] = angle_deg(steps[-1][0], -steps[-1][1])
    for i in range(facets + 1):
        for j in range(i + 2, facets + 1):
            said[f"T{i}{j}"] = distance(x[j] - x[i], z[j] - z[i])
    return said


def _start(facets: int, read: Mapping[str, float]) -> Mapping[str, float]:
    """Facet by facet along the directions the readings give, then closed on the wall line."""
    lengths = _lengths(facets, read)
    inner = _inner(facets, read, lengths)
    ends = 180.0 * (facets - 1) - sum(inner)
    first = read.get(
        "A0", ends - read[f"A{facets}"] if f"A{facets}" in read else _first(read, lengths[0], ends)
    )
    turns = np.cumsum([first, *(angle - 180.0 for angle in inner)])
    x, z = (np.cumsum(lengths * run(np.radians(turns))) for run in (np.cos, np.sin))
    found = {"W": read.get("W", float(x[-1]))}
    scale = found["W"] / x[-1] if x[-1] > 0 else 1.0
    for j in range(1, facets):
        lift = z[-1] * j / facets
        found[f"x{j}"] = read.get(f"t{j}", float(x[j - 1] * scale))
        found[f"z{j}"] = read.get(f"p{j}", float(z[j - 1] - lift))
    return found


def _lengths(facets: int, read: Mapping[str, float]) -> Floats:
    """Of the facets; of one that was not read the mean of the others."""
    known = [read[f"f{j}"] for j in range(1, facets + 1) if f"f{j}" in read]
    if not known:
        raise BadInput.one("readings", "readings: no facet was read; measure every facet of the bay.")
    return np.array([read.get(f"f{j}", float(np.mean(known))) for j in range(1, facets + 1)])


def _first(read: Mapping[str, float], first: float, ends: float) -> float:
    throw = read.get("p1")
    if throw is not None and abs(throw) < first:
        return math.degrees(math.asin(throw / first))
    return ends / 2


def _inner(facets: int, read: Mapping[str, float], lengths: Cells) -> list[float]:
    """Inside angles: by bevel, by the tie across, by the throws; else those of a bow that closes on ``W``."""
    even = 180.0 - _even_turn(facets, lengths, read.get("W"))
    return [
        read[f"A{j}"]
        if f"A{j}" in read
        else _by_tie(read[f"T{j - 1}{j + 1}"], lengths[j - 1], lengths[j])
        if f"T{j - 1}{j + 1}" in read
        else even
        for j in range(1, facets)
    ]


def _by_tie(tie: float, leg: float, next_leg: float) -> float:
    cosine = (leg**2 + next_leg**2 - tie**2) / (2 * leg * next_leg)
    return math.degrees(math.acos(min(max(cosine, -1.0), 1.0)))


def _even_turn(facets: int, lengths: Cells, width: float | None) -> float:
    """Turn at each corner of a bow whose facets all turn alike, by halving, degrees."""
    if width is None:
        return 180.0 / facets
    low, high = 0.0, 360.0 / facets
    for _ in range(40):
        turn = (low + high) / 2
        way = np.radians(turn) * (np.arange(facets) - (facets - 1) / 2)
        low, high = (turn, high) if np.sum(lengths * np.cos(way)) > width else (low, turn)
    return (low + high) / 2


def _faults(facets: int, read: Mapping[str, float], slack: float) -> Iterator[Problem]:
    lengths = _lengths(facets, read)
    if lacking := [f"f{j}" for j in range(1, facets + 1) if f"f{j}" not in read]:
        yield _problem(", ".join(lacking), "not read; measure every facet of the bay.")
        return
    for j, length in enumerate(lengths, 1):
        if length < LEAST_FACET_MM:
            yield _problem(f"f{j}", f"a facet of {length:g} mm is too short for a frame; {LEAST_FACET_MM:g} mm is the "
                           "least. Measure it again, or take it with its neighbour.")  # fmt: skip
    yield from _chains(facets, read, lengths, slack)
    yield from _angles(facets, read)


def _chains(facets: int, read: Mapping[str, float], lengths: Cells, slack: float) -> Iterator[Problem]:
    """A straight line between two corners is no longer than the way round, and no shorter than closes it."""
    lines = {"W": (0, facets)} | {name: (int(name[1]), int(name[2])) for name in read if name[0] == "T"}
    for name, (i, j) in lines.items():
        if name in read:
            round_it, longest = float(lengths[i:j].sum()), float(lengths[i:j].max())
            if read[name] > round_it + slack:
                yield _problem(name, f"{read[name]:g} mm is longer than its facets together ({round_it:g} mm); no plan "
                               "closes. Measure it and these facets again.")  # fmt: skip
            if read[name] < 2 * longest - round_it - slack:
                yield _problem(name, f"{read[name]:g} mm is too short to close with facets of {longest:g} and "
                               f"{round_it - longest:g} mm. Measure it and these facets again.")  # fmt: skip
    for j in range(1, facets):
        reach = min(float(lengths[:j].sum()), float(lengths[j:].sum()))
        if read.get(f"p{j}", 0.0) > reach + slack:
            yield _problem(f"p{j}", f"a throw of {read[f'p{j}']:g} mm is farther than the facets reach ({reach:g} mm). "
                           "Measure it again, square to the string.")  # fmt: skip


def _angles(facets: int, read: Mapping[str, float]) -> Iterator[Problem]:
    inner = [read.get(f"A{j}") for j in range(1, facets)]
    known = [angle for angle in inner if angle is not None]
    if len(known) < len(inner):
        return
    wanted, total = 180.0 * (facets - 1), sum(known)
    ends = [read[name] for name in ("A0", f"A{facets}") if name in read]
    over = total + sum(ends) - wanted
    if over > SLACK_DEG or (len(ends) == BOTH_ENDS and over < -SLACK_DEG):
        names = ", ".join(f"A{j}" for j in range(facets + 1) if f"A{j}" in read)
        yield _problem(names, f"the angles come to {total + sum(ends):g}°, and a bay of {facets} facets closes on the "
                       f"wall with {wanted:g}° in all, those to the wall among them. Measure the angles again, or by "
                       "three lengths.")  # fmt: skip


def _problem(name: str, say: str) -> Problem:
    return Problem("readings", say, of=name)


def _stands(facets: int, p: Mapping[str, float]) -> bool:
    """Whether it comes out of the wall."""
    out = all(p[f"z{j}"] >= -SLIGHT * p["W"] for j in range(1, facets))
    return p["W"] > 0 and out


def _derived(facets: int, p: Mapping[str, float]) -> Mapping[str, float]:
    said = _readings(facets, {name: np.array(value, complex) for name, value in p.items()})
    names = (*(f"f{j}" for j in range(1, facets + 1)), *(f"A{j}" for j in range(facets + 1)))
    return {name: float(said[name].real) for name in names}
