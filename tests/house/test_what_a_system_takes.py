"""Orders that break one limit of their system's sheet are stopped with the reason; what is offered holds.

The limits are those of the invented sheets that are shipped, chosen within what one stockist's page of friction
stays, one system house's page of an aluminium casement and titles of tilt and turn fittings give, and within what is
usual (from memory, medium). Sizes of sashes, masses and heads are worked out by hand beside each order.
"""

import copy
import datetime
import json

import jsonschema
import pytest
from typer.testing import CliRunner

from demo_house import readings_tree
from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import data_files, read_text
from jambwright.basis.tree import parse_tree
from jambwright.checks.system_fit import head_for_vents_mm, sash_kg
from jambwright.cli import app
from jambwright.readings.asked import choices_in, field_at
from jambwright.readings.proposal import apply_proposal
from jambwright.readings.survey_file import survey_from_tree
from jambwright.readings.systems import read_sheet, shipped_systems
from jambwright.record.order_document import order_of

SIDE = {"opens": "side_hung_left", "open_angle_deg": 60}
TURN = {"opens": "tilt_turn_left", "swing": "in"}
FIXED = {"opens": "fixed"}
LEAF = {"opens": "side_hung_left", "swing": "in"}
SASH = {"opens": "vertical_slider"}
SLAB = {"opens": "slab_left", "swing": "in"}
STABLE = {"opens": "stable_left", "swing": "in"}
FOLDS = {"opens": "bi_fold", "fold_left": 3}
SAFE = "4T-16Ar-4T low-e"


def tree(layout, size=(1210, 1205), kind="window", **wanted):
    """One opening of that size, in a room that asks for nothing else."""
    found = json.loads(json.dumps(readings_tree(), default=str))
    found["house"]["children"] = False
    found["openings"] = [each for each in found["openings"] if each["id"] == "W3"]
    (one,) = found["openings"]
    width, height = size
    one["outside"] = {
        "width": dict.fromkeys(("bottom", "middle", "top"), width),
        "height": dict.fromkeys(("left", "centre", "right"), height),
    }
    profile = {"profile": "plain_door_70"} if kind == "door" else {}
    one |= {"room": "hall" if kind == "door" else "utility", "now": {}, "sill_above_floor_mm": 0}
    one["wanted"] = {"kind": kind, "layout": layout, **profile, **wanted}
    if kind == "window":
        one["sill_above_floor_mm"] = 860
    return found


def door(layout, size, profile, glass=SAFE):
    declared = {"by": "invented declaration of performance", "u_w_m2k": 1.3}
    return tree(layout, size=size, kind="door", profile=profile, glass=glass, declared=declared)


def boxed(layout, size, glass="4-12Ar-4 low-e"):
    return tree(layout, size=size, profile="box_sash_140", glass=glass)


def beside(light, mm):
    return {"across": [{"mm": mm, **light}, FIXED]}


def above(light, mm, below=FIXED):
    return {"down": [{"mm": mm, **light}, below]}


