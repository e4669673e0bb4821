"""A way of opening is told once: whoever adds one sees here all that is still to be filled in."""

from typing import get_args

import pytest

from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.readings.asked import fields_of, words_of
from jambwright.readings.ways import Hinge, Opens, Way, way_of, ways

OPENS = next(field for field in fields_of("Light") if field.name == "opens")
CLEAR = {"fixed", "side", "turn", "top", "slide_up", "slide_across", "sheet"}
BLOCKED = set(table("glazing_blocks").column("opening"))
USUAL = set(table("usual_obstructions").column("hinge"))


def lacking(kind: str) -> list[str]:
    """What the table, the blocks, the obstructions and the phone's words still lack of a way of opening."""
    way: Way | None = ways().get(kind)
    if way is None:
        return [f"{kind}: write its row in ways_of_opening.csv"]
    wanted = {
        "words, short and family": all((way.words, way.short, way.family)),
        "clear": way.clear in CLEAR,
        "escape": way.escape in ("yes", "doubtful", "sheet", "none"),
        "swings_on": way.swings_on in ("", "width", "height"),
        "rules": way.rules in get_args(Hinge),
        "leaf": not way.leaf or way.leaf in ways(),
        "blocks, with rows in glazing_blocks.csv": not way.blocks or way.blocks in BLOCKED,
        "usual, with a row in usual_obstructions.csv": not way.usual or way.usual in USUAL,
        "leaves, two that hang across from each other": not way.leaves
        or tuple(way_of(leaf).hangs for leaf in way.leaves) == way.hinges,
    }
    if kind in get_args(Opens):
        wanted |= {
            "ordered": way.ordered,
            "hinges": bool(way.hinges) == way.opens,
            "blocks, with rows in glazing_blocks.csv, or leaves": way.blocks in BLOCKED or bool(way.leaves),
            "usual, with a row in usual_obstructions.csv": way.usual in USUAL or not way.opens,
            f"{kind} among the words of asked.yaml, as in the table": words_of(OPENS, kind).lower()
            == way.words.lower(),
        }
    if kind in get_args(Hinge):
        wanted["rules"] = way.rules == kind
    return [f"{kind}: fill in {what}" for what, there in wanted.items() if not there]


def test_every_way_of_opening_is_filled_in_everywhere():
    kinds = dict.fromkeys((*get_args(Opens), *get_args(Hinge), *ways()))
    assert [what for kind in kinds for what in lacking(kind)] == []


def test_what_may_be_ordered_is_what_the_readings_file_takes():
    assert [way.kind for way in ways().values() if way.ordered] == list(get_args(Opens))


def test_a_way_that_nobody_filled_in_is_told_by_name():
    assert lacking("louvre") == ["louvre: write its row in ways_of_opening.csv"]
    with pytest.raises(BadInput, match="`louvre` is no way of opening"):
        way_of("louvre")


@pytest.mark.parametrize("way", ways().values(), ids=lambda way: way.kind)
def test_the_lock_is_across_from_the_hinges(way):
    assert (way.hangs, way.keep) in {
        (None, None), ("left", "right"), ("right", "left"), ("top", "bottom"), ("bottom", "top"),
    }  # fmt: skip
