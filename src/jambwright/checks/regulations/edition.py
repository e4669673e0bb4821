"""An edition of a document, and whether it governs a piece of work: by its day, its notice and its start."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """When the work is done, notified and begun, and on what: which edition holds depends on it."""

    on: date
    notice: date | None = None
    """Day the notice or the plans went to building control."""
    start: date | None = None
    """Day the work starts; the day of the work when left out."""
    flat: bool = False
    certified: bool | None = None
    """The firm certifies its work itself, so that no notice is given; not known when left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition:
    """One edition of one document, and when it is in force."""

    key: str
    nations: tuple[str, ...]
    document: str
    since: date
    until: date | None
    dwelling: str = ""
    """``house`` or ``flat`` where it is for one of them only."""
    notice_until: date | None = None
    """Work whose notice went in by ``until`` stays under it when it starts by this day."""

    @property
    def name(self) -> str:
        """The document with the dates it is in force."""
        return f"{self.document} (in force from {self.since}{f' to {self.until}' if self.until else ''})"

    def covers(self, on: date) -> bool:
        """Whether work done on that day comes under this edition."""
        return self.since <= on and (self.until is None or on <= self.until)

    def kept_by_notice(self, work: Work) -> bool:
        """Whether a notice given in time and an early start keep later work under this edition."""
        if self.until is None or self.notice_until is None or work.on <= self.until:
            return False
        given = work.notice is not None and work.notice <= self.until
        return given and (work.start or work.on) <= self.notice_until
