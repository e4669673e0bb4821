"""Several papers as one file to print, each as it was made."""

from __future__ import annotations

import io
import threading
from collections.abc import Iterable

_TURN = threading.Lock()
"""The library that joins the pages may be used by one thread at a time."""


def one_pdf(papers: Iterable[bytes]) -> bytes:
    """The pages of all papers one after another. Raises ``ValueError`` where there is no paper."""
    import pypdfium2 as pdfium

    with _TURN:
        whole = pdfium.PdfDocument.new()
        for body in papers:
            part = pdfium.PdfDocument(body)
            whole.import_pages(part)
            part.close()
        if not len(whole):
            raise ValueError("there is no paper to print")
        made = io.BytesIO()
        whole.save(made)
        whole.close()
    return made.getvalue()
