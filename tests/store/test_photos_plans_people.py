import pytest

from jambwright import __version__
from jambwright.store import (
    NotThere,
    Photo,
    add_house,
    audit_lines,
    change_photo,
    end_sessions,
    house_photos,
    house_plans,
    invite,
    join,
    keep_photo,
    keep_plan,
    logins,
    note,
    paper,
    paper_names,
    person_of,
    photo_jpeg,
    plan_result,
    read_house,
    rename,
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


def test_an_invitation_lets_one_device_in_once(store):
    secret = invite(store, name="Bo", role="fitter")
    token, person = join(store, secret, device="phone")
    assert (person.name, person.role) == ("Bo", "fitter")
    assert person_of(store, token) == person
    assert join(store, secret, device="another phone") is None
    assert [login.device for login in logins(store)] == ["phone"]


def test_a_late_or_unknown_invitation_lets_nobody_in(store):
    assert join(store, invite(store, name="Bo", role="office", minutes=-1), device="d") is None
    assert join(store, "guess", device="d") is None
    assert logins(store) == []


def test_secrets_and_tokens_are_not_in_the_store(store):
    secret = invite(store, name="Bo", role="fitter")
    token, _ = join(store, secret, device="phone")
    from jambwright.store.tables import invitations, sessions

    with store.reading() as connection:
        text = str([connection.execute(t.select()).all() for t in (invitations, sessions)])
    assert secret not in text
    assert token not in text


def test_an_ended_session_is_nobodys(store):
    token, person = join(store, invite(store, name="Bo", role="fitter"), device="phone")
    end_sessions(store, person.id)
    assert person_of(store, token) is None
    with pytest.raises(NotThere):
        end_sessions(store, person.id)


def test_a_person_signs_with_the_new_name_from_then_on(store):
    token, person = join(store, invite(store, name="Bo", role="fitter"), device="phone")
    rename(store, person.id, "Bo Example")
    assert person_of(store, token).name == "Bo Example"


def test_the_audit_log_is_given_newest_first(store):
    note(store, who="Ada", address="127.0.0.1", action="joined")
    note(store, who="Ada", address="127.0.0.1", action="house added", subject="1 Example Row")
    assert [line.action for line in audit_lines(store)] == ["house added", "joined"]
