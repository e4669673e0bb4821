"""Photos of openings, as the web door re-encoded them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection, insert, select, update

from jambwright.basis.problems import BadInput
from jambwright.store.database import Store
from jambwright.store.houses import NotThere, lock
from jambwright.store.tables import photos
from jambwright.store.trees import plain


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """What is known of a photo; the picture itself is asked for apart."""

    id: str
    house: str
    mark: str
    caption: str
    drawn: Any
    """Lines drawn on it, each a list of [x, y] from 0 to 1."""
    who: str
    at: str
    width_px: int
    height_px: int
    place: Any = None
    shows: list[str] = field(default_factory=list)
    """What it was marked to show, each a field of ``Seen``."""


TELL_APART = ("house", "at", "width_px", "height_px")
"""What stays the same of a photo that is sent again; its opening may have another mark by then."""


def keep_photo(store: Store, photo: Photo, jpeg: bytes) -> bool:
    """Keep a photo; False when it was kept before (it is sent again until acknowledged).

    Raises ``BadInput`` where another photo was kept under its number.
    """
    with store.writing() as connection:
        lock(connection, photo.house)
        known = connection.execute(select(photos).where(photos.c.id == photo.id)).mappings().first()
        if known:
            if any(known[name] != getattr(photo, name) for name in TELL_APART):
                raise BadInput.one(
                    "photo", "This photo came under the number of another one. Attach it once more."
                )
            return False
        row = {name: getattr(photo, name) for name in Photo.__slots__}
        row |= {"drawn": plain(photo.drawn), "place": plain(photo.place), "shows": list(photo.shows)}
        connection.execute(insert(photos).values(**row, removed=False, jpeg=jpeg))
    return True


def house_photos(store: Store, house: str) -> list[Photo]:
    """All photos of a house, oldest first."""
    columns = [photos.c[name] for name in Photo.__slots__]
    wanted = select(*columns).where(photos.c.house == house, ~photos.c.removed).order_by(photos.c.at)
    with store.reading() as connection:
        return [Photo(**row) for row in connection.execute(wanted).mappings()]


def photo_jpeg(store: Store, house: str, photo: str) -> bytes:
    """The picture. Raises ``NotThere``."""
    wanted = select(photos.c.jpeg).where(photos.c.id == photo, photos.c.house == house)
    with store.reading() as connection:
        found: bytes | None = connection.execute(wanted).scalar()
    if found is None:
        raise NotThere(photo)
    return found


def change_photo(store: Store, house: str, photo: str, **changed: Any) -> None:
    """Change caption, drawn lines or the removed mark. Raises ``NotThere``."""
    with store.writing() as connection:
        wanted = update(photos).where(photos.c.id == photo, photos.c.house == house).values(**changed)
        if not connection.execute(wanted).rowcount:
            raise NotThere(photo)


def photos_follow(connection: Connection, house: str, mark: str, to: str) -> None:
    """Photos of an opening under its new mark, inside a transaction of the caller."""
    connection.execute(update(photos).where(photos.c.house == house, photos.c.mark == mark).values(mark=to))