# A sash is its part less 65 mm of frame and 47.5 mm of half a bar (two frames where it stands alone), and 8 mm over
# each: a part 860 wide makes a sash of 763.5.
ORDERS = [
    pytest.param(tree(beside(SIDE, 860)), "width", "763.5 mm; Plain 70 mm PVC-U window takes at most 750 mm",
                 ["846 mm wide", "a mullion", "tilt and turn", "a pair"], id="side hung too wide"),
    pytest.param(tree(beside(SIDE, 340)), "width", "243.5 mm; Plain 70 mm PVC-U window takes at least 300 mm",
                 ["397 mm wide"], id="side hung too narrow"),
    pytest.param(tree(beside(SIDE, 640), size=(1210, 1500)), "height", "takes at most 1300 mm",
                 ["fixed above", "tilt and turn"], id="side hung too high"),
    pytest.param(tree(SIDE, size=(800, 720)), "ratio", "of 1.2; Plain 70 mm PVC-U window takes at most 1.",
                 ["fixed beside it", "tilt and turn"], id="side hung wider than high"),
    pytest.param(tree(beside(SIDE, 720), size=(1210, 1350), glass="10T-12Ar-10T low-e"), "hinge",
                 "weighs 41.0 kg; no hinge or stay of Plain 70 mm PVC-U window takes it, the nearest: "
                 "heavy stay 406 mm carries at most 36 kg", ["tilt and turn", "a pair"], id="side hung too heavy"),
    pytest.param(tree({"opens": "top_hung", "open_angle_deg": 30}, glass="6-12Ar-4-12Ar-6 low-e"), "hinge",
                 "heavy stay 610 mm carries at most 40 kg", ["two of the same"], id="top hung too heavy"),
    pytest.param(tree(above({"opens": "top_hung"}, 320)), "height", "takes at least 250 mm",
                 ["447 mm high"], id="top hung too low"),
    pytest.param(tree(above({"opens": "top_hung"}, 600), size=(1600, 1205)), "width", "takes at most 1300 mm",
                 ["two of the same"], id="top hung too wide"),
    pytest.param(tree(beside(SIDE | {"hinge": "standard stay 305 mm"}, 760)), "hinge",
                 "as asked, standard stay 305 mm is for a sash at most 600 mm wide",
                 ["standard stay 406 mm"], id="the stay asked for is too short"),
    pytest.param(tree(beside(SIDE | {"hinge": "golden stay"}, 700)), "hinge",
                 "has no hinge or stay `golden stay` for it; there are standard stay 305 mm",
                 ["standard stay 406 mm"], id="a stay that the sheet does not list"),
    pytest.param(tree(beside(SIDE | {"open_angle_deg": 90}, 830)), "hinge",
                 "heavy stay 406 mm opens to 60°, 90° is asked", ["heavy stay 406 mm, opens to 60°"],
                 id="no stay of that size opens so far"),
    pytest.param(tree(beside(TURN, 400)), "width", "takes at least 380 mm", ["477 mm wide"],
                 id="tilt and turn too narrow"),
    pytest.param(tree(above(TURN, 670), size=(1210, 1500)), "ratio", "a width over height of 1.85",
                 ["806 mm high", "a mullion"], id="tilt and turn too broad"),
    pytest.param(tree(beside(TURN, 700), size=(1210, 1700)), "height", "takes at most 1500 mm", ["fixed above"],
                 id="tilt and turn too high"),
    pytest.param(tree({"opens": "tilt_turn_left", "swing": "out"}), "swing", "opens inwards", ["opens in"],
                 id="tilt and turn that opens out"),
    pytest.param(tree(beside(FIXED | {"vent_mm2": 8000}, 386), size=(1700, 1205)), "vent",
                 "8000 mm² take 880 mm of straight head, 386 mm is there", ["8000 mm² in light B"],
                 id="8000 mm² of ventilators in 386 mm"),
    pytest.param(tree(above({"opens": "top_hung"}, 560, FIXED | {"vent_mm2": 4000})), "vent", "0 mm is there",
                 ["4000 mm² in light A"], id="ventilators under a transom"),
    pytest.param(tree(beside(SIDE, 620), glass="4-12Ar-4 low-e"), "glass", "is 20 mm thick", ["4-16Ar-4"],
                 id="glass too thin for the beads"),
    pytest.param(tree(FIXED, size=(2300, 1900), glass="6T-16Ar-6T low-e"), "area",
                 "has an area of 3.72 m²; Plain 70 mm PVC-U window takes at most 3.5 m²", ["a mullion"],
                 id="fixed glass too large"),
    pytest.param(tree({"opens": "pair_left", "open_angle_deg": 90}, size=(1600, 1205)), "width",
                 "takes at most 700 mm", ["mm wide, fixed beside it"], id="leaf of a French pair too wide"),
    pytest.param(tree(beside(LEAF | {"infill": "panel"}, 1040), size=(1455, 2103), kind="door",
                      glass="4T-16Ar-4T low-e"), "width", "takes at most 900 mm", ["996 mm wide"],
                 id="door leaf too wide"),
    pytest.param(tree(LEAF | {"infill": "panel"}, size=(980, 2300), kind="door"), "height", "takes at most 2100 mm",
                 ["fixed above"], id="door leaf too high"),
    pytest.param(tree(LEAF | {"hinge": "three flag hinges"}, size=(980, 2103), kind="door",
                      glass="10T-16Ar-10T low-e"), "hinge", "three flag hinges carries at most 80 kg",
                 ["four flag hinges"], id="door leaf too heavy for its hinges"),
    pytest.param(tree(beside(SIDE, 760), profile="timber_68"), "width", "Softwood 68 mm window takes at most 650 mm",
                 ["734 mm wide"], id="timber sash too wide"),
    pytest.param(tree({"opens": "top_hung", "open_angle_deg": 30}, size=(1400, 1350), profile="slim_alu_65",
                      glass="8T-16Ar-8T low-e"), "hinge", "carries at most 60 kg", ["two of the same"],
                 id="aluminium top hung too heavy"),
    # a sliding sash is as wide as its frame less two faces of 92 mm, and 10 mm in each channel
    pytest.param(boxed(SASH, (1500, 1500)), "width", "Softwood box sash window takes at most 1200 mm",
                 ["two of the same"], id="box sash too wide"),
    pytest.param(boxed(SASH | {"hinge": "cords and pulleys 25 kg"}, (1300, 2200), "6-12Ar-6 low-e"), "hinge",
                 "as asked, cords and pulleys 25 kg carries at most 25 kg", ["chains and pulleys 40 kg"],
                 id="box sash too heavy for its cords"),
    pytest.param(tree(SASH | {"lower_sash_mm": 325}, size=(1000, 850)), "height", "takes at least 330 mm",
                 ["both sashes show the same glass"], id="sliding sash too low"),
    # panes of (W - 2 J + k I - am) / n, J 60, I 50, am 10
    pytest.param(door({"opens": "slider_ox"}, (2700, 2103), "slider_120"), "width",
                 "Sliding PVC-U door 120 mm takes at most 1250 mm", ["OXO", "OXXO", "fixed beside it"],
                 id="pane of a slider too wide"),
    pytest.param(door({"opens": "slider_oxxo"}, (2200, 2103), "slider_120"), "width", "takes at least 600 mm",
                 ["OXO", "OX:"], id="panes of a slider too narrow"),
    pytest.param(door({"opens": "slider_xo"}, (2200, 2350), "slider_120"), "height", "takes at most 2150 mm",
                 ["fixed above"], id="pane of a slider too high"),
    pytest.param(door({"opens": "slider_ox", "hinge": "rollers 80 kg"}, (2200, 2103), "slider_120", "8T-16Ar-8T low-e"),
                 "hinge", "as asked, rollers 80 kg carries at most 80 kg", ["heavy rollers 120 kg"],
                 id="pane too heavy for its rollers"),
    # a slab is as wide as its frame less two faces of 65 mm, and laps 8 mm over each
    pytest.param(door(beside(SLAB, 1040), (1455, 2103), "slab_door_44"), "width", "takes at most 901 mm",
                 ["997 mm wide"], id="slab too wide"),
    pytest.param(door(SLAB, (980, 2300), "slab_door_44"), "height", "takes at most 2020 mm", ["fixed above"],
                 id="slab too high"),
    pytest.param(door(SLAB | {"slab_glass_width_mm": 300, "slab_glass_height_mm": 800}, (980, 2103), "slab_door_44",
                      "6T-20Ar-6T low-e"), "glass", "is 32 mm thick", ["6T-16Ar-6T"],
                 id="glass too thick for a slab"),
    # leaves of (L - 2 j - k (N - 1)) / N, j 7, k 4, faces of 52 mm
    pytest.param(door(FOLDS, (3300, 2150), "folding_alu_70"), "width", "takes at most 1000 mm",
                 ["a bi-fold set of 4, 4 to the left", "fixed beside it"], id="folding leaf too wide"),
    pytest.param(door(FOLDS | {"fold_left": 5}, (2100, 2150), "folding_alu_70"), "width", "takes at least 500 mm",
                 ["a bi-fold set of 3, 3 to the left"], id="folding leaf too narrow"),
    pytest.param(door(FOLDS | {"fold_left": 2}, (1500, 2600), "folding_alu_70"), "height", "takes at most 2400 mm",
                 ["fixed above"], id="folding leaf too high"),
    pytest.param(door(FOLDS | {"hinge": "carriers 80 kg"}, (2900, 2400), "folding_alu_70", "10T-16Ar-10T low-e"),
                 "hinge", "as asked, carriers 80 kg carries at most 80 kg", ["heavy carriers 120 kg"],
                 id="folding leaf too heavy for its carriers"),
    pytest.param(door(STABLE | {"lower_leaf_mm": 500}, (980, 2103), "plain_door_70"), "height",
                 "takes at most 1300 mm", ["both leaves"], id="upper leaf of a stable door too high"),
    pytest.param(door(beside(STABLE, 1040), (1455, 2103), "plain_door_70"), "width", "takes at most 900 mm",
                 ["996 mm wide"], id="stable door too wide"),
    pytest.param(tree({"opens": "reversible"}, size=(1400, 1205)), "width", "takes at most 1200 mm",
                 ["two of the same"], id="reversible window too wide"),
    pytest.param(tree({"opens": "reversible", "hinge": "reversing arms 40 kg"}, size=(1100, 1205),
                      glass="8-12Ar-8 low-e"), "hinge", "as asked, reversing arms 40 kg carries at most 40 kg",
                 ["heavy reversing arms 60 kg"], id="reversible window too heavy for its arms"),
]  # fmt: skip


