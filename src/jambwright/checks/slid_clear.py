"""What several leaves of a light leave clear together, from their sizes as placed: told once for all of the light.

Sliding sashes and panes, a folded set, and the two leaves of a stable door.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from jambwright.basis.tables import Row, table
from jambwright.basis.working import Working
from jambwright.checks.clear_opening import formulas
from jambwright.checks.clear_opening.kinds import SLIDES
from jambwright.checks.regulations.clear import ClearOpening
from jambwright.checks.regulations.escape_opening import straight_clear_mm
from jambwright.frame.frame import Frame
from jambwright.frame.kinds import bi_fold
from jambwright.frame.kinds.slider import sections
from jambwright.frame.layout import PlacedLight

SIZES = ("frame_clear_width_mm", "frame_clear_height_mm", "obstruction_mm")
"""Facts that the clear opening of what slides rests on."""


def clears_together(light: PlacedLight) -> bool:
    """Whether it is one of several leaves that leave one clear opening between them."""
    return bool(light.leaf and light.opens and light.made in _FORMULAS)


def clear_leaf(frame: Frame, light: PlacedLight) -> PlacedLight | None:
    """The leaf at which the clear opening of its light is told: of those that move the lowest, then the leftmost.

    Sashes and panes can't all be out of the way at once: what they leave clear is there only once.
    """
    moving = [leaf for leaf in frame.layout.leaves_at(light.path) if clears_together(leaf)]
    return min(moving, key=lambda leaf: (leaf.sight.y_mm, leaf.sight.x_mm), default=None)


def slid_clear(frame: Frame, light: PlacedLight) -> ClearOpening | None:
    """The clear opening that leaves leave together; nothing for any other light, nor at its further leaves."""
    if not clears_together(light) or light != clear_leaf(frame, light):
        return None
    working = Working()
    width, height = _FORMULAS[light.made](frame, light, working)
    return ClearOpening(
        width_mm=width, height_mm=height, angled_width_mm=width, angled_height_mm=height, inputs=SIZES,
        working=working,
    )  # fmt: skip


def usual(kind: str, size: str) -> Row:
    """A size that is taken as usual for a kind."""
    return table("clear_usual").find(kind=kind, size=size)


def usual_loss(light: PlacedLight) -> Row | None:
    """What is taken off the travel where the order does not say it; nothing for what is not slid."""
    named = {
        "vertical_sash": ("vertical_slider", "stop_loss_mm"),
        "slider": ("slider", "handle_standoff_mm"),
        "bi_fold": ("bi_fold", "stack_gap_mm"),
    }
    return usual(*named[light.made]) if clears_together(light) and light.made in named else None


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
    height = work.step(
        "clear height",
        formulas.under_raised_sash_mm,
        frame_clear_mm=lower.sight.height_mm + upper.sight.height_mm,
        lower_sash_mm=lower.sash.height_mm,
        upper_sash_mm=upper.sash.height_mm,
        stop_loss_mm=_loss_mm(lower),
        horn_mm=upper.horn_mm,
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


def _folded(frame: Frame, leaf: PlacedLight, work: Working) -> tuple[float, float]:
    """Beside the leaves folded at a right angle against the jambs, from track to head.

    What was said to be blocked is of each leaf, its thickness and the gap beside it.
    """
    leaves, section = frame.layout.leaves_at(leaf.path), bi_fold.sections(frame.chosen.profile)
    said = leaf.wanted.obstruction_mm
    width = work.step(
        "clear width",
        formulas.beside_stack_mm,
        track_mm=leaves[-1].sight.right_mm - leaves[0].sight.x_mm,
        leaves=len(leaves),
        leaf_thickness_mm=section["leaf_mm"] if said is None else said,
        stack_gap_mm=section["stack_gap_mm"] if said is None else 0.0,
    )
    return round(float(width), 6), leaf.sight.height_mm


def _both_open(frame: Frame, lower: PlacedLight, work: Working) -> tuple[float, float]:
    """Beside both leaves of a stable door swung open, from threshold to head."""
    row = table("usual_obstructions").find(hinge=lower.way.usual)
    asked = lower.wanted
    width = work.step(
        "clear width",
        straight_clear_mm,
        frame_clear_mm=lower.sight.width_mm,
        open_angle_deg=row["open_angle_deg"] if asked.open_angle_deg is None else asked.open_angle_deg,
        obstruction_mm=row["obstruction_mm"] if asked.obstruction_mm is None else asked.obstruction_mm,
    )
    return round(float(width), 6), sum(each.sight.height_mm for each in frame.layout.leaves_at(lower.path))


_FORMULAS: Mapping[str, Callable[[Frame, PlacedLight, Working], tuple[float, float]]] = {
    "vertical_sash": _up, "slider": _across, "bi_fold": _folded, "stable_door": _both_open,
}  # fmt: skip
"""By the kind of light."""
