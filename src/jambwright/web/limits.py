"""The limits of readings, and what an answer stops by itself, as data for the phone: the engine's own."""

from __future__ import annotations

from statistics import NormalDist
from typing import Any, get_args

from jambwright.basis.envelope import most
from jambwright.basis.tables import table
from jambwright.job import HOW_TO, lintel_gates, look_tables, make_up_pattern, seen_gates
from jambwright.paper.gate_words import SHUT
from jambwright.readings import EVERY_PLACE, PLACES, reading_name
from jambwright.readings.reading import LENGTHS
from jambwright.readings.seen import Seen
from jambwright.readings.survey import LintelKind
from jambwright.readings.survey_file import LONGEST_MM, NEEDED, OFFSET_LARGEST_MM, SHORTEST_MM
from jambwright.readings.systems import shipped_systems
from jambwright.readings.tool import FARTHEST_OFF_MM, NO_LENGTHS
from jambwright.readings.tools import USUAL
from jambwright.record import Gates
from jambwright.web.asked_on_site import asked_on_site
from jambwright.web.plan_view import reason_view

FALSE_ALARM = 0.001
"""Chance that honest readings are asked about, a test (Baarda's usual level; from memory, high)."""


def limits() -> dict[str, Any]:
    """Ranges, places, names and trust of readings, and what else may be: all that the check without signal needs."""
    return {
        "lengths": list(LENGTHS),
        "shortest_mm": SHORTEST_MM,
        "longest_mm": LONGEST_MM,
        "offset_largest_mm": OFFSET_LARGEST_MM,
        "most_repeats": most("repeats"),
        "ranges": {row["field"]: [row["least"], row["most"], row["why"]] for row in table("envelope")},
        "texts": {"glass": {"pattern": make_up_pattern(), "say": HOW_TO}},
        "needed": list(NEEDED),
        "check_farthest_mm": FARTHEST_OFF_MM,
        "no_lengths": list(NO_LENGTHS),
        "places": {kind: list(places) for kind, places in PLACES.items()},
        "names": {
            f"{kind} {at}": reading_name(kind, at) for kind, places in EVERY_PLACE.items() for at in places
        },
        "length_sigma_mm": USUAL.tape_mm,
        "bow_prior_mm": USUAL.bow_prior_mm,
        "look": look_tables(),
        "critical": round(NormalDist().inv_cdf(1 - FALSE_ALARM / 2), 4),
        "asked": asked_on_site(),
        "shut": SHUT,
        "stopping": {
            "lintel/kind": {k: stop for k in get_args(LintelKind) if (stop := _stop(lintel_gates(k)))},
            **{
                f"seen/{what}": {"true": stop}
                for what in Seen.model_fields
                if (stop := _stop(seen_gates(what)))
            },
        },
        "seen": list(Seen.model_fields),
        "new_door": {"profile": _door_profile(), "layout": {"opens": "side_hung_left"}},
    }


def _door_profile() -> str:
    """The profile that a door begins with: one for a leaf hung at its side."""
    doors = ((name, sheet) for name, sheet in shipped_systems().items() if sheet.use == "door")
    return next(name for name, sheet in doors if sheet.sash("door"))


def _stop(gates: Gates) -> dict[str, Any] | None:
    """What an answer stops by itself, in the plan's own words, before there is a plan."""
    reasons = {name: getattr(gates, name).reasons for name in gates.shut}
    if not reasons:
        return None
    [reason] = {reason for each in reasons.values() for reason in each}
    return {"gates": list(reasons), "rule": reason.rule, "name": reason.name, **reason_view(reason)}
