"""Changes, field by field: taken when nobody else touched the field, asked about when someone did.

Every change sent is kept with what became of it:

* ``taken``: the survey now says so;
* ``same``: the survey said so already;
* ``clash``: someone else had changed the field meanwhile; a person must say which holds;
* ``settled``: a clash that a person has decided;
* ``refused``: it cannot be (the problems say why); the survey is as it was.
"""

from __future__ import annotations

import json
import secrets
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from dataclasses import replace as but
from hashlib import sha256
from typing import Any, Literal

from sqlalchemy import Connection, Row, insert, select, update

from jambwright.basis.border import accept
from jambwright.basis.characters import mended
from jambwright.basis.problems import BadInput, Problem
from jambwright.readings import Opening, places
from jambwright.readings.survey import Survey
from jambwright.readings.survey_file import sense
from jambwright.store.database import Store, now
from jambwright.store.fitted import check_fitted
from jambwright.store.glass import check_glass, check_glass_of
from jambwright.store.houses import House, NotThere, check_marks, check_tree, load, require_version, save
from jambwright.store.photos import photos_follow
from jambwright.store.tables import changes
from jambwright.store.trees import plain

Outcome = Literal["taken", "same", "clash", "settled", "refused"]
ROOTS = (
    "note",
    "date_of_work",
    "notice_date",
    "start_date",
    "registered_installer",
    "order",
    "site",
    "house",
    "defaults",
    "tools",
    "cleared",
    "openings",
    "fitted",
)
LARGEST = 200
CHANGED_SINCE = "this was changed again since, so it can't be undone by itself. Undo the later change first."


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What a person did to one field: what stood there for them, and what they put there."""

    path: str
    was: Any
    value: Any
    who: str
    at: str
    device: str
    id: str
    typed: str | None = None
    settles: str | None = None
    """The clash this change decides."""
    undoes: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A change as the store keeps it."""

    seq: int
    id: str
    version: int | None
    path: str
    before: Any
    after: Any
    typed: str | None
    who: str
    device: str
    at: str
    received: str
    outcome: Outcome
    undoes: str | None
    problems: Sequence[Mapping[str, str]]


def take(store: Store, house: str, sent: Iterable[Change]) -> tuple[House, list[Kept]]:
    """Take changes in order, all in one transaction. A change sent again is answered as the first time."""
    with store.writing() as connection:
        standing = load(connection, house, held=True)
        answers: list[Kept] = []
        for change in sent:
            standing, kept = _take_one(connection, standing, _mended(change))
            answers.append(kept)
    return standing, answers


def replace(
    store: Store, house: str, tree: Any, *, who: str, at: str, device: str, version: int | None = None
) -> tuple[House, list[Kept]]:
    """Put a whole survey in place of the old, kept as one change for each field that differs."""
    tree = plain(tree)
    check_tree(tree)
    tree["openings"] = tree.get("openings") or []
    with store.writing() as connection:
        before = load(connection, house, held=True)
        require_version(before.version, version)
        check_marks(tree, before.marks)
        check_glass_of(tree, before.tree)
        fields = list(places.differences(before.tree, tree))
        standing = save(connection, before, tree, before.fitted) if fields else before
        fields += _gone_as_fitted(before, standing)
        answers = [
            _keep(connection, standing, _change(path, was, value, who, at, device), was, "taken")
            for path, was, value in fields
        ]
    return standing, answers


def replace_fitted(
    store: Store, house: str, fitted: Any, *, who: str, at: str, device: str, version: int | None = None
) -> tuple[House, list[Kept]]:
    """Put all that was read as fitted in place of the old, kept as one change for each field that differs."""
    fitted = plain(fitted)
    with store.writing() as connection:
        before = load(connection, house, held=True)
        require_version(before.version, version)
        check_fitted(before.tree["openings"], fitted)
        fields = list(places.differences(dict(before.fitted), fitted, ("fitted",)))
        standing = save(connection, before, before.tree, fitted) if fields else before
        answers = [
            _keep(connection, standing, _change(path, was, value, who, at, device), was, "taken")
            for path, was, value in fields
        ]
    return standing, answers


def _gone_as_fitted(before: House, after: House) -> list[tuple[places.Path, Any, Any]]:
    """What was read as fitted of openings that were taken away: it goes too, and that stands in the history."""
    gone = [mark for mark in before.fitted if mark not in after.marks]
    return [(("fitted", mark), before.fitted[mark], None) for mark in gone]


def _change(path: places.Path, was: Any, value: Any, who: str, at: str, device: str) -> Change:
    return Change(id=new_id(), path=places.text(path), was=was, value=value, who=who, at=at, device=device)


def put(
    store: Store, house: str, path: places.Path, value: Any, *, id: str, who: str, at: str, device: str
) -> Kept:
    """Put a value whatever stands there, once for each ``id``: sent again, it is answered as the first time."""
    with store.writing() as connection:
        standing = load(connection, house, held=True)
        try:
            was = places.get(_whole(standing), path)
        except BadInput:
            was = None  # what it is of is gone; that is refused and kept
        change = but(_change(path, was, value, who, at, device), id=id)
        return _take_one(connection, standing, change)[1]


