"""The history in sentences: every field of a survey and of a frame as fitted, every outcome, nothing raw."""

import json
import re

import pytest

from jambwright.readings import places
from jambwright.readings.asked import every_field
from jambwright.readings.fitted import AsFitted
from jambwright.store import Change, Kept, add_house, history, new_id, read_house, rename_opening, take, undo
from jambwright.store.changes import ROOTS
from jambwright.web.history_words import history_view, sentence
from survey_trees import AS_FITTED, FULL_OPENING, TREE

NAMES = {"openings": "W1", "rooms": "Kitchen", "tools": "red tape"}
RAW = re.compile(r"""[{}\[\]]|/\w+/|\b(None|True|False|null)\b|\b[a-z]+_[a-z_]+\b|\bhistory\.|'\w+':""")
"""Marks of a value or a path as it is kept."""


def kept(path, before, after, outcome="taken", **more):
    told = {
        "seq": 1, "id": "a", "version": 2, "path": path, "before": before, "after": after, "typed": None,
        "who": "Ada", "device": "p", "at": "", "received": "2026-03-02T10:00:00.000Z", "outcome": outcome,
        "undoes": None, "problems": [],
    }  # fmt: skip
    return Kept(**told | more)


def said(path, before, after, outcome="taken", **more):
    return sentence(kept(path, before, after, outcome, **more), TREE)


def values(field):
    """Two values a field may have, one after the other."""
    of_light = "clear_width_mm" if field.inside == "DeclaredLight" else "thickness_mm"
    inner = {"group": {"mm": 5, "kind": "timber", "by": "sheet 4"}, "list": [{"what": "lintel", "by": "Bo"}]}
    simple = {
        "figure": (1208, 1210.5), "count": (2, 3), "yes": (True, False), "words": ("blue", "stuck with paint"),
        "note": ("left at the gate", "keys with Bo"), "day": ("2026-03-02", "2026-03-09"),
        "moment": ("2026-03-02T09:30:00", "2026-03-02T10:00:00Z"), "anything": (5, {"share": 2}),
        "figures": ([1, 2.5], 3), "lines": (["escape.width"], ["escape.width", "glass.safety"]),
        "figures_by": ({"as_ordered": 5000}, {"as_ordered": 5100}),
        "words_by": ({"width middle": "hidden"}, {"width top": "no edge"}),
        "reading": ({"mm": [1209, 1210], "tool": "red tape", "who": "Ada", "how": "told"}, 2),
        "layout": ({"across": [{"opens": "side_hung_left"}, {"down": [{}, {}]}]}, {"opens": "fixed"}),
        "parts": ([{"opens": "top_hung"}], [{"opens": "side_hung_left"}, {}]),
        "group": (inner["group"], {"new_in_a_later_version": 1}), "list": (inner["list"], inner["list"] * 12),
        "groups_by": ({"A": {of_light: 25}}, {"A": {of_light: 26}}),
    }  # fmt: skip
    if field.kind in ("choice", "several"):
        first, last = field.choices[0], field.choices[-1]
        return (first, last) if field.kind == "choice" else ([first], [first, last])
    return simple[field.kind]


def paths():
    for path, field in every_field():
        named = [NAMES.get(path[n - 1], "0" if path[n - 1] != "lights" else "A") if key == "*" else key
                 for n, key in enumerate(path)]  # fmt: skip
        yield places.text(tuple(named)), field
    for path, field in every_field(AsFitted):
        yield places.text(("fitted", "W1", *path)), field


FIELDS = dict(paths())


def test_every_root_of_a_change_is_gone_through():
    assert {path.split("/")[1] for path in FIELDS} - {"jambwright"} == set(ROOTS)
    assert len(FIELDS) > 400


@pytest.mark.parametrize("outcome", ["taken", "same", "clash", "settled", "refused"])
def test_every_field_is_told_in_a_sentence_with_nothing_raw(outcome):
    odd = ["wide", 17, True, {"strange_field": 1}, ["strange_value"]]
    for path, field in FIELDS.items():
        one, other = values(field)
        pairs = [(None, one), (one, other), (other, None), (None, None), *((one, strange) for strange in odd)]
        for before, after in pairs:
            for undoes in (None, "b"):
                told = said(path, before, after, outcome, undoes=undoes)
                assert told.startswith("Ada "), (path, told)
                plain = re.sub("“[^”]*”", "", told)  # what a person typed stands as typed
                assert not RAW.search(plain), (path, before, after, told)
                assert "does not have" not in told, (path, told)
        if one != other and field.name not in ("plan", "place"):  # told without a name
            assert said(path, one, other) != said(path, other, one), path


