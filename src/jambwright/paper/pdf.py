"""Templates to PDF: the one place that knows the typesetter. The same input gives the same bytes."""

from __future__ import annotations

import json
from collections.abc import Mapping
from importlib import resources
from typing import Any

from jambwright.paper.lettering import font_folder


def typeset(template: str, data: Mapping[str, Any]) -> bytes:
    """Set a template of this package with plain values as PDF."""
    made = _compiler(template, data).compile(format="pdf", timestamp=0)
    assert isinstance(made, bytes)
    return made


def measured(template: str, data: Mapping[str, Any], label: str) -> list[Any]:
    """The values a template notes under a label, in order: how high a text turned out, for one."""
    found: list[Any] = json.loads(_compiler(template, data).query(f"<{label}>", field="value"))
    return found


def _compiler(template: str, data: Mapping[str, Any]) -> Any:
    import typst

    source = (resources.files("jambwright.paper") / "templates" / template).read_bytes()
    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(font_folder())]
    )
    return typst.Compiler(input=source, font_paths=fonts, sys_inputs={"data": json.dumps(data)})
