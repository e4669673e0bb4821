"""Every constant and table of the look at readings as plain values, for the phone that looks without signal.

The phone does the same arithmetic in its own language (``web/static/look_*.js``); whatever is a figure or a sentence
comes from here, so that none is written twice.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from scipy import special

from jambwright.basis.tables import table
from jambwright.opening import advice, explain, explain_together, least_squares, misread, net, stepped
from jambwright.opening.quartered import BENT, CURVED, QUARTERED
from jambwright.opening.rectangle import RECTANGLE
from jambwright.opening.said import NUMBERS, SAID
from jambwright.opening.scales import SCALES
from jambwright.readings import EVERY_PLACE, PLACES, QUARTERS, USUAL
from jambwright.readings.correction import SURE
from jambwright.readings.quarters import HINTS_MM, WHY
from jambwright.readings.slips import (
    ADDED,
    CHANCE_OF_SLIP,
    LEAST_SLIP_MM,
    MOST_SLIP_MM,
    PLACES_OF_TEN,
    TIMES,
    slips_of,
)
from jambwright.readings.tools import USUAL_CLASS
from jambwright.readings.written import FEWEST, MOST_OFF, STEPS_MM, WHAT, WRITTEN

MOST_DEGREES = 500
"""More readings than any opening has."""
NEARLY = 1e-4
"""Where the phone ends its damped steps, relative to 1 + the parameter; full steps then go to the end."""


def look_tables() -> dict[str, Any]:
    """Trust, shape, ways of going wrong with their chances, thresholds, sentences."""
    return {
        "trust": _trust(),
        "every_place": [f"{kind} {at}" for kind, several in EVERY_PLACE.items() for at in several],
        "quarters": [" ".join(place) for place in QUARTERS],
        "shape": RECTANGLE.tables(),
        "quartered": QUARTERED.tables(),
        "smooth": [QUARTERED.tables(bow) for bow in (BENT, CURVED)],
        "fit": {
            "least_seen": net.LEAST_SEEN,
            "least_bow_mm": net.LEAST_BOW_MM,
            "most_steps": least_squares.MOST_STEPS,
            "nearly": NEARLY,
            "settled": least_squares.SETTLED,
            "tiny": least_squares.TINY,
            "all_but_free": least_squares.ALL_BUT_FREE,
            "unchecked": least_squares.UNCHECKED,
        },
        "slips": {
            "chance": CHANCE_OF_SLIP,
            "least_mm": LEAST_SLIP_MM,
            "most_mm": MOST_SLIP_MM,
            "added": {slip: list(mm) for slip, mm in ADDED.items()},
            "times": {slip: list(factors) for slip, factors in TIMES.items()},
            "tens": list(PLACES_OF_TEN),
            "of": {kind: [asdict(slip) for slip in slips_of(kind)] for kind in PLACES},
            "say": {row["slip"]: row["say"] for row in table("slips")},
            "least_apart": explain.LEAST_APART,
        },
        "together": {
            "alike": explain_together.CHANCE_ALIKE,
            "turned": explain_together.CHANCE_TURNED,
            "shapes": explain_together.CHANCE_OF_SHAPE,
            "odd": _odd_shapes(),
            "arched": explain_together.ARCHED,
            "raked": explain_together.RAKED,
            "bulged": explain_together.BULGED,
            "stepped": explain_together.STEPPED,
            "refer": misread.REFER,
            "least_mm": explain_together.LEAST_SHAPE_MM,
            "most_mm": explain_together.MOST_SHAPE_MM,
        },
        "scales": {
            "tools": SCALES.tools.tolist(),
            "read_bows": SCALES.read_bows.tolist(),
            "unread_bows": SCALES.unread_bows.tolist(),
            "leans": SCALES.leans.tolist(),
            "steps": SCALES.steps.tolist(),
            "log_chance": SCALES.log_chance.tolist(),
        },
        "search": {
            "alarm": misread.ALARM,
            "crooked": misread.CROOKED,
            "set_aside": misread.SET_ASIDE,
            "rounds": misread.ROUNDS,
            "worth_telling": misread.WORTH_TELLING,
            "negligible": misread.NEGLIGIBLE,
            "certain_enough": misread.CERTAIN_ENOUGH,
            "stepped": stepped.STEPPED,
            "hints_mm": HINTS_MM,
        },
        "advice": {
            "moves_form": advice.MOVES_FORM,
            "most_singly": advice.MOST_SINGLY,
            "stands_out": advice.STANDS_OUT,
            "clearly_apart": advice.CLEARLY_APART,
            "at_odds": special.chdtri(range(1, MOST_DEGREES), advice.STILL_AT_ODDS).tolist(),
        },
        "said": {**SAID, "why_quarters": WHY, "written": WRITTEN},
        "written": list(WHAT),
        "numbers": list(NUMBERS),
    }


def _odd_shapes() -> dict[str, Any]:
    """By stand-in: which reading shows what it says, and what it would mean for each number of these, the last or more.

    An edge's own reading, or the width that a step shows in.
    """
    found = {}
    for stand_in in (*QUARTERED.bows, *QUARTERED.upright, *QUARTERED.steps):
        every = [(kind, at) for kind, places in EVERY_PLACE.items() for at in places]
        shape = explain_together.odd_shape(stand_in, 0, tuple(every))
        if shape is not None:
            by = advice.own_reading(shape)
            meant = [explain_together.odd_shape(stand_in, 0, (by,) * many) for many in range(3)]
            found[" ".join(stand_in)] = {
                "by": " ".join(by),
                "meant": [one and {"kind": one.kind, "edge": one.edge, "read": one.read} for one in meant],
            }
    return found


def _trust() -> dict[str, Any]:
    """How far a reading is trusted, and by what it is corrected."""
    return {
        "tape_mm": USUAL.tape_mm,
        "level_mm": USUAL.level_mm,
        "bow_mm": USUAL.bow_prior_mm,
        "errors": {row["name"]: row["value"] for row in table("reading_errors")},
        "tapes": {
            row["class"]: [row["a_mm"], row["b_mm_per_m"], row["end_mm"]] for row in table("tape_classes")
        },
        "usual_class": USUAL_CLASS,
        "sure": SURE,
        "steps_mm": list(STEPS_MM),
        "fewest": FEWEST,
        "most_off": MOST_OFF,
    }
