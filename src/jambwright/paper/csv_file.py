"""Lists as CSV in UTF-8 with a mark that spreadsheet programs know."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from typing import Any


def csv_bytes(rows: Iterable[Iterable[Any]]) -> bytes:
    """The rows, headers among them, as a file."""
    text = io.StringIO(newline="")
    csv.writer(text).writerows(rows)
    return text.getvalue().encode("utf-8-sig")
