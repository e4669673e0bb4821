"""People: let in once by a secret, known by a name that nobody else has, shut out device by device."""

from datetime import UTC, datetime, timedelta

import pytest

from jambwright.basis.problems import BadInput
from jambwright.store import NotThere, end_session, invite, is_known, join, login_of, logins, person_of
from jambwright.store.names import folded, tidy
from jambwright.store.tables import invitations, people, sessions


def let_in(store, name, role="fitter", typed="", device="phone"):
    """A device let in: its token and person."""
    return join(store, invite(store, name=name, role=role), device=device, name=typed)


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


def test_an_invitation_lasts_ten_minutes(store, monkeypatch):
    early, late = (invite(store, name=name, role="fitter") for name in ("Bo", "Cy"))
    made = datetime.now(UTC)
    for secret, minutes, let in ((early, 9, True), (late, 11, False)):
        then = (made + timedelta(minutes=minutes)).isoformat(timespec="milliseconds").replace("+00:00", "Z")
        monkeypatch.setattr("jambwright.store.people.now", lambda then=then: then)
        assert bool(join(store, secret, device="phone")) == let


def test_secrets_and_tokens_are_not_in_the_store(store):
    secret = invite(store, name="Bo", role="fitter")
    token, _ = join(store, secret, device="phone")
    with store.reading() as connection:
        text = str([connection.execute(t.select()).all() for t in (invitations, sessions)])
    assert secret not in text
    assert token not in text


def test_a_lost_phone_is_shut_out_and_the_other_devices_of_its_owner_stay(store):
    lost, bo = let_in(store, "Bo", device="lost phone")
    tablet, _ = let_in(store, "Bo", device="tablet")
    assert end_session(store, login_of(lost)).device == "lost phone"
    assert person_of(store, lost) is None
    assert person_of(store, tablet) == bo
    assert [login.device for login in logins(store)] == ["tablet"]
    for gone in (login_of(lost), "0" * 16, "%"):
        with pytest.raises(NotThere):
            end_session(store, gone)


def test_a_session_ends_by_itself(store):
    token, bo = let_in(store, "Bo")
    assert person_of(store, token) == bo
    with store.writing() as connection:
        connection.execute(sessions.update().values(expires="2020-01-01T00:00:00.000Z"))
    assert person_of(store, token) is None
    assert logins(store) == []


def test_tokens_and_secrets_are_long_and_never_the_same(store):
    made = {let_in(store, f"Person {n}")[0] for n in range(20)} | {
        invite(store, name="Cy", role="fitter") for _ in range(20)
    }
    assert len(made) == 40
    assert all(len(each) >= 22 for each in made), "128 bits in characters of 6 bits"


ALIKE = ["ada", "ADA", "  Ada ", "Àda", "A\u0301da", "A\u200bda", "Ada\u202e", "Ａｄａ", "Ada.", "A da"]


@pytest.mark.parametrize("name", ALIKE)
def test_nobody_joins_under_a_name_that_looks_like_anothers(store, name):
    let_in(store, "Ada", "office")
    secret = invite(store, name="Bo", role="fitter")
    with pytest.raises(BadInput, match="Ada is the name of somebody"):
        join(store, secret, device="phone", name=name)
    token, bo = join(store, secret, device="phone", name="Bo Example")
    assert (bo.name, person_of(store, token)) == ("Bo Example", bo), "the code was not used up"


@pytest.mark.parametrize("name", ALIKE)
def test_nobody_is_invited_under_a_name_of_another_role(store, name):
    let_in(store, "Ada", "office")
    with pytest.raises(BadInput, match=r"with another role: office\. For another device of the same person"):
        invite(store, name=name, role="fitter")


@pytest.mark.parametrize("name", ["Office", "office", "ÓFFICE", "of fice"])
@pytest.mark.parametrize("role", ["fitter", "read_only"])
def test_nobody_is_called_after_the_office_though_no_one_there_is(store, name, role):
    with pytest.raises(BadInput, match="name of another role"):
        invite(store, name=name, role=role)
    with pytest.raises(BadInput, match="name of another role"):
        join(store, invite(store, name="Bo", role=role), device="phone", name=name)


def test_the_name_of_someone_who_is_invited_is_theirs_before_they_join(store):
    cy = invite(store, name="Cy", role="fitter")
    with pytest.raises(BadInput, match="cy is invited already"):
        join(store, invite(store, name="Bo", role="fitter"), device="phone", name="cy")
    assert join(store, cy, device="phone")[1].name == "Cy"


def test_another_device_of_the_same_person_is_let_in_by_the_same_name_and_role(store):
    _, first = let_in(store, "Bo")
    assert is_known(store, "bó")
    assert not is_known(store, "Cy")
    for again in ("bo", "Bo"):
        assert let_in(store, again)[1] == first
    assert let_in(store, "Bo", typed="BO")[1] == first
    assert len(logins(store)) == 4


def test_whoever_holds_the_machine_says_who_of_the_office_they_are(store):
    _, ada = let_in(store, "", "office", typed="Ada")
    assert let_in(store, "", "office", typed="Ada")[1] == ada
    assert let_in(store, "", "office")[1].name == "Office"
    let_in(store, "Bo")
    with pytest.raises(BadInput):
        let_in(store, "", "office", typed="Bo")
    with pytest.raises(BadInput):
        let_in(store, "", "fitter", typed="Bo")


def test_a_database_of_an_earlier_version_may_hold_one_name_twice(store):
    with store.writing() as connection:
        for n, role in enumerate(("fitter", "office")):
            row = {"id": f"p{n}", "name": "Ada", "role": role, "created": f"2020-01-0{n + 1}T00:00:00.000Z"}
            connection.execute(people.insert().values(**row))
    assert let_in(store, "Ada", "fitter")[1].id == "p0"
    assert let_in(store, "Ada", "office")[1].id == "p1"


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("  Ada   Example ", "Ada Example"),
        ("A\u0301da", "Áda"),
        ("\u202eAda\ud800\x07", "Ada"),
        ("\u200b \ufeff", ""),
    ],
)
def test_a_name_is_kept_composed_and_without_what_cannot_be_seen(typed, kept):
    assert tidy(typed) == kept


@pytest.mark.parametrize(("one", "other"), [("Bo", "Jo"), ("Åsa 1", "Åsa 2"), ("कमल", "कमला"), ("👷", "🧰")])
def test_names_that_look_different_are_two(one, other):
    assert folded(one) != folded(other)
