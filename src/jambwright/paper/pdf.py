"""Templates to PDF: the one place that knows the typesetter. The same input gives the same bytes."""

from __future__ import annotations

import json
from collections.abc import Mapping
from importlib import resources
from typing import Any

from jambwright.paper.gate_words import stops, unsure
from jambwright.paper.lettering import font_folder
from jambwright.paper.paper_frame import blank_frame, paper_frame
from jambwright.record import PlanRecord


def typeset(template: str, record: PlanRecord, data: Mapping[str, Any], *, gate: str | None = None) -> bytes:
    """Set a template of this package with plain values as PDF that a screen reader can follow (PDF/UA-1).

    The frame of every paper stands round it, and where ``gate`` is named what that stops and why.
    """
    return _made(template, {**_of_every_paper(record, gate), **data})


def typeset_blank(template: str, data: Mapping[str, Any]) -> bytes:
    """The same for a house of which nothing is known yet."""
    return _made(template, {"paper": blank_frame(), "stops": [], "unsure": "", **data})


def measured(template: str, record: PlanRecord, data: Mapping[str, Any], label: str) -> list[Any]:
    """The values a template notes under a label, in order: how high a text turned out, for one."""
    compiler = _compiler(template, {**_of_every_paper(record, None), **data})
    found: list[Any] = json.loads(compiler.query(f"<{label}>", field="value"))
    return found


def _made(template: str, data: Mapping[str, Any]) -> bytes:
    made = _compiler(template, data).compile(format="pdf", timestamp=0, pdf_standards="ua-1")
    assert isinstance(made, bytes)
    return made


def _of_every_paper(record: PlanRecord, gate: str | None) -> dict[str, Any]:
    return {
        "paper": paper_frame(record),
        "stops": stops(record, gate) if gate else [],
        "unsure": unsure(record) if gate == "work" else "",
    }


def _compiler(template: str, data: Mapping[str, Any]) -> Any:
    import typst

    folder = resources.files("jambwright.paper") / "templates"
    source = (folder / "common.typ").read_bytes() + (folder / template).read_bytes()
    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(font_folder())]
    )
    # a root of its own: else it wants the current folder, which may be gone
    root = str(font_folder())
    return typst.Compiler(input=source, root=root, font_paths=fonts, sys_inputs={"data": json.dumps(data)})
