"""What is suspected by eye: it stops what it puts in doubt, whatever else is said of it, until it is settled itself."""

from typing import get_args

import pytest

from jambwright import job
from jambwright.checks.structure import seen_gates, seen_verdicts
from jambwright.readings import ReadingSet
from jambwright.readings.seen import Seen, Suspicion
from jambwright.readings.survey import Opening
from jambwright.readings.survey_file import survey_from_tree
from made_up_houses import settled_house

SETTLED = {"by": "R. Vale, chartered engineer (invented)", "on": "2026-11-03"}


def checked(**opening):
    return job.check(survey_from_tree(settled_house(**opening))).openings[0]


def found(record, rule):
    return next((v for v in record.verdicts if v.rule == rule), None)


def test_every_suspicion_is_a_field_and_has_its_finding():
    assert tuple(Seen.model_fields) == get_args(Suspicion)
    seen = Seen(**dict.fromkeys(get_args(Suspicion), True))
    assert len(seen_verdicts(Opening(id="W", room="-", outside=ReadingSet(), seen=seen))) == len(
        Seen.model_fields
    )
    assert seen_verdicts(Opening(id="W", room="-", outside=ReadingSet())) == ()


@pytest.mark.parametrize(
    ("what", "rule", "stops"),
    [
        ("lintel", "structure.lintel_seen", ("ordering", "work")),
        ("asbestos", "hazard.asbestos_seen", ("work",)),
        ("damp", "damp.seen", ()),
    ],
)
def test_a_suspicion_stops_what_its_own_field_would_stop(what, rule, stops):
    assert found(checked(), rule) is None
    record = checked(seen={what: True})
    assert found(record, rule).stops == stops
    assert record.gates.shut == stops
    assert seen_gates(what).shut == stops


@pytest.mark.parametrize(("what", "other"), [("lintel", "lintel"), ("asbestos", "asbestos")])
def test_what_was_settled_before_does_not_settle_a_suspicion_and_its_own_name_does(what, other):
    """A survey of the house, or a word on the lintel, may be older than what was seen."""
    before = checked(seen={what: True}, cleared=[{"what": other} | SETTLED])
    assert "work" in before.gates.shut
    after = checked(seen={what: True}, cleared=[{"what": f"{what}_seen"} | SETTLED])
    assert after.gates.shut == ()
    assert found(after, seen_gates(what).work.reasons[0].rule).cleared
