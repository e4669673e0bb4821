"""Houses: a survey kept as a head and its openings, given back as the tree that was put in."""

from __future__ import annotations

import secrets
from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, RowMapping, delete, func, insert, select, update

from jambwright.basis.border import accept
from jambwright.basis.characters import one_line
from jambwright.basis.problems import BadInput, Problem
from jambwright.readings import Survey
from jambwright.readings.places import get
from jambwright.readings.survey_file import ALIKE, alike, with_openings_named
from jambwright.store.database import Store, now
from jambwright.store.glass import check_glass_of
from jambwright.store.tables import houses, openings, plans
from jambwright.store.trees import plain

FIRST_VERSION = 1


class NotThere(LookupError):
    """The house, opening, photo, plan or paper asked for is not in the store."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseLine:
    """A house as it stands in a list."""

    id: str
    label: str
    version: int
    openings: int
    practice: bool
    changed: str
    plan: str | None
    """The plan made last."""


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """A whole house: its survey tree, its version, the version of each opening, and what was read as fitted."""

    id: str
    label: str
    version: int
    practice: bool
    tree: dict[str, Any]
    marks: Mapping[str, int]
    fitted: Mapping[str, Any]


def house_lines(store: Store) -> list[HouseLine]:
    """All houses, the one last worked on first."""
    count = select(func.count()).where(openings.c.house == houses.c.id).scalar_subquery()
    of_house = select(plans.c.id).where(plans.c.house == houses.c.id)
    last = of_house.order_by(plans.c.made.desc()).limit(1).scalar_subquery()
    shown = select(houses, count.label("openings"), last.label("plan"))
    wanted = shown.where(~houses.c.removed).order_by(houses.c.changed.desc())
    with store.reading() as connection:
        rows = connection.execute(wanted).mappings().all()
    return [HouseLine(**{name: row[name] for name in HouseLine.__slots__}) for row in rows]


def new_tree(label: str) -> dict[str, Any]:
    """A survey with nothing in it but where it is."""
    return {"jambwright": 1, "site": {"label": label}, "openings": []}


def add_house(store: Store, tree: Any, *, practice: bool = False, id: str | None = None) -> str:
    """Keep a survey as a new house. Readings may be missing still. Returns the id."""
    tree = plain(tree)
    check_tree(tree)
    check_marks(tree)
    check_glass_of(tree)
    house, time = id or secrets.token_hex(8), now()
    with store.writing() as connection:
        row = {
            "id": house,
            "label": one_line(tree["site"]["label"]),
            "version": FIRST_VERSION,
            "head": _head(tree),
        }
        connection.execute(
            insert(houses).values(**row, practice=practice, removed=False, created=time, changed=time)
        )
        for position, opening in enumerate(tree.get("openings") or []):
            save_opening(connection, house, opening, FIRST_VERSION, position)
    return house


def read_house(store: Store, house: str) -> House:
    """One house. Raises ``NotThere``."""
    with store.reading() as connection:
        return load(connection, house)


def read_houses(store: Store, wanted: Collection[str]) -> list[House]:
    """Some houses, read in one go; those that are gone are left out."""
    heads = select(houses).where(houses.c.id.in_(wanted), ~houses.c.removed)
    of_each: dict[str, list[RowMapping]] = defaultdict(list)
    with store.reading() as connection:
        rows = connection.execute(heads).mappings().all()
        inside = select(openings).where(openings.c.house.in_(wanted)).order_by(openings.c.position)
        for opening in connection.execute(inside).mappings():
            of_each[opening["house"]].append(opening)
    return [_house(row, of_each[row["id"]]) for row in rows]


def house_version(store: Store, house: str) -> int:
    """The version a house is at. Raises ``NotThere``."""
    with store.reading() as connection:
        found: int | None = connection.execute(
            select(houses.c.version).where(houses.c.id == house, ~houses.c.removed)
        ).scalar()
    if found is None:
        raise NotThere(house)
    return found


def remove_house(store: Store, house: str, *, version: int | None = None) -> None:
    """Take a house off the list; its rows and history stay. Raises ``NotThere``."""
    with store.writing() as connection:
        row = lock(connection, house)
        require_version(row["version"], version)
        connection.execute(update(houses).where(houses.c.id == house).values(removed=True, changed=now()))


def restore_house(store: Store, house: str) -> None:
    """Put a removed house back on the list."""
    with store.writing() as connection:
        found = connection.execute(update(houses).where(houses.c.id == house).values(removed=False))
    if not found.rowcount:
        raise NotThere(house)


class Outdated(Exception):
    """Someone changed it since: the version on hand and the version there is now."""

    def __init__(self, had: int, there_is: int) -> None:
        self.had, self.there_is = had, there_is
        super().__init__(f"version {had} was changed to {there_is} meanwhile")


def require_version(there_is: int, had: int | None) -> None:
    """Raise ``Outdated`` when a version is named and it isn't the one there is."""
    if had is not None and had != there_is:
        raise Outdated(had, there_is)


# The rest works inside a transaction of the caller.


