"""The smallest change of an order that meets every rule at once, found by search and shown as a choice."""

from __future__ import annotations

import heapq
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import count

from jambwright.checks.regulations.check import check_opening
from jambwright.checks.regulations.facts import OpeningFacts
from jambwright.checks.regulations.order_changes import OrderStep, can_mend, options
from jambwright.checks.regulations.rule import rules_for
from jambwright.checks.verdict import AGAINST, Verdict

_FOLLOWING = ("safety_glass.", "ventilation.background.")
_MOST_CHOICES = 4
_MOST_TIMES = 3.0
"""A choice that changes this many times as much as the smallest is none."""
_MOST_TRIED = 400
"""Orders looked at before the search gives up; a window has a handful of lights and panes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """One way to mend the order: the steps, the opening as it would be, and its findings."""

    steps: tuple[OrderStep, ...]
    facts: OpeningFacts
    verdicts: tuple[Verdict, ...]

    @property
    def weight(self) -> float:
        """How much is changed; less is better."""
        return sum(step.weight for step in self.steps)

    @property
    def say(self) -> str:
        """The steps in a sentence."""
        return "; ".join(step.say for step in self.steps)


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedies:
    """Choices, smallest change first, and the failures that no change tried mends."""

    choices: tuple[Remedy, ...] = ()
    beyond: tuple[Verdict, ...] = ()


def remedies(facts: OpeningFacts) -> Remedies:
    """Search the order's own options until no rule fails; each choice meets every rule it can at once."""
    failing = _failures(check_opening(facts))
    mendable = frozenset(v.rule for v in failing if can_mend(v.rule))
    choices = _mended(facts, _others(failing, mendable)) if mendable else ()
    if not choices:
        # what can't be mended even alone must not stand in the way of what can
        alone = {rule for rule in mendable if _mended(facts, _others(failing, frozenset([rule])))}
        mendable = frozenset(alone)
        choices = _mended(facts, _others(failing, mendable)) if mendable else ()
    mended = mendable if choices else frozenset()
    return Remedies(choices=choices, beyond=tuple(v for v in failing if v.rule not in mended))


def _failures(verdicts: list[Verdict]) -> list[Verdict]:
    return [v for v in verdicts if v.word in AGAINST]


def _others(failing: list[Verdict], wanted: frozenset[str]) -> frozenset[str]:
    return frozenset(v.rule for v in failing) - wanted


def _mended(start: OpeningFacts, let_be: frozenset[str]) -> tuple[Remedy, ...]:
    """The shape of the window first; glass and ventilators follow it and change nothing else."""
    shapes = _search(start, lambda rule: rule not in let_be and not rule.startswith(_FOLLOWING))
    found: list[Remedy] = []
    for shape in shapes:
        finished = _search(shape.facts, lambda rule: rule not in let_be)
        several = finished if len(shapes) == 1 else finished[:1]
        found += [replace(last, steps=(*shape.steps, *last.steps)) for last in several]
    found.sort(key=lambda remedy: remedy.weight)
    return tuple(choice for choice in found if choice.weight <= _MOST_TIMES * found[0].weight)


def _search(start: OpeningFacts, wanted: Callable[[str], bool]) -> tuple[Remedy, ...]:
    """Orders by weight of change: the first failure left is mended in every way there is."""
    rules, order, tried = rules_for(start.nation, start.work), count(), {start}
    heap: list[tuple[float, int, OpeningFacts, tuple[OrderStep, ...]]] = [(0.0, next(order), start, ())]
    found: list[Remedy] = []
    while heap and len(found) < _MOST_CHOICES and len(tried) < _MOST_TRIED:
        weight, _, facts, steps = heapq.heappop(heap)
        if found and weight > _MOST_TIMES * found[0].weight:
            break
        verdicts = check_opening(facts)
        left = [v for v in _failures(verdicts) if wanted(v.rule)]
        touched = {(step.kind, step.on) for step in steps}
        if not left:
            if not any(_says_as_much(done, steps) for done in found):
                found.append(Remedy(steps=steps, facts=facts, verdicts=tuple(verdicts)))
            continue
        for step, changed in options(facts, left[0], rules):
            if (step.kind, step.on) not in touched and changed not in tried:
                tried.add(changed)
                heapq.heappush(heap, (weight + step.weight, next(order), changed, (*steps, step)))
    return tuple(found)


def _says_as_much(done: Remedy, steps: tuple[OrderStep, ...]) -> bool:
    """Whether a choice holds another, or is another of several steps in other sizes."""
    alike = [(s.kind, s.on) for s in done.steps] == [(s.kind, s.on) for s in steps]
    return set(done.steps) <= set(steps) or (alike and len(steps) > 1)
