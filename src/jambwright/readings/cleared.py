"""What stopped an order or the work and a named person or paper has settled."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from jambwright.basis.border import Strict
from jambwright.basis.envelope import Day, Note


class Cleared(Strict):
    """Something that stops the order or the work and that a named person or paper has settled."""

    what: Annotated[str, Field(min_length=1, max_length=60)]
    """Short name as `check` gives it, such as lintel, listed, asbestos, lead, notice; or a rule's id."""
    by: Annotated[str, Field(min_length=1, max_length=200)]
    """Who settled it, or the paper that does."""
    on: Day
    note: Note = ""
