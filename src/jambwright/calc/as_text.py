"""The answer of a calculation as lines of text."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any


def as_text(result: Mapping[str, Any], indent: str = "") -> str:
    """Fields one a line; steps of a working read value first."""
    lines = []
    for name, value in result.items():
        if name == "working":
            lines += ["working:"] + ["  " + _step_text(step) for step in value]
        elif isinstance(value, Mapping):
            lines += [f"{indent}{name}:", as_text(value, indent + "  ")]
        elif isinstance(value, list) and value and isinstance(value[0], Mapping):
            lines.append(f"{indent}{name}:")
            lines += [indent + "  " + ", ".join(f"{k} {_plain(v)}" for k, v in row.items()) for row in value]
        else:
            lines.append(f"{indent}{name}: {_plain(value)}")
    return "\n".join(lines)


def _step_text(step: Mapping[str, Any]) -> str:
    given = ", ".join(f"{k} {_plain(v)}" for k, v in step["inputs"].items())
    parts = [f"{step['symbol']} = {_plain(step['value'])} {step['unit']}".rstrip(), step["formula"]]
    return "   ".join(
        [*filter(None, parts), *([f"with {given}"] if given else []), f"[{step['source']}; {step['how']}]"]
    )


def _plain(value: Any) -> str:
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, list):
        return "[" + ", ".join(_plain(v) for v in value) + "]"
    return str(value)
