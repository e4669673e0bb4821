import copy
import threading

import pytest
from sqlalchemy import update

from jambwright.basis.problems import BadInput
from jambwright.store import (
    Change,
    NotThere,
    Photo,
    add_house,
    history,
    house_photos,
    keep_photo,
    new_id,
    open_clashes,
    read_house,
    rename_opening,
    replace,
    replace_fitted,
    take,
    undo,
)
from jambwright.store.tables import changes
from survey_trees import AS_FITTED, TREE

FITTED = {"W1": AS_FITTED, "W2": {"note": "låg"}}
WIDTH = "/openings/W1/outside/width/bottom"


def change(path, was, value, **more):
    given = {"who": "Ada", "at": "2026-03-02T10:00:00Z", "device": "phone-a", "id": new_id()} | more
    return Change(path=path, was=was, value=value, **given)


@pytest.fixture
def house(store):
    return add_house(store, TREE)


def test_a_reading_is_taken_and_the_house_moves_on_one_version(store, house):
    after, [kept] = take(store, house, [change(WIDTH, 1210, {"mm": 1212, "who": "Ada"}, typed="1212")])
    assert (kept.outcome, kept.before, kept.after, kept.typed) == (
        "taken",
        1210,
        {"mm": 1212, "who": "Ada"},
        "1212",
    )
    assert after.version == kept.version == 2
    assert read_house(store, house).tree["openings"][0]["outside"]["width"]["bottom"] == {
        "mm": 1212,
        "who": "Ada",
    }
    assert read_house(store, house).marks == {"W1": 2, "W2": 1}


def test_a_change_sent_again_is_answered_as_the_first_time_and_done_once(store, house):
    sent = change("/note", TREE["note"], "x")
    first = take(store, house, [sent])[1]
    take(store, house, [change("/note", "x", "y")])
    assert take(store, house, [sent])[1] == first
    assert read_house(store, house).tree["note"] == "y"
    assert len(history(store, house)) == 2


def test_changes_of_different_fields_by_two_people_both_hold(store, house):
    take(store, house, [change(WIDTH, 1210, 1208)])
    _, [kept] = take(
        store, house, [change("/openings/W1/outside/width/top", TREE["openings"][0]["outside"]["width"]["top"], 1209,
                              who="Bo", device="phone-b")],
    )  # fmt: skip
    assert kept.outcome == "taken"
    widths = read_house(store, house).tree["openings"][0]["outside"]["width"]
    assert (widths["bottom"], widths["top"]) == (1208, 1209)


def test_two_people_changing_one_reading_is_asked_about_and_neither_is_lost(store, house):
    take(store, house, [change(WIDTH, 1210, 1208)])
    mine = change(WIDTH, 1210, 1218, who="Bo", device="phone-b")
    _, [kept] = take(store, house, [mine])
    assert (kept.outcome, kept.before, kept.after) == ("clash", 1208, 1218)
    assert read_house(store, house).tree["openings"][0]["outside"]["width"]["bottom"] == 1208
    assert [c.id for c in open_clashes(store, house)] == [mine.id]

    take(store, house, [change(WIDTH, 1208, [1208, 1218], settles=mine.id)])
    assert open_clashes(store, house) == []
    assert read_house(store, house).tree["openings"][0]["outside"]["width"]["bottom"] == [1208, 1218]


def test_keeping_the_other_reading_settles_a_clash(store, house):
    take(store, house, [change(WIDTH, 1210, 1208)])
    mine = change(WIDTH, 1210, 1218, who="Bo")
    take(store, house, [mine])
    _, [kept] = take(store, house, [change(WIDTH, 1208, 1208, settles=mine.id)])
    assert kept.outcome == "same"
    assert open_clashes(store, house) == []


def test_two_people_reading_the_same_figure_agree(store, house):
    take(store, house, [change(WIDTH, 1210, {"mm": 1208, "who": "Ada"})])
    _, [kept] = take(store, house, [change(WIDTH, 1210, {"mm": 1208, "who": "Bo"}, who="Bo")])
    assert kept.outcome == "same"