def decided(given):
    return job.check(survey_from_tree(given)).openings[0]


def of_system(plan):
    return [verdict for verdict in plan.verdicts if verdict.rule.startswith("system.")]


def test_there_are_twenty_orders_or_more():
    assert len(ORDERS) >= 20


@pytest.mark.parametrize(("given", "rule", "words", "remedies"), ORDERS)
def test_one_broken_limit_stops_the_order_and_the_remedies_hold(given, rule, words, remedies):
    plan = decided(given)
    broken = [verdict for verdict in of_system(plan) if verdict.word == "fails"]
    assert {verdict.rule for verdict in broken} == {f"system.{rule}"}
    assert words in broken[0].why
    assert all(verdict.stops == ("ordering",) for verdict in broken)
    assert plan.gates.ordering.state == "shut"
    assert f"system.{rule}" in {reason.rule for reason in plan.gates.ordering.reasons}
    offered = [each for each in plan.proposed if f"system.{rule}" in each.mends]
    assert [remedy for remedy in remedies if not any(remedy in each.say for each in offered)] == []
    for each in offered:
        done = apply_proposal(given, "W3", each, on=datetime.date(2026, 5, 1), by=None)
        after = job.verdicts_by_opening(survey_from_tree(done))["W3"]
        assert {verdict.word for verdict in after if verdict.rule.startswith("system.")} == {"advise"}, (
            each.say
        )


