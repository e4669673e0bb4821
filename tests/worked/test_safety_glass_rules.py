"""Safety glass: decision table of Approved Document K, 2013 edition, section 5, with BS 6262-4:2018.

5.1 and Diagram 5.1 (zones to 800 and 1500 mm, side panels within 300 mm of the door edge), 5.4 (class 3,
and 2 where wider than 900 mm in doors and side panels), 5.6 and 5.7 (small panes: 250 mm, 0.5 m2, 6 mm;
leaded 4 mm), Diagram 5.2 (robust annealed). Usual classes of EN 12600 are recalled; a declaration governs.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from jambwright.basis import BadInput
from jambwright.checks.regulations import GlassFacts, PaneFacts, check_pane, impact_class, rules_in_force
from jambwright.checks.regulations.safety_glass import usual_class

DAY = date(2026, 5, 1)
ENGLAND = rules_in_force("england", DAY)


def pane(
    place: str, bottom: float, top: float, width: float, glass: GlassFacts, door_mm: float | None = None
) -> PaneFacts:
    return PaneFacts(
        place=place,  # type: ignore[arg-type]
        bottom_above_floor_mm=bottom,
        top_above_floor_mm=top,
        width_mm=width,
        height_mm=top - bottom,
        from_door_edge_mm=door_mm,
        leaves=(glass,),
    )


FLOAT4 = GlassFacts(kind="annealed", thickness_mm=4)
FLOAT6 = GlassFacts(kind="annealed", thickness_mm=6)
FLOAT10 = GlassFacts(kind="annealed", thickness_mm=10)
TOUGH4 = GlassFacts(kind="toughened", thickness_mm=4, en12600_class="1(C)3")
LAM64 = GlassFacts(kind="laminated", thickness_mm=6.4, en12600_class="2(B)2")
CLASS3 = GlassFacts(kind="laminated", thickness_mm=6.4, en12600_class="3(B)3")


@pytest.mark.parametrize(
    ("facts", "rule", "word"),
    [
        pytest.param(pane("window", 700, 1500, 800, FLOAT4), "window", "fails", id="5.1: starts at 700 mm"),
        pytest.param(pane("window", 800, 1500, 800, FLOAT4), "window", "meets", id="5.1: starts at 800 mm"),
        pytest.param(pane("window", 700, 1500, 800, TOUGH4), "window", "meets", id="5.4a: toughened"),
        pytest.param(pane("window", 700, 1500, 800, LAM64), "window", "meets", id="5.4a: laminated"),
        pytest.param(
            pane("window", 300, 1500, 1200, CLASS3), "window", "meets", id="5.4b: not asked of windows"
        ),
        pytest.param(pane("door", 1400, 1900, 400, FLOAT4), "door", "fails", id="5.1: door to 1500 mm"),
        pytest.param(pane("door", 1500, 1900, 400, FLOAT4), "door", "meets", id="5.1: door above 1500 mm"),
        pytest.param(pane("door", 300, 1900, 950, CLASS3), "door", "fails", id="5.4b: wide, class 3"),
        pytest.param(pane("door", 300, 1900, 950, LAM64), "door", "meets", id="5.4b: wide, class 2"),
        pytest.param(
            pane("door", 300, 1900, 900, CLASS3), "door", "meets", id="5.4b: 900 mm is not over 900"
        ),
        pytest.param(
            pane("side_panel", 900, 1900, 400, FLOAT4, 100), "side_panel", "fails", id="5.1: beside a door"
        ),
        pytest.param(
            pane("side_panel", 900, 1900, 400, FLOAT4, 300), "side_panel", "meets", id="5.1: 300 mm away"
        ),
        pytest.param(
            pane("side_panel", 1500, 1900, 400, FLOAT4, 0), "side_panel", "meets", id="5.1: above 1500"
        ),
        pytest.param(pane("side_panel", 500, 1900, 400, FLOAT4, 400), "window", "fails", id="5.1: low, away"),
        pytest.param(
            pane("side_panel", 900, 1900, 950, CLASS3, 100), "side_panel", "fails", id="5.4b: wide side"
        ),
        pytest.param(
            pane("window", 900, 1500, 400, FLOAT4, 50), "side_panel", "fails", id="5.1: window by a door"
        ),
        pytest.param(pane("door", 500, 900, 240, FLOAT6), "door", "meets", id="5.6: small pane, 6 mm"),
        pytest.param(pane("door", 500, 900, 240, FLOAT4), "door", "fails", id="5.6: small pane, 4 mm"),
        pytest.param(pane("door", 500, 900, 260, FLOAT6), "door", "fails", id="5.6: 260 mm is not small"),
        pytest.param(pane("door", 100, 2250, 240, FLOAT6), "door", "fails", id="5.6: 0.516 m2 is not small"),
        pytest.param(
            replace(pane("door", 500, 900, 240, FLOAT4), leaded=True), "door", "meets", id="5.7: leaded, 4 mm"
        ),
        pytest.param(
            pane("window", 0, 2000, 2000, FLOAT10), "window", "refer", id="Diagram 5.2: 10 mm robust"
        ),
        pytest.param(
            pane("window", 0, 2400, 2000, FLOAT10), "window", "fails", id="Diagram 5.2: over 2250 mm"
        ),
        pytest.param(
            pane("side_panel", 900, 1900, 400, FLOAT4), "side_panel", "unknown", id="door not measured"
        ),
        pytest.param(
            pane("side_panel", 900, 1900, 400, TOUGH4), "side_panel", "meets", id="no matter how far"
        ),
    ],
)
def test_safety_glass_in_england(facts: PaneFacts, rule: str, word: str) -> None:
    [finding] = check_pane(facts, ENGLAND)
    assert (finding.rule, finding.word) == (f"safety_glass.{rule}", word)


def test_every_leaf_of_a_unit_counts() -> None:
    # BS 6262-4: each leaf that can be struck
    facts = replace(pane("window", 300, 1500, 800, TOUGH4), leaves=(TOUGH4, FLOAT4))
    assert check_pane(facts, ENGLAND)[0].word == "fails"


def test_the_ground_outside_makes_its_own_zone() -> None:
    # BS 6262-4: floor levels inside and outside are tested separately
    facts = pane("window", 900, 1500, 800, FLOAT4)
    assert check_pane(facts, ENGLAND)[0].word == "meets"
    assert check_pane(replace(facts, outside_floor_mm=200), ENGLAND)[0].word == "fails"


def test_only_a_raked_panes_true_outline_counts() -> None:
    triangle = ((0.0, 900.0), (800.0, 900.0), (800.0, 1500.0))
    facts = replace(pane("window", 700, 1500, 800, FLOAT4), outline_mm=triangle)
    assert check_pane(facts, ENGLAND)[0].word == "meets"


def test_glass_by_a_bath_is_advised_to_be_safe() -> None:
    # BS 6262-4:2018 on bathrooms, recalled
    facts = replace(pane("window", 1000, 1600, 500, FLOAT4), by_bath=True)
    assert [(v.rule, v.word) for v in check_pane(facts, ENGLAND)] == [
        ("safety_glass.window", "meets"),
        ("safety_glass.bath", "advise"),
    ]


def test_the_mark_to_look_for_is_named() -> None:
    plain = replace(TOUGH4, en12600_class=None)
    why = check_pane(pane("window", 700, 1500, 800, plain), ENGLAND)[0].why
    for word in ("EN 12150", "EN 14449", "EN 12600", "from memory"):
        assert word in why


def test_what_a_class_is_by_is_told_in_the_why_and_kept_out_of_what_was_found() -> None:
    """The same glass twice, its class once declared and once usual, is found once."""
    usual = replace(TOUGH4, en12600_class=None)
    facts = replace(pane("window", 700, 1500, 800, usual), leaves=(usual, TOUGH4))
    [verdict] = check_pane(facts, ENGLAND)
    assert verdict.found == "toughened 4 mm, class 1(C)3"
    assert "usual for its kind" in verdict.why
    [declared] = check_pane(pane("window", 700, 1500, 800, TOUGH4), ENGLAND)
    assert declared.found == verdict.found
    assert "usual" not in declared.why


@pytest.mark.parametrize(
    ("text", "needed", "passes"),
    [
        ("1(C)3", 2, True), ("1(C)2", 3, True), ("2(B)2", 2, True), ("3(B)3", 2, False), ("3(B)3", 3, True),
        ("3(A)3", 3, False), ("-(C)3", 3, False), ("1(B)-", 1, True),
    ],
)  # fmt: skip
def test_an_en_12600_class_reads_drop_height_and_breakage(text: str, needed: int, passes: bool) -> None:
    assert impact_class(text).at_least(needed) is passes


def test_an_unreadable_class_is_refused_by_name() -> None:
    with pytest.raises(BadInput, match="en12600_class"):
        impact_class("class C")


@pytest.mark.parametrize(
    ("kind", "thickness", "usual"),
    [
        ("toughened", 4, "1(C)3"),
        ("laminated", 6.4, "2(B)2"),
        ("laminated", 6.8, "1(B)1"),
        ("annealed", 6, None),
    ],
)
def test_the_usual_class_of_each_kind(kind: str, thickness: float, usual: str | None) -> None:
    assert usual_class(kind, thickness) == usual


def test_thin_laminated_of_unknown_class_is_unknown() -> None:
    thin = GlassFacts(kind="laminated", thickness_mm=5)
    assert check_pane(pane("window", 700, 1500, 800, thin), ENGLAND)[0].word == "unknown"


@pytest.mark.parametrize(
    ("nation", "word"),
    [("wales", "fails"), ("scotland", "fails"), ("northern_ireland", "fails"), ("ireland", "advise")],
)
def test_other_nations_use_the_same_zones(nation: str, word: str) -> None:
    # AD N 1998 (Wales), Handbook 4.8 with BS 6262-4, Technical Booklet V 2012; in Ireland practice only
    assert check_pane(pane("window", 700, 1500, 800, FLOAT4), rules_in_force(nation, DAY))[0].word == word
