"""What sliding sashes and panes of a frame leave clear, from their sizes as placed. Told once for all of a light."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from jambwright.basis.tables import Row, table
from jambwright.basis.working import Working
from jambwright.checks.clear_opening import formulas
from jambwright.checks.clear_opening.kinds import SLIDES
from jambwright.checks.regulations.clear import ClearOpening
from jambwright.frame.frame import Frame
from jambwright.frame.kinds.slider import sections
from jambwright.frame.kinds.vertical_sash import rails
from jambwright.frame.layout import PlacedLight
from jambwright.readings.ways import Clear

SIZES = ("frame_clear_width_mm", "frame_clear_height_mm", "obstruction_mm")
"""Facts that the clear opening of what slides rests on."""


def slides(light: PlacedLight) -> bool:
    """Whether it is one of several leaves that slide past each other."""
    return bool(light.leaf and light.moves.slides)


def clear_leaf(frame: Frame, light: PlacedLight) -> PlacedLight | None:
    """The leaf at which the clear opening of its light is told: of those that slide the lowest, then the leftmost.

    Sashes and panes can't all be out of the way at once: what they leave clear is there only once.
    """
    sliding = [leaf for leaf in frame.layout.leaves_at(light.path) if slides(leaf)]
    return min(sliding, key=lambda leaf: (leaf.sight.y_mm, leaf.sight.x_mm), default=None)


def slid_clear(frame: Frame, light: PlacedLight) -> ClearOpening | None:
    """The clear opening of a light whose leaves slide; nothing for any other, nor at its further leaves."""
    if not slides(light) or light != clear_leaf(frame, light):
        return None
    working = Working()
    width, height = _FORMULAS[light.moves.clear](frame, light, working)
    return ClearOpening(
        width_mm=width, height_mm=height, angled_width_mm=width, angled_height_mm=height, inputs=SIZES,
        working=working,
    )  # fmt: skip


def usual(kind: str, size: str) -> Row:
    """A size that is taken as usual for a kind."""
    return table("clear_usual").find(kind=kind, size=size)


def usual_loss(light: PlacedLight) -> Row | None:
    """What is taken off the travel where the order does not say it; nothing for what does not slide."""
    named = {
        "slide_up": ("vertical_slider", "stop_loss_mm"),
        "slide_across": ("slider", "handle_standoff_mm"),
    }
    return usual(*named[light.moves.clear]) if slides(light) else None


def _loss_mm(light: PlacedLight) -> float:
    """What stop and finger lift, or the handle, take of the travel: as ordered, else the usual."""
    row = usual_loss(light)
    assert row is not None
    return row["value"] if light.wanted.obstruction_mm is None else light.wanted.obstruction_mm


def _up(frame: Frame, lower: PlacedLight, work: Working) -> tuple[float, float]:
    """Between the jambs, under the lower sash raised as far as stop and horns let it."""
    upper = next(leaf for leaf in frame.layout.leaves_at(lower.path) if leaf.mark != lower.mark)
    assert lower.sash is not None
    assert upper.sash is not None
    horned = lower.wanted.horns not in (None, "none")
    height = work.step(
        "clear height",
        formulas.under_raised_sash_mm,
        frame_clear_mm=lower.sight.height_mm + upper.sight.height_mm,
        lower_sash_mm=lower.sash.height_mm,
        upper_sash_mm=upper.sash.height_mm,
        stop_loss_mm=_loss_mm(lower),
        horn_mm=rails(frame.chosen.profile)["horn_mm"] if horned else 0.0,
    )
    return lower.sight.width_mm, round(float(height), 6)


def _across(frame: Frame, pane: PlacedLight, work: Working) -> tuple[float, float]:
    """Beside the panes slid over those that stand, as far as their handles let them, from threshold to head."""
    panes, section = frame.layout.leaves_at(pane.path), sections(frame.chosen.profile)
    slide = SLIDES["".join("X" if each.opens else "O" for each in panes)]
    assert pane.sash is not None
    width = work.step(
        "clear width",
        formulas.slid_clear_mm,
        pane_mm=pane.sash.width_mm,
        interlock_mm=section["interlock_mm"],
        handle_mm=_loss_mm(pane),
        runs=slide.runs,
        handles=slide.handles,
        meeting_mm=section["meeting_mm"] if slide.handles > 1 else 0.0,
    )
    return round(float(width), 6), pane.sight.height_mm


_FORMULAS: Mapping[Clear, Callable[[Frame, PlacedLight, Working], tuple[float, float]]] = {
    "slide_up": _up, "slide_across": _across,
}  # fmt: skip