def test_an_invented_sheet_proves_nothing_and_says_whom_to_ask():
    plan = decided(tree(beside(SIDE, 600)))
    (said,) = of_system(plan)
    assert (said.rule, said.word, said.stops) == ("system.limits", "advise", ())
    assert "By an invented sheet (invented): ask the maker of the profiles for his sheet." in said.why


def own(**changes):
    """A firm's own sheet: the shipped one as a maker would have it."""
    sheet = parse_tree(read_text("system_plain_70.yaml"))
    sheet |= {"name": "own_70", "title": "Own 70", "by": "Invented maker, sheet 4 of 2026", "invented": False}
    return {name: value for name, value in (sheet | changes).items() if value is not None}


def with_sheet(given, sheet):
    found = copy.deepcopy(given)
    found["defaults"]["systems"] = [sheet]
    found["openings"][0]["wanted"]["profile"] = sheet["name"]
    return found


def test_the_makers_sheet_in_the_readings_file_is_judged_by_and_proves():
    (said,) = of_system(decided(with_sheet(tree(beside(SIDE, 600)), own())))
    assert (said.rule, said.word) == ("system.limits", "meets")
    assert str(said.source) == "Invented maker, sheet 4 of 2026"
    narrow = own(sashes=[{"kind": "side_hung", "most_width_mm": 480, "most_height_mm": 1300, "most_kg": 30}])
    broken = [v for v in of_system(decided(with_sheet(tree(beside(SIDE, 600)), narrow))) if v.word == "fails"]
    (why,) = [v.why for v in broken]
    assert why.endswith("mm, side hung, has a width of 503.5 mm; Own 70 takes at most 480 mm.")


