"""Every calculation by name, for terminal and HTTP: plain values in, plain values out."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from typing import Any

from jambwright.basis.border import accept
from jambwright.basis.problems import BadInput
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation

__all__ = ["MODULES", "Answer", "Calculation", "answer", "calculation", "calculations", "working"]

MODULES: tuple[str, ...] = (
    "opening",
    "shaped_outline",
    "head_offset",
    "fitting",
    "fixings",
    "wind",
    "glass_strength",
    "glass",
    "members",
    "movement",
    "rules",
    "materials",
    "cutting",
    "standard_sizes",
    "crew",
    "finish_date",
    "beam",
    "glass_heat",
    "window_heat",
    "energy_index",
    "room_damp",
    "house_saving",
    "lifting",
    "frame_size",
    "measuring_tools",
    "clear_opening",
    "square_up",
)
"""Modules of this package that hold calculations, in the order of the work; imported when asked for."""


def calculations() -> Iterator[Calculation[Any]]:
    """All calculations, in the order of the work."""
    for module in MODULES:
        yield from import_module(f"{__name__}.{module}").CALCULATIONS


def calculation(name: str) -> Calculation[Any]:
    """The calculation of that name."""
    known = {c.name: c for c in calculations()}
    if name not in known:
        raise BadInput.one("name", f"there is no calculation `{name}`; known are {', '.join(known)}.")
    return known[name]


def answer(name: str, given: Any, *, working: bool = False) -> dict[str, Any]:
    """Check the input, calculate, and give the answer as plain values; on demand with the steps behind it."""
    found, steps = _run(name, given)
    return {**_plain(found), "working": steps.as_json()} if working else _plain(found)


def working(name: str, given: Any) -> list[dict[str, Any]]:
    """The steps behind the answer as plain values."""
    return _run(name, given)[1].as_json()


def _run(name: str, given: Any) -> tuple[Answer, Working]:
    wanted, steps = calculation(name), Working()
    return wanted.run(accept(wanted.asks, given), steps), steps


def _plain(found: Answer) -> dict[str, Any]:
    return found.model_dump(mode="json", exclude_unset=True)
