"""Every nation on every day: nothing passes where no figures are held, and every rule is judged or said not to be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from typer.testing import CliRunner

from jambwright.basis import table
from jambwright.checks import Verdict
from jambwright.checks.regulations import (
    NATIONS,
    AccessFacts,
    EnergyFacts,
    EscapeFacts,
    FireFacts,
    FlueFacts,
    GlassFacts,
    GuardingFacts,
    HouseFacts,
    OldEscape,
    OpenerFacts,
    OpeningFacts,
    PaneFacts,
    RoomAir,
    RoomPlace,
    RuleSet,
    all_rules,
    check_access,
    check_background,
    check_cleaning,
    check_daylight,
    check_energy,
    check_escape,
    check_fire,
    check_flue,
    check_guarding,
    check_hazards,
    check_heritage,
    check_notify,
    check_pane,
    check_purge,
    check_security,
    in_group,
    rules_in_force,
)
from jambwright.checks.regulations.flues import check_combustion_vent
from jambwright.checks.regulations.guarding import check_containment
from jambwright.cli import app

DAYS = [date(year, month, 1) for year in range(1990, 2036) for month in (1, 7)]
OPENER = OpenerFacts(width_mm=600, height_mm=1000, hinge="side_hung", open_angle_deg=60)
SLIDER = replace(OPENER, hinge="horizontal_slider")
WAY_OUT = EscapeFacts(
    room_needs=True, hinge="side_hung", clear_width_mm=500, clear_height_mm=800, bottom_above_floor_mm=900
)
LOW = GuardingFacts(
    bottom_above_floor_mm=300, drop_outside_mm=3000, children=True, room_needs_escape=True, over_street=True,
    old_bottom_above_floor_mm=300, top_above_ground_mm=5000,
)  # fmt: skip
FLOAT = GlassFacts(kind="annealed", thickness_mm=6)
PANE = PaneFacts(
    place="window", bottom_above_floor_mm=100, top_above_floor_mm=300, width_mm=900, height_mm=200,
    from_door_edge_mm=100, leaves=(FLOAT,), by_bath=True,
)  # fmt: skip
WIDE = replace(
    PANE, place="door", top_above_floor_mm=1900, height_mm=1800, width_mm=1000,
    leaves=(replace(FLOAT, kind="toughened"),),
)  # fmt: skip
THICK = replace(
    PANE, top_above_floor_mm=900, height_mm=800, width_mm=1000, leaves=(replace(FLOAT, thickness_mm=10),)
)
BY_BATH = replace(PANE, bottom_above_floor_mm=900, top_above_floor_mm=1400, from_door_edge_mm=None)
ROOM = RoomAir(
    use="bedroom",
    floor_area_m2=12,
    mechanical="none",
    vents=(3000,),
    openers=(OPENER,),
    vent_above_floor_mm=1500,
)
OLD = OldEscape(clear_width_mm=400, clear_height_mm=400, bottom_above_floor_mm=900)
HOLE = FireFacts(to_boundary_m=0.5, opening_area_m2=2, old_opening_area_m2=1)


def _openings(rules: RuleSet) -> Iterator[tuple[str, list[Verdict]]]:
    for way_out in (WAY_OUT, replace(WAY_OUT, restrictor="key"), replace(WAY_OUT, restrictor="fixed"),
                    replace(WAY_OUT, roof_window=True), replace(WAY_OUT, hinge="top_hung"),
                    replace(WAY_OUT, clear_width_mm=300, old=OLD),
                    EscapeFacts(room=RoomPlace(use="living", storey=0))):  # fmt: skip
        yield "escape", in_group("escape", rules, lambda f=way_out: check_escape(f, rules))
    for low in (LOW, replace(LOW, kind="door"), replace(LOW, restrictor="releasable")):
        yield (
            "guarding",
            in_group("guarding", rules, lambda f=low: [*check_guarding(f, rules), *check_cleaning(f, rules)]),
        )
    for pane in (PANE, replace(PANE, place="side_panel"), WIDE, THICK, BY_BATH, replace(PANE, leaded=True)):
        yield "safety_glass", in_group("safety_glass", rules, lambda f=pane: check_pane(f, rules))
    opening = OpeningFacts(nation="england", date=rules.on, drop_outside_mm=3000, panes=(PANE,))
    yield "guarding", in_group("guarding", rules, lambda: check_containment(opening, rules))
    for kind in ("window", "door", "fire_door", "rooflight"):
        for u, band in ((1.9, None), (1.0, None), (None, "G")):
            for timber in (True, False):
                facts = EnergyFacts(
                    kind=kind, u_w_m2k=u, band=band, glazed_share=0.7, timber=timber, old_u_w_m2k=0.9
                )  # type: ignore[arg-type]  # literals of the tuples
                for each in (
                    facts,
                    replace(facts, glazed_share=0.1),
                    replace(facts, protected_look=True),
                    replace(facts, glass_only=True),
                ):
                    yield "energy", in_group("energy", rules, lambda f=each: check_energy(f, rules))
    yield (
        "energy",
        in_group(
            "energy",
            rules,
            lambda: check_daylight("bedroom", 12, 0.5, rules) or [*check_energy(EnergyFacts(), rules)],
        ),
    )
    for appliance in ("gas_fanned", "gas_natural", "oil"):
        for way in ("below", "above", "beside"):
            flue = FlueFacts(
                appliance=appliance, direction=way, input_kw=20, to_opener_mm=100, to_frame_mm=100
            )  # type: ignore[arg-type]  # literals of the tuples
            yield (
                "flue",
                in_group(
                    "flue", rules, lambda f=flue: [*check_flue(f, rules), check_combustion_vent(None, rules)]
                ),
            )
    access = AccessFacts(upstand_mm=40, clear_width_mm=600, old_clear_width_mm=700, old_level_threshold=True)
    yield "access", in_group("access", rules, lambda: check_access(access, rules))
    for hole in (HOLE, replace(HOLE, to_boundary_m=2.0)):
        yield "fire", in_group("fire", rules, lambda f=hole: check_fire(f, rules))
    yield "security", in_group("security", rules, lambda: [check_security(None, rules)])


def _rooms(rules: RuleSet) -> Iterator[tuple[str, list[Verdict]]]:
    for use in ("bedroom", "kitchen", "kitchen_living", "bathroom", "wc", "hall"):
        for mechanical in ("none", "extract", "balanced"):
            for old in (None, 6000.0):
                room = replace(ROOM, use=use, mechanical=mechanical, old_vent_mm2=old)  # type: ignore[arg-type]  # literals of the tuples
                yield (
                    "ventilation.background",
                    in_group("ventilation.background", rules, lambda f=room: check_background(f, rules)),
                )
    narrow = replace(OPENER, open_angle_deg=20)
    for openers in ((OPENER,), (SLIDER,), (narrow,), ()):
        for change in (
            {},
            {"use": "bathroom", "extract_fan": True},
            {"old_openers": (SLIDER,)},
            {"use": "hall"},
        ):
            room = replace(ROOM, openers=openers, **change)  # type: ignore[arg-type]  # fields by name
            yield (
                "ventilation.purge",
                in_group("ventilation.purge", rules, lambda f=room: check_purge(f, rules)),
            )


def _works(rules: RuleSet, nation: Any, on: date) -> Iterator[tuple[str, list[Verdict]]]:
    for year, flat, certified in ((1950, True, True), (1980, False, False), (2010, False, None)):
        house = HouseFacts(
            nation=nation, date=on, built_year=year, storeys=2, listed=True, conservation_area=True, flat=flat,
            new_side_window_clear_below_mm=1500, registered_installer=certified, smaller_parts=("W1",),
            structure_changed=True, lintel_missing=("W1",), heaviest_kg=60,
        )  # fmt: skip
        yield "heritage", in_group("heritage", rules, lambda f=house: check_heritage(f, rules))
        yield "notify", in_group("notify", rules, lambda f=house: check_notify(f, rules))
        yield "hazard", in_group("hazard", rules, lambda f=house: check_hazards(f, rules))


def everything(rules: RuleSet, nation: str, on: date) -> Iterator[tuple[str, list[Verdict]]]:
    """The findings of every group on cases that mostly fall short."""
    yield from _openings(rules)
    yield from _rooms(rules)
    yield from _works(rules, nation, on)


class Asked(RuleSet):
    """A rule set that notes which rules the checks ask it for."""

    seen: set[str]

    def __getitem__(self, rule_id: str) -> Any:
        """The rule of that id, noted."""
        type(self).seen.add(rule_id)
        return super().__getitem__(rule_id)

    def get(self, rule_id: str) -> Any:
        """The rule of that id, noted, or nothing."""
        type(self).seen.add(rule_id)
        return super().get(rule_id)


@pytest.mark.parametrize("nation", NATIONS)
@pytest.mark.parametrize("flat", [False, True])
def test_no_group_passes_in_silence_on_any_day(nation: str, flat: bool) -> None:
    for on in DAYS:
        rules = rules_in_force(nation, on, flat=flat)
        for group, found in everything(rules, nation, on):
            assert found, (nation, on, group)
            if not any(rule.id.startswith(f"{group}.") for rule in rules):
                assert {v.word for v in found} <= {"unknown", "refer"}, (nation, on, group)
                assert "not held" in found[0].why


@pytest.mark.parametrize("nation", NATIONS)
def test_every_group_is_referred_before_its_first_edition_and_after_its_last(nation: str) -> None:
    early = rules_in_force(nation, date(1985, 1, 1))
    for group, found in everything(early, nation, early.on):
        assert [v.rule for v in found] == [f"{group}.edition"], (nation, group)
        assert "not held" in found[0].why
        assert "earliest" in found[0].why


def test_a_day_after_the_last_edition_is_referred(monkeypatch: pytest.MonkeyPatch) -> None:
    from jambwright.checks.regulations import rule as module

    ours = tuple(
        replace(r, edition=replace(r.edition, until=r.edition.until or date(2030, 12, 31)))
        for n, r in all_rules()
        if n == "wales"
    )
    for cached in (module.rules_for, module._of_group, module._needed):
        cached.cache_clear()
    monkeypatch.setattr(module, "_all_rules", lambda _: ours)
    try:
        late = rules_in_force("wales", date(2031, 1, 1))
        for group, found in everything(late, "wales", late.on):
            assert [(v.rule, v.word) for v in found] == [(f"{group}.edition", "refer")], group
            assert "last edition" in found[0].why
    finally:
        for cached in (module.rules_for, module._of_group, module._needed):
            cached.cache_clear()


def test_every_rule_is_judged_or_said_to_be_listed_only() -> None:
    Asked.seen = set()
    for nation in NATIONS:
        for on in (date(2016, 5, 1), date(2023, 5, 1), date(2026, 5, 1)):
            for flat in (False, True):
                held = rules_in_force(nation, on, flat=flat)
                for _ in everything(Asked(held.nation, held.work, held.rules), nation, on):
                    pass
    listed = {row["id"] for row in table("rule_subjects") if row["use"] == "listed"}
    known = set(table("rules").column("id"))
    assert known - Asked.seen == listed
    assert listed == {"guarding.overheating"}


def test_the_list_of_rules_says_what_is_not_judged() -> None:
    lines = (
        CliRunner().invoke(app, ["rules", "--nation", "england", "--date", "2026-05-01"]).output.splitlines()
    )
    marked = [line.split()[0] for line in lines if "NOT JUDGED HERE" in line]
    assert marked == ["guarding.overheating"]


LATER = date(2027, 5, 10)


@pytest.mark.parametrize(
    ("on", "given", "edition", "word"),
    [
        pytest.param(LATER, {"notice": date(2027, 3, 23)}, "2021", None, id="notice in time"),
        pytest.param(LATER, {"notice": date(2027, 3, 24)}, "2026", None, id="notice too late"),
        pytest.param(LATER, {}, "2026", "unknown", id="notice not known"),
        pytest.param(LATER, {"certified": True}, "2026", "refer", id="self-certified, no notice"),
        pytest.param(
            date(2028, 4, 1),
            {"notice": date(2027, 3, 1), "start": date(2028, 3, 23)},
            "2021",
            None,
            id="begun in time",
        ),
        pytest.param(
            date(2028, 4, 1),
            {"notice": date(2027, 3, 1), "start": date(2028, 3, 24)},
            "2026",
            None,
            id="begun too late",
        ),
        pytest.param(date(2028, 4, 1), {"notice": date(2027, 3, 1)}, "2026", "unknown", id="start not known"),
        pytest.param(date(2028, 4, 1), {}, "2026", None, id="nothing asked any more"),
        pytest.param(date(2027, 3, 23), {}, "2021", None, id="nothing asked yet"),
    ],
)
@pytest.mark.parametrize("group", ["energy", "ventilation.background"])
def test_a_notice_in_time_and_a_start_within_a_year_keep_the_edition(
    on: date, given: dict[str, Any], edition: str, word: str | None, group: str
) -> None:
    # SI 2026/335, transitional provisions (second hand x2): notice before 24 March 2027, start before 24 March 2028
    rules = rules_in_force("england", on, **given)
    rule_id = {"energy": "energy.window.u"}.get(group, f"{group}.habitable")
    assert edition in rules[rule_id].edition.document
    assert [v.word for v in rules.notice_wanted(group)] == ([word] if word else [])


def test_no_other_nation_and_no_other_group_asks_for_the_notice() -> None:
    for nation in NATIONS:
        rules = rules_in_force(nation, LATER)
        asked = {
            g for g, found in everything(rules, nation, LATER) if any(v.rule == f"{g}.edition" for v in found)
        }
        wanted = {"energy", "ventilation.background", "ventilation.purge"} if nation == "england" else set()
        assert asked == wanted
