"""Whether what a unit leaves clear is enough to climb out through, by the rules of a nation."""

from __future__ import annotations

from dataclasses import dataclass

from jambwright.checks.clear_opening.kinds import Clear
from jambwright.checks.figures import HAIR
from jambwright.checks.regulations import RuleSet

_FREE = " The route must be free outside too."
_DOUBTS = {
    "route": "but only on a route square to the opened sash; ask building control whether it counts." + _FREE,
    "in the way": "but such a sash hangs in the way and is not normally accepted as a way out; ask building control.",
    "both leaves": "but only with both leaves open; ask building control.",
}
_NOT_JUDGED = "How high it lies above floor and ground is not judged here."


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """Whether the sizes make a way out; ``meets`` is ``None`` where they alone do not tell."""

    meets: bool | None
    why: str


def way_out(clear: Clear, rules: RuleSet) -> WayOut:
    """The clear sizes against the least of the nation. A measure that is in doubt never meets alone."""
    if clear.width_mm is None or clear.height_mm is None:
        return WayOut(meets=None, why="only its maker's sheet tells what it leaves clear; ask for it.")
    if not clear.width_mm or not clear.height_mm:
        return WayOut(meets=False, why="it leaves nothing clear to climb through.")
    short = _short_of(clear.width_mm, clear.height_mm, rules)
    if short:
        return WayOut(meets=False, why=_sentence(short))
    doubt = _doubt(clear, rules)
    if doubt:
        return WayOut(meets=None, why=f"The sizes are enough, {_DOUBTS[doubt]} {_NOT_JUDGED}")
    return WayOut(meets=True, why=f"The sizes are enough. {_NOT_JUDGED}")


def _doubt(clear: Clear, rules: RuleSet) -> str:
    height = clear.height_mm or 0.0
    surer = {"route": clear.square_to_wall_mm, "": clear.master_width_mm}.get(clear.doubt)
    if surer is None:
        return clear.doubt
    return (clear.doubt or "both leaves") if _short_of(surer, height, rules) else ""


def _short_of(width_mm: float, height_mm: float, rules: RuleSet) -> list[str]:
    measures = (
        ("width", width_mm, "mm", rules["escape.width"]),
        ("height", height_mm, "mm", rules["escape.height"]),
        ("area", width_mm * height_mm * 1e-6, "m²", rules["escape.area"]),
    )
    return [
        f"clear {name} {found:.4g} {unit}, at least {rule.figure:g} {unit} is asked"
        for name, found, unit, rule in measures
        if found < rule.figure - HAIR
    ]


def _sentence(parts: list[str]) -> str:
    text = "; ".join(parts)
    return f"{text[0].upper()}{text[1:]}."
