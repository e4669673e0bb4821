"""A rule is data: nation, dates, document, paragraph, kind of test, limit, and how sure we are of it."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from types import MappingProxyType
from typing import Any, Literal, get_args

from jambwright.basis.clause import Clause, How, weakest
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import Row, table
from jambwright.basis.working import Working
from jambwright.checks.verdict import Rest, Verdict, Word, settled
from jambwright.readings.survey import Nation

Test = Literal["must", "no_worse", "advice", "scope"]

NATIONS: tuple[Nation, ...] = get_args(Nation)

_SOFT: Mapping[Word, Word] = {"meets": "advise", "fails": "refer", "worse": "refer"}
"""Nothing is passed or failed on an unconfirmed figure alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition:
    """One edition of one document, and when it is in force."""

    key: str
    nations: tuple[str, ...]
    document: str
    since: date
    until: date | None

    @property
    def name(self) -> str:
        """The document with the dates it is in force."""
        return f"{self.document} (in force from {self.since}{f' to {self.until}' if self.until else ''})"

    def covers(self, on: date) -> bool:
        """Whether work done on that day comes under this edition."""
        return self.since <= on and (self.until is None or on <= self.until)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule of one edition. ``limit`` is a figure or, for bands and the like, a word."""

    id: str
    says: str
    edition: Edition
    place: str
    test: Test
    not_met: Word | None
    limit: float | str | None
    unit: str
    inputs: tuple[str, ...]
    how: How
    confirmed: bool
    note: str

    @property
    def source(self) -> Clause:
        """Document, dates and paragraph as printed beside a finding."""
        place = self.place if self.confirmed else f"{self.place} (not confirmed)"
        return Clause(self.edition.name, place, self.how)

    @property
    def rest(self) -> Rest:
        """The rule itself as something that a finding rests on."""
        return Rest(what="a recalled rule", how=self.how, ask="ask building control to confirm it")

    @property
    def figure(self) -> float:
        """The limit as a number; only for rules that have one."""
        assert isinstance(self.limit, float), self.id
        return self.limit

    def verdict(
        self,
        word: Word,
        why: str,
        *,
        found: Any = None,
        limit: Any = None,
        unit: str | None = None,
        source: Clause | None = None,
        working: Working | None = None,
        rests_on: Iterable[Rest] = (),
        by_figure: bool = True,
    ) -> Verdict:
        """A finding under this rule; softened, and said so, where the figure is not confirmed.

        ``rests_on`` are the facts that decide it; ``by_figure`` is off where the rule's own figure does not.
        """
        shown = self.limit if limit is None else limit
        soft = word if self.confirmed else _SOFT.get(word, word)
        doubt = "" if self.confirmed else " The figure is not confirmed; ask building control."
        return settled(
            rule=self.id,
            word=soft,
            why=f"{why[:1].upper()}{why[1:]}{f' Note: {self.note}.' if self.note else ''}{doubt}",
            found=found,
            limit=shown,
            unit=("" if isinstance(shown, str) else self.unit) if unit is None else unit,
            source=source or self.source,
            rests_on=(*rests_on, *((self.rest,) if by_figure else ())),
            working=working or Working(),
        )

    def judge(
        self, met: bool, why: str, *, found: Any = None, limit: Any = None, rests_on: Iterable[Rest] = ()
    ) -> Verdict:
        """The finding ``meets``, or this rule's consequence."""
        word: Word = "meets" if met else self.not_met or "fails"
        return self.verdict(word, why, found=found, limit=limit, rests_on=rests_on)

    def unknown(self, missing: list[str], about: str = "") -> Verdict:
        """The finding when inputs are missing: which, how to get them, and what they are for."""
        measure = {row["input"]: row["measure"] for row in table("rule_inputs")}
        wanted = "; ".join(f"missing `{name}`: {measure[name]}" for name in missing)
        finding = self.verdict("unknown", f"{about}{wanted}. It is needed to tell: {self.says}.")
        return replace(finding, missing=tuple(missing))

    def unknown_from(self, facts: Any, about: str = "") -> Verdict | None:
        """``unknown`` when the facts lack one of the rule's inputs, else nothing."""
        missing = [name for name in self.inputs if getattr(facts, name) is None]
        return self.unknown(missing, about) if missing else None


