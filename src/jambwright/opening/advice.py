"""What to say on the ladder: do the readings agree, what does nothing check, what to measure next."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy import special

from jambwright.opening.explain_together import RAKED, STEPPED, OddShape
from jambwright.opening.least_squares import UNCHECKED
from jambwright.opening.misread import Correction, Explanation, Findings
from jambwright.opening.net import sigmas_at
from jambwright.opening.outline import Adjusted, Outline
from jambwright.opening.said import NUMBERS, as_read, said, share, whole
from jambwright.opening.shape import Floats, Place
from jambwright.readings import Trust, reading_name
from jambwright.readings.quarters import quarters_asked, why_asked

Word = Literal["agree", "measure again", "too few readings to tell"]

MOVES_FORM = 0.05
"""A reading moves the outline's form when its own error passes to some length by more than this share."""

STILL_AT_ODDS = 1e-4
"""Chance of what is left unexplained below which the rest is doubted too."""

MOST_SINGLY = 2
"""More readings than this wrong at once are told as one set."""

STANDS_OUT = 0.5
"""Below this chance of the best explanation, the kinds of readings that disagree are told first."""

CLEARLY_APART = 25.0
"""Squared difference over variance beyond which a reading tells two explanations apart for certain."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """The verdict on a set of readings, and what would mend it."""

    word: Word
    unchecked: tuple[Place, ...]
    """Readings that no other reading checks."""
    measure_next: Place | None
    """The one reading that would tell most; none when nothing is open."""
    say: tuple[str, ...]
    """In plain words."""
    one_set: bool = False
    """Whether a whole set of readings stands out as wrong alike."""
    extra: tuple[Place, ...] = ()
    """Widths worth taking beside the usual ones: the middle of a jamb hints at a step."""

    @property
    def extra_say(self) -> str:
        """Why, in plain words; nothing where none is worth it."""
        return why_asked(self.extra)


def advise(outline: Outline, findings: Findings, trust: Trust) -> Advice:
    """Sum up an adjusted outline and the search for misreads."""
    unchecked = tuple((r.kind, r.at) for r in outline.readings if r.redundancy < UNCHECKED)
    if findings.doubted:
        telling = telling_reading(outline, findings, trust)
        return Advice(
            word="measure again",
            unchecked=unchecked,
            measure_next=telling,
            say=(*_accused(findings), *_apart(findings, telling), *_still(findings)),
            one_set=_one_set(findings),
        )
    resting = _form_rests_on(outline)
    few = not outline.square_measured or bool(resting)
    nearest = _most_useful(outline, trust, resting)
    say = [*_not_measured(outline), *_resting([outline.readings[n] for n in resting]), *_measure(nearest)]
    return Advice(
        word="too few readings to tell" if few else "agree",
        unchecked=unchecked,
        measure_next=nearest,
        say=tuple(say),
        extra=quarters_asked({(r.kind, r.at): r.mm for r in outline.readings}),
    )


def _form_rests_on(outline: Outline) -> tuple[int, ...]:
    """Rows of readings that nothing checks and whose error would bend the outline, not only turn it."""
    shape, fit = outline.shape, outline.fit
    _, slopes = shape.observe(shape.lengths, fit.parameters)
    passed = np.max(np.abs(slopes @ fit.gain), axis=0) / fit.sigmas
    return tuple(
        n
        for n, (r, share) in enumerate(zip(outline.readings, passed, strict=False))
        if r.redundancy < UNCHECKED and share > MOVES_FORM
    )


def telling_reading(outline: Outline, findings: Findings, trust: Trust) -> Place:
    """The reading, new or taken again, that best parts the explanations.

    The best suspect itself where one explanation stands alone. For every place each explanation foretells a
    figure with its spread; the place whose figures stand furthest apart, weighed by the chances, tells most.
    """
    first = findings.explanations[0]
    if first.changes and (findings.told_apart or len(findings.explanations) < 2):
        return first.changes[0].kind, first.changes[0].at
    places, own = _candidates(outline, trust)
    if first.shape is not None and (findings.told_apart or len(findings.explanations) < 2):
        return own_reading(first.shape)
    foretold = [_foretell(outline, places, fit.parameters, fit.covariance) for fit in findings.left]
    worth = np.zeros(len(places))
    for i, (a, spread_a) in enumerate(foretold):
        for j, (b, spread_b) in enumerate(foretold[:i]):
            power = (a - b) ** 2 / (spread_a + spread_b + 2 * own**2)
            chance = findings.explanations[i].chance * findings.explanations[j].chance
            worth += chance * np.minimum(power, CLEARLY_APART)
    return places[int(np.argmax(worth))]


def _candidates(outline: Outline, trust: Trust) -> tuple[list[Place], Floats]:
    """Every place that can be read, with the standard deviation of a reading there."""
    shape = outline.shape
    places = [*shape.lengths, *shape.upright, *shape.bows]
    return places, sigmas_at(shape, places, outline.parameters, trust)


def _foretell(
    outline: Outline, places: Sequence[Place], p: Floats, covariance: Floats
) -> tuple[Floats, Floats]:
    values, slopes = outline.shape.observe(places, p)
    return values, np.einsum("nu,uv,nv->n", slopes, covariance, slopes)


def _most_useful(outline: Outline, trust: Trust, resting: Sequence[int]) -> Place | None:
    """The reading that fills most of what is open, else checks best what the outline rests on."""
    if outline.square_measured and outline.level_measured and not resting:
        return None
    places, own = _candidates(outline, trust)
    _, slopes = outline.shape.observe(places, outline.parameters)
    seen = slopes @ outline.covariance
    variance = np.einsum("nu,nu->n", seen, slopes) + own**2
    if outline.square_measured and resting:
        shown = np.min((slopes @ outline.fit.gain[:, list(resting)]) ** 2, axis=1)
        again = [p in [(r.kind, r.at) for r in outline.readings] for p in places]
        return places[int(np.argmax(np.where(again, 0.0, shown / variance)))]
    _, bends = outline.shape.boundary(outline.parameters)
    shrink = np.einsum("mxu,nu->nmx", bends, seen) ** 2
    return places[int(np.argmax(shrink.sum((1, 2)) / variance))]


def _not_measured(outline: Outline) -> list[str]:
    say = []
    if not outline.square_measured:
        say.append(said("not_square"))
    if not outline.level_measured:
        say.append(said("not_level"))
    return say


def _resting(readings: Sequence[Adjusted]) -> list[str]:
    names = " and the ".join(reading_name(r.kind, r.at) for r in readings)
    return [said("resting", readings=names)] if readings else []


def _measure(place: Place | None) -> list[str]:
    return [said("measure", reading=reading_name(*place))] if place else []


def _still(findings: Findings) -> list[str]:
    """What to say when even the best explanation leaves the readings at odds."""
    best, fit = findings.explanations[0], findings.left[0]
    dof = len(fit.sigmas) - int(fit.rank) - len(best.rows)
    if dof < 1 or special.chdtrc(dof, float(fit.weighted_square_sum)) > STILL_AT_ODDS:
        return []
    return [said("still")]


def _accused(findings: Findings) -> Iterator[str]:
    """Readings that stand out; where explanations rival, none is accused on its own."""
    if not findings.told_apart:
        return
    best = findings.explanations[0]
    if best.shape is not None:
        yield said("shape", cause=best.cause, reading=reading_name(*own_reading(best.shape)))
    elif _one_set(findings):
        changed = _changed(best)
        changed = changed[0].upper() + changed[1:]
        yield said("several", changed=changed, chance=share(best.chance))
    else:
        yield from (suspect.say for suspect in findings.suspects)


def _one_set(findings: Findings) -> bool:
    return findings.told_apart and len(findings.explanations[0].changes) > MOST_SINGLY


def own_reading(shape: OddShape) -> Place:
    """The reading that shows an odd shape."""
    if shape.kind == STEPPED:
        return "width", shape.edge.replace(" ", "_")
    return ("level", "head") if shape.kind == RAKED else ("bow", shape.edge)


def _changed(explanation: Explanation) -> str:
    """What an explanation changes, in plain words."""
    changes = explanation.changes
    if explanation.shape is not None:
        return f"the {explanation.cause}"
    if len(changes) <= MOST_SINGLY:
        return " and ".join(
            said(
                "change",
                reading=reading_name(c.kind, c.at),
                read=as_read(c.read_mm),
                likely=whole(c.likely_mm),
            )
            for c in _told_changes(changes)
        )
    kinds = list(dict.fromkeys(c.kind for c in changes))
    which = f"{kinds[0]}s" if len(kinds) == 1 else said("lengths")
    if explanation.cause == said("turned"):
        return said("set_turned", many=_many(changes), which=which)
    off = sum(c.read_mm - c.likely_mm for c in changes) / len(changes)
    way = "short" if off < 0 else "long"
    return said("set_alike", many=_many(changes), which=which, off=whole(abs(off)), way=way)


def _told_changes(changes: Sequence[Correction]) -> Sequence[Correction]:
    """Those that come to something as written; all where none does."""
    return [c for c in changes if whole(c.likely_mm) != whole(c.read_mm)] or changes


def _many(changes: Sequence[Correction]) -> str:
    """How many places were read wrong, each counted once."""
    return NUMBERS[len({(c.kind, c.at) for c in changes})]


def _apart(findings: Findings, nearest: Place) -> list[str]:
    if findings.told_apart:
        return []
    alike: dict[str, float] = defaultdict(
        float
    )  # two that differ by less than is written are one to who reads
    for explanation in findings.explanations:
        alike[_changed(explanation)] += explanation.chance
    causes = "; or ".join(f"{changed} ({share(chance)})" for changed, chance in alike.items())
    kinds = list(dict.fromkeys(c.kind for e in findings.explanations for c in e.changes))
    at_odds = []
    if findings.explanations[0].chance < STANDS_OUT and len(kinds) > 1:
        named = [f"{kind}s" for kind in kinds]
        at_odds = [said("at_odds", some=", ".join(named[:-1]), last=named[-1])]
    return [" ".join([*at_odds, said("cannot_tell", causes=causes, reading=reading_name(*nearest))])]
