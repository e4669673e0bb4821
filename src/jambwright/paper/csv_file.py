"""Lists as CSV in UTF-8 with a mark that spreadsheet programs know; every text a text, whatever it begins with."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from typing import Any

from jambwright.basis.cells import guarded


def csv_bytes(rows: Iterable[Iterable[Any]]) -> bytes:
    """The rows, headers among them, as a file.

    Texts stand in quotes, so that none falls apart where another sign parts the cells, and are guarded (``cells``).

    >>> print(csv_bytes([["room", "mm"], ["=1+1; a", -2.5]])[3:].decode(), end="")
    "room","mm"
    "'=1+1; a",-2.5
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, quoting=csv.QUOTE_NONNUMERIC)
    for row in rows:
        writer.writerow([guarded(cell) if isinstance(cell, str) else cell for cell in row])
    return text.getvalue().encode("utf-8-sig")
