"""``rules``: the rules of a nation on the day of the work, run on the facts of an opening or a house."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any, TypeVar

from jambwright.basis.border import Strict
from jambwright.basis.clause import Clause
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.calc.rule_inputs import (
    EnergyIn,
    EscapeIn,
    GuardingIn,
    OpenerIn,
    PaneIn,
    RoomIn,
    RulesIn,
)
from jambwright.checks import Verdict, Word
from jambwright.checks import regulations as regs
from jambwright.checks.regulations import facts
from jambwright.readings.survey import Mechanical

T = TypeVar("T")

Run = Callable[[], list[Verdict]]


class Finding(Answer):
    """One finding of one rule."""

    rule: str
    verdict: Word
    limit: Any
    found: Any
    unit: str
    source: str
    """Document with its dates, paragraph, and how sure we are of the copy."""
    why: str


class RulesOut(Answer):
    """All findings, group by group."""

    findings: list[Finding]


def _facts(kind: Callable[..., T], given: Strict, **more: Any) -> T:
    """The plain facts of one input model; fields are named alike."""
    plain = {name: getattr(given, name) for name in type(given).model_fields}
    return kind(**{**plain, **more})


def _escape_facts(given: EscapeIn) -> facts.EscapeFacts:
    return _facts(
        facts.EscapeFacts,
        given,
        room=_facts(facts.RoomPlace, given.room) if given.room else None,
        old=_facts(facts.OldEscape, given.old) if given.old else None,
    )


def _guarding_facts(given: GuardingIn, escape: EscapeIn | None) -> facts.GuardingFacts:
    old = given.old_bottom_above_floor_mm
    if old is None and escape and escape.old:
        old = escape.old.bottom_above_floor_mm
    return _facts(
        facts.GuardingFacts,
        given,
        old_bottom_above_floor_mm=old,
        room_needs_escape=escape.room_needs if escape else None,
    )


def _pane_facts(given: PaneIn, number: int) -> facts.PaneFacts:
    plain = {name: getattr(given, name) for name in PaneIn.model_fields if name != "glass"}
    leaves = (_facts(facts.GlassFacts, given.glass),) if given.glass else ()
    return facts.PaneFacts(light=str(number), leaves=leaves, **plain)


def _openers(given: list[OpenerIn] | None) -> tuple[facts.OpenerFacts, ...] | None:
    return None if given is None else tuple(_facts(facts.OpenerFacts, opener) for opener in given)


def _room_facts(given: RoomIn, number: int, asked: RulesIn, mechanical: Mechanical | None) -> facts.RoomAir:
    return _facts(
        facts.RoomAir,
        given,
        name=f"room {number}{f' ({given.use})' if given.use else ''}",
        vents=None if given.vents is None else tuple(given.vents),
        openers=_openers(given.openers),
        old_openers=_openers(given.old_openers),
        mechanical=mechanical,
        protected_look=_protected(asked),
    )


def _protected(asked: RulesIn) -> bool:
    return bool(asked.heritage and (asked.heritage.listed or asked.heritage.conservation_area))


def _house_facts(asked: RulesIn, given: Strict) -> facts.HouseFacts:
    names = ("lintel_missing", "smaller_parts")
    more = {name: tuple(getattr(given, name)) for name in names if hasattr(given, name)}
    return _facts(facts.HouseFacts, given, nation=asked.nation, date=asked.date, **more)


def _air_groups(asked: RulesIn, rules: regs.RuleSet) -> Iterator[tuple[str, Run]]:
    if asked.ventilation is None:
        return
    mechanical = asked.ventilation.mechanical
    rooms = [_room_facts(room, i, asked, mechanical) for i, room in enumerate(asked.ventilation.rooms, 1)]
    yield "ventilation.background", lambda: [v for room in rooms for v in regs.check_background(room, rules)]
    yield "ventilation.purge", lambda: [v for room in rooms for v in regs.check_purge(room, rules)]


def _energy(items: list[EnergyIn], asked: RulesIn, rules: regs.RuleSet) -> list[Verdict]:
    found = []
    for i, item in enumerate(items, 1):
        given = _facts(facts.EnergyFacts, item, protected_look=_protected(asked))
        found += regs.check_energy(given, rules, f"{item.kind or 'item'} {i}: ")
    return found


def _groups(asked: RulesIn, rules: regs.RuleSet) -> Iterator[tuple[str, Run]]:
    """Each group that was given, with the checks to run on it."""
    if given := asked.escape:
        escape = _escape_facts(given)
        yield "escape", lambda: regs.check_escape(escape, rules)
    if asked.guarding:
        guarding = _guarding_facts(asked.guarding, asked.escape)
        yield (
            "guarding",
            lambda: [*regs.check_guarding(guarding, rules), *regs.check_cleaning(guarding, rules)],
        )
    if panes := asked.safety_glass:
        seen = [_pane_facts(pane, i) for i, pane in enumerate(panes, 1)]
        yield "safety_glass", lambda: [v for pane in seen for v in regs.check_pane(pane, rules)]
    yield from _air_groups(asked, rules)
    if items := asked.energy:
        yield "energy", lambda: _energy(items, asked, rules)
    if asked.flue:
        flue = _facts(facts.FlueFacts, asked.flue)
        yield "flue", lambda: regs.check_flue(flue, rules)
    yield from _duty_groups(asked, rules)


def _duty_groups(asked: RulesIn, rules: regs.RuleSet) -> Iterator[tuple[str, Run]]:
    if asked.access:
        access = _facts(facts.AccessFacts, asked.access)
        yield "access", lambda: regs.check_access(access, rules)
    if asked.fire:
        fire = _facts(facts.FireFacts, asked.fire)
        yield "fire", lambda: regs.check_fire(fire, rules)
    if security := asked.security:
        yield "security", lambda: [regs.check_security(security.product_tested, rules)]
    if asked.heritage:
        house = _house_facts(asked, asked.heritage)
        yield "heritage", lambda: regs.check_heritage(house, rules)
    if asked.notify:
        told = _house_facts(asked, asked.notify)
        yield "notify", lambda: regs.check_notify(told, rules)
    if asked.hazard:
        work = _house_facts(asked, asked.hazard)
        yield "hazard", lambda: regs.check_hazards(work, rules)


def _is_flat(asked: RulesIn) -> bool:
    room = asked.escape.room if asked.escape else None
    return any(each is not None and each.flat for each in (room, asked.heritage, asked.notify))


def _verdicts(asked: RulesIn) -> list[Verdict]:
    rules = regs.rules_in_force(
        asked.nation,
        asked.date,
        notice=asked.notice_date,
        start=asked.start_date,
        flat=_is_flat(asked),
        certified=asked.notify.registered_installer if asked.notify else None,
    )
    return [v for group, run in _groups(asked, rules) for v in regs.in_group(group, rules, run)]


def _run(asked: RulesIn, work: Working) -> RulesOut:
    """Notes the steps of the geometry, each once, then every finding against its limit."""
    verdicts = _verdicts(asked)
    for verdict in verdicts:
        work.steps += [step for step in verdict.working if step not in work.steps]
        source = verdict.source or Clause("")
        work.note(verdict.rule, verdict.word, verdict.found, verdict.unit, source, limit=verdict.limit)
    return RulesOut(findings=[_finding(verdict) for verdict in verdicts])


def _finding(verdict: Verdict) -> Finding:
    return Finding(
        rule=verdict.rule,
        verdict=verdict.word,
        limit=verdict.limit,
        found=verdict.found,
        unit=verdict.unit,
        source=f"{verdict.source}; {verdict.source.how}" if verdict.source else "",
        why=verdict.sentence,
    )


EXAMPLE: Mapping[str, Any] = {
    "nation": "england",
    "date": "2026-05-01",
    "escape": {
        "room_needs": True,
        "hinge": "side_hung",
        "frame_clear_width_mm": 520,
        "frame_clear_height_mm": 1000,
        "obstruction_mm": 25,
        "open_angle_deg": 90,
        "bottom_above_floor_mm": 900,
    },
    "energy": [{"kind": "window", "u_w_m2k": 1.3}],
}

CALCULATIONS = (
    Calculation(
        name="rules",
        summary="Building rules of a nation on the day of the work",
        asks=RulesIn,
        answers=RulesOut,
        run=_run,
        example=EXAMPLE,
    ),
)
