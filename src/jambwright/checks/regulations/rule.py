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
from jambwright.checks.regulations.edition import Edition, Work
from jambwright.checks.verdict import Rest, Verdict, Word, settled
from jambwright.readings.survey import Nation

Test = Literal["must", "no_worse", "advice", "scope"]
Use = Literal["judged", "extra", "listed"]
"""`judged`: its group can't be judged without it; `extra`: judged where it is held; `listed`: told, not judged."""

NATIONS: tuple[Nation, ...] = get_args(Nation)

_SOFT: Mapping[Word, Word] = {"meets": "advise", "fails": "refer", "worse": "refer"}
"""Nothing is passed or failed on an unconfirmed figure alone."""
_UNSEEN: Mapping[Word, Word] = {"meets": "refer", "fails": "refer", "worse": "refer"}
"""Nor is an order let through by the figure of an earlier edition."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule of one edition. ``limit`` is a figure or, for bands and the like, a word."""

    id: str
    speaks_of: str
    bound: str
    """How the limit binds what it speaks of, such as ``is not over``; empty where that is said already."""
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
    use: Use = "judged"
    seen: bool = True
    """Off where what this edition asks was not seen, and the figure is that of an earlier one."""

    @property
    def says(self) -> str:
        """What it speaks of and how the limit, which follows, binds it."""
        return subject_words(self.speaks_of, self.bound)

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
        """A finding under this rule; softened, and said so, where the figure is not confirmed or not of this edition.

        ``rests_on`` are the facts that decide it; ``by_figure`` is off where the rule's own figure does not.
        """
        shown = self.limit if limit is None else limit
        soft, doubt = self._doubted(word)
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

    def _doubted(self, word: Word) -> tuple[Word, str]:
        """The word as far as the figure carries it, and what is said of the figure."""
        if not self.seen:
            return _UNSEEN.get(word, word), (
                " That is the figure of an earlier edition; what this one asks is not held here: ask building control."
            )
        if not self.confirmed:
            return _SOFT.get(word, word), " The figure is not confirmed; ask building control."
        return word, ""

    def judge(
        self, met: bool, why: str, *, found: Any = None, limit: Any = None, rests_on: Iterable[Rest] = ()
    ) -> Verdict:
        """The finding ``meets``, or this rule's consequence."""
        word: Word = "meets" if met else self.not_met or "fails"
        return self.verdict(word, why, found=found, limit=limit, rests_on=rests_on)

    def unknown(self, missing: list[str], about: str = "") -> Verdict:
        """The finding when inputs are missing: which, how to get them, and what they are for."""
        measure = {row["input"]: row["measure"] for row in table("rule_inputs")}
        wanted = "; ".join(dict.fromkeys(measure[name] for name in missing))
        finding = self.verdict("unknown", f"{about}{wanted}. It is needed to tell: {self.says}.")
        return replace(finding, missing=tuple(missing))

    def unknown_from(self, facts: Any, about: str = "") -> Verdict | None:
        """``unknown`` when the facts lack one of the rule's inputs, else nothing."""
        missing = [name for name in self.inputs if getattr(facts, name) is None]
        return self.unknown(missing, about) if missing else None


@dataclass(frozen=True, slots=True)
class RuleSet:
    """The rules of one nation in force for one piece of work."""

    nation: str
    work: Work
    rules: Mapping[str, Rule]

    @property
    def on(self) -> date:
        """Day of the work."""
        return self.work.on

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
        """One finding when no figures are held for the day of some of a group's rules, else none."""
        editions = _needed(self.nation, group, self.work.flat)
        gaps = [rules for rule_id, rules in editions.items() if rule_id not in self.rules]
        if not gaps:
            return []
        first = max((rules[0] for rules in gaps), key=lambda rule: rule.edition.since)
        early = self.on < first.edition.since
        gap = first if early else gaps[0][-1]
        when = "earliest" if early else "last"
        why = (
            f"The work is dated {self.on}; figures for that day are not held: the {when} edition held for this "
            f"is {gap.edition.name}. Ask building control which rules apply."
        )
        return [_of_edition(group, "refer", why, self.on, gap)]

    def notice_wanted(self, group: str) -> list[Verdict]:
        """One finding where it hangs on the day of the notice or the start which edition holds, else none."""
        for old in _of_group(self.nation, group, self.work.flat):
            edition, now = old.edition, self.rules.get(old.id)
            if edition.until is None or edition.notice_until is None or now is None:
                continue
            if now.edition.key == edition.key or self.on <= edition.until:
                continue
            if finding := self._unsettled(group, old, edition.until, edition.notice_until):
                return [finding]
        return []

    def _unsettled(self, group: str, old: Rule, until: date, begun_by: date) -> Verdict | None:
        work = self.work
        late = (work.start or work.on) > begun_by
        said = (
            f"{old.edition.document} still holds where the notice went in by {until} and the work starts by "
            f"{begun_by}; it is judged here by the edition after it."
        )
        if work.notice is None and not late and work.certified:
            why = f"{said} For work the firm certifies itself no notice is given: ask which edition applies."
            return _of_edition(group, "refer", why, self.on, old)
        if work.notice is None and not late:
            ask = "Say when the notice or the plans went to building control."
            return replace(
                _of_edition(group, "unknown", f"{said} {ask}", None, old), missing=("notice_date",)
            )
        if work.notice is not None and work.notice <= until and late and work.start is None:
            ask = "Say when the work started."
            return replace(_of_edition(group, "unknown", f"{said} {ask}", None, old), missing=("start_date",))
        return None