@dataclass(frozen=True, slots=True)
class RuleSet:
    """The rules of one nation in force on one day."""

    nation: str
    on: date
    rules: Mapping[str, Rule]

    def __getitem__(self, rule_id: str) -> Rule:
        """The rule of that id."""
        return self.rules[rule_id]

    def __iter__(self) -> Iterator[Rule]:
        """Iterate over the rules in the order of the subjects."""
        return iter(self.rules.values())

    def get(self, rule_id: str) -> Rule | None:
        """The rule of that id, or nothing where this nation has none."""
        return self.rules.get(rule_id)

    def not_held(self, group: str) -> list[Verdict]:
        """One finding when the day lies before the first edition held of a group's rules, else none."""
        first = _first_held(self.nation, group)
        if first is None or self.on >= first.edition.since:
            return []
        why = (
            f"The work is dated {self.on}; the earliest edition held for this is {first.edition.name}. "
            "Ask building control which rules apply."
        )
        return [
            Verdict(rule=f"{group}.edition", word="refer", why=why, found=str(self.on), source=first.source)
        ]


@functools.lru_cache(maxsize=64)
def rules_in_force(nation: str, on: date) -> RuleSet:
    """The rules of a nation on the day of the work.

    Raises ``BadInput`` when the nation is not known.
    """
    if nation not in NATIONS:
        raise BadInput.one("nation", f"nation: {nation!r} is not one of {', '.join(NATIONS)}.")
    held = {rule.id: rule for rule in _all_rules(nation) if rule.edition.covers(on)}
    return RuleSet(nation, on, MappingProxyType({i: held[i] for i in _subjects() if i in held}))


def all_rules() -> Iterator[tuple[str, Rule]]:
    """Every rule of every nation and edition, with the nation."""
    return ((nation, rule) for nation in NATIONS for rule in _all_rules(nation))


@functools.cache
def _subjects() -> Mapping[str, Row]:
    return {row["id"]: row for row in table("rule_subjects")}


@functools.cache
def _all_rules(nation: str) -> tuple[Rule, ...]:
    rows = [row for row in table("rule_editions") if nation in row["nations"].split()]
    return tuple(rule for row in rows for rule in _rules_of(row["key"]))


@functools.cache
def _rules_of(key: str) -> tuple[Rule, ...]:
    """An edition's own rules, then those it takes over from the edition it is like."""
    row = table("rule_editions").find(key=key)
    edition = Edition(
        key=key,
        nations=tuple(row["nations"].split()),
        document=row["document"],
        since=date.fromisoformat(row["since"]),
        until=date.fromisoformat(row["until"]) if row["until"] else None,
    )
    own = [_rule(edition, r) for r in table("rules") if r["edition"] == key]
    held = {rule.id for rule in own}
    like = _rules_of(row["like"]) if row["like"] else ()
    return (*own, *(_taken_over(rule, edition, row) for rule in like if rule.id not in held))


def _rule(edition: Edition, row: Row) -> Rule:
    subject = _subjects()[row["id"]]
    return Rule(
        id=row["id"],
        says=subject["says"],
        edition=edition,
        place=row["place"],
        test=row["test"],
        not_met=row["not_met"] or None,
        limit=row["limit_text"] or row["limit"],
        unit=subject["unit"],
        inputs=tuple(subject["inputs"].split()),
        how=row["how"],
        confirmed=row["confirmed"] == "yes",
        note=row["note"],
    )


def _taken_over(rule: Rule, edition: Edition, row: Row) -> Rule:
    advice = row["like_test"] == "advice" and rule.test != "scope"
    return replace(
        rule,
        edition=edition,
        place=f"paragraph not looked up; as in {rule.edition.document}, {rule.place}",
        test="advice" if advice else rule.test,
        not_met="advise" if advice else rule.not_met,
        how=weakest(rule.how, row["like_how"]),
        confirmed=rule.confirmed and row["like_confirmed"] == "yes",
    )


@functools.cache
def _first_held(nation: str, group: str) -> Rule | None:
    """The rule from whose first edition on every rule of the group is held."""
    first: dict[str, Rule] = {}
    for rule in _all_rules(nation):
        if rule.id.startswith(f"{group}.") and (
            rule.id not in first or rule.edition.since < first[rule.id].edition.since
        ):
            first[rule.id] = rule
    return max(first.values(), key=lambda rule: rule.edition.since, default=None)
