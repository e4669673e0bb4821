"""A way of opening is told once: whoever adds one sees here all that is still to be filled in."""

from typing import get_args

import pytest

from jambwright import job
from jambwright.basis import tables
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import Table, table
from jambwright.checks.clear_opening.kinds import SLIDES
from jambwright.frame.kinds import KINDS, Leaf
from jambwright.frame.layout import lay_out
from jambwright.frame.profiles import profile_system
from jambwright.paper import printed
from jambwright.paper.symbols import SIGNS
from jambwright.plan.bars import MEETING
from jambwright.plan.blocks import place_blocks
from jambwright.readings import ways as ways_module
from jambwright.readings.asked import fields_of, words_of
from jambwright.readings.survey_file import survey_from_tree
from jambwright.readings.system_sheet import SashKind
from jambwright.readings.wanted import Light
from jambwright.readings.ways import Hinge, Way, ordered_kinds, way_of, ways
from made_up_houses import settled_house

OPENS = next(field for field in fields_of("Light") if field.name == "opens")
CLEAR = {"fixed", "side", "turn", "top", "slide_up", "slide_across", "fold", "sheet"}


def lacking(kind: str) -> list[str]:
    """What tables, modules, signs and words still lack of a way of opening."""
    way: Way | None = ways().get(kind)
    if way is None:
        return [f"{kind}: write its row in ways_of_opening.csv"]
    blocked = set(table("glazing_blocks").column("opening"))
    usual = set(table("usual_obstructions").column("hinge"))
    leaves = [way_of(leaf) for leaf in way.leaves]
    sliding = way.clear in ("slide_up", "slide_across", "fold")
    wanted = {
        "words, short and family": all((way.words, way.short, way.family)),
        "clear": way.clear in CLEAR,
        "escape": way.escape in ("yes", "doubtful", "sheet", "none"),
        "swings_on": way.swings_on in ("", "width", "height"),
        "rules": way.rules in get_args(Hinge),
        "leaf": not way.leaf or way.leaf in ways(),
        "blocks, with rows in glazing_blocks.csv": not way.blocks or way.blocks in blocked,
        "usual, with a row in usual_obstructions.csv": not way.usual or way.usual in usual,
        "made, with a module in frame/kinds": way.made in KINDS,
        "sign, with one in paper/symbols.py": way.sign in SIGNS,
        "joins, with how it carries the wind in plan/bars.py": bool(way.joins) == bool(leaves)
        and (not leaves or way.joins in MEETING),
        "leaves, of a pair two that hang across from each other": not leaves
        or way.made != "pair"
        or tuple(leaf.hangs for leaf in leaves) == way.hinges,
    }
    if kind in ordered_kinds():
        stands = [leaf for leaf in leaves or [way] if leaf.opens]
        wanted |= {
            "hinges, or where it slides": not way.opens
            or all(leaf.hinges or leaf.slides or leaf.clear == "sheet" for leaf in stands),
            "a sign for each leaf that moves": all(leaf.sign for leaf in stands),
            "blocks, with rows in glazing_blocks.csv, of each leaf": all(
                leaf.blocks in blocked for leaf in leaves or [way]
            ),
            "usual, with a row in usual_obstructions.csv": way.usual in usual
            or sliding
            or way.clear in ("fixed", "sheet"),
            "sheet, a kind of the system sheets, of each leaf": all(
                leaf.sheet in get_args(SashKind) for leaf in leaves or [way]
            ),
            "words as they are asked": words_of(OPENS, kind).lower() == way.words.lower(),
        }
    if kind in get_args(Hinge):
        wanted["rules"] = way.rules == kind
    return [f"{kind}: fill in {what}" for what, there in wanted.items() if not there]


def test_every_way_of_opening_is_filled_in_everywhere():
    kinds = dict.fromkeys((*ordered_kinds(), *get_args(Hinge), *ways()))
    assert [what for kind in kinds for what in lacking(kind)] == []


def test_what_may_be_ordered_is_what_the_readings_file_takes():
    assert OPENS.choices == ordered_kinds()


def test_a_way_that_nobody_filled_in_is_told_by_name():
    assert lacking("louvre") == ["louvre: write its row in ways_of_opening.csv"]
    with pytest.raises(BadInput, match="`louvre` is no way of opening"):
        way_of("louvre")


@pytest.mark.parametrize("way", ways().values(), ids=lambda way: way.kind)
def test_the_lock_is_across_from_the_hinges(way):
    assert (way.hangs, way.keep) in {
        (None, None), ("left", "right"), ("right", "left"), ("top", "bottom"), ("bottom", "top"),
    }  # fmt: skip


LOUVRE = {
    "kind": "louvre", "ordered": "yes", "family": "louvre", "words": "louvre", "short": "louvre", "hinges": "",
    "clear": "sheet", "needs_angle": "no", "swings_on": "", "escape": "none", "rules": "pivot", "leaf": "",
    "blocks": "pivot", "usual": "", "leaves": "", "made": "louvre", "slides": "", "joins": "", "sign": "louvre",
    "sheet": "louvre",
}  # fmt: skip


def louvre(hole, light, _):
    """The kind's own module: a sash without stiles, glass from jamb to jamb."""
    sash = hole.sight
    return (
        Leaf(way="louvre", hole=hole, sash=sash, daylight=sash.inset(top_mm=20, bottom_mm=20), wanted=light),
    )


@pytest.fixture
def with_row(monkeypatch):
    """The table of ways with the row of a louvre."""
    kept = table("ways_of_opening")
    longer = Table(kept.name, (*kept.rows, LOUVRE), kept.pedigree)
    monkeypatch.setattr(
        ways_module, "table", lambda name: longer if name == kept.name else tables.table(name)
    )
    ways.cache_clear()
    yield monkeypatch
    monkeypatch.undo()
    ways.cache_clear()


def test_a_new_kind_lacks_its_module_and_its_sign_and_then_nothing(with_row):
    assert [what.split(": ")[1] for what in lacking("louvre")][:2] == [
        "fill in made, with a module in frame/kinds",
        "fill in sign, with one in paper/symbols.py",
    ]
    with_row.setitem(KINDS, "louvre", louvre)
    with_row.setitem(SIGNS, "louvre", lambda *_: ())
    # both are read once, when the program starts
    once = ("words as they are asked", "sheet, a kind of the system sheets, of each leaf")
    assert set(lacking("louvre")) <= {f"louvre: fill in {what}" for what in once}
    found = lay_out(
        Light.model_validate({"opens": "louvre"}), width_mm=600, height_mm=900,
        profile=profile_system("plain_70"), door=False, low=False,
    )  # fmt: skip
    (light,) = found.lights
    assert (light.opens, light.way.family, light.daylight.width_mm) == (True, "louvre", 600 - 2 * 65)
    blocks, _ = place_blocks("louvre", glass_width_mm=450, glass_height_mm=700)
    assert len(blocks) == 6
    house = settled_house()
    house["openings"][0]["wanted"]["layout"] = {"opens": "louvre"}
    papers = printed(job.decide(survey_from_tree(house)))
    assert b'"louvre"' in papers["order.csv"]
    assert papers["order.pdf"]
    assert papers["fit-sheets.pdf"]


def test_a_slider_is_named_by_what_its_panes_do():
    for way in ways().values():
        if way.made == "slider":
            told = "".join("X" if way_of(leaf).opens else "O" for leaf in way.leaves)
            assert told in way.words
            assert told in SLIDES
