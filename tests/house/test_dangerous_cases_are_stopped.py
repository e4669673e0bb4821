"""One fault each on a house that is otherwise in order: what it stops, why, what opens it, and that it is said.

Asbestos: use banned in Great Britain from 24 November 1999 (Asbestos (Prohibitions) (Amendment) Regulations 1999).
Flues: Approved Document J, Diagram 3.4. Listed buildings: Planning (Listed Buildings and Conservation Areas) Act 1990,
section 7. Lintels, readings and wind: common practice, no published source.
"""

import copy
import json
from dataclasses import dataclass, field
from typing import Any

import icalendar
import pytest
from typer.testing import CliRunner

from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.cli import app
from jambwright.paper.check_words import check_words, findings_json
from jambwright.paper.findings import findings_csv
from jambwright.paper.gate_words import hold, work_hold
from jambwright.paper.order_book import HEADERS, order_csv, rows
from jambwright.paper.summary import summary
from jambwright.readings.survey_file import survey_from_tree
from jambwright.record import PlanRecord
from made_up_houses import readings, settled_house

Tree = dict[str, Any]
BOTH, ORDERING, WORK = ("ordering", "work"), ("ordering",), ("work",)
FLUE = {
    "appliance": "gas_fanned",
    "input_kw": 24,
    "to_opener_mm": 120,
    "to_frame_mm": 400,
    "direction": "beside",
}
OUTSIDE = readings(1500, 1150, lean=2, level=1, taper=1, bow=1)
MISREAD = OUTSIDE | {"width": OUTSIDE["width"] | {"top": OUTSIDE["width"]["top"] - 90}}
HALF_READ = OUTSIDE | {"height": {"left": OUTSIDE["height"]["left"]}}
STONE = {
    "outer_leaf": "stone",
    "outer_mm": 300,
    "cavity_mm": 0,
    "inner_leaf": "none",
    "inner_mm": 0,
    "face": "stone",
}


def undated() -> Tree:
    return {name: value for name, value in settled_house().items() if name != "date_of_work"}


@dataclass(frozen=True, kw_only=True)
class Fault:
    """What is wrong, what it must stop, and the words by which a person knows it."""

    tree: Tree
    stops: tuple[str, ...]
    rule: str
    word: str
    say: str
    opens: str
    house: bool = False
    """Of the house, so of every opening in it."""
    house_stops: tuple[str, ...] = ()
    """What it stops of the house, where it is of one opening first."""
    settled: str = ""
    """Short name by which a named person or paper settles it."""
    and_also: tuple[str, ...] = field(default=())
    """Other rules the same fault shuts a gate by."""


WIDE_OPENING = settled_house(
    lintel={"kind": "unknown"}, outside=readings(2400, 1150, lean=2, level=1, taper=1, bow=1)
)
WIDE_OPENING["openings"][0]["wanted"]["layout"]["across"][0]["mm"] = 640

