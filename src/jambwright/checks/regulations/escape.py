"""Escape: whether the room needs a way out through the opening, and whether the opening is one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from jambwright.basis.tables import table
from jambwright.checks.figures import HAIR
from jambwright.checks.regulations.clear import ClearOpening
from jambwright.checks.regulations.escape_opening import clear_opening, missing_sizes
from jambwright.checks.regulations.facts import EscapeFacts, OldEscape, RoomPlace
from jambwright.checks.regulations.rule import Rule, RuleSet
from jambwright.checks.verdict import (
    AGAINST,
    PartOfOpening,
    Rest,
    Verdict,
    Word,
    gravest,
    rests_of,
)
from jambwright.readings.ways import way_of

_NONE = "none asked"

_ALSO = "It must stay open unaided, and lead to a place clear of the house."


@dataclass(frozen=True, slots=True, kw_only=True)
class _Measure:
    """One measured quantity of the opening, before and now. ``sense`` is -1 where less is better."""

    id: str
    now: float
    before: float | None
    sense: int = 1
    rests_on: tuple[Rest, ...] = ()

    def meets(self, limit: float) -> bool:
        return self.sense * (self.now - limit) >= -HAIR

    def met(self, limit: float) -> bool | None:
        return None if self.before is None else self.sense * (self.before - limit) >= -HAIR

    @property
    def worse(self) -> bool:
        return self.before is not None and self.sense * (self.now - self.before) < -HAIR


def check_escape(facts: EscapeFacts, rules: RuleSet) -> list[Verdict]:
    """Findings on one opener as a way out; one ``meets`` when the room needs none."""
    need, sure = _need(facts, rules["escape.need"])
    if need is not None:
        return [need]
    found = _opening_findings(facts, rules)
    return found if sure else [_only_if_needed(verdict) for verdict in found]


def best_escape(openers: Sequence[tuple[str, EscapeFacts]], rules: RuleSet) -> list[Verdict]:
    """Findings on the opener that serves best, of those an opening has, each with the mark of its light."""
    tried = [[_of_light(mark, each) for each in check_escape(facts, rules)] for mark, facts in openers]
    order = ("meets", "advise", "unknown", "refer", "worse", "fails")
    return min(tried, key=lambda found: order.index(gravest(found)))


def _of_light(mark: str, verdict: Verdict) -> Verdict:
    """Whether a way out is needed is asked of the room, not of a light."""
    return verdict if verdict.rule == "escape.need" else replace(verdict, part=PartOfOpening("light", mark))


def _need(facts: EscapeFacts, rule: Rule) -> tuple[Verdict | None, bool]:
    """A finding that settles it, or none when the opening must be checked; and whether that is sure."""
    if facts.room_needs is False:
        return rule.verdict("meets", "the room needs no escape opening.", limit=_NONE), True
    if facts.room_needs:
        return None, True
    if facts.room is None:
        return rule.unknown(["room_needs"]), True
    return room_need(facts.room, rule)


def room_need(room: RoomPlace, rule: Rule) -> tuple[Verdict | None, bool]:
    """Whether a room needs an escape opening, from where it lies (no finding: it does, and how surely)."""
    if room.use is None or room.storey is None:
        return rule.unknown([n for n in ("use", "storey") if getattr(room, n) is None]), True
    if room.flat:
        return rule.verdict("refer", "flats have rules of their own; ask building control."), True
    use = table("room_uses").find(use=room.use)
    exempt = use["inner_room"] == "yes" if room.inner_room else use["habitable"] == "no"
    if exempt:
        return rule.verdict("meets", f"a {room.use} needs no escape opening.", limit=_NONE), True
    if room.inner_room:
        return _too_high(room, rule), True
    if room.storey == 0 and room.hall_to_exit:
        why = "the room opens to a hall that leads straight out, so no escape opening is asked."
        return rule.verdict("meets", why, limit=_NONE), True
    if room.storey > 0 and room.protected_stair:
        why = "the room opens to a protected stair, so no escape opening is asked."
        return rule.verdict("meets", why, limit=_NONE), True
    sure = room.hall_to_exit is False if room.storey == 0 else True
    return _too_high(room, rule), sure


def _too_high(room: RoomPlace, rule: Rule) -> Verdict | None:
    floor = room.floor_above_ground_mm
    if floor is None and (room.storey or 0) > 1:
        why = "the floor's height above the ground is missing: measure it; escape windows count only up to "
        return rule.verdict("unknown", f"{why}{rule.figure:g} mm.")
    if floor is not None and floor > rule.figure:
        why = f"the floor is over {rule.figure:g} mm above the ground, where an escape window does not "
        return rule.verdict(
            "refer", f"{why}count; a protected stair or another way out is needed.", found=floor
        )
    return None


def _only_if_needed(verdict: Verdict) -> Verdict:
    """A failing of an opening that may not be needed at all is not yet known to be one."""
    if verdict.word not in AGAINST:
        return verdict
    ask = " Find out whether the room opens to a hall that leads straight out; if so, none is needed."
    return replace(verdict, word="unknown", why=verdict.why + ask)


def _opening_findings(facts: EscapeFacts, rules: RuleSet) -> list[Verdict]:
    missing = missing_sizes(facts)
    bottom = rules["escape.bottom"].unknown_from(facts)
    if missing:
        sizes = [rules["escape.area"].unknown(missing)]
        clear = None
    else:
        clear = clear_opening(facts)
        sizes = []
    found = [*sizes, *_hinge_finding(facts, clear, rules)] if facts.hinge else sizes
    found += _judged(_measures(facts, clear, rules), facts.old, clear, rules)
    found += [bottom] if bottom else []
    if facts.both_leaves:
        found = [_with_both(verdict) for verdict in found]
    return found + _restrictor_finding(facts, rules) + _roof_finding(facts, rules)


def _with_both(verdict: Verdict) -> Verdict:
    """A way out through both leaves hangs on bolts that open without a key, in the dark."""
    if verdict.word not in ("meets", "advise") or verdict.rule not in ("escape.width", "escape.area"):
        return verdict
    why = f"{verdict.why} That is with both leaves open: order bolts that need no key."
    return replace(verdict, word="advise", why=why)


def _measures(facts: EscapeFacts, clear: ClearOpening | None, rules: RuleSet) -> list[_Measure]:
    old = facts.old or OldEscape()
    width, height, bottom = old.clear_width_mm, old.clear_height_mm, facts.bottom_above_floor_mm
    area = None if width is None or height is None else width * height * 1e-6
    measures = []
    if clear:
        by = rests_of(facts.rests_on, *clear.inputs)
        measures = [
            _Measure(id="escape.area", now=clear.area_m2, before=area, rests_on=by),
            _Measure(id="escape.width", now=clear.width_mm, before=width, rests_on=by),
            _Measure(id="escape.height", now=clear.height_mm, before=height, rests_on=by),
        ]
    if bottom is not None:
        before, by = old.bottom_above_floor_mm, rests_of(facts.rests_on, "bottom_above_floor_mm")
        measures.append(_Measure(id="escape.bottom", now=bottom, before=before, sense=-1, rests_on=by))
        if rules.get("escape.bottom_low") and not _steps_out(facts):
            measures.append(_Measure(id="escape.bottom_low", now=bottom, before=before, rests_on=by))
    return measures


def _steps_out(facts: EscapeFacts) -> bool:
    """A door has no sill to be too low, and a roof window has a figure of its own."""
    return facts.hinge == "door" or facts.slides_as_door or facts.roof_window


def _judged(
    measures: list[_Measure], old: OldEscape | None, clear: ClearOpening | None, rules: RuleSet
) -> list[Verdict]:
    """Each quantity against the minimum, or against the old opening where that fell short itself."""
    minimum = [m.meets(rules[m.id].figure) for m in measures]
    relief = rules.get("escape.replacement") if old else None
    if all(minimum) or relief is None:
        return [_against_minimum(m, clear, rules, _no_relief(old)) for m in measures]
    before = [m.met(rules[m.id].figure) for m in measures]
    if all(before):
        said = " The old opening met the minimum; the new one may be reduced to it and no further."
        return [_against_minimum(m, clear, rules, said) for m in measures]
    known_short = False in before
    return [_against_old(m, relief, rules, known_short) for m in measures]


def _no_relief(old: OldEscape | None) -> str:
    if old:
        return " The minimum governs."
    return " Nothing is said of the old opening, so the minimum governs; if it fell short too, measure it."


def _against_minimum(m: _Measure, clear: ClearOpening | None, rules: RuleSet, said: str) -> Verdict:
    rule = rules[m.id]
    word: Word = "meets" if m.meets(rule.figure) else rule.not_met or "fails"
    tail = f" {_ALSO}" if word == "meets" and m.id == "escape.area" else ""
    why = f"{_figures(m, rule)}.{_angled(m, clear, rule)}{said if word != 'meets' else ''}{tail}"
    working = clear.working if clear else None
    return rule.verdict(word, why, found=m.now, working=working, rests_on=m.rests_on)


def _against_old(m: _Measure, relief: Rule, rules: RuleSet, known_short: bool) -> Verdict:
    rule = rules[m.id]
    why = f"{_figures(m, rule)}; the old opening had {_short(m.before)}"
    if m.worse:
        tail = "so the new one is worse than before. Keep at least what was there."
        return rule.verdict("worse", f"{why}, {tail}", found=m.now, limit=m.before, source=relief.source)
    if m.meets(rule.figure):
        return rule.verdict("meets", f"{why}.", found=m.now, rests_on=m.rests_on)
    if known_short and m.before is not None:
        tail = "so the new one is no worse. Better is to reach the minimum."
        return rule.verdict("advise", f"{why}, {tail}", found=m.now, source=relief.source)
    measure = f"{_figures(m, rule)}; measure the old opening fully open: whether the new one may be as "
    return rule.verdict("unknown", f"{measure}small depends on it.", found=m.now, source=relief.source)


def _figures(m: _Measure, rule: Rule) -> str:
    bound = "at least" if m.sense > 0 else "at most"
    unit = rule.unit.replace("m2", "m²")
    return f"{rule.speaks_of}: {_short(m.now)} {unit}, {bound} {rule.figure:g} {unit} is asked"


def _short(value: float | None) -> str:
    return "not been measured" if value is None else f"{value:.4g}"


def _angled(m: _Measure, clear: ClearOpening | None, rule: Rule) -> str:
    """Names the angled measure beside the governing straight one where they differ."""
    if clear is None:
        return ""
    angled = {
        "escape.area": clear.angled_width_mm * clear.angled_height_mm * 1e-6,
        "escape.width": clear.angled_width_mm,
        "escape.height": clear.angled_height_mm,
    }.get(m.id)
    if angled is None or angled == m.now:
        return ""
    said = f" Measured square to the wall, which governs here; square to the opened sash it is {angled:.4g}"
    passes = angled >= rule.figure > m.now
    tail = ", which would do: building control may accept it, ask" if passes else ""
    return f"{said}{tail}."


def _hinge_finding(facts: EscapeFacts, clear: ClearOpening | None, rules: RuleSet) -> list[Verdict]:
    rule = rules["escape.hinge"]
    way = way_of(facts.hinge or "fixed")
    kind = way.escape
    named = f"a {way.family} light"
    if kind == "none":
        return [rule.verdict("fails", f"{named} is no way out.", found=facts.hinge)]
    if kind == "doubtful":
        why = f"{named} is not normally accepted as a way out; ask building control or order a side-hung one."
        return [rule.verdict("refer", why, found=facts.hinge)]
    if kind == "sheet" and clear is None:
        why = f"{named}: only its maker's sheet tells what it leaves clear; give the clear width and height."
        return [rule.verdict("refer", why, found=facts.hinge)]
    return []


def _restrictor_finding(facts: EscapeFacts, rules: RuleSet) -> list[Verdict]:
    if facts.restrictor == "fixed":
        why = "the restrictor can't be released, so the opening is no way out; fit a releasable one."
        return [rules["escape.restrictor"].verdict("fails", why, found="fixed")]
    rule = rules["escape.key"]
    if facts.restrictor == "key":
        why = "the restrictor is freed only by a key; fit one that needs none."
        return [rule.verdict(rule.not_met or "fails", why, found="key")]
    return []


def _roof_finding(facts: EscapeFacts, rules: RuleSet) -> list[Verdict]:
    """A roof window's own figures are referred: none was seen in the document."""
    if not facts.roof_window:
        return []
    rule = rules.get("escape.roof_window")
    if rule is None:
        why = "no figure is held for an escape roof window in this nation; ask building control."
        return [rules["escape.bottom"].verdict("refer", why, limit="not held")]
    why = f"an escape roof window starts from {rule.figure:g} mm above the floor; ask building control."
    return [rule.verdict("refer", why, found=facts.bottom_above_floor_mm)]
