"""What was suspected at an opening, by eye or on a photo."""

from __future__ import annotations

from typing import Literal

from jambwright.basis.border import Strict

Suspicion = Literal["lintel", "damp", "asbestos"]
"""What may be suspected at an opening: the fields of ``Seen``."""


class Seen(Strict):
    """What was suspected at the opening, by eye or on a photo: it stands until a named person has settled it."""

    lintel: bool = False
    """A crack, a sag, rust or rot: what carries the wall is in doubt, whatever its kind."""
    damp: bool = False
    asbestos: bool = False
