"""The rules of a nation on a day as a list that a person or a machine can read."""

from __future__ import annotations

from datetime import date

from jambwright.basis.problems import BadInput
from jambwright.checks.regulations.rule import Rule, rules_in_force


def listed_rules(nation: str, on: date | str) -> list[dict[str, str]]:
    """Every rule in force with limit, test kind and source, as text; those of flats alone stand last.

    ``judged`` is ``no`` for a rule that is only told and not judged.

    Raises ``BadInput`` when nation or day is not known.

    >>> next(r["limit"] for r in listed_rules("england", "2026-05-01") if r["rule"] == "escape.area")
    '0.33'
    """
    when = day(on)
    house, flat = rules_in_force(nation, when), rules_in_force(nation, when, flat=True)
    for_flats = [rule for rule in flat if rule.edition.dwelling]
    return [*(_line(rule) for rule in house), *(_line(rule) for rule in for_flats)]


def day(text: date | str) -> date:
    """A date, or one written as 2026-05-01."""
    if isinstance(text, date):
        return text
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise BadInput.one("date", f"date: {text!r} is not a date; write it as 2026-05-01.") from None


def _line(rule: Rule) -> dict[str, str]:
    limit = "" if rule.limit is None else rule.limit if isinstance(rule.limit, str) else f"{rule.limit:g}"
    return {
        "rule": rule.id,
        "test": rule.test,
        "says": rule.says,
        "limit": limit or "no figure",
        "unit": rule.unit if limit else "",
        "not_met": rule.not_met or "",
        "source": f"{rule.source}; {rule.how}",
        "note": f"  ({rule.note})" if rule.note else "",
        "dwelling": rule.edition.dwelling,
        "judged": "no" if rule.use == "listed" else "yes",
    }