def _of_edition(group: str, word: Word, why: str, found: date | None, rule: Rule) -> Verdict:
    return Verdict(
        rule=f"{group}.edition", word=word, why=why, found=found and str(found), source=rule.source
    )


def rules_in_force(
    nation: str,
    on: date,
    *,
    notice: date | None = None,
    start: date | None = None,
    flat: bool = False,
    certified: bool | None = None,
) -> RuleSet:
    """The rules of a nation on the day of the work, as its notice and start decide.

    Raises ``BadInput`` when the nation is not known.
    """
    return rules_for(nation, Work(on=on, notice=notice, start=start, flat=flat, certified=certified))


def newest_day(nation: str, rule_id: str) -> date:
    """A day on which the newest edition held of a nation's rule is in force."""
    return max(rule.edition.since for rule in _all_rules(nation) if rule.id == rule_id)


@functools.lru_cache(maxsize=64)
def rules_for(nation: str, work: Work) -> RuleSet:
    """The rules of a nation in force for a piece of work.

    Raises ``BadInput`` when the nation is not known.
    """
    if nation not in NATIONS:
        raise BadInput.one("nation", f"nation: {nation!r} is not one of {', '.join(NATIONS)}.")
    ours = [rule for rule in _all_rules(nation) if _for_dwelling(rule, work.flat)]
    held = {rule.id: rule for rule in ours if rule.edition.covers(work.on)}
    held |= {rule.id: rule for rule in ours if rule.edition.kept_by_notice(work)}
    return RuleSet(nation, work, MappingProxyType({i: held[i] for i in _subjects() if i in held}))


def _for_dwelling(rule: Rule, flat: bool) -> bool:
    return rule.edition.dwelling in ("", "flat" if flat else "house")


def all_rules() -> Iterator[tuple[str, Rule]]:
    """Every rule of every nation and edition, with the nation."""
    return ((nation, rule) for nation in NATIONS for rule in _all_rules(nation))


def subject_words(speaks_of: str, bound: str) -> str:
    """What a rule says before its limit.

    >>> subject_words("area of a small pane", "is not over")
    'area of a small pane is not over'
    """
    return f"{speaks_of} {bound}".rstrip()


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
        until=_date(row["until"]),
        dwelling=row["dwelling"],
        notice_until=_date(row["notice_until"]),
    )
    own = [_rule(edition, r) for r in table("rules") if r["edition"] == key]
    held = {rule.id for rule in own}
    like = _rules_of(row["like"]) if row["like"] else ()
    return (*own, *(_taken_over(rule, edition, row) for rule in like if rule.id not in held))


def _date(text: str) -> date | None:
    return date.fromisoformat(text) if text else None


def _rule(edition: Edition, row: Row) -> Rule:
    subject = _subjects()[row["id"]]
    return Rule(
        id=row["id"],
        speaks_of=subject["speaks_of"],
        bound=subject["bound"],
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
        use=subject["use"],
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
        seen=row["like_confirmed"] != "not seen",
    )


@functools.cache
def _of_group(nation: str, group: str, flat: bool) -> tuple[Rule, ...]:
    """Every rule of a group, of every edition for that kind of dwelling."""
    return tuple(
        rule for rule in _all_rules(nation) if rule.id.startswith(f"{group}.") and _for_dwelling(rule, flat)
    )


@functools.cache
def _needed(nation: str, group: str, flat: bool) -> Mapping[str, tuple[Rule, ...]]:
    """The rules a group can't be judged without: their editions by id, the earliest first."""
    found: dict[str, tuple[Rule, ...]] = {}
    for rule in sorted(_of_group(nation, group, flat), key=lambda rule: rule.edition.since):
        if rule.use == "judged":
            found[rule.id] = (*found.get(rule.id, ()), rule)
    return found
