"""A house that a device sends under an id of its own: kept once, and known again when it is sent again."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, select

from jambwright.readings import places
from jambwright.store.database import Store
from jambwright.store.houses import House, add_house, check_tree, load
from jambwright.store.tables import changes, houses
from jambwright.store.trees import plain


class AnotherHouse(Exception):
    """The id is that of a house that began otherwise."""

    def __init__(self, id: str, label: str) -> None:
        self.id, self.label = id, label
        super().__init__(f"{id} is the id of {label}")


def add_house_once(store: Store, tree: Any, *, id: str, practice: bool = False) -> str:
    """Keep a survey as a new house under this id; sent again it is the same house, whatever became of it since.

    Raises ``AnotherHouse`` where the house of that id began otherwise, and ``NotThere`` where it was removed.
    """
    with store.writing() as connection:
        if connection.execute(select(houses.c.id).where(houses.c.id == id)).first() is None:
            return add_house(store, tree, practice=practice, id=id)
        house, sent = load(connection, id), plain(tree)
        check_tree(sent)
        if house.practice != practice or not (
            _alike(sent, house.tree) or _alike(sent, _at_first(connection, house))
        ):
            raise AnotherHouse(id, house.label)
    return id


def _at_first(connection: Connection, house: House) -> dict[str, Any]:
    """The survey before every change that was taken."""
    tree = {**house.tree, "fitted": dict(house.fitted)}
    taken = select(changes.c.path, changes.c.before).where(
        changes.c.house == house.id, changes.c.version.is_not(None)
    )
    for path, before in connection.execute(taken.order_by(changes.c.seq.desc())):
        tree = places.put(tree, places.parse(path), before)
    del tree["fitted"]
    return tree


def _alike(one: dict[str, Any], other: dict[str, Any]) -> bool:
    """Whether they say the same, in whatever order openings stand: one that went and came back stands last."""
    first, second = (
        {**tree, "openings": {o["id"]: o for o in tree.get("openings") or []}} for tree in (one, other)
    )
    return first == second
