"""A frame as it was left beside what was planned: what is read, what was wanted, and what is out of its limits.

Limits are those of the packaged tables: the joint by material, colour and size, the least joint anywhere, and
the fixings planned. For level, plumb and diagonals of a fitted frame no table holds a published limit, so
they are shown and not judged.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from jambwright.basis.border import accept
from jambwright.basis.clause import Clause
from jambwright.basis.tables import table
from jambwright.basis.units import show_mm
from jambwright.checks.movement import MovementGap, movement_gap
from jambwright.checks.verdict import Verdict, settled
from jambwright.frame.order_size import STATIONS
from jambwright.frame.profiles import profile_system
from jambwright.readings import ReadingSet, reading_name
from jambwright.store import AsFitted
from jambwright.web.plan_view import PLACED, verdict_view
from jambwright.web.texts import say

Plain = dict[str, Any]
OFFSETS = (("level", "sill"), ("level", "head"), ("plumb", "left"), ("plumb", "right"))
MOVES = Clause("Movement of the frame by heat", "", "calculated")


def fitted_view(fitted: Mapping[str, Any], planned: Plain | None) -> Plain:
    """Rows of planned and fitted values, and verdicts; ``planned`` is the opening as the plan shows it."""
    kept = accept(AsFitted, fitted)
    return {
        "on": kept.on.isoformat() if kept.on else "",
        "by": kept.by,
        "note": kept.note,
        "rows": [row for row in _rows(kept, planned) if row["fitted"]],
        "verdicts": [verdict_view(v) for v in (*_joints(kept, planned), *_fixings(kept, planned))],
    }


def _rows(kept: AsFitted, planned: Plain | None) -> Iterator[Plain]:
    read = _read(kept.outside)
    for kind, at in OFFSETS:
        yield _row(reading_name(kind, at), "0", _offset(kind, read.get((kind, at))))
    yield from _diagonals(read, planned)
    for side, stations in STATIONS.items():
        wanted = planned["gaps"].get(side, {}) if planned else {}
        gaps = getattr(kept.gaps_mm, side)
        yield _row(
            say(f"fitted.gap.{side}"),
            ", ".join(f"{at} {wanted[at]}" for at in stations if at in wanted),
            ", ".join(
                f"{at} {show_mm(getattr(gaps, at))}" for at in stations if getattr(gaps, at) is not None
            ),
        )
    yield _row(
        say("figure.fixings"), _figure(planned, "fixings"), "" if kept.fixings is None else str(kept.fixings)
    )
    glass = ", ".join(f"{light['mark']} {light['glazing']}" for light in planned["lights"]) if planned else ""
    for field, wanted_text in (
        ("fixing_used", ""),
        ("foam_used", ""),
        ("sealant_used", ""),
        ("glass_marks", glass),
    ):
        yield _row(say(f"fitted.{field}"), wanted_text, getattr(kept, field))


def _row(name: str, planned: str, fitted: str) -> Plain:
    return {"name": name[:1].upper() + name[1:], "planned": planned, "fitted": fitted}


def _read(outside: ReadingSet) -> dict[tuple[str, str], float]:
    return {(r.kind, r.at): r.mm for r in outside.readings()}


def _offset(kind: str, mm: float | None) -> str:
    if not mm:
        return "" if mm is None else "0"
    way = "plus" if mm > 0 else "minus"
    return f"{show_mm(abs(mm))} ({say(f'pad.{kind}.{way}').lower()})"


def _diagonals(read: Mapping[tuple[str, str], float], planned: Plain | None) -> Iterator[Plain]:
    size = [float(_figure(planned, key) or 0) for key in ("order_width", "order_height")]
    wanted = f"{math.hypot(*size):.0f}" if all(size) else ""
    found = [read.get(("diagonal", at)) for at in ("rising", "falling")]
    for at, mm in zip(("rising", "falling"), found, strict=True):
        yield _row(reading_name("diagonal", at), wanted, "" if mm is None else show_mm(mm))
    if found[0] is not None and found[1] is not None:
        yield _row(say("fitted.diagonals_differ"), "0", show_mm(abs(found[0] - found[1])))


def _figure(planned: Plain | None, key: str) -> str:
    figures = planned["figures"] if planned else []
    return next((str(f["text"]) for f in figures if f["key"] == key), "")


def _joints(kept: AsFitted, planned: Plain | None) -> Iterator[Verdict]:
    for side, stations in STATIONS.items():
        gaps = {at: mm for at in stations if (mm := getattr(getattr(kept.gaps_mm, side), at)) is not None}
        if gaps:
            wanted, source = _wanted(planned, side) if planned else (None, MOVES)
            yield _joint(side, gaps, wanted, source)


def _wanted(planned: Plain, side: str) -> tuple[MovementGap, Clause]:
    """The joint of the frame as ordered, by the length that moves towards it."""
    length = float(_figure(planned, "order_width" if side in ("left", "right") else "order_height"))
    material, colour, joints = (
        profile_system(planned["profile"]).material,
        planned["colour"],
        table("movement_gaps"),
    )
    wanted = movement_gap(material=material, colour=colour, length_mm=length)
    published = joints.source(joints.find(material=material, colour=colour))
    return wanted, published if wanted.governs == "published table" else MOVES


def _joint(side: str, gaps: Mapping[str, float], wanted: MovementGap | None, source: Clause) -> Verdict:
    rows = table("joint_rules")
    anywhere = rows.find(rule="least_anywhere_mm")
    tight, wide = min(gaps, key=lambda at: gaps[at]), max(gaps, key=lambda at: gaps[at])
    rule = say(f"fitted.gap.{side}")

    def verdict(word: Any, key: str, at: str, limit: float, source: Clause) -> Verdict:
        why = say(f"fitted.joint.{key}", at=at, mm=show_mm(gaps[at]), limit=show_mm(limit))
        rests_on = wanted.rests_on if wanted else ()
        return settled(
            rule=rule,
            word=word,
            why=why,
            found=gaps[at],
            limit=limit,
            unit="mm",
            source=source,
            rests_on=rests_on,
        )

    if gaps[tight] < anywhere["value"]:
        return verdict("fails", "closes", tight, anywhere["value"], rows.source(anywhere))
    if wanted and gaps[tight] < wanted.gap_per_side_mm:
        return verdict("advise", "tight", tight, wanted.gap_per_side_mm, source)
    # under the sill the packers make the joint, whatever the table of joints says
    if wanted and side != "bottom" and gaps[wide] > wanted.gap_most_mm:
        return verdict("advise", "wide", wide, wanted.gap_most_mm, source)
    if wanted:
        return verdict("meets", "good", tight, wanted.gap_per_side_mm, source)
    return verdict("meets", "least", tight, anywhere["value"], rows.source(anywhere))


def _fixings(kept: AsFitted, planned: Plain | None) -> Iterator[Verdict]:
    wanted = _figure(planned, "fixings")
    if kept.fixings is None or not wanted:
        return
    few = kept.fixings < int(wanted)
    yield Verdict(
        rule=say("figure.fixings"),
        word="fails" if few else "meets",
        why=say("fitted.fixings.few" if few else "fitted.fixings.good", n=int(wanted) - kept.fixings),
        found=kept.fixings,
        limit=int(wanted),
        source=PLACED,
    )