def test_every_value_of_a_choice_is_told_in_its_words():
    for path, field in FIELDS.items():
        for value in field.choices if field.kind == "choice" else ():
            assert "_" not in said(path, None, value), (path, value)


EXAMPLES = {
    "Ada typed the bottom width of W3: 1,208 mm, 1,210 mm before.": ("/openings/W3/outside/width/bottom", 1210, 1208),
    "Ada typed the level of the sill inside of W3: 2 mm (left end high).": (
        "/openings/W3/inside/level/sill", None, -2),
    "Ada took the left height of W3 away: 1,050 mm and 1,051 mm before.": (
        "/openings/W3/outside/height/left", [1050, 1051], None),
    "Ada set “Gaps at the packers › Gap at the left › Top” of W3 as fitted to 7.5 mm; it was blank.": (
        "/fitted/W3/gaps_mm/left/top", None, 7.5),
    "Ada typed the plumb of the left jamb of W3 as fitted: 1 mm (top leans right).": (
        "/fitted/W3/outside/plumb/left", None, 1),
    "Ada set “Use” of the room Kitchen to “Kitchen”; “Store” before.": (
        "/house/rooms/Kitchen/use", "store", "kitchen"),
    "Ada set “Day of the work” to 7 December 2026; it was blank.": ("/date_of_work", None, "2026-12-07"),
    "Ada set “House › Listed” to “No”; it was blank.": ("/house/listed", None, False),
    "Ada added W3: Kitchen, 10 readings.": ("/openings/W3", None, FULL_OPENING),
    "Ada set “What is to go in › Lights” of W3 to 2 lights: side hung, hinges left; fixed; nothing before.": (
        "/openings/W3/wanted/layout", {}, FULL_OPENING["wanted"]["layout"]),
    "Ada set “Note on the job” to nothing; “a b” before.": ("/note", "a\nb", ""),
    "Ada took the tool red tape away: Kind of tool: “Tape”; Class: “II”.": (
        "/tools/red tape", TREE["tools"][0], None),
}  # fmt: skip


@pytest.mark.parametrize(("words", "change"), EXAMPLES.items(), ids=[path for path, *_ in EXAMPLES.values()])
def test_sentences_as_a_fitter_would_say_them(words, change):
    assert said(*change) == words


def test_what_this_version_does_not_know_is_said_to_be_so():
    for path in ("/moon", "/openings/W1/moon/full", "nowhere", "/", "/openings//x", "/fitted/W1/moon"):
        told = said(
            path, None, {"secret": 1}, "refused", problems=[{"field": "path", "say": f"path: {path}"}]
        )
        assert told.startswith(
            "Ada sent a value for a field that this version does not have. Set aside: there was no"
        )
        assert "secret" not in told


def test_a_field_of_a_light_is_told_after_the_layout_was_drawn_otherwise():
    path = "/openings/W1/wanted/layout/down/1/across/0/opens"
    assert said(path, "fixed", "top_hung").startswith(
        "Ada set “What is to go in › Lights › One under another"
    )


def change(path, was, value, who="Ada", **more):
    return Change(
        path=path, was=was, value=value, who=who, at="2026-03-02T10:00:00Z", device="p", id=new_id(), **more
    )


def test_a_history_as_the_store_keeps_it_is_told_whole(store):
    house = add_house(store, TREE)
    width = "/openings/W1/outside/width/bottom"
    take(store, house, [
        change(width, 1210, 1208), change(width, 1210, 1218, who="Bo"), change("/note", TREE["note"], "slip"),
        change(width, 1208, "wide"), change("/moon", None, 1), change("/openings/W9", None, {"id": "W9", "room": "x"}),
        change("/openings/W1/room/x", None, 1), change("/fitted/W1", None, AS_FITTED), change("/openings", None, []),
        change("/site/altitude_m", 80, "high"), change("/tools/blue tape", None, {"name": "blue tape"}),
    ])  # fmt: skip
    first = next(c for c in history(store, house) if c.after == 1208)
    undo(store, house, first.id, who="Ada", at="", device="desk")
    rename_opening(store, house, "W1", "K1", who="Ada", at="", device="desk")
    told = history_view(history(store, house), read_house(store, house).tree)
    lines = [line["say"] for line in told]
    for line in lines:
        assert not RAW.search(re.sub("“[^”]*”", "", line)), line
    assert len(lines) >= 13
    both = "\n".join(lines)
    assert "Bo typed the bottom width of W1: 1,218 mm" in both
    assert "Ada undid a change: the bottom width of W1 is 1,210 mm again; 1,208 mm before." in both
    assert "Ada added K1: Kitchen, 10 readings." in both
    assert "Set aside: " in both
    assert json.dumps(told, ensure_ascii=False)
