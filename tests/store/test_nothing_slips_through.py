"""Ids, clashes, marks and characters that once let a change through unseen, or kept a house from answering."""

import json

import pytest
from test_changes import WIDTH, change

from jambwright.basis.problems import BadInput
from jambwright.store import (
    NotThere,
    add_house,
    choose,
    chosen,
    history,
    house_lines,
    invite,
    join,
    open_clashes,
    read_house,
    replace,
    replace_fitted,
    take,
    undo,
)
from survey_trees import AS_FITTED, TREE, tree

BROKEN = "crack \ud83d in the\x00 sill\x07"
WHOLE = "crack \ufffd in the\ufffd sill\ufffd"


@pytest.fixture
def house(store):
    return add_house(store, TREE)


def bottom(store, house):
    return read_house(store, house).tree["openings"][0]["outside"]["width"]["bottom"]


def test_a_change_that_settles_no_clash_is_looked_at_like_any_other(store, house):
    take(store, house, [change(WIDTH, 1210, 1208)])
    _, [kept] = take(store, house, [change(WIDTH, 1210, 1218, settles="never-was", who="Bo")])
    assert kept.outcome == "clash"
    assert bottom(store, house) == 1208


def test_a_clash_is_settled_by_a_change_of_its_own_field_and_house_only(store, house):
    take(store, house, [change(WIDTH, 1210, 1208)])
    mine = change(WIDTH, 1210, 1218, who="Bo")
    take(store, house, [mine])
    other = add_house(store, TREE)
    take(store, house, [change("/note", TREE["note"], "x", settles=mine.id)])
    take(store, other, [change(WIDTH, 1210, 1207, settles=mine.id)])
    assert [c.id for c in open_clashes(store, house)] == [mine.id]


def test_a_decision_on_a_field_that_moved_on_is_asked_about_again_and_nothing_is_lost(store, house):
    take(store, house, [change(WIDTH, 1210, 1208)])
    mine = change(WIDTH, 1210, 1218, who="Bo")
    take(store, house, [mine])
    take(store, house, [change(WIDTH, 1208, 1209)])
    late = change(WIDTH, 1208, 1218, settles=mine.id, who="Bo")
    _, [kept] = take(store, house, [late])
    assert kept.outcome == "clash"
    assert bottom(store, house) == 1209
    assert [c.id for c in open_clashes(store, house)] == [late.id]


def test_an_id_used_in_another_house_is_no_hindrance(store, house):
    other = add_house(store, TREE)
    _, [first] = take(store, house, [change(WIDTH, 1210, 1208, id="same-id")])
    _, [second] = take(store, other, [change(WIDTH, 1210, 1207, id="same-id")])
    assert (first.outcome, second.outcome) == ("taken", "taken")
    assert (bottom(store, house), bottom(store, other)) == (1208, 1207)
    assert [c.after for c in history(store, other)] == [1207]


def test_another_change_under_a_used_id_is_refused_in_words_kept_and_answered_so_each_time(store, house):
    take(store, house, [change(WIDTH, 1210, 1208, id="used")])
    lie = change(WIDTH, 1208, 1300, id="used")
    for _ in range(2):
        _, [kept] = take(store, house, [lie])
        assert (kept.id, kept.outcome, kept.after) == ("used", "refused", 1300)
        assert "under the number of another one" in kept.problems[0]["say"]
    assert bottom(store, house) == 1208
    assert [c.after for c in history(store, house)] == [1300, 1208]


def test_undo_takes_no_change_of_another_house(store, house):
    other = add_house(store, TREE)
    _, [done] = take(store, house, [change(WIDTH, 1210, 1208)])
    with pytest.raises(NotThere):
        undo(store, other, done.id, who="Ada", at="", device="desk")
    assert bottom(store, house) == 1208
    assert history(store, other) == []


