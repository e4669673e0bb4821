"""A make-up that can't be read is refused where it is written, and known on the phone before it is sent."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jambwright.basis.problems import BadInput
from jambwright.frame import make_up_pattern, parse_glazing
from jambwright.store import Change, add_house, new_id, read_house, replace, take
from survey_trees import TREE


@pytest.fixture
def house(store):
    return add_house(store, TREE)


def change(path, value, was=None):
    return Change(path=path, was=was, value=value, who="Ada", at="", device="phone", id=new_id())


def test_rubbish_glass_is_refused_with_how_to_write_it(store, house):
    _, [kept] = take(store, house, [change("/openings/W2/wanted/glass", "rubbish glass")])
    assert kept.outcome == "refused"
    assert "Write it like 4-16Ar-4 low-e" in kept.problems[0]["say"]
    assert read_house(store, house).version == 1


def test_rubbish_glass_of_one_light_is_refused_too(store, house):
    layout = {"across": [{"opens": "fixed", "glass": "4-16Ar-4"}, {"opens": "fixed", "glass": "16"}]}
    layout["across"][1]["glass"] = "nice and thick"
    _, [kept] = take(store, house, [change("/openings/W2/wanted/layout", layout)])
    assert kept.outcome == "refused"


def test_glass_that_can_be_read_is_taken(store, house):
    _, [kept] = take(store, house, [change("/openings/W2/wanted/glass", "6.4L/12/4T low-e 3")])
    assert kept.outcome == "taken"


@pytest.mark.parametrize(
    ("path", "value"),
    [("/defaults/glass", "rubbish"), ("/defaults", {"glass": "rubbish", "colour": "white"})],
)
def test_rubbish_for_the_usual_glass_is_refused_however_it_is_put(store, house, path, value):
    _, [kept] = take(store, house, [change(path, value)])
    assert kept.outcome == "refused"
    assert "Write it like 4-16Ar-4 low-e" in kept.problems[0]["say"]


def test_a_file_with_rubbish_glass_is_refused_as_a_whole_with_every_place_named(store, house):
    first = {
        **TREE["openings"][0],
        "wanted": {"layout": {"across": [{"glass": "thick"}, {"opens": "fixed"}]}},
    }
    spoilt = {**TREE, "defaults": {"glass": "rubbish"}, "openings": [first, *TREE["openings"][1:]]}
    for put in (add_house, lambda store, tree: replace(store, house, tree, who="Ada", at="", device="desk")):
        with pytest.raises(BadInput) as bad:
            put(store, spoilt)
        assert [p.field for p in bad.value.problems] == ["defaults.glass", "openings.W1.wanted.layout"]
        assert [p.say.split(":")[0] for p in bad.value.problems] == ["Glass", "W1"]
    assert read_house(store, house).version == 1


def test_what_was_kept_before_does_not_stop_another_file(store, house, monkeypatch):
    with monkeypatch.context() as earlier:
        earlier.setattr("jambwright.store.changes.check_glass_of", lambda *_: None)
        replace(store, house, {**TREE, "defaults": {"glass": "rubbish"}}, who="Ada", at="", device="desk")
    after, _ = replace(
        store,
        house,
        {**TREE, "defaults": {"glass": "rubbish"}, "note": "Dog."},
        who="Ada",
        at="",
        device="desk",
    )
    assert after.tree["note"] == "Dog."


PARTS = st.sampled_from([
    "4", "6.4L", "6.40l", "7.3L", "4T", "10.8L", "0", "00.0", "4X", "16", "16Ar", "12kr", "14xe", "8air", "20He", "-",
    "/", " low-e", " lowe 3", " low-e 2,5", " ", "low-e", "rubbish",
])  # fmt: skip


@given(st.lists(PARTS, min_size=1, max_size=7).map("".join))
def test_whatever_can_be_read_the_phone_lets_through(text):
    try:
        parse_glazing(text)
    except BadInput:
        return
    assert re.fullmatch(make_up_pattern(), text, re.IGNORECASE)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "rubbish glass",
        "4-16Ar",
        "4--4",
        "4-16He-4",
        "7.3L-16-4",
        "0-16-4",
        "4-0-4",
        "4 low-e",
        "4-16-4 lowest",
    ],
)
def test_what_the_phone_stops_can_not_be_read(text):
    assert not re.fullmatch(make_up_pattern(), text, re.IGNORECASE)
    with pytest.raises(BadInput):
        parse_glazing(text)
