"""What to look at before an opening is ordered: readings that disagree, and the rules its order breaks.

The owner may know and order all the same; so an order that breaks a rule is marked, not refused.
"""

from __future__ import annotations

from collections.abc import Iterator

from jambwright.checks.rule_needs import ON_DOUBTED
from jambwright.checks.rules_on_house import OpeningRules
from jambwright.checks.verdict import AGAINST
from jambwright.paper.rule_words import short, title
from jambwright.plan.house import OpeningPlan

ORDERED = "ordered, do not order again"
MEASURE_AGAIN = "measure again, do not order"
LOOK = "look before ordering"


def hold(plan: OpeningPlan, rules: OpeningRules) -> str | None:
    """Why there is nothing to order yet, or no more, in a line; ``None`` when nothing speaks against it."""
    if plan.opening.is_done("ordered"):
        return ORDERED
    if not plan.to_order:
        return MEASURE_AGAIN
    return look(plan, rules)


def look(plan: OpeningPlan, rules: OpeningRules) -> str | None:
    """What the order breaks and what to do, in a line; ``None`` when it passes."""
    said = before_ordering(plan, rules)
    return f"{LOOK.capitalize()}. {' '.join(said)}" if said else None


def before_ordering(plan: OpeningPlan, rules: OpeningRules) -> list[str]:
    """A sentence a check or rule that the order does not pass, and what to do; empty when it passes."""
    broken = [f"{v.word.capitalize()}: {v.sentence}" for v in plan.verdicts if v.word in AGAINST]
    broken += [f"{v.word.capitalize()}: {short(v)}." for v in rules.verdicts if v.word in AGAINST]
    doubt = [ON_DOUBTED] if broken and not plan.to_order else []
    return [*dict.fromkeys(broken), *_instead(rules), *doubt]


def _instead(rules: OpeningRules) -> Iterator[str]:
    choices, beyond = rules.remedies.choices, rules.remedies.beyond
    if choices:
        others = len(choices) - 1
        more = f", or {others} other choice{'s' if others > 1 else ''} in findings.pdf" if others else ""
        yield f"Order instead: {choices[0].say}{more}."
    if beyond:
        titles = "; ".join(dict.fromkeys(title(verdict.rule) for verdict in beyond))
        yield f"No change tried mends: {titles}. Choose another product, or ask building control."
