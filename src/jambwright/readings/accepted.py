"""Proposals that were accepted, with what was asked for in their place."""

from __future__ import annotations

from typing import Annotated, Any

from jambwright.basis.border import Strict
from jambwright.basis.envelope import Day, Name, Said, counted


class AcceptedChange(Strict):
    """One field that an accepted proposal changed."""

    place: Said
    """Path of the field: `/openings/W3/wanted/layout/across/0/open_angle_deg`."""
    was: Any = None
    """What was asked for; nothing where the field was not filled."""
    value: Any = None
    """What is ordered instead; nothing where it was taken away."""


class Accepted(Strict):
    """A proposal that was accepted: what was asked for is kept beside what is ordered instead."""

    on: Day
    by: Name | None = None
    mends: Annotated[list[Said], counted("proposals")] = []
    """The rules it was accepted for."""
    changes: Annotated[list[AcceptedChange], counted("changes", 1)]