def test_a_sheet_called_as_a_shipped_system_takes_its_place():
    sheet = own(name="plain_70", title="The real 70")
    given = tree(beside(SIDE, 600))
    given["defaults"]["systems"] = [sheet]
    plan = decided(given)
    assert plan.frame.chosen.profile.title == "The real 70"
    assert [v.word for v in of_system(plan)] == ["meets"]


SIZED = {"most_width_mm": 1300, "most_height_mm": 1300}
SIDE_SAYS = "a side hung light"


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"sashes": [{"kind": "fixed", **SIZED}]}, f"says nothing of {SIDE_SAYS}"),
        (
            {"sashes": [{"kind": "side_hung", "most_kg": 20}]},
            f"gives no most width and height of {SIDE_SAYS}",
        ),
        ({"sashes": [{"kind": "side_hung", **SIZED}]}, f"gives no most mass of {SIDE_SAYS}"),
        ({"glass_mm": None}, "does not say which glass thickness its beads take"),
        ({"vents": None}, "does not say which ventilators it takes"),
    ],
)
def test_a_sheet_with_gaps_says_what_is_not_checked(changes, said):
    given = with_sheet(tree(beside(SIDE | {"vent_mm2": 4000}, 600)), own(**changes))
    gaps = [verdict for verdict in of_system(decided(given)) if verdict.rule == "system.gaps"]
    assert any(said in verdict.why and "not checked; ask the maker" in verdict.why for verdict in gaps)
    assert {verdict.word for verdict in gaps} == {"advise"}


def test_a_sheet_that_takes_no_ventilators_stops_them():
    given = with_sheet(tree(beside(SIDE | {"vent_mm2": 4000}, 600)), own(vents=[]))
    (broken,) = [verdict for verdict in of_system(decided(given)) if verdict.word == "fails"]
    assert broken.why == "Own 70 takes no ventilators; ventilate the room another way."


def test_sections_left_out_come_from_the_system_named_and_prove_nothing():
    sheet = own(like="plain_70", sections={"frame_face_mm": 60})
    profile = decided(with_sheet(tree(beside(SIDE, 600)), sheet)).frame.chosen.profile
    assert (profile.frame_face_mm, profile.sash_face_mm, profile.source.how) == (60, 48, "invented")
    with pytest.raises(BadInput, match="its sections lack frame_depth_mm"):
        decided(with_sheet(tree(beside(SIDE, 600)), own(sections={"frame_face_mm": 60})))
    with pytest.raises(BadInput, match="`brass_5` is none of the shipped systems"):
        decided(with_sheet(tree(beside(SIDE, 600)), own(like="brass_5", sections={})))


def test_sills_of_the_sheet_go_under_its_frames():
    assert decided(with_sheet(tree(beside(SIDE, 600)), own())).order.sill_depth.value == 150
    sheet = own(sill_depths_mm=[165, 195])
    assert decided(with_sheet(tree(beside(SIDE, 600)), sheet)).order.sill_depth.value == 165


def test_hinge_ventilators_and_steel_reach_the_order():
    given = tree(beside(SIDE | {"vent_mm2": 4000}, 720), size=(1900, 1205))
    (item,) = order_of(job.decide(survey_from_tree(given))).items
    light, fixed = item.lights
    # 623.5 mm is too wide for the stay of 305 mm, which is for 600 at most
    assert light.hinge == "standard stay 406 mm"
    assert light.vents == "1 x 4000 mm², 380 mm long, in the head of the frame"
    assert (fixed.hinge, fixed.vents) == (None, None)
    assert item.steel_in == ("outer frame", "sash A")


def test_a_kind_or_hinge_told_twice_is_refused():
    twice = {"kind": "side_hung", "most_kg": 20}
    with pytest.raises(BadInput, match="the kind `side_hung` stands twice"):
        survey_from_tree(with_sheet(tree(FIXED), own(sashes=[twice, twice])))
    hinge = {"name": "stay"}
    with pytest.raises(BadInput, match="the hinge `stay` stands twice"):
        survey_from_tree(with_sheet(tree(FIXED), own(sashes=[twice | {"hinges": [hinge, hinge]}])))


