"""Heat through a frame as laid out: at its own size, at the reference size, with index and band."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.basis.working import Working
from jambwright.checks.heat.constants import constant
from jambwright.checks.heat.energy_index import Band, index_and_band
from jambwright.checks.heat.unit import Coating, unit_g, unit_heat
from jambwright.checks.heat.window_u import (
    Infill,
    WindowHeat,
    edge_psi_w_mk,
    frame_left_m2,
    panel_u_w_m2k,
    reference_size_mm,
    whole_u_w_m2k,
    window_heat,
)
from jambwright.frame.frame import Chosen, Frame
from jambwright.frame.glazing_unit import GlazingUnit
from jambwright.frame.layout import Layout, PlacedLight, lay_out
from jambwright.frame.profiles import ProfileSystem
from jambwright.readings.specified import Spacer
from jambwright.readings.wanted import Across, LayoutNode, Light, UnitKind, Wanted


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """What the make-up does not say: the spacer, the coating's kind, and bars on or in the glass."""

    spacer: Spacer = "improved"
    coating: Coating = "soft"
    bars: str = "none"


REFERENCE_WINDOW = Across(across=[Light(opens="side_hung_left"), Light()])
"""One light that opens beside one fixed."""

USUAL_EDGE = Edge()
"""Taken when nothing is said. Common practice for new units, no published source."""


def edge_of(chosen: Chosen) -> Edge:
    """Spacer and bars as asked for; the usual where nothing is said."""
    said = chosen.specified
    return Edge(spacer=said.spacer or USUAL_EDGE.spacer, bars=said.bars or USUAL_EDGE.bars)


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameHeat:
    """One unit: heat at its own size and at the reference size, and the energy index of a window."""

    real: WindowHeat
    reference: WindowHeat
    index_kwh_m2: float | None
    """At the reference size, where the index is declared; none for a door, which goes by its U-value alone."""
    band: Band | None


def frame_group(material: str) -> str:
    """The group of frames whose glass edges behave alike."""
    return str(table("frame_groups").find(material=material)["group"])


def layout_heat(
    layout: Layout,
    glazing: Mapping[str, GlazingUnit | None],
    *,
    width_mm: float,
    height_mm: float,
    profile: ProfileSystem,
    edge: Edge = USUAL_EDGE,
    work: Working | None = None,
) -> WindowHeat:
    """Heat through a frame of that size; ``glazing`` by light mark, ``None`` for a panel.

    ``work`` takes the steps from the infills to the U.
    """
    infills = layout_infills(layout, glazing, profile=profile, edge=edge)
    return window_heat(
        infills,
        frame_m2=frame_left_m2(infills, width_mm=width_mm, height_mm=height_mm),
        frame_u_w_m2k=profile.u_frame_w_m2k,
        bars=edge.bars,
        work=work,
    )


def layout_infills(
    layout: Layout,
    glazing: Mapping[str, GlazingUnit | None],
    *,
    profile: ProfileSystem,
    edge: Edge = USUAL_EDGE,
) -> list[Infill]:
    """Glass and panels of a frame as seen, in the order of its lights."""
    group = frame_group(profile.material)
    infills = []
    for light in layout.lights:
        if light.made == "slab":
            infills += _slab_infill(light, glazing[light.mark])
        if light.made == "slab" and not glazing[light.mark]:
            continue
        unit, seen = glazing[light.mark], light.daylight
        low_e = unit is None or bool(
            unit.low_e
        )  # a panel's edge counts as that of low-e glass: the safe side
        single = unit is not None and len(unit.panes) == 1
        infills.append(
            Infill(
                kind="glass" if unit else "panel",
                area_m2=seen.area_m2,
                edge_m=seen.perimeter_m,
                u_w_m2k=_infill_u(unit, edge.coating),
                g=unit_g(unit, coating=edge.coating)[0] if unit else 0.0,
                psi_w_mk=0.0 if single else edge_psi_w_mk(group=group, spacer=edge.spacer, low_e=low_e),
            )
        )
    return infills


