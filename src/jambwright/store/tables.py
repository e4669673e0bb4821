"""The tables of the store. Times are ISO 8601 text in UTC; trees are JSON text with their order kept."""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    JSON,
    Boolean,
    Column,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    TypeDecorator,
    UniqueConstraint,
)

from jambwright.basis.characters import mended

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(column_0_label)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)

Tree = JSON(none_as_null=True)
"""JSON rather than JSONB: the order of the fields is part of what was written."""


class Words(TypeDecorator[str]):
    """Text as people write it; a character that no answer could carry is replaced on the way in."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Any) -> str | None:
        """Mend what is put in."""
        del dialect
        return None if value is None else mended(value)


houses = Table(
    "houses",
    metadata,
    Column("id", String(32), primary_key=True),
    Column("label", Words, nullable=False),
    Column("version", Integer, nullable=False),
    Column("head", Tree, nullable=False),
    Column("practice", Boolean, nullable=False),
    Column("removed", Boolean, nullable=False),
    Column("created", String(32), nullable=False),
    Column("changed", String(32), nullable=False),
)
"""One row a house; ``head`` is its survey without the openings. A removed house keeps its row."""

openings = Table(
    "openings",
    metadata,
    Column("house", String(32), ForeignKey("houses.id"), primary_key=True),
    Column("mark", String(16), primary_key=True),
    Column("position", Integer, nullable=False),
    Column("version", Integer, nullable=False),
    Column("tree", Tree, nullable=False),
    Column("fitted", Tree),
)
"""One row an opening: its part of the survey, and what was read once the frame stood (``fitted``)."""

changes = Table(
    "changes",
    metadata,
    Column("seq", Integer, primary_key=True, autoincrement=True),
    Column("id", String(64), nullable=False),
    Column("house", String(32), ForeignKey("houses.id"), nullable=False),
    Column("version", Integer),
    Column("path", Words, nullable=False),
    Column("before", Tree),
    Column("after", Tree),
    Column("typed", Words),
    Column("who", Words, nullable=False),
    Column("device", String(64), nullable=False),
    Column("at", String(32), nullable=False),
    Column("received", String(32), nullable=False),
    Column("outcome", String(8), nullable=False),
    Column("undoes", String(64)),
    Column("problems", Tree),
    Index("ix_changes_house_path", "house", "path"),
    UniqueConstraint("house", "id"),
)
"""Every change ever sent, whatever became of it. Rows are added; only ``outcome`` of a clash moves on."""

photos = Table(
    "photos",
    metadata,
    Column("id", String(64), primary_key=True),
    Column("house", String(32), ForeignKey("houses.id"), nullable=False, index=True),
    Column("mark", String(16), nullable=False),
    Column("caption", Words, nullable=False),
    Column("drawn", Tree, nullable=False),
    Column("shows", Tree, nullable=False, server_default="[]"),
    Column("who", Words, nullable=False),
    Column("at", String(32), nullable=False),
    Column("width_px", Integer, nullable=False),
    Column("height_px", Integer, nullable=False),
    Column("place", Tree),
    Column("removed", Boolean, nullable=False),
    Column("jpeg", LargeBinary, nullable=False),
)
"""Photos as re-encoded JPEG; ``drawn`` holds the lines a person put on top, ``shows`` what it was marked to show,
``place`` only when wanted."""

plans = Table(
    "plans",
    metadata,
    Column("id", String(32), primary_key=True),
    Column("house", String(32), ForeignKey("houses.id"), nullable=False, index=True),
    Column("version", Integer, nullable=False),
    Column("made", String(32), nullable=False),
    Column("who", Words, nullable=False),
    Column("engine", Text, nullable=False),
    Column("rules", String(64), nullable=False),
    Column("survey", Tree, nullable=False),
    Column("result", Tree, nullable=False),
    Column("gist", Tree),
)
"""Plans with what made them: survey version, engine version, fingerprint of the packaged tables. ``gist`` is what
lists show of a plan without opening it."""

papers = Table(
    "papers",
    metadata,
    Column("plan", String(32), ForeignKey("plans.id"), primary_key=True),
    Column("name", String(80), primary_key=True),
    Column("body", LargeBinary, nullable=False),
)
"""The papers of a plan, kept so that a reprint is the same paper."""

choices = Table(
    "choices",
    metadata,
    Column("house", String(32), primary_key=True),
    Column("name", String(20), primary_key=True),
    Column("tree", Tree, nullable=False),
    Column("who", Words, nullable=False),
    Column("at", String(32), nullable=False),
)
"""What the office chose beside the survey (prices, the crew's days), by house; no house for the firm's own."""

people = Table(
    "people",
    metadata,
    Column("id", String(32), primary_key=True),
    Column("name", Words, nullable=False),
    Column("role", String(10), nullable=False),
    Column("created", String(32), nullable=False),
)

invitations = Table(
    "invitations",
    metadata,
    Column("secret", String(64), primary_key=True),
    Column("name", Words, nullable=False),
    Column("role", String(10), nullable=False),
    Column("expires", String(32), nullable=False),
    Column("used", String(32)),
)
"""One-time pairing secrets, hashed."""

sessions = Table(
    "sessions",
    metadata,
    Column("token", String(64), primary_key=True),
    Column("person", String(32), ForeignKey("people.id"), nullable=False, index=True),
    Column("device", Words, nullable=False),
    Column("began", String(32), nullable=False),
    Column("expires", String(32), nullable=False),
    Column("ended", String(32)),
)
"""Sessions by the hash of their token."""

audit = Table(
    "audit",
    metadata,
    Column("seq", Integer, primary_key=True, autoincrement=True),
    Column("at", String(32), nullable=False),
    Column("who", Words, nullable=False),
    Column("address", Words, nullable=False),
    Column("action", String(40), nullable=False),
    Column("subject", Words, nullable=False),
)
"""Who joined, made, removed, exported or planned what, from where."""
