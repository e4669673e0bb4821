"""What carries the wall over an opening once the old frame is out."""

from __future__ import annotations

from jambwright.basis.clause import Clause
from jambwright.checks.gates import Gates, gates_of, stopped
from jambwright.checks.verdict import Verdict
from jambwright.readings import ReadingSet
from jambwright.readings.survey import Lintel, LintelKind, Opening

BEARS = Clause(
    "Common practice",
    "an old frame may carry the wall where there is no lintel; prop first",
    "common practice, no published source",
)


def lintel_gates(kind: LintelKind) -> Gates:
    """What this answer stops by itself, whatever else is known of the opening."""
    opening = Opening(id="W", room="-", outside=ReadingSet(), lintel=Lintel(kind=kind))
    return gates_of([stopped(lintel_verdict(opening), ())])


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