@pytest.mark.parametrize("path", ["/openings/w1", "/openings"])
def test_marks_that_differ_only_in_capitals_are_refused(store, house, path):
    small = {"id": "w1", "room": "Kitchen", "outside": {}}
    was, value = (None, small) if path.endswith("w1") else (TREE["openings"], [*TREE["openings"], small])
    _, [kept] = take(store, house, [change(path, was, value)])
    assert kept.outcome == "refused"
    assert "W1 and w1 differ only in capitals" in kept.problems[0]["say"]
    with pytest.raises(BadInput, match="differ only in capitals"):
        replace(store, house, tree(openings=[*TREE["openings"], small]), who="Ada", at="", device="")
    with pytest.raises(BadInput, match="differ only in capitals"):
        add_house(store, tree(openings=[*TREE["openings"], small]))
    assert len(house_lines(store)) == 1


def test_characters_no_answer_could_carry_are_replaced_wherever_they_come_in(store, house):
    kept = take(store, house, [change("/note", TREE["note"], BROKEN, typed=BROKEN, who=BROKEN)])[1]
    assert (kept[0].outcome, kept[0].typed, kept[0].who) == ("taken", WHOLE, WHOLE)
    _, [again] = take(store, house, [change("/note", BROKEN, "mended")])
    assert again.outcome == "taken"
    replace(store, house, tree(note=BROKEN), who="Ada", at="", device="desk")
    replace_fitted(store, house, {"W1": AS_FITTED | {"note": BROKEN}}, who="Ada", at="", device="desk")
    take(store, house, [change(f"/{BROKEN}", None, {BROKEN: BROKEN})])
    other = read_house(store, add_house(store, tree(site={"label": BROKEN}, note=BROKEN)))
    assert (other.label, other.tree["note"]) == (WHOLE, WHOLE)
    choose(store, "prices", {"note": BROKEN}, who=BROKEN)
    assert chosen(store, "prices") == {"note": WHOLE}
    assert (
        join(store, invite(store, name=BROKEN, role="fitter"), device=BROKEN)[1].name == "crack in the sill"
    )
    found = read_house(store, house)
    told = [found.tree, dict(found.fitted), [[c.path, c.before, c.after] for c in history(store, house)]]
    assert BROKEN not in json.dumps(told, ensure_ascii=False)
    json.dumps(told, ensure_ascii=False).encode()


@pytest.mark.parametrize("figure", [float("nan"), float("inf"), [1210, float("-inf")]])
def test_what_is_no_figure_is_refused_and_the_history_can_still_be_told(store, house, figure):
    _, [kept] = take(store, house, [change(WIDTH, 1210, figure)])
    assert kept.outcome == "refused"
    json.dumps([[c.before, c.after] for c in history(store, house)], allow_nan=False)


def test_what_was_read_as_fitted_goes_into_the_history_with_its_opening_and_comes_back(store, house):
    replace_fitted(store, house, {"W1": AS_FITTED, "W2": {"note": "x"}}, who="Ada", at="", device="desk")
    take(store, house, [change("/openings/W1", TREE["openings"][0], None)])
    replace(store, house, tree(openings=[]), who="Ada", at="", device="desk")
    assert read_house(store, house).fitted == {}
    lost = {c.path: c for c in history(store, house) if c.path.startswith("/fitted") and c.after is None}
    assert lost["/fitted/W1"].before == AS_FITTED
    openings = [c for c in history(store, house) if c.path in ("/openings/W1", "/openings/W2")]
    for gone in [*openings, *lost.values()]:
        undo(store, house, gone.id, who="Ada", at="", device="desk")
    assert read_house(store, house).fitted == {"W1": AS_FITTED, "W2": {"note": "x"}}


def test_the_list_of_openings_can_be_emptied_but_not_taken_away(store, house):
    _, [kept] = take(store, house, [change("/openings", TREE["openings"], None)])
    assert kept.outcome == "refused"
    survey = tree()
    del survey["openings"]
    replace(store, house, survey, who="Ada", at="", device="desk")
    assert read_house(store, house).tree["openings"] == []
