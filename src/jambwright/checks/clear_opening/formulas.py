"""What opened leaves, sashes and panes leave clear, in closed form; floats or arrays of one shape, mm."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from jambwright.basis.clause import clause

F = float | npt.NDArray[np.float64]

_GEOMETRY = "geometry of the opened unit"


@clause(
    _GEOMETRY, "sash of its own width, measured square to the wall", unit="mm",
    formula="W - S cos t - o, t at most 90°", how="calculated",
)  # fmt: skip
def beside_sash_mm(*, frame_clear_mm: F, sash_mm: F, open_angle_deg: F, obstruction_mm: F) -> F:
    """Gap beside a swung sash of width ``sash_mm`` in a clear frame, square to the wall.

    >>> print(beside_sash_mm(frame_clear_mm=560.0, sash_mm=576.0, open_angle_deg=58.0, obstruction_mm=20.0))
    234.8
    """
    opened = np.radians(np.minimum(open_angle_deg, 90.0))
    gap: F = np.maximum(frame_clear_mm - sash_mm * np.cos(opened) - obstruction_mm, 0.0)
    return gap


@clause(
    _GEOMETRY, "leaf on butt hinges, open at a right angle", unit="mm",
    formula="max(0, b + t - c)", how="calculated",
)  # fmt: skip
def leaf_in_the_way_mm(*, leaf_thickness_mm: F, pin_outside_mm: F, pin_to_daylight_mm: F) -> F:
    """How far a leaf at a right angle stands into the clear frame: pin outside its face, pin to daylight edge.

    >>> print(leaf_in_the_way_mm(leaf_thickness_mm=44.0, pin_outside_mm=12.0, pin_to_daylight_mm=20.0))
    36.0
    """
    blocked: F = np.maximum(pin_outside_mm + leaf_thickness_mm - pin_to_daylight_mm, 0.0)
    return blocked


@clause(_GEOMETRY, "leaves at a right angle", unit="mm", formula="W - n o", how="calculated")
def between_leaves_mm(*, frame_clear_mm: F, leaves: F, obstruction_mm: F) -> F:
    """Clear between opened leaves that each block ``obstruction_mm`` at the jamb.

    >>> print(between_leaves_mm(frame_clear_mm=1094.0, leaves=2, obstruction_mm=25.0))
    1044.0
    """
    gap: F = np.maximum(frame_clear_mm - leaves * obstruction_mm, 0.0)
    return gap


@clause(
    _GEOMETRY, "master leaf of a pair open, slave shut", unit="mm", formula="W/2 - a/2 - o", how="calculated"
)
def master_alone_mm(*, frame_clear_mm: F, slave_left_mm: F, obstruction_mm: F) -> F:
    """Clear beside a slave leaf whose meeting stile of width ``slave_left_mm`` stays.

    >>> print(master_alone_mm(frame_clear_mm=1094.0, slave_left_mm=70.0, obstruction_mm=25.0))
    487.0
    """
    gap: F = np.maximum(frame_clear_mm / 2 - slave_left_mm / 2 - obstruction_mm, 0.0)
    return gap


@clause(_GEOMETRY, "one leaf beside a fixed mullion", unit="mm", formula="(W - T)/2 - o", how="calculated")
def beside_mullion_mm(*, frame_clear_mm: F, mullion_mm: F, obstruction_mm: F) -> F:
    """Clear through one leaf of a pair on a mullion that stays.

    >>> print(beside_mullion_mm(frame_clear_mm=1094.0, mullion_mm=68.0, obstruction_mm=25.0))
    488.0
    """
    gap: F = np.maximum((frame_clear_mm - mullion_mm) / 2 - obstruction_mm, 0.0)
    return gap


@clause(
    _GEOMETRY, "vertical slider, lower sash raised", unit="mm",
    formula="min(H - h_b - a, H - h_t - horn)", how="calculated",
)  # fmt: skip
def under_raised_sash_mm(
    *, frame_clear_mm: F, lower_sash_mm: F, upper_sash_mm: F, stop_loss_mm: F, horn_mm: F
) -> F:
    """Clear height under a lower sash raised as far as stop, finger lift and horns let it.

    >>> print(under_raised_sash_mm(
    ...     frame_clear_mm=1400.0, lower_sash_mm=737.5, upper_sash_mm=702.5, stop_loss_mm=20.0, horn_mm=0.0))
    642.5
    """
    raised = np.minimum(
        frame_clear_mm - lower_sash_mm - stop_loss_mm, frame_clear_mm - upper_sash_mm - horn_mm
    )
    height: F = np.maximum(raised, 0.0)
    return height


@clause(_GEOMETRY, "slider pushed open", unit="mm", formula="r (p - I) - s x + am", how="calculated")
def slid_clear_mm(
    *, pane_mm: F, interlock_mm: F, handle_mm: F, runs: F, handles: F, meeting_mm: F = 0.0
) -> F:
    """Clear width of a slider: pane widths pushed aside, less the handles that stop them.

    >>> print(slid_clear_mm(pane_mm=1015.0, interlock_mm=50.0, handle_mm=40.0, runs=1, handles=1))
    925.0
    """
    gap: F = np.maximum(runs * (pane_mm - interlock_mm) - handles * handle_mm + meeting_mm, 0.0)
    return gap


@clause(_GEOMETRY, "folded set", unit="mm", formula="L - n (t + g)", how="calculated")
def beside_stack_mm(*, track_mm: F, leaves: F, leaf_thickness_mm: F, stack_gap_mm: F) -> F:
    """Clear width beside folded leaves that stand at a right angle in the opening.

    >>> print(beside_stack_mm(track_mm=2990.0, leaves=3, leaf_thickness_mm=68.0, stack_gap_mm=15.0))
    2741.0
    """
    gap: F = np.maximum(track_mm - leaves * (leaf_thickness_mm + stack_gap_mm), 0.0)
    return gap


@clause(_GEOMETRY, "clear width times clear height", unit="m2", formula="w h", how="calculated")
def clear_area_m2(*, width_mm: F, height_mm: F) -> F:
    """Area left clear.

    >>> print(clear_area_m2(width_mm=475.0, height_mm=900.0))
    0.4275
    """
    return width_mm * height_mm * 1e-6
