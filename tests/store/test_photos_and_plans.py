import pytest

from jambwright import __version__
from jambwright.basis.problems import BadInput
from jambwright.store import (
    NotThere,
    Photo,
    add_house,
    change_photo,
    house_photos,
    house_plans,
    keep_photo,
    keep_plan,
    paper,
    paper_names,
    photo_jpeg,
    plan_result,
    read_house,
    tables_fingerprint,
)
from survey_trees import TREE

PHOTO = {"mark": "W1", "caption": "crack", "drawn": [[[0.1, 0.2], [0.3, 0.4]]], "who": "Ada"} | {
    "at": "2026-03-02T10:00:00Z", "width_px": 4, "height_px": 3,
}  # fmt: skip


@pytest.fixture
def house(store):
    return add_house(store, TREE)


def test_a_photo_is_kept_once_however_often_it_is_sent(store, house):
    photo = Photo(id="p1", house=house, **PHOTO)
    assert keep_photo(store, photo, b"jpeg")
    assert not keep_photo(store, photo, b"other")
    assert photo_jpeg(store, house, "p1") == b"jpeg"
    assert house_photos(store, house) == [photo]


def test_a_photo_is_given_for_its_own_house_only(store, house):
    keep_photo(store, Photo(id="p1", house=house, **PHOTO), b"jpeg")
    other = add_house(store, TREE)
    with pytest.raises(NotThere):
        photo_jpeg(store, other, "p1")
    with pytest.raises(NotThere):
        change_photo(store, other, "p1", caption="x")


def test_another_photo_under_a_number_that_was_used_is_refused_and_not_dropped(store, house):
    keep_photo(store, Photo(id="p1", house=house, **PHOTO), b"jpeg")
    elsewhere = add_house(store, TREE)
    for other in ({"house": elsewhere}, {"at": "2026-03-02T10:00:01Z"}, {"width_px": 5}):
        with pytest.raises(BadInput, match="under the number of another one"):
            keep_photo(store, Photo(**{"id": "p1", "house": house, **PHOTO, **other}), b"other")
    assert photo_jpeg(store, house, "p1") == b"jpeg"


def test_a_removed_photo_is_off_the_list_and_still_in_the_store(store, house):
    keep_photo(store, Photo(id="p1", house=house, **PHOTO), b"jpeg")
    change_photo(store, house, "p1", removed=True)
    assert house_photos(store, house) == []
    assert photo_jpeg(store, house, "p1") == b"jpeg"


def test_a_plan_keeps_what_made_it_and_its_papers_as_they_were(store, house):
    line = keep_plan(
        store, read_house(store, house), "Ada", {"frames": 2}, {"order.csv": b"W1;1200", "fit.pdf": b"%"}
    )
    assert (line.version, line.rules, line.engine) == (1, tables_fingerprint(), __version__)
    assert house_plans(store, house) == [line]
    assert plan_result(store, house, line.id) == {"frames": 2}
    assert paper_names(store, line.id) == ["fit.pdf", "order.csv"]
    assert paper(store, house, line.id, "order.csv") == b"W1;1200"
    with pytest.raises(NotThere):
        paper(store, house, line.id, "../order.csv")
