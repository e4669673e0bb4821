"""The steps from the make-up of the glass to U, index and band of a frame as ordered, for the report."""

from __future__ import annotations

from jambwright.basis.working import Working
from jambwright.checks.heat.energy_index import index_working
from jambwright.checks.heat.frame_heat import USUAL_EDGE, Edge, FrameHeat, layout_infills
from jambwright.checks.heat.glass_working import unit_working
from jambwright.checks.heat.window_u import reference_size_mm, whole_u_w_m2k, window_working
from jambwright.frame.frame import Frame


def glass_of_frame_working(frame: Frame, *, edge: Edge = USUAL_EDGE) -> dict[str, Working]:
    """The steps to the U of each make-up in a frame, by make-up."""
    found = {}
    for unit in dict.fromkeys(unit for unit in frame.glazing.values() if unit):
        found[str(unit)] = Working()
        unit_working(found[str(unit)], unit, coating=edge.coating)
    return found


def frame_working(
    frame: Frame, heat: FrameHeat, *, air_leakage_l50_m3_hm2: float = 0.0, edge: Edge = USUAL_EDGE
) -> Working:
    """The steps of the whole unit: U at its own size, U at the reference size; index and band of a window."""
    work = Working()
    profile = frame.chosen.profile
    window_working(
        work,
        layout_infills(frame.layout, frame.glazing, profile=profile, edge=edge),
        frame_m2=heat.real.frame_m2,
        frame_u_w_m2k=profile.u_frame_w_m2k,
        bars=edge.bars,
    )
    width, height = reference_size_mm(
        kind=frame.chosen.kind, width_mm=frame.width_mm, height_mm=frame.height_mm
    )
    work.note(
        "U_w reference", f"the same at {width:.0f} x {height:.0f} mm", heat.reference.u_w_m2k, "W/m2K",
        whole_u_w_m2k.source, glass_m2=heat.reference.glass_m2, frame_m2=heat.reference.frame_m2,
    )  # fmt: skip
    if heat.index_kwh_m2 is None:
        return work
    index_working(
        work,
        g_window=heat.reference.g_window,
        u_w_m2k=heat.reference.u_w_m2k,
        air_leakage_l50_m3_hm2=air_leakage_l50_m3_hm2,
    )
    return work
