"""What to say of an adjusted shape: what disagrees, what nothing checks, what to measure next, which curve it is."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jambwright.basis.problems import BadInput
from jambwright.basis.units import show_mm
from jambwright.opening.least_squares import UNCHECKED
from jambwright.opening.outline import DETECTION
from jambwright.opening.shape import Floats
from jambwright.opening.shaped.arched import ARCHED
from jambwright.opening.shaped.fitting import (
    TOGETHER,
    WORTH_SEEING_MM,
    Shaped,
    SuspectReading,
    adjust_shape,
    chance_of,
)

AT_ODDS = 0.001
"""Chance of what is left, once the worst reading is set aside, below which the rest is doubted too."""


def next_reading(found: Shaped) -> str | None:
    """The unread place that best lets slips of lengths be noticed; none where it would help nothing."""
    figure = found.figure
    taken = [r.place for r in found.readings]
    open_places = [place for place in figure.places if place not in taken]
    sds = np.array([figure.sd(place) for place in open_places])
    _, rows = figure.observe([*taken, *open_places], found.fit.parameters)
    read = rows[: len(taken)] / found.fit.sigmas[:, None]
    lengths = np.array([place not in figure.bevels for place in taken])
    best, worth = None, _blind(read, found.fit.sigmas, lengths) * 0.95
    for place, row, sd in zip(open_places, rows[len(taken) :], sds, strict=True):
        blind = _blind(np.vstack([read, row / sd]), found.fit.sigmas, lengths)
        if blind < worth:
            best, worth = place, blind
    return best


def _blind(rows: Floats, sigmas: Floats, lengths: Floats) -> float:
    """Mean of the smallest misreads that would be noticed; a length nothing checks counts as a metre."""
    redundancy = 1 - np.einsum("ij,ji->i", rows, np.linalg.pinv(rows, rcond=1e-6))[: len(sigmas)]
    checked = redundancy > UNCHECKED
    least = np.where(checked, DETECTION * sigmas / np.sqrt(np.where(checked, redundancy, 1.0)), 1000.0)
    return float(np.minimum(least[lengths], 1000.0).mean())


def curves_that_fit(found: Shaped) -> tuple[str, ...]:
    """Other heads that suit readings no single slip explains, the likeliest first."""
    if found.figure.kind not in ARCHED or not found.suspects or _one_slip_explains(found):
        return ()
    fits: dict[str, float] = {}
    for kind, head in ARCHED.items():
        if head.curve is ARCHED[found.figure.kind].curve:
            continue
        try:
            other = adjust_shape(head.figure, found.readings)
        except BadInput:
            continue
        chance, open_ways = other.p_value, len(head.figure.parameters) - int(other.fit.rank)
        if chance is not None and chance > TOGETHER and open_ways <= _open_ways(found):
            fits[kind] = chance
    return tuple(sorted(fits, key=lambda kind: -fits[kind]))


def _open_ways(found: Shaped) -> int:
    return len(found.figure.parameters) - int(found.fit.rank)


def _one_slip_explains(found: Shaped) -> bool:
    """Whether the rest agrees once the worst reading is set aside; its part of the square sum is w²."""
    rest = found.square_sum - float(np.nanmax(np.abs(found.w))) ** 2
    chance = chance_of(max(rest, 0.0), found.degrees_of_freedom - 1)
    return chance is None or chance > AT_ODDS


def shape_words(found: Shaped, others: tuple[str, ...], measure_next: str | None) -> Iterator[str]:
    """The finding in plain words."""
    yield from _accused(found, others)
    if not found.form_measured:
        yield "How far the opening leans was not measured: read a diagonal or the plumb of a jamb."
    if not found.level_measured:
        yield "Level and plumb were not measured; the opening is taken to stand upright."
    if found.degrees_of_freedom == 0:
        yield "Each reading is needed to draw the opening, so none checks another."
    elif found.unseen:
        yield f"A slip of {WORTH_SEEING_MM:g} mm in {', '.join(found.unseen)} would not be noticed."
    if measure_next:
        yield f"Measure {measure_next} too: it tells most."
    if remark := found.figure.remark(found.estimate, found.sd):
        yield remark


def _accused(found: Shaped, others: tuple[str, ...]) -> Iterator[str]:
    if not found.suspects:
        return
    names = [_name(found, s) for s in found.suspects]
    if others:
        known = " or ".join(kind.replace("_", "-") for kind in others)
        yield (
            f"No single slip explains these readings, and another head suits them ({known}): look at the curve before "
            "anything is measured again."
        )
    elif len(names) == 1:
        s = found.suspects[0]
        off = f"{_unit(found, s, abs(s.read - s.likely))} too {'large' if s.read > s.likely else 'small'}"
        yield f"{names[0]} looks {off}, likely {_unit(found, s, s.likely)}: measure it again."
    else:
        yield f"One of {', '.join(names)} is likely wrong, and the readings can't tell which: measure these again."
    if not others and not _one_slip_explains(found):
        yield (
            "The rest disagree even without it: more than one reading is wrong, or the opening is of another kind. "
            "Make a template if it stays so."
        )


def _name(found: Shaped, suspect: SuspectReading) -> str:
    return f"{suspect.name} ({_unit(found, suspect, suspect.read)})"


def _unit(found: Shaped, suspect: SuspectReading, value: float) -> str:
    bevel = suspect.name.split("#")[0] in found.figure.bevels
    return f"{value:.1f}°" if bevel else f"{show_mm(value)} mm"