def lock(connection: Connection, house: str) -> RowMapping:
    """The house's row, held until the transaction ends."""
    return _row(connection, house, held=True)


def _row(connection: Connection, house: str, *, held: bool = False) -> RowMapping:
    wanted = select(houses).where(houses.c.id == house, ~houses.c.removed)
    row = connection.execute(wanted.with_for_update() if held else wanted).mappings().first()
    if row is None:
        raise NotThere(house)
    return row


def load(connection: Connection, house: str, *, held: bool = False) -> House:
    """A house from its rows, held until the transaction ends where it is to be changed."""
    row = _row(connection, house, held=held)
    found = list(
        connection.execute(
            select(openings).where(openings.c.house == house).order_by(openings.c.position)
        ).mappings()
    )
    return _house(row, found)


def _house(row: RowMapping, found: Sequence[RowMapping]) -> House:
    """A house from its row and those of its openings in order."""
    tree = dict(row["head"]) | {"openings": [opening["tree"] for opening in found]}
    return House(
        id=row["id"],
        label=row["label"],
        version=row["version"],
        practice=row["practice"],
        tree=tree,
        marks={opening["mark"]: opening["version"] for opening in found},
        fitted={opening["mark"]: opening["fitted"] for opening in found if opening["fitted"]},
    )


def save(connection: Connection, before: House, tree: dict[str, Any], fitted: Mapping[str, Any]) -> House:
    """Write what differs from before as the next version, and give the house as it now is."""
    version, time = before.version + 1, now()
    olds = {opening["id"]: (place, opening) for place, opening in enumerate(before.tree["openings"])}
    kept = {opening["id"] for opening in tree["openings"]}
    if gone := [mark for mark in olds if mark not in kept]:
        connection.execute(delete(openings).where(openings.c.house == before.id, openings.c.mark.in_(gone)))
    marks = {mark: at for mark, at in before.marks.items() if mark in kept}
    for place, opening in enumerate(tree["openings"]):
        mark = opening["id"]
        if olds.get(mark) != (place, opening) or before.fitted.get(mark) != fitted.get(mark):
            save_opening(connection, before.id, opening, version, place, fitted.get(mark))
            marks[mark] = version
    changed = {
        "version": version,
        "changed": time,
        "label": one_line(tree["site"]["label"]),
        "head": _head(tree),
    }
    connection.execute(update(houses).where(houses.c.id == before.id).values(**changed))
    return House(
        id=before.id,
        label=one_line(tree["site"]["label"]),
        version=version,
        practice=before.practice,
        tree=tree,
        marks=marks,
        fitted={mark: fitted[mark] for mark in fitted if mark in kept},
    )


def save_opening(
    connection: Connection, house: str, tree: Any, version: int, position: int, fitted: Any = None
) -> None:
    """Write one opening's row, new or in place of the old."""
    mark = tree["id"]
    connection.execute(delete(openings).where(openings.c.house == house, openings.c.mark == mark))
    row = {"house": house, "mark": mark, "position": position, "version": version}
    connection.execute(insert(openings).values(**row, tree=tree, fitted=fitted))


def check_tree(tree: Any) -> None:
    """Refuse what the models refuse and names used twice. A survey without openings may be kept."""
    if not isinstance(tree, Mapping):
        raise BadInput.one("file", "The file holds no survey.")
    filled = tree if tree.get("openings") else {**tree, "openings": [_STAND_IN]}
    try:
        accept(Survey, filled)
    except BadInput as bad:
        raise BadInput(with_openings_named(bad.problems, tree)) from None
    if problems := [*_twice(tree, "openings"), *_twice(tree, "house", "rooms"), *_twice(tree, "tools")]:
        raise BadInput(problems)


def check_marks(tree: Mapping[str, Any], known: Collection[str] = ()) -> None:
    """Refuse marks that differ only in capitals, save where both are known from before."""
    marks = [opening["id"] for opening in tree.get("openings") or []]
    if problems := [
        Problem("openings", ALIKE.format(earlier, marks[index]))
        for index, earlier in alike(marks)
        if not {earlier, marks[index]} <= set(known)
    ]:
        raise BadInput(problems)


_TWICE = {
    "openings": ("id", "the mark {} is used twice; give each its own."),
    "house.rooms": ("name", "the room {} is listed twice; give each its own name."),
    "tools": ("name", "the tool {} is listed twice; give each its own name."),
}
_STAND_IN = {"id": "none", "room": "none", "outside": {}}


def _twice(tree: Mapping[str, Any], *path: str) -> Iterator[Problem]:
    """A name that two items of a list have: no path could tell them apart."""
    at = ".".join(path)
    name, say = _TWICE[at]
    names = [item[name] for item in get(tree, path) or []]
    for again in dict.fromkeys(each for each in names if names.count(each) > 1):
        yield Problem(at, say.format(again))


def _head(tree: Mapping[str, Any]) -> dict[str, Any]:
    """The tree with its openings left out, their place among the fields kept."""
    return {name: [] if name == "openings" else value for name, value in tree.items()}