@pytest.mark.parametrize("name", [name for name in data_files(".yaml") if name.startswith("system_")])
def test_a_shipped_sheet_is_whole_and_says_that_it_is_invented(name):
    sheet = read_sheet(read_text(name))
    assert name == f"system_{sheet.name}.yaml"
    assert shipped_systems()[sheet.name] == sheet
    assert sheet.invented
    assert "invented" in sheet.by
    assert sheet.glass_mm
    assert sheet.vents
    assert sheet.stiles
    opening = [sash for sash in sheet.sashes if sash.kind != "fixed"]
    for sash in opening:
        assert sash.most_width_mm
        assert sash.most_height_mm
        assert all(hinge.most_kg for hinge in sash.hinges)
        assert [h.most_kg for h in sash.hinges] == sorted(h.most_kg for h in sash.hinges)
    assert any(len(sash.hinges) > 1 for sash in opening), "more than one hinge or stay by size and mass"


@pytest.mark.parametrize(("count", "length", "head"), [(1, 380, 500), (2, 380, 880), (3, 300, 1020)])
def test_head_that_ventilators_take(count, length, head):
    # their lengths side by side and 60 mm clear at each end (from memory, low)
    assert head_for_vents_mm(count=count, length_mm=length, ends_mm=60) == head


def test_mass_of_a_sash():
    # 700 x 1300, 2.4 kg/m, hardware 1.5 kg, glass 612 x 1212 of 20 kg/m²: published limit of a 16 inch stay 24 kg
    assert sash_kg(pieces_kg=[2.4 * 4.0 + 1.5, 0.612 * 1.212 * 20]) == pytest.approx(25.93, abs=0.01)


def test_the_terminal_shows_a_sheet_says_its_gaps_and_puts_it_into_a_house(tmp_path):
    def run(*words):
        return CliRunner().invoke(app, ["system", *map(str, words)])

    shown = run("--shipped", "timber_68").stdout
    assert shown == read_text("system_timber_68.yaml")
    house, sheet, out = (tmp_path / name for name in ("house.yaml", "own.yaml", "out.yaml"))
    house.write_text(read_text("demo_house.yaml"), encoding="utf-8")
    sheet.write_text(
        "name: own\ntitle: Own\nby: Maker 4\nmaterial: timber\nuse: window\nlike: timber_68\n",
        encoding="utf-8",
    )
    said = run(sheet)
    assert said.exit_code == 0
    for gap in ("Sections not given: frame_depth_mm", "as timber_68", "Glass thicknesses not given.",
                "Ventilators not given.", "Nothing of: fixed, side_hung"):  # fmt: skip
        assert gap in said.stdout
    assert run(sheet, "--into", house, "--out", out).exit_code == 0
    survey = survey_from_tree(parse_tree(out.read_text(encoding="utf-8")))
    assert [each.name for each in survey.defaults.systems] == ["own"]
    assert "# Invented end-of-terrace house" in out.read_text(encoding="utf-8"), "comments of the house stay"
    assert run(sheet, "--into", out, "--out", tmp_path / "again.yaml").exit_code == 0
    again = survey_from_tree(parse_tree((tmp_path / "again.yaml").read_text(encoding="utf-8")))
    assert len(again.defaults.systems) == 1, "a sheet of that name is replaced"
    assert run(sheet, "--into", house, "--out", house).exit_code == 2
    assert run(sheet, "--into", house).exit_code == 2
    sheet.write_text(sheet.read_text(encoding="utf-8") + "colour: red\n", encoding="utf-8")
    assert "there is no such field" in run(sheet).output


def test_the_schema_of_a_sheet_is_what_the_shipped_sheets_keep_to():
    schema = json.loads(CliRunner().invoke(app, ["system", "--schema"]).stdout)
    for name in shipped_systems():
        jsonschema.validate(parse_tree(read_text(f"system_{name}.yaml")), schema)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({"name": "x"}, schema)


def test_the_firms_systems_are_offered_where_a_profile_is_chosen():
    found = with_sheet(tree(FIXED), own())
    choices = dict(choices_in(field_at(("openings", "W3", "wanted", "profile")), found))
    assert next(iter(choices)) == "own_70"
    assert choices["own_70"] == "Own 70"
    assert set(shipped_systems()) < set(choices)
    found["openings"][0]["wanted"]["profile"] = "own_7O"
    with pytest.raises(BadInput, match=r"there is no profile `own_7O`\. Did you mean `own_70`"):
        survey_from_tree(found)