def test_changes_queued_without_signal_are_taken_in_order(store, house):
    sent = [change(WIDTH, 1210, 1208), change(WIDTH, 1208, [1208, 1209]), change(WIDTH, [1208, 1209], None)]
    _, kept = take(store, house, sent)
    assert [k.outcome for k in kept] == ["taken"] * 3
    assert "bottom" not in read_house(store, house).tree["openings"][0]["outside"]["width"]


@pytest.mark.parametrize(
    ("path", "was", "value", "says"),
    [
        pytest.param(WIDTH, 1210, 12100, "W1 Kitchen: bottom width 12100", id="wider than any"),
        pytest.param(WIDTH, 1210, 121, "centimetres", id="in centimetres"),
        pytest.param(WIDTH, 1210, "wide", "W1 Kitchen", id="no figure"),
        pytest.param(WIDTH, 1210, {"mm": 1210, "tool": "green tape"}, "green tape", id="unknown tool"),
        pytest.param("/openings/W1/outside/plumb/right", None, 900, "beyond", id="plumb beyond sense"),
        pytest.param("/openings/W1/colour", None, "red", "no such field", id="unknown field"),
        pytest.param("/openings/W9/note", None, "x", "there is no `W9`", id="unknown opening"),
        pytest.param("/openings/W1/id", "W1", "W9", "can't be changed", id="renaming"),
        pytest.param("/openings/W5", None, {"id": "W6", "room": "r", "outside": {}}, "must be `W5`", id="other mark"),
        pytest.param("/jambwright", 1, 2, "can't be changed", id="layout version"),
        pytest.param("/site/label", TREE["site"]["label"], None, "missing", id="label taken away"),
        pytest.param("/note/deeper", None, 1, "single value", id="inside a text"),
        pytest.param("note", None, 1, "no place", id="no pointer"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_in_words_and_kept_beside_the_survey(store, house, path, was, value, says):
    _, [kept] = take(store, house, [change(path, was, value)])
    assert kept.outcome == "refused"
    assert says in " ".join(p["say"] for p in kept.problems)
    assert read_house(store, house).tree == TREE
    assert history(store, house)[0].after == value


def test_undo_puts_back_what_stood_there(store, house):
    _, [done] = take(store, house, [change(WIDTH, 1210, None)])
    undo(store, house, done.id, who="Ada", at="2026-03-02T11:00:00Z", device="desk")
    assert read_house(store, house).tree["openings"][0]["outside"]["width"]["bottom"] == 1210
    assert history(store, house)[0].undoes == done.id


def test_undo_after_someone_else_changed_it_again_is_refused_and_asks_nobody(store, house):
    """A clash is asked on the phone that holds both answers; whoever undoes has none."""
    _, [done] = take(store, house, [change(WIDTH, 1210, 1200)])
    take(store, house, [change(WIDTH, 1200, 1201, who="Bo")])
    _, kept = undo(store, house, done.id, who="Ada", at="2026-03-02T11:00:00Z", device="desk")
    assert kept.outcome == "refused"
    assert "changed again since" in kept.problems[0]["say"]
    assert read_house(store, house).tree["openings"][0]["outside"]["width"]["bottom"] == 1201
    assert open_clashes(store, house) == []


def test_an_undo_kept_as_a_clash_before_asks_nobody_any_more(store, house):
    _, [done] = take(store, house, [change(WIDTH, 1210, 1200)])
    with store.writing() as connection:
        old = {"undoes": done.id, "outcome": "clash"}
        connection.execute(update(changes).where(changes.c.id == done.id).values(**old))
    assert open_clashes(store, house) == []


def test_an_opening_has_another_mark_and_everything_goes_with_it(store, house):
    tree = copy.deepcopy(TREE)
    tree["openings"][1]["wanted"] = {"line_up": "W1"}
    replace(store, house, tree, who="Ada", at="", device="desk")
    replace_fitted(store, house, {"W1": AS_FITTED}, who="Ada", at="", device="desk")
    photo = Photo(
        id="p1", house=house, mark="W1", caption="", drawn=[], who="Ada", at="", width_px=1, height_px=1
    )
    keep_photo(store, photo, b"")
    rename_opening(store, house, "W1", "K1", who="Bo", at="2026-03-02T11:00:00Z", device="http")
    found = read_house(store, house)
    assert found.tree["openings"][0] == tree["openings"][0] | {"id": "K1"}
    assert found.tree["openings"][1]["wanted"] == {"line_up": "K1"}
    assert found.fitted == {"K1": AS_FITTED}
    assert [photo.mark for photo in house_photos(store, house)] == ["K1"]
    told = {(kept.path, kept.who) for kept in history(store, house) if kept.version == found.version}
    assert told == {(path, "Bo") for path in (
        "/openings/K1", "/openings/W1", "/openings/W2/wanted/line_up", "/fitted/K1", "/fitted/W1",
    )}  # fmt: skip


@pytest.mark.parametrize("to", ["W2", "w2", "no mark"])
def test_a_mark_that_is_taken_or_none_is_refused(store, house, to):
    with pytest.raises(BadInput):
        rename_opening(store, house, "W1", to, who="Bo", at="", device="http")
    assert read_house(store, house).tree == TREE


def test_an_opening_that_is_not_there_has_no_other_mark(store, house):
    with pytest.raises(NotThere):
        rename_opening(store, house, "W9", "W8", who="Bo", at="", device="http")


def test_only_a_taken_change_can_be_undone(store, house):
    with pytest.raises(NotThere):
        undo(store, house, "nothing", who="Ada", at="", device="")


def test_an_opening_is_added_taken_away_and_brought_back_by_undo(store, house):
    door = {"id": "D1", "room": "Hall/stairs", "outside": {}, "wanted": {"kind": "door"}}
    take(store, house, [change("/openings/D1", None, door)])
    _, [gone] = take(store, house, [change("/openings/D1", door, None)])
    assert "D1" not in read_house(store, house).marks
    undo(store, house, gone.id, who="Ada", at="", device="")
    assert read_house(store, house).tree["openings"][-1] == door


def test_readings_of_the_fitted_frame_go_beside_the_survey(store, house):
    take(store, house, [change("/fitted/W1/outside/diagonal/rising", None, 1590)])
    kept = read_house(store, house)
    assert kept.fitted == {"W1": {"outside": {"diagonal": {"rising": 1590}}}}
    assert kept.tree == TREE
    _, [refused] = take(store, house, [change("/fitted/W9/note", None, "x")])
    assert refused.outcome == "refused"


def test_history_of_a_field_holds_what_is_inside_it_and_nothing_else(store, house):
    take(
        store,
        house,
        [
            change(WIDTH, 1210, 1208),
            change("/note", TREE["note"], "y"),
            change("/openings/W2/note", "låg bröstning ½", ""),
        ],
    )
    assert [c.path for c in history(store, house, under="/openings/W1")] == [WIDTH]
    assert [c.path for c in history(store, house, under="/openings")] == ["/openings/W2/note", WIDTH]
    assert history(store, house, under="/openings/W_") == []


def test_every_acknowledged_change_of_many_writers_is_there_afterwards(store, house):
    def phone(n):
        for k in range(10):
            field = f"/openings/P{n}"
            take(store, house, [change(field, None, {"id": f"P{n}", "room": "r", "outside": {}}, who=f"p{n}")] if k == 0
                 else [change(f"{field}/note", str(k - 1) if k > 1 else None, str(k), who=f"p{n}")])  # fmt: skip

    phones = [threading.Thread(target=phone, args=(n,)) for n in range(6)]
    for thread in phones:
        thread.start()
    for thread in phones:
        thread.join()
    kept = read_house(store, house)
    assert {o["id"]: o.get("note") for o in kept.tree["openings"][2:]} == {f"P{n}": "9" for n in range(6)}
    assert kept.version == 1 + 60
    assert [c.outcome for c in history(store, house)] == ["taken"] * 60


@pytest.mark.parametrize("at", [("openings",), ("house", "rooms"), ("tools",)])
def test_a_survey_sent_whole_that_only_puts_things_in_another_order_is_taken(store, at):
    survey = copy.deepcopy(TREE)
    survey["tools"].append({"name": "blue tape", "kind": "tape"})
    house = add_house(store, survey)
    turned = copy.deepcopy(survey)
    turned_list = turned[at[0]] if len(at) == 1 else turned[at[0]][at[1]]
    turned_list.reverse()
    after, [kept] = replace(store, house, turned, who="Ada", at="", device="desk")
    assert read_house(store, house).tree == turned
    assert (after.version, kept.path) == (2, "/" + "/".join(at))
    undo(store, house, kept.id, who="Ada", at="", device="desk")
    assert read_house(store, house).tree == survey


def test_a_survey_sent_whole_with_an_opening_put_between_is_told_by_that_opening(store, house):
    survey = copy.deepcopy(TREE)
    survey["openings"].insert(1, {"id": "W7", "room": "Kitchen", "outside": {}})
    _, kept = replace(store, house, survey, who="Ada", at="", device="desk")
    assert [change.path for change in kept] == ["/openings/W7"]
    assert read_house(store, house).tree == survey


def test_what_is_wrong_with_a_whole_survey_is_told_by_opening(store, house):
    survey = copy.deepcopy(TREE)
    survey["openings"][0]["by_bath"] = "perhaps"
    survey["openings"][1]["colour"] = "red"
    with pytest.raises(BadInput) as refused:
        replace(store, house, survey, who="Ada", at="", device="desk")
    said = [p.say for p in refused.value.problems]
    assert [text.split(":")[0] for text in said] == ["W1 Kitchen", "W2 Hall/stairs"]


def test_names_used_twice_are_refused_all_at_once(store, house):
    survey = copy.deepcopy(TREE)
    for items in (survey["openings"], survey["house"]["rooms"], survey["tools"]):
        items.append(items[0])
    with pytest.raises(BadInput) as refused:
        replace(store, house, survey, who="Ada", at="", device="desk")
    said = " ".join(p.say for p in refused.value.problems)
    assert all(name in said for name in ("mark W1", "room Kitchen", "tool red tape"))


def test_what_was_read_as_fitted_is_sent_whole_told_field_by_field_and_undone(store, house):
    _, kept = replace_fitted(store, house, FITTED, who="Ada", at="", device="desk")
    assert read_house(store, house).fitted == FITTED
    assert [change.path for change in kept] == ["/fitted/W1", "/fitted/W2"]
    more = copy.deepcopy(FITTED)
    more["W1"]["gaps_mm"]["left"]["top"] = 8
    _, [one] = replace_fitted(store, house, more, who="Ada", at="", device="desk")
    assert (one.path, one.before, one.after) == ("/fitted/W1/gaps_mm/left/top", 7.5, 8)
    undo(store, house, one.id, who="Ada", at="", device="desk")
    assert read_house(store, house).fitted == FITTED
    assert read_house(store, house).tree == TREE


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        ("/fitted/W1/gaps_mm/left/bottom", 400, "W1 Kitchen as fitted: gaps_mm.left.bottom: 400"),
        ("/fitted/W1/gaps_mm/left/centre", 4, "no such field"),
        ("/fitted/W1/fixings", 2.5, "whole number"),
        ("/fitted/W1/outside/plumb/left", 900, "W1 Kitchen: plumb of the left jamb 900 mm is beyond"),
        ("/fitted/W1/on", "soon", "W1 Kitchen as fitted: on"),
    ],
)
def test_what_cannot_be_as_fitted_is_refused_in_words(store, house, path, value, says):
    _, [kept] = take(store, house, [change(path, None, value)])
    assert kept.outcome == "refused"
    assert says in " ".join(p["say"] for p in kept.problems)
    assert read_house(store, house).fitted == {}


def test_faults_of_all_that_was_read_as_fitted_are_told_at_once_and_nothing_is_kept(store, house):
    wrong = {"W1": {"fixings": -1}, "W2": {"foam": "x"}, "W9": {}}
    with pytest.raises(BadInput) as refused:
        replace_fitted(store, house, wrong, who="Ada", at="", device="desk")
    said = " ".join(p.say for p in refused.value.problems)
    assert all(name in said for name in ("W1 Kitchen", "W2 Hall/stairs", "no opening W9"))
    assert read_house(store, house).fitted == {}