FAULTS = {
    "no lintel": Fault(
        tree=settled_house(lintel={"kind": "none"}), stops=BOTH, rule="structure.lintel", word="refer",
        say="No lintel carries the wall over it, so the old frame may",
        opens="with no lintel a structural engineer says how the wall is held", settled="lintel",
        and_also=("notify.structure", "hazard.structure"), house_stops=WORK,
    ),
    "lintel not looked for over a wide opening": Fault(
        tree=WIDE_OPENING,
        stops=BOTH, rule="structure.lintel", word="unknown", say="What carries the wall is not known",
        opens="Look what carries the wall and write it down", settled="lintel",
    ),
    "listed": Fault(
        tree=settled_house(house={"listed": True}), stops=ORDERING, rule="heritage.consent", word="refer",
        say="listed", opens="Have the council's consent in writing.", house=True, settled="listed",
    ),
    "listed or not is not known": Fault(
        tree=settled_house(house={"listed": None}), stops=ORDERING, rule="heritage.consent", word="unknown",
        say="listed", opens="Have the council's consent in writing.", house=True, settled="listed",
    ),
    "built before the ban of asbestos": Fault(
        tree=settled_house(house={"built_year": 1999}), stops=WORK, rule="hazard.asbestos", word="refer",
        say="may hold asbestos", opens="Have an asbestos surveyor look, and keep the report.", house=True,
        settled="asbestos",
    ),
    "year of building not known": Fault(
        tree=settled_house(house={"built_year": None}), stops=WORK, rule="hazard.asbestos", word="unknown",
        say="year", opens="Have an asbestos surveyor look, and keep the report.", house=True, settled="asbestos",
        and_also=("hazard.lead",),
    ),
    "old paint": Fault(
        tree=settled_house(house={"built_year": 1964}), stops=WORK, rule="hazard.lead", word="refer",
        say="very likely holds lead", opens="Test the old paint, or work as if it holds lead", house=True,
        settled="lead", and_also=("hazard.asbestos",),
    ),
    "flue beside an opening light": Fault(
        tree=settled_house(flue=FLUE), stops=BOTH, rule="flue.gas_fanned.opener", word="fails",
        say="flue 120 mm beside the nearest opener or vent, 300 mm is asked",
        opens="have a registered gas or oil engineer decide", settled="flue",
    ),
    "no day of work": Fault(
        tree=undated(), stops=BOTH, rule="date_of_work", word="unknown", say="The day of the work is missing",
        opens="Give the day of the work; every rule is judged by it.", house=True,
    ),
    "wind not known": Fault(
        tree=settled_house(site={"wind_map_speed_ms": None}), stops=ORDERING, rule="wind.known", word="unknown",
        say="The wind is not known, so glass, bars and fixings are not checked: give wind speed off the map.",
        opens="Give what the wind is worked out from.",
    ),
    "readings that contradict each other": Fault(
        tree=settled_house(outside=MISREAD), stops=BOTH, rule="readings.agree", word="fails",
        say=f"top width {MISREAD['width']['top']:g} mm is likely", opens="Measure again the readings named.",
    ),
    "an opening half read": Fault(
        tree=settled_house(outside=HALF_READ), stops=BOTH, rule="readings.unread", word="unknown",
        say="Not read yet: centre height, right height.", opens="Take the readings that are missing.",
    ),
    "a wall no fixing is known for": Fault(
        tree=settled_house(wall=STONE), stops=BOTH, rule="fixings.strength", word="unknown",
        say="No figure is known for fixings in stone", opens="Choose fixings that carry it", settled="fixings",
    ),
    "a frame ordered that no longer goes in": Fault(
        tree=settled_house(done=["ordered"], ordered={"width_mm": 1492, "height_mm": 1112}), stops=WORK,
        rule="size.ordered", word="fails", say="The frame ordered at 1492 x 1112 goes in with every gap kept 16 times",
        opens="Measure again before the old frame comes out",
    ),
    "a vent that feeds an appliance": Fault(
        tree=settled_house(now=settled_house()["openings"][0]["now"] | {"combustion_vent": True}), stops=BOTH,
        rule="flue.combustion_air", word="fails", say="held a permanently open vent for an appliance",
        opens="have a registered gas or oil engineer decide", settled="flue",
    ),
}  # fmt: skip
SETTLED = {name: fault for name, fault in FAULTS.items() if fault.settled}


@pytest.fixture(scope="module", params=FAULTS, ids=lambda name: name.replace(" ", "_"))
def told(request: pytest.FixtureRequest) -> tuple[Fault, PlanRecord]:
    """A fault, and the plan as `check` tells it."""
    fault = FAULTS[request.param]
    return fault, job.check(survey_from_tree(fault.tree))


def flat(text: str) -> str:
    return " ".join(text.replace("! ", "").split())


def test_the_house_without_a_fault_is_free_to_go():
    record = job.check(survey_from_tree(settled_house()))
    assert [o.gates.shut for o in record.openings] == [()]
    assert not record.needs_someone
    assert "Nothing stops the order or the work." in summary(record)
    assert list(check_words(record))[-1] == "Nothing stops the order or the work."
    result = CliRunner().invoke(app, ["check", "-"], input=json.dumps(settled_house()))
    assert result.exit_code == 0, result.output


def test_it_shuts_its_gates_for_its_reason_and_no_other(told):
    fault, record = told
    [opening] = record.every_opening
    assert opening.gates.shut == fault.stops
    assert record.gates.shut == (fault.stops if fault.house else fault.house_stops)
    for name in fault.stops:
        reasons = getattr(opening.gates, name).reasons
        assert {r.rule for r in reasons} <= {fault.rule, *fault.and_also}
        reason = next(r for r in reasons if r.rule == fault.rule)
        assert reason.word == fault.word
        assert fault.say.lower() in reason.say.lower()
        assert fault.opens.lower() in reason.opens.lower()
        assert any(r.house for r in reasons if r.rule == fault.rule) == fault.house


