"""The gates in words, the same on every paper, screen and terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jambwright.record import Gate, Gates, OpeningRecord, PlanRecord, Reason, Remake, Unread

ORDERED = "ordered, do not order again"
SHUT = {"ordering": "do not order yet", "work": "do not start yet"}
REMAKE = "to be made again"
ON_DOUBTED = "This rests on readings that disagree: measure again before the order is changed."
HOUSE = "The house"


def order_state(opening: OpeningRecord) -> str:
    """Whether it may be ordered, in a word or two."""
    if opening.ordered and not opening.remake:
        return "ordered"
    if opening.gates.ordering.state == "shut":
        return SHUT["ordering"]
    return REMAKE if opening.remake else "order"


def work_state(gates: Gates) -> str:
    """Whether anything stops the work, in a few words."""
    return SHUT["work"] if gates.work.state == "shut" else "nothing stops the work"


def state(opening: OpeningRecord) -> str:
    """Where it stands, in a few words: what its gates stop, else that it may be ordered or is."""
    work = [SHUT["work"]] if opening.gates.work.state == "shut" else []
    return "; ".join([order_state(opening), *work])


def hold(opening: OpeningRecord | Unread, *, brief: bool = False) -> str | None:
    """Why there is nothing to order yet, or no more, in a line; ``None`` when nothing stops it."""
    if isinstance(opening, Unread):
        return stop(opening.gates.ordering, "ordering", brief=brief)
    if opening.ordered and not opening.remake:
        return ORDERED
    stopped = stop(opening.gates.ordering, "ordering", opening, brief=brief)
    if not opening.remake:
        return stopped
    return " ".join(filter(None, [remake_words(opening.remake), stopped]))


def remake_words(remake: Remake) -> str:
    """Why a unit is made again, in place of which, and by when, as the maker is told."""
    reason = remake.reason.strip().rstrip(".") or "no reason given"
    when = remake.promised_on
    promised = f" Promised for {when.day} {when:%B} {when.year}." if when else " No day is promised."
    return f"{REMAKE.capitalize()}, in place of the one delivered: {reason}.{promised}"


def work_hold(opening: OpeningRecord | Unread, *, brief: bool = False) -> str | None:
    """Why the wall must not be opened yet, in a line; ``None`` when nothing stops it."""
    return stop(opening.gates.work, "work", brief=brief)


def stop(gate: Gate, name: str, opening: OpeningRecord | None = None, *, brief: bool = False) -> str | None:
    """A shut gate in a line: what it stops, why, what opens it; ``brief`` tells of the house only what opens it."""
    if gate.state == "open":
        return None
    house = [reason for reason in gate.reasons if reason.house]
    said = [_told([reason for reason in gate.reasons if not reason.house], words=True)]
    if house:
        said.append(f"{HOUSE}: {_opens(house) if brief else _told(house, words=True)}")
    if opening is not None and name == "ordering":
        said += [*instead(opening), *_doubt(opening)]
    return f"{SHUT[name].capitalize()}. {' '.join(filter(None, said))}"


def reason_words(reason: Reason) -> str:
    """One reason: the finding, then what opens the gate."""
    return f"{HOUSE}: {_told([reason], words=True)}" if reason.house else _told([reason], words=True)


def _told(reasons: Sequence[Reason], *, words: bool) -> str:
    """Findings, each with its word where that is wanted, then what opens the gate, each said once."""
    found = [f"{r.word.capitalize()}: {r.say}" if words else r.say for r in reasons]
    return " ".join(dict.fromkeys([*found, _opens(reasons)])) if reasons else ""


def _opens(reasons: Sequence[Reason]) -> str:
    return " ".join(dict.fromkeys(reason.opens for reason in reasons))


def stops(record: PlanRecord, name: str) -> list[tuple[str, str]]:
    """What a gate stops of this plan, as a heading and a line each: the house first, then opening by opening."""
    own = [(o, own_reasons(o.gates, name)) for o in record.every_opening]
    house: Gate = getattr(record.gates, name)
    said = [(HOUSE, house.reasons), *((each.name, reasons) for each, reasons in own)]
    return [(f"{whose}: {SHUT[name]}.", _told(reasons, words=False)) for whose, reasons in said if reasons]


def unsure(record: PlanRecord) -> str:
    """Openings whose work rests on an order that must not be placed yet; empty where there is none."""
    marks = [
        o.id
        for o in record.openings
        if o.gates.ordering.state == "shut" and not o.ordered and not o.gates.work.reasons
    ]
    return f"Not to be ordered yet, so not certain: {', '.join(marks)}." if marks else ""


def reason_words_only(reason: Reason) -> str:
    """The finding and what opens the gate, without word and whose it is."""
    return _told([reason], words=False)


def own_reasons(gates: Gates, name: str) -> Sequence[Reason]:
    """Reasons of the opening itself, without those of its house."""
    gate: Gate = getattr(gates, name)
    return [reason for reason in gate.reasons if not reason.house]


def marked(record: PlanRecord, name: str) -> str:
    """Marks of the openings a gate is shut for, or that it is shut for all; empty when none is."""
    gate: Gate = getattr(record.gates, name)
    if gate.state == "shut":
        return f"{SHUT[name].capitalize()}: the whole house."
    marks = [o.id for o in record.every_opening if getattr(o.gates, name).state == "shut"]
    return f"{SHUT[name].capitalize()}: {', '.join(marks)}." if marks else ""


def instead(opening: OpeningRecord) -> Iterator[str]:
    """What could be ordered instead."""
    if opening.proposed:
        others = len(opening.proposed) - 1
        more = f", or {others} other choice{'s' if others > 1 else ''} in findings.pdf" if others else ""
        yield f"Order instead: {opening.proposed[0].say}{more}."


def _doubt(opening: OpeningRecord) -> Iterator[str]:
    if opening.proposed and not opening.readings.agree:
        yield ON_DOUBTED
