"""Names of people: written as typed, and two that look alike are one."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from itertools import filterfalse

from jambwright.basis.problems import BadInput

DEFAULTS: Mapping[str, str] = {"office": "Office", "fitter": "Fitter", "read_only": "Visitor"}
"""By role, the name of someone who gave none; nobody of another role may have it."""
JOINERS = "\u200c\u200d"
"""They change how letters of some scripts join, and belong to a name there."""
ACCENTS = ("\u0300", "\u036f")
"""First and last of the combining marks that accents are taken apart into (Unicode, Combining Diacritical Marks)."""


def tidy(name: str) -> str:
    """The name as it is kept: composed (NFC), without what can't be seen, one space between words.

    >>> tidy("  Ada\\u0300   Example\\u202e ")
    'Adà Example'
    """
    composed = unicodedata.normalize("NFC", " ".join(name.split()))
    return " ".join("".join(filterfalse(_unseen, composed)).split())


def folded(name: str) -> str:
    """What two names that look alike have in common: letters and figures without case and accents.

    >>> folded("ÁDA o'Example") == folded(" Ada OExample.")
    True
    """
    apart = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", tidy(name)).casefold())
    left = "".join(c for c in apart if c.isalnum() or (_is_mark(c) and not ACCENTS[0] <= c <= ACCENTS[1]))
    return left or tidy(name)


def require_own_role(name: str, role: str) -> None:
    """Refuse a name that is kept for another role: nobody is called after the office but the office."""
    for kept_for, kept in DEFAULTS.items():
        if folded(kept) == folded(name) and kept_for != role:
            raise BadInput.one("name", f"{kept} is a name of another role; give another one.")


def _unseen(character: str) -> bool:
    return unicodedata.category(character).startswith("C") and character not in JOINERS


def _is_mark(character: str) -> bool:
    return unicodedata.category(character).startswith("M")
