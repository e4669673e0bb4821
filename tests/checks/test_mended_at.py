"""Every finding that lacks something says where in the readings file it is given."""

import pytest
from hypothesis import HealthCheck, assume, given, settings

from half_known_houses import houses
from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.checks.mended_at import with_places
from jambwright.checks.verdict import Verdict
from jambwright.readings import places
from jambwright.readings.asked import every_field, field_at
from jambwright.readings.survey_file import survey_from_tree

FIELDS = {".".join(path) for path, _ in every_field()}


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(houses())
def test_every_unknown_finding_leads_to_fields_that_are_asked(tree):
    try:
        record = job.check(survey_from_tree(tree))
    except BadInput:
        assume(False)  # lights too small for any glass are refused whole
    found = [*record.rules, *(v for each in record.openings for v in each.verdicts)]
    reasons = [
        r
        for each in record.every_opening
        for gate in (each.gates.ordering, each.gates.work)
        for r in gate.reasons
    ]
    for each in [f for f in (*found, *reasons) if f.word == "unknown"]:
        assert each.places, each.rule
        for path in map(places.parse, each.places):
            assert field_at(path, tree=tree), path
            assert path[0] != "openings" or places.get(tree, path[:2]), path


@pytest.mark.parametrize(
    "row", [*table("mended_at"), *table("rule_inputs")], ids=lambda row: next(iter(row.values()))
)
def test_every_place_is_a_field(row):
    starts = {"opening": "openings.*", "room": "house.rooms.*"}
    assert row["place"]
    for place in row["place"].split():
        root, *way = place.split(".")
        assert ".".join((starts.get(root, root), *way)) in FIELDS, place


def test_the_wind_leads_only_to_what_is_not_given_yet():
    sized = {"width": dict.fromkeys(("bottom", "middle", "top"), 1210)}
    sized["height"] = dict.fromkeys(("left", "centre", "right"), 1050)
    tree = {
        "jambwright": 1,
        "site": {"label": "Invented", "wind_map_speed_ms": 22, "terrain": "II"},
        "house": {"breadth_m": 6},
        "openings": [{"id": "W1", "room": "Kitchen", "outside": sized}],
    }
    [wind] = [v for v in job.check(survey_from_tree(tree)).openings[0].verdicts if v.rule == "wind.known"]
    assert wind.places == ("/house/depth_m", "/house/height_m")


@pytest.mark.parametrize(
    ("own", "at"), [(None, "/defaults/wall/closer"), ({"outer_leaf": "brick"}, "/openings/W1/wall/closer")]
)
def test_the_closer_is_asked_for_once_of_the_wall_the_opening_stands_in(own, at):
    opening = {"id": "W1", "room": "Kitchen", **({"wall": own} if own else {})}
    survey = survey_from_tree({"jambwright": 1, "site": {"label": "Invented"}, "openings": [opening]})
    lacking = Verdict(rule="fixings.edge", word="unknown", why="Look how the cavity is closed.")
    assert with_places(survey, lacking, survey.openings[0]).places == (at,)