def rename_opening(store: Store, house: str, mark: str, to: str, *, who: str, at: str, device: str) -> House:
    """Give an opening another mark. Its frame as fitted, its photos and what lines up with it follow.

    Raises ``NotThere``, and ``BadInput`` when the mark is taken.
    """
    with store.writing() as connection:
        before = load(connection, house, held=True)
        if mark not in before.marks:
            raise NotThere(mark)
        if to in before.marks:
            raise BadInput.one("id", f"there is an opening {to} already.")
        tree = {**before.tree, "openings": [_remarked(o, mark, to) for o in before.tree["openings"]]}
        check_tree(tree)
        check_marks(tree, before.marks)
        fitted = {to if other == mark else other: read for other, read in before.fitted.items()}
        standing = save(connection, before, tree, fitted)
        for path, was, value in places.differences(_whole(before), _whole(standing)):
            _keep(connection, standing, _change(path, was, value, who, at, device), was, "taken")
        photos_follow(connection, house, mark, to)
    return standing


def _remarked(opening: dict[str, Any], mark: str, to: str) -> dict[str, Any]:
    if opening["id"] == mark:
        return {**opening, "id": to}
    in_line = ("wanted", "line_up")
    return places.put(opening, in_line, to) if places.get(opening, in_line) == mark else opening


def new_id() -> str:
    """An id for a change made on this side."""
    return secrets.token_hex(16)


def undo(store: Store, house: str, change: str, *, who: str, at: str, device: str) -> tuple[House, Kept]:
    """Put back what stood before a change; refused when the field was changed again since.

    A clash would ask somebody who has both answers in hand, and whoever undoes has not.
    """
    with store.reading() as connection:
        done = _find(connection, house, change)
    if done is None or done.outcome != "taken":
        raise NotThere(change)
    back = Change(
        id=new_id(), path=done.path, was=done.after, value=done.before,
        who=who, at=at, device=device, undoes=change,
    )  # fmt: skip
    standing, kept = take(store, house, [back])
    return standing, kept[0]


def history(store: Store, house: str, *, under: str = "", since: int = 0, limit: int = LARGEST) -> list[Kept]:
    """Changes of a house, the newest first; ``under`` keeps to one field and what is inside it."""
    wanted = select(changes).where(changes.c.house == house, changes.c.seq > since)
    if under:
        inside = under.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_") + "/%"
        wanted = wanted.where((changes.c.path == under) | changes.c.path.like(inside, escape="\\"))
    with store.reading() as connection:
        return [_kept(row) for row in connection.execute(wanted.order_by(changes.c.seq.desc()).limit(limit))]


def open_clashes(store: Store, house: str) -> list[Kept]:
    """Clashes that nobody has decided yet, the oldest first; an undo asks nobody."""
    wanted = select(changes).where(
        changes.c.house == house, changes.c.outcome == "clash", changes.c.undoes.is_(None)
    )
    with store.reading() as connection:
        return [_kept(row) for row in connection.execute(wanted.order_by(changes.c.seq))]


def _mended(change: Change) -> Change:
    """The change as it can be kept and compared with what is kept."""
    return but(change, path=mended(change.path), was=plain(change.was), value=plain(change.value))


def _take_one(connection: Connection, standing: House, change: Change) -> tuple[House, Kept]:
    known = _find(connection, standing.id, change.id)
    if known is not None:
        same = (known.path, known.after) == (change.path, change.value)
        return standing, known if same else _id_used(connection, standing, change)
    try:
        path = places.parse(change.path)
        whole_list = path == ("openings",) and change.value is None
        if path[0] not in ROOTS or (path[-1] == "id" and path[0] == "openings") or whole_list:
            raise BadInput.one("path", f"path: {change.path} can't be changed.")
        found = places.get(_whole(standing), path)
    except BadInput as bad:
        return standing, _keep(connection, standing, change, None, "refused", bad.problems)
    if _agree(path, found, change.value):
        _settle(connection, standing.id, change)
        return standing, _keep(connection, standing, change, found, "same")
    if change.undoes is not None and not _agree(path, found, change.was):
        return standing, _keep(
            connection, standing, change, found, "refused", [Problem(change.path, CHANGED_SINCE)]
        )
    if not _agree(path, found, change.was):
        # one that was to settle a clash goes on as a clash of its own: the field moved on meanwhile
        _settle(connection, standing.id, change)
        return standing, _keep(connection, standing, change, found, "clash")
    try:
        after = places.put(_whole(standing), path, change.value)
        fitted = after.pop("fitted", {})
        _check(after, fitted, path, known=standing.marks)
        check_glass(path, change.value)
    except BadInput as bad:
        return standing, _keep(connection, standing, change, found, "refused", bad.problems)
    _settle(connection, standing.id, change)
    before, standing = standing, save(connection, standing, after, {m: f for m, f in fitted.items() if f})
    kept = _keep(connection, standing, change, found, "taken")
    for gone, was, _ in _gone_as_fitted(before, standing):
        lost = _change(gone, was, None, change.who, change.at, change.device)
        _keep(connection, standing, lost, was, "taken")
    return standing, kept