def test_the_summary_and_check_begin_with_it(told):
    fault, record = told
    [opening] = record.every_opening
    whose = "The house" if fault.house else opening.name
    said = flat(summary(record))
    for name, words in (("ordering", "do not order yet."), ("work", "do not start yet.")):
        assert (f"{whose}: {words}" in said) == (name in fault.stops)
        if name in fault.stops:
            after = said.split(f"{whose}: {words}")[1].lower()
            assert fault.say.lower() in after
            assert fault.opens.lower() in after
    shut = " ".join(check_words(record)).lower()
    assert fault.opens.lower() in shut or fault.word == "unknown"
    assert ("do not order yet:" in shut) == ("ordering" in fault.stops)
    assert ("do not start yet:" in shut) == ("work" in fault.stops)


def test_check_leaves_with_1_and_tells_a_machine_which_gate_is_shut(told):
    fault, _ = told
    result = CliRunner().invoke(app, ["check", "-", "--json"], input=json.dumps(fault.tree))
    assert result.exit_code == 1, result.output
    gates = json.loads(result.stdout)["gates"]
    for name in BOTH:
        assert gates["W1"][name]["state"] == ("shut" if name in fault.stops else "open")
        assert any(r["rule"] == fault.rule for r in gates["W1"][name]["reasons"]) == (name in fault.stops)
    assert {r["clear_as"] for r in gates["W1"][fault.stops[0]]["reasons"] if r["rule"] == fault.rule} == {
        fault.settled
    }


def test_the_order_and_the_findings_carry_it(told):
    fault, record = told
    [opening] = record.every_opening
    for said, name in ((hold(opening), "ordering"), (work_hold(opening), "work")):
        if getattr(opening, "ordered", False) and name == "ordering":
            assert said == "ordered, do not order again"
        else:
            assert (said is not None) == (name in fault.stops)
            assert said is None or fault.say.lower() in said.lower()
    row = rows(record)[0]
    told_of = dict(zip(HEADERS, row, strict=True))
    assert (told_of["opening"], told_of["hold"]) == ("W1", hold(opening))
    assert "Do not order yet." in order_csv(record).decode() or "ordering" not in fault.stops
    lines = [line for line in findings_csv(record).decode("utf-8-sig").splitlines() if fault.rule in line]
    assert any(" ".join(fault.stops) in line for line in lines)


@pytest.mark.parametrize("name", SETTLED, ids=lambda name: name.replace(" ", "_"))
@pytest.mark.parametrize("where", ["house", "opening"])
def test_a_named_person_or_paper_settles_it_and_nothing_else_does(name, where):
    fault = SETTLED[name]

    def checked(what: list[str]) -> PlanRecord:
        tree = copy.deepcopy(fault.tree)
        entry = [{"what": each, "by": "Report 7 (invented)", "on": "2026-11-02"} for each in what]
        (tree if where == "house" else tree["openings"][0])["cleared"] = entry
        return job.check(survey_from_tree(tree))

    settled, wrong = checked([fault.settled, *fault.and_also]), checked(["chimney"])
    of_house = fault.stops if fault.house else fault.house_stops
    if where == "opening" and of_house:
        assert settled.gates.shut == of_house, "the house's own findings are settled on the house"
        return
    assert [o.gates.shut for o in settled.openings] == [()]
    assert settled.gates.shut == ()
    verdicts = [v for v in (*settled.rules, *settled.openings[0].verdicts) if v.rule == fault.rule]
    assert "Report 7 (invented), 2026-11-02" in {v.cleared for v in verdicts}
    assert fault.word in {v.word for v in verdicts}, "settled, not forgotten"
    assert [o.gates.shut for o in wrong.openings] == [fault.stops]


def test_what_is_dated_after_the_work_starts_has_settled_nothing_yet() -> None:
    tree = settled_house(house={"built_year": 1999})
    entry = {"what": "asbestos", "by": "Report 7 (invented)", "on": tree["date_of_work"]}

    def checked(**start: str) -> PlanRecord:
        return job.check(survey_from_tree(tree | {"cleared": [entry]} | start))

    assert checked().gates.shut == ()
    early = checked(start_date="2026-01-05")
    assert early.gates.shut == WORK
    (reason,) = (r for r in early.gates.work.reasons if r.rule.startswith("hazard.asbestos"))
    assert (
        f"What is to settle it (Report 7 (invented)) is dated {entry['on']}, after the work starts."
        in reason.opens
    )
    entry["on"] = "9999-01-01"
    with pytest.raises(BadInput, match="2099-12-31"):
        checked()


