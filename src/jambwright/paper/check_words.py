"""What `check` says: what stops the order and the work, what to change, what is missing, what to look at."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from jambwright.paper.gate_words import marked, own_reasons, reason_words_only
from jambwright.record import Gate, OpeningRecord, PlanRecord, Reason

NOTHING = "Nothing stops the order or the work."


@dataclass(frozen=True, slots=True, kw_only=True)
class _Said:
    """One line: where it belongs, what it says, and which gate it shuts."""

    field: str
    say: str
    opening: str | None = None
    stops: tuple[str, ...] = ()
    missing: bool = False


def check_words(record: PlanRecord) -> Iterator[str]:
    """A line a finding that needs a person, then which gates are shut."""
    for line in _said(record):
        yield f"{line.say} In the file: {_in_file(line)}." if line.missing else line.say
    if record.needs_someone:
        offered = [each.id for each in record.openings if each.proposed]
        if offered:
            yield f"A proposal is put in by its number: jambwright apply FILE {offered[0]} 1 --out NEW."
        yield from (said for gate in ("ordering", "work") if (said := marked(record, gate)))
    else:
        yield NOTHING


def _in_file(said: _Said) -> str:
    """Where it is written, for who writes the file."""
    of, *inside = said.field.split(".", 2)
    return f"{inside[-1]} of {said.opening}" if of == "openings" and said.opening else said.field


def findings_json(record: PlanRecord) -> dict[str, Any]:
    """The same for a machine, with the gates of house and openings."""
    return {
        "plan_id": record.plan_id,
        "gates": {
            "house": _gates(record.gates.ordering, record.gates.work),
            **{each.id: _gates(each.gates.ordering, each.gates.work) for each in record.every_opening},
        },
        "findings": [
            {"field": s.field, "say": s.say, "kind": "caution", "opening": s.opening, "stops": list(s.stops)}
            for s in _said(record)
        ],
        "proposals": {
            each.id: [asdict(p) for p in each.proposed] for each in record.openings if each.proposed
        },
    }


def _gates(ordering: Gate, work: Gate) -> dict[str, Any]:
    return {
        name: {"state": gate.state, "reasons": [_reason(reason) for reason in gate.reasons]}
        for name, gate in (("ordering", ordering), ("work", work))
    }


def _reason(reason: Reason) -> dict[str, Any]:
    return {
        "rule": reason.rule,
        "word": reason.word,
        "say": reason.say,
        "opens": reason.opens,
        "clear_as": reason.name,
    }


def _said(record: PlanRecord) -> Iterator[_Said]:
    for want in record.wants:
        yield _Said(field=want.field, say=f"Missing: {want.say}", opening=want.opening, missing=True)
    for remark in record.remarks:
        yield _Said(field=remark.field, say=f"Look again: {remark.say}")
    wanted = {v.rule for v in record.rules if v.missing}
    for reason, shut in _once(record.gates.ordering.reasons, record.gates.work.reasons):
        if reason.rule not in wanted:
            yield _Said(field="house", say=_line("", reason, shut), stops=shut)
    for opening in record.openings:
        yield from _of_opening(opening)
    for unread in record.unread:
        say = f"{unread.name}: not read yet: {', '.join(unread.missing)}. It can't be planned until it is."
        yield _Said(field="outside", say=say, opening=unread.id, stops=("ordering", "work"))


def _of_opening(opening: OpeningRecord) -> Iterator[_Said]:
    name, mark = opening.name, opening.id
    wanted = {v.rule for v in opening.rules if v.missing}
    own = (own_reasons(opening.gates, gate) for gate in ("ordering", "work"))
    for reason, shut in _once(*own):
        if reason.rule not in wanted:
            yield _Said(field=f"openings.{mark}", say=_line(name, reason, shut), opening=mark, stops=shut)
    for number, proposal in enumerate(opening.proposed, 1):
        left = " It does not mend everything." if proposal.remains else ""
        say = f"{name}: proposal {number}: {proposal.say}.{left}"
        yield _Said(field=f"openings.{mark}", say=say, opening=mark)
    looks = [*(opening.readings.say if opening.readings.word != "agree" and opening.readings.agree else ())]
    looks += [*opening.readings.weakened, *(remark.say for remark in opening.remarks)]
    for say in looks:
        yield _Said(field=f"openings.{mark}", say=f"{name}: {say}", opening=mark)


def _line(name: str, reason: Reason, shut: tuple[str, ...]) -> str:
    what = {"ordering": "order", "work": "work"}
    of = f"{name}: " if name else ""
    named = f" Write it under `cleared` as {reason.name}." if reason.name else ""
    return (
        f"{of}Stops the {' and the '.join(what[gate] for gate in shut)}: {reason_words_only(reason)}{named}"
    )


def _once(ordering: Sequence[Reason], work: Sequence[Reason]) -> Iterator[tuple[Reason, tuple[str, ...]]]:
    """Each reason once, with the gates it shuts."""
    both: dict[Reason, list[str]] = {}
    for gate, reasons in (("ordering", ordering), ("work", work)):
        for reason in reasons:
            both.setdefault(reason, []).append(gate)
    yield from ((reason, tuple(gates)) for reason, gates in both.items())
