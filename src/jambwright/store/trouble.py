"""What a disk or a database refuses, in words that tell one cause from another and say what to do."""

from __future__ import annotations

import errno
import sqlite3
from pathlib import Path

from jambwright.basis.problems import BadInput

_NO_ROOM = (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR_WRITE, sqlite3.SQLITE_IOERR_SHMSIZE)
"""A full disk; and one that takes no more for another reason: a quota, a longest file."""
_NO_ROOM_POSTGRES = "53100"

DAMAGED = "Nothing was changed. Use a sound copy: jambwright restore COPY."
_SQLITE = {
    sqlite3.SQLITE_BUSY: "is in use by another program; try again when that is done.",
    sqlite3.SQLITE_LOCKED: "is in use by another program; try again when that is done.",
    sqlite3.SQLITE_FULL: "can't be written: the disk is full. Make room and try again.",
    sqlite3.SQLITE_READONLY: "can't be written: it, or its folder, may only be read.",
    sqlite3.SQLITE_PERM: "may not be opened by you.",
    sqlite3.SQLITE_CANTOPEN: "can't be opened: its folder is missing, or may not be written to.",
    sqlite3.SQLITE_IOERR: "can't be read or written: the disk gives an error. Check the disk.",
}
_DISK = {
    errno.ENOSPC: "the disk is full; make room and try again",
    errno.EDQUOT: "your share of the disk is full; make room and try again",
    errno.EFBIG: "the file is larger than this disk takes",
    errno.EROFS: "the disk may only be read",
    errno.EACCES: "you may not write there, or another program has it open",
    errno.EPERM: "you may not write there, or another program has it open",
    errno.EISDIR: "it is a folder; name a file",
    errno.ENOTDIR: "a file stands where a folder is wanted",
    errno.EEXIST: "a file stands where a folder is wanted",
    errno.ENOENT: "its folder is not there",
    errno.EIO: "the disk gives an error; check it",
}


class NoRoom(Exception):
    """The disk takes no more; nothing of what was to be written is kept."""


def no_room(error: BaseException | None) -> bool:
    """Whether a database says that its disk takes no more."""
    code, state = getattr(error, "sqlite_errorcode", None), getattr(error, "sqlstate", None)
    return code in _NO_ROOM or state == _NO_ROOM_POSTGRES


def of_database(error: BaseException | None, file: str | Path) -> BadInput:
    """What SQLite said of a database: damaged only when it is."""
    code = getattr(error, "sqlite_errorcode", None)
    if code is not None and code & 0xFF in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        return damaged(file, str(error))
    if code is not None and code & 0xFF in _SQLITE:
        return BadInput.one("database", f"The database {file} {_SQLITE[code & 0xFF]}")
    return BadInput.one("database", f"The database {file} can't be opened: {error}.")


def damaged(file: str | Path, what: str) -> BadInput:
    """The database, or a copy, doesn't hold together."""
    return BadInput.one("database", f"The database {file} is damaged ({what}). {DAMAGED}")


def of_disk(error: OSError, path: str | Path, *, doing: str = "can't be written") -> BadInput:
    """What the disk said of a file or folder."""
    why = _DISK.get(error.errno or 0) or error.strerror or "the disk refuses it"
    return BadInput.one("file", f"{path} {doing}: {why}.")