@pytest.mark.parametrize("what", ["*", "structure.lintel.", "linte", "lintel ", "structur"])
def test_no_more_is_settled_than_is_named(what):
    """A house that may hold asbestos, and an opening without a lintel: neither goes by a word that is not its own."""
    tree = settled_house(house={"built_year": 1999}, lintel={"kind": "none"})
    tree["cleared"] = [{"what": what, "by": "Report 7 (invented)", "on": "2026-11-02"}]
    record = job.check(survey_from_tree(tree))
    assert record.gates.shut == WORK
    assert record.openings[0].gates.shut == BOTH


@pytest.mark.parametrize("name", [name for name, fault in FAULTS.items() if not fault.settled])
def test_what_only_a_reading_opens_no_person_can_settle(name):
    """A misread size, a missing wind or a missing day stays what it is, whoever signs for it."""
    fault = FAULTS[name]
    tree = copy.deepcopy(fault.tree)
    entry = [
        {"what": what, "by": "A. Manager (invented)", "on": "2026-11-02"}
        for what in (fault.rule, fault.rule.split(".")[0], "other")
    ]
    tree["cleared"] = tree["openings"][0]["cleared"] = entry
    assert [o.gates.shut for o in job.check(survey_from_tree(tree)).every_opening] == [fault.stops]


def test_what_a_named_person_may_settle_is_told_with_the_word_it_is_written_as() -> None:
    record = job.check(survey_from_tree(settled_house(lintel={"kind": "none"})))
    said = list(check_words(record))
    for name in ("lintel", "notice", "propping"):
        assert any(line.endswith(f"Write it under `cleared` as {name}.") for line in said)
    assert "Have a structural engineer say how the wall is held" in " ".join(said)


def test_the_wall_is_propped_before_it_is_opened_once_an_engineer_has_said_how() -> None:
    """Common practice, no published source: without a lintel the wall is held before the old frame comes out."""
    tree = settled_house(lintel={"kind": "none"})
    tree["cleared"] = [
        {"what": what, "by": "R. Vale, engineer (invented)", "on": "2026-11-03"}
        for what in ("lintel", "notice", "propping")
    ]
    tree["openings"].append(copy.deepcopy(tree["openings"][0]) | {"id": "W2", "lintel": {"kind": "concrete"}})
    record, papers = job.plan_and_print(survey_from_tree(tree))
    at = {(step.opening, step.step): step for stay in record.days.stays for step in stay.steps}
    assert at["W1", "protect"].end <= at["W1", "prop"].start
    assert at["W1", "prop"].end <= at["W1", "take_out"].start
    assert ("W2", "prop") not in at
    assert "prop the wall" in flat(papers["crew.ics"].decode().replace("\r\n ", ""))


@pytest.mark.parametrize("kind", ["none", "unknown"])
def test_no_day_is_planned_where_nothing_is_known_to_carry_the_wall(kind):
    tree = settled_house()
    other = copy.deepcopy(tree["openings"][0]) | {"id": "W2", "lintel": {"kind": kind}}
    tree["openings"].append(other)
    record, papers = job.plan_and_print(survey_from_tree(tree))
    assert {stay.opening_id for stay in record.days.stays} == {"W1"}
    events = icalendar.Calendar.from_ical(papers["crew.ics"]).walk("VEVENT")
    assert events
    assert all(str(event["summary"]).startswith("W1 kitchen: ") for event in events)
    assert set(record.days.open_on) == {"W1"}
    [left] = record.days.left_out
    assert left.opening == "W2"
    assert record.openings[1].gates.work.reasons[0].say in left.say
    assert "No day is set yet for W2" in papers["household-note.txt"].decode()
    assert "W2 kitchen: do not order yet." in papers["summary.txt"].decode()


def test_an_opening_half_read_leaves_the_rest_of_the_house_planned():
    tree = settled_house()
    tree["openings"].append(copy.deepcopy(tree["openings"][0]) | {"id": "W2", "outside": HALF_READ})
    record = job.check(survey_from_tree(tree))
    assert [o.id for o in record.openings] == ["W1"]
    assert record.openings[0].gates.shut == ()
    assert [(u.id, u.missing) for u in record.unread] == [("W2", ("centre height", "right height"))]
    assert record.needs_someone
    assert findings_json(record)["gates"]["W2"]["ordering"]["state"] == "shut"