def _id_used(connection: Connection, standing: House, change: Change) -> Kept:
    """Another change under an id that was used before: refused, kept under an id of its own, told under that."""
    sent = json.dumps([change.id, change.path, change.value], sort_keys=True)
    own = sha256(sent.encode()).hexdigest()  # the same again when it is sent again
    kept = _find(connection, standing.id, own)
    if kept is None:
        say = "this change came under the number of another one. Enter it once more."
        refused = Problem("id", say, of=change.path)
        kept = _keep(connection, standing, but(change, id=own), None, "refused", [refused])
    return but(kept, id=change.id)


def _whole(house: House) -> dict[str, Any]:
    """Survey and as-fitted readings under one root, so that one path leads to either."""
    return {**house.tree, "fitted": dict(house.fitted)}


def _agree(path: places.Path, one: Any, other: Any) -> bool:
    """Two people who read the same figure agree, whoever held the tape."""
    if places.is_reading(path) and isinstance(one, Mapping) and isinstance(other, Mapping):
        return bool(one.get("mm") == other.get("mm") and one.get("how") == other.get("how"))
    return bool(one == other)


def _check(
    tree: dict[str, Any], fitted: Mapping[str, Any], path: places.Path, *, known: Collection[str]
) -> None:
    """Refuse what the models refuse; of the sense of the trade only what touches this field."""
    if path[0] == "fitted":
        touched = {path[1]: fitted.get(path[1]) or {}} if len(path) > 1 else fitted
        check_fitted(tree["openings"], touched)
        if places.is_reading(path):
            opening = places.get(tree, ("openings", path[1]))
            _check_reading(tree, {**opening, "outside": touched[path[1]].get("outside") or {}}, path)
    elif path[0] == "openings" and len(path) > 1:
        if path[1] not in known:
            check_marks(tree, known)
        if opening := places.get(tree, path[:2]):
            _check_opening(tree, opening, path)
    else:
        check_tree(tree)
        check_marks(tree, known)


def _check_opening(tree: dict[str, Any], opening: Any, path: places.Path) -> None:
    try:
        accept(Opening, opening)
    except BadInput as bad:
        raise BadInput(p.told_of(_name(opening), opening=opening["id"]) for p in bad.problems) from None
    if places.is_reading(path):
        _check_reading(tree, opening, path)


def _check_reading(tree: dict[str, Any], opening: dict[str, Any], path: places.Path) -> None:
    survey = Survey.model_validate({**tree, "openings": [opening]})
    field = ".".join(("openings", "0", *path[2:]))
    # a reading that is missing still is no fault of the one just typed
    if found := [p for p in sense(survey) if p.field == field and places.get(opening, path[2:]) is not None]:
        at, name, mark = ".".join(path[2:]), _name(opening), opening["id"]
        raise BadInput(Problem(at, p.bare, opening=mark, of=name) for p in found)


def _name(opening: Any) -> str:
    return f"{opening['id']} {opening.get('room', '')}".strip()


def _settle(connection: Connection, house: str, change: Change) -> None:
    """Mark the clash that the change decides; one of another house, field or time is none of its business."""
    if change.settles is not None:
        connection.execute(
            update(changes)
            .where(
                changes.c.house == house, changes.c.id == change.settles, changes.c.path == change.path,
                changes.c.outcome == "clash",
            )
            .values(outcome="settled")
        )  # fmt: skip


def _keep(
    connection: Connection,
    house: House,
    change: Change,
    before: Any,
    outcome: Outcome,
    problems: Sequence[Problem] = (),
) -> Kept:
    row = {
        "id": change.id, "house": house.id, "path": change.path, "before": before,
        "after": change.value, "typed": change.typed, "who": change.who, "device": change.device,
        "at": change.at, "received": now(), "outcome": outcome, "undoes": change.undoes,
        "version": house.version if outcome == "taken" else None,
        "problems": [p.as_json() for p in problems] or None,
    }  # fmt: skip
    connection.execute(insert(changes).values(**row))
    kept = _find(connection, house.id, change.id)
    assert kept is not None
    return kept


def _find(connection: Connection, house: str, change: str) -> Kept | None:
    row = connection.execute(select(changes).where(changes.c.house == house, changes.c.id == change)).first()
    return None if row is None else _kept(row)


def _kept(row: Row[Any]) -> Kept:
    fields = {name: getattr(row, name) for name in Kept.__slots__}
    return Kept(**(fields | {"problems": fields["problems"] or []}))
