"""What carries the wall over an opening once the old frame is out, and what was suspected there by eye."""

from __future__ import annotations

from jambwright.basis.clause import Clause
from jambwright.checks.gates import Gates, gates_of, stopped
from jambwright.checks.verdict import Verdict, Word
from jambwright.readings import ReadingSet
from jambwright.readings.seen import Seen
from jambwright.readings.survey import Lintel, LintelKind, Opening

BEARS = Clause(
    "Common practice",
    "an old frame may carry the wall where there is no lintel; prop first",
    "common practice, no published source",
)


BY_EYE = Clause(
    "Common practice",
    "what looks unsafe is left as it is until somebody licensed has looked",
    "common practice, no published source",
)


def lintel_gates(kind: LintelKind) -> Gates:
    """What this answer stops by itself, whatever else is known of the opening."""
    return _gates_of(lintel_verdict(_nothing_known().model_copy(update={"lintel": Lintel(kind=kind)})))


def seen_gates(what: str) -> Gates:
    """What a suspicion stops by itself; ``what`` is a field of ``Seen``."""
    return _gates_of(*seen_verdicts(_nothing_known().model_copy(update={"seen": Seen(**{what: True})})))


def _nothing_known() -> Opening:
    return Opening(id="W", room="-", outside=ReadingSet())


def _gates_of(*verdicts: Verdict) -> Gates:
    return gates_of([stopped(verdict, ()) for verdict in verdicts])


def lintel_verdict(opening: Opening) -> Verdict:
    """``refer`` where nothing carries the wall, ``unknown`` where that was not looked at."""
    kind = opening.lintel.kind
    if kind == "none":
        why = (
            "No lintel carries the wall over it, so the old frame may: a structural engineer or building control "
            "says how it is held, and it is propped before the old frame comes out."
        )
        return Verdict(rule="structure.lintel", word="refer", why=why, found="none", source=BEARS)
    if kind == "unknown":
        why = "What carries the wall is not known: look for a lintel over the head, inside and out, and write its kind."
        return Verdict(rule="structure.lintel", word="unknown", why=why, source=BEARS)
    said = kind.replace("_", " ")
    return Verdict(
        rule="structure.lintel", word="meets", why=f"A {said} carries the wall, as surveyed.", found=said,
        source=BEARS,
    )  # fmt: skip


def seen_verdicts(opening: Opening) -> tuple[Verdict, ...]:
    """``refer`` for what is suspected of lintel and asbestos, ``advise`` for damp; nothing where nothing was seen."""
    said = {name: verdict for name, verdict in _SUSPECTED.items() if getattr(opening.seen, name)}
    return tuple(Verdict(rule=rule, word=word, why=why, source=BY_EYE) for rule, word, why in said.values())


_SUSPECTED: dict[str, tuple[str, Word, str]] = {
    "lintel": (
        "structure.lintel_seen", "refer",
        "What carries the wall over it is in doubt, as marked on site: a structural engineer or building control "
        "looks at it before anything is ordered or taken out.",
    ),
    "asbestos": (
        "hazard.asbestos_seen", "refer",
        "Asbestos is suspected here, as marked on site: leave it alone, and have a licensed surveyor sample it before "
        "anyone cuts, drills or takes anything out.",
    ),
    "damp": (
        "damp.seen", "advise",
        "Damp was seen here: find where the water comes from and mend it before the new frame goes in.",
    ),
}  # fmt: skip
