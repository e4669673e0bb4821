"""What stands at the head of an order: who buys, its number and issue, when and where it is wanted.

None of it is made up: what is left out is taken from what the firm set once, else the order says it is not given.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from jambwright.basis.border import Strict
from jambwright.basis.envelope import Day, Name, Said


class OnEveryOrder(Strict):
    """What is the same on every order of a firm."""

    purchaser: Said | None = None
    """Name and address."""
    contact: Said | None = None
    """Who is asked, and how."""
    deliver_to: Said | None = None
    access: Said | None = None
    """How the lorry gets there."""


class OrderAsked(OnEveryOrder):
    """The head of one order."""

    number: Annotated[Name, Field(pattern=r"\S")] | None = None
    issue: Annotated[int, Field(ge=1, le=99)] = 1
    """1 for the first; one more each time a changed order goes out."""
    wanted_on: Day | None = None
