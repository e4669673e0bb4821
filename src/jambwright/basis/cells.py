"""Texts in tables that spreadsheet programs open: never a formula, whatever someone wrote.

One rule: a text that begins with ``= + - @``, a tab or a new line is a text. In a workbook its cell is of the kind
text. In a CSV file, which has no kinds, an apostrophe stands before it, and is taken off when such a file is read
back. Figures are figures and stay as they are. The signs are those of OWASP's page on CSV injection (second hand).
"""

from __future__ import annotations

import re

_STARTS_ONE = re.compile(r"'*[=+\-@\t\r\n]")


def may_be_formula(text: str) -> bool:
    """Whether a program may take the text for a formula.

    >>> may_be_formula("=1+1"), may_be_formula("kitchen = back"), may_be_formula("\\t=1")
    (True, False, True)
    """
    return _STARTS_ONE.match(text) is not None


def guarded(text: str) -> str:
    """The text as a CSV file holds it.

    >>> guarded("=1+1"), guarded("kitchen"), guarded("'=1")
    ("'=1+1", 'kitchen', "''=1")
    """
    return f"'{text}" if may_be_formula(text) else text


def unguarded(text: str) -> str:
    """The text of a cell of a CSV file.

    >>> unguarded("'=1+1"), unguarded("'n Abend"), unguarded(guarded("'=1"))
    ('=1+1', "'n Abend", "'=1")
    """
    return text[1:] if text.startswith("'") and may_be_formula(text) else text
