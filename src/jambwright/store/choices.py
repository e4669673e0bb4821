"""What the office chose beside the survey: the firm's prices, the crew's days of a house, what its tools read wrong."""

from __future__ import annotations

from typing import Any, Literal

from sqlalchemy import delete, insert, select

from jambwright.store.database import Store, now
from jambwright.store.tables import choices
from jambwright.store.trees import plain

Name = Literal["prices", "crew", "days", "tools"]
FIRM = ""
"""In place of a house: what holds for every house."""


def choose(store: Store, name: Name, tree: Any, *, who: str, house: str = FIRM) -> None:
    """Keep a choice in place of the one before."""
    with store.writing() as connection:
        connection.execute(delete(choices).where(choices.c.house == house, choices.c.name == name))
        connection.execute(
            insert(choices).values(house=house, name=name, tree=plain(tree), who=who, at=now())
        )


def chosen_at(store: Store, name: Name, *, house: str = FIRM) -> str | None:
    """When the choice as it stands was made, None when nothing was chosen yet."""
    with store.reading() as connection:
        return connection.execute(
            select(choices.c.at).where(choices.c.house == house, choices.c.name == name)
        ).scalar()


def chosen(store: Store, name: Name, *, house: str = FIRM) -> Any:
    """The choice as it stands, None when nothing was chosen yet."""
    with store.reading() as connection:
        return connection.execute(
            select(choices.c.tree).where(choices.c.house == house, choices.c.name == name)
        ).scalar()
