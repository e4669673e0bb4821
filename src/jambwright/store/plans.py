"""Plans with their papers, and the versions of engine and tables that made them."""

from __future__ import annotations

import functools
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from sqlalchemy import func, insert, select

from jambwright import __version__
from jambwright.basis.tables import data_files, read_text
from jambwright.store.database import Store, now
from jambwright.store.houses import House, NotThere
from jambwright.store.tables import papers, plans


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanLine:
    """What is known of a plan without opening it."""

    id: str
    house: str
    version: int
    """Version of the survey it was made from."""
    made: str
    who: str
    engine: str
    rules: str
    gist: Mapping[str, Any] | None = None
    """What lists need of it: what it rests on, its gates and its days; none of plans of an earlier version."""

    @property
    def of_this_program(self) -> bool:
        """Whether the program and its tables are still those that made it."""
        return (self.engine, self.rules) == (__version__, tables_fingerprint())


@functools.cache
def tables_fingerprint() -> str:
    """One short mark for every packaged table of values and rules."""
    total = sha256()
    for ending in (".csv", ".toml"):
        for name in data_files(ending):
            total.update(name.encode() + b"\0" + read_text(name).encode() + b"\0")
    return total.hexdigest()[:16]


def keep_plan(
    store: Store, house: House, who: str, result: Any, bodies: Mapping[str, bytes], gist: Any = None
) -> PlanLine:
    """Keep a plan of a house as it stands, with its papers."""
    line = PlanLine(
        id=secrets.token_hex(8), house=house.id, version=house.version, made=now(), who=who,
        engine=__version__, rules=tables_fingerprint(), gist=gist,
    )  # fmt: skip
    row = {name: getattr(line, name) for name in PlanLine.__slots__}
    with store.writing() as connection:
        connection.execute(insert(plans).values(**row, survey=house.tree, result=result))
        for name, body in bodies.items():
            connection.execute(insert(papers).values(plan=line.id, name=name, body=body))
    return line


def house_plans(store: Store, house: str) -> list[PlanLine]:
    """Plans of a house, the newest first."""
    columns = [plans.c[name] for name in PlanLine.__slots__]
    wanted = select(*columns).where(plans.c.house == house).order_by(plans.c.made.desc())
    with store.reading() as connection:
        return [PlanLine(**row) for row in connection.execute(wanted).mappings()]


def newest_plans(store: Store) -> dict[str, PlanLine]:
    """The plan made last of each house that has one, by house; read in one go."""
    columns = [plans.c[name] for name in PlanLine.__slots__]
    newest = select(plans.c.house, func.max(plans.c.made).label("made")).group_by(plans.c.house).subquery()
    wanted = select(*columns).join(
        newest, (plans.c.house == newest.c.house) & (plans.c.made == newest.c.made)
    )
    with store.reading() as connection:
        return {row["house"]: PlanLine(**row) for row in connection.execute(wanted).mappings()}


def plan_result(store: Store, house: str, plan: str) -> Any:
    """What the plan says. Raises ``NotThere``."""
    wanted = select(plans.c.result).where(plans.c.id == plan, plans.c.house == house)
    with store.reading() as connection:
        row = connection.execute(wanted).first()
    if row is None:
        raise NotThere(plan)
    return row.result


def paper_names(store: Store, plan: str) -> list[str]:
    """Names of a plan's papers."""
    wanted = select(papers.c.name).where(papers.c.plan == plan).order_by(papers.c.name)
    with store.reading() as connection:
        return list(connection.execute(wanted).scalars())


def paper(store: Store, house: str, plan: str, name: str) -> bytes:
    """One paper as it was made. Raises ``NotThere``."""
    wanted = (
        select(papers.c.body)
        .join(plans, plans.c.id == papers.c.plan)
        .where(plans.c.house == house, papers.c.plan == plan, papers.c.name == name)
    )
    with store.reading() as connection:
        found: bytes | None = connection.execute(wanted).scalar()
    if found is None:
        raise NotThere(name)
    return found