def frame_heat(
    wanted: LayoutNode,
    glazing: Mapping[str, GlazingUnit | None],
    *,
    width_mm: float,
    height_mm: float,
    profile: ProfileSystem,
    kind: UnitKind = "window",
    low_threshold: bool = False,
    air_leakage_l50_m3_hm2: float = 0.0,
    edge: Edge = USUAL_EDGE,
    work: Working | None = None,
) -> FrameHeat:
    """Heat of one unit at its own size and at the reference size, where U, index and band are declared.

    The reference of a window is one fixed light beside one that opens, with the glass of its largest light
    (Approved Document L vol 1 2021, from memory, high); a door keeps its own layout in proportion, or its own
    size where that can't be made. ``work`` takes the steps from the infills to U and index. Raises ``BadInput``
    when the layout does not fit its own size.
    """
    work = work or Working()

    def laid(node: LayoutNode, width: float, height: float) -> Layout:
        return lay_out(
            node, width_mm=width, height_mm=height, profile=profile, door=kind == "door", low=low_threshold
        )

    def heat(
        layout: Layout, glass: Mapping[str, GlazingUnit | None], width: float, height: float,
        work: Working | None = None,
    ) -> WindowHeat:  # fmt: skip
        return layout_heat(
            layout, glass, width_mm=width, height_mm=height, profile=profile, edge=edge, work=work
        )

    own = laid(wanted, width_mm, height_mm)
    real = heat(own, glazing, width_mm, height_mm, work)
    width, height = reference_size_mm(kind=kind, width_mm=width_mm, height_mm=height_mm)
    if kind == "window":
        unit = glazing[max(own.lights, key=lambda light: light.daylight.area_m2).mark]
        reference = heat(laid(REFERENCE_WINDOW, width, height), {"A": unit, "B": unit}, width, height)
    else:
        in_scale = in_proportion(wanted, across=width / width_mm, down=height / height_mm)
        try:
            reference = heat(laid(in_scale, width, height), glazing, width, height)
        except BadInput:  # so many lights that the layout can't be made at the reference size
            reference = real
    work.note(
        "U_w reference", f"the same at {width:.0f} x {height:.0f} mm", reference.u_w_m2k, "W/m2K",
        whole_u_w_m2k.source, glass_m2=reference.glass_m2, frame_m2=reference.frame_m2,
    )  # fmt: skip
    if kind == "door":
        return FrameHeat(real=real, reference=reference, index_kwh_m2=None, band=None)
    index, band = index_and_band(
        g_window=reference.g_window, u_w_m2k=reference.u_w_m2k,
        air_leakage_l50_m3_hm2=air_leakage_l50_m3_hm2, work=work,
    )  # fmt: skip
    return FrameHeat(real=real, reference=reference, index_kwh_m2=index, band=band)


def ordered_heat(
    frame: Frame, wanted: Wanted, *, air_leakage_l50_m3_hm2: float = 0.0, edge: Edge = USUAL_EDGE,
    work: Working | None = None,
) -> FrameHeat:  # fmt: skip
    """Heat of a frame as ordered for what was wanted; ``work`` takes the steps."""
    return frame_heat(
        wanted.layout,
        frame.glazing,
        width_mm=frame.width_mm,
        height_mm=frame.height_mm,
        profile=frame.chosen.profile,
        kind=frame.chosen.kind,
        low_threshold=wanted.threshold == "low",
        air_leakage_l50_m3_hm2=air_leakage_l50_m3_hm2,
        edge=edge,
        work=work,
    )


def in_proportion(node: LayoutNode, *, across: float, down: float) -> LayoutNode:
    """A layout whose fixed sizes are scaled, so that it fits another outer size."""
    return _scaled(node, across, down, along=1.0)


def _scaled(node: LayoutNode, across: float, down: float, along: float) -> LayoutNode:
    change: dict[str, object] = {"mm": node.mm * along if node.mm is not None else None}
    if node_parts := getattr(node, "across", None):
        change["across"] = [_scaled(part, across, down, across) for part in node_parts]
    elif node_parts := getattr(node, "down", None):
        change["down"] = [_scaled(part, across, down, down) for part in node_parts]
    return node.model_copy(update=change)


def _slab_infill(light: PlacedLight, unit: GlazingUnit | None) -> list[Infill]:
    """A slab as seen in its frame, less the light cut into it. It has no spacer at its edge."""
    seen = light.sight.area_m2 - (light.daylight.area_m2 if unit else 0.0)
    u = float(panel_u_w_m2k(resistance_m2kw=constant("slab_resistance")))
    return [Infill(kind="panel", area_m2=seen, edge_m=0.0, u_w_m2k=u, g=0.0, psi_w_mk=0.0)]


def _infill_u(unit: GlazingUnit | None, coating: Coating) -> float:
    if unit is None:
        return float(panel_u_w_m2k(resistance_m2kw=constant("panel_resistance")))
    return float(unit_heat(unit, coating=coating).declared_u_w_m2k)
