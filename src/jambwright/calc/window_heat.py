"""Calculations by name: heat through a whole window or door."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from jambwright.basis.border import NotNegative, Positive, Strict
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.checks.heat.frame_heat import in_proportion
from jambwright.checks.heat.unit import Coating, unit_heat
from jambwright.checks.heat.window_u import (
    Infill,
    WindowHeat,
    edge_psi_w_mk,
    frame_left_m2,
    reference_size_mm,
    window_heat,
)
from jambwright.frame.glazing_unit import parse_glazing
from jambwright.frame.layout import lay_out
from jambwright.frame.profiles import ProfileSystem, profile_system
from jambwright.readings.wanted import LayoutNode, UnitKind

U = Annotated[float, Field(gt=0, le=10)]
Psi = Annotated[float, Field(ge=0, le=1)]

AREA_TOLERANCE = 0.01
"""How far the parts' areas may miss the whole: rounding on a data sheet, no more."""


class PartAsked(Strict):
    """One pane or panel."""

    area_m2: Positive
    """Visible area, of the side that shows less."""
    perimeter_m: NotNegative
    """Visible edge."""
    u_w_m2k: U
    psi_w_mk: Psi
    """Of the edge; 0 for single glass."""


class FrameAsked(Strict):
    """The frame: its U, or its kind to take the usual U."""

    area_m2: Positive | None = None
    """Seen from the side that shows more; left out when a layout is given."""
    u_w_m2k: U | None = None
    kind: str | None = None
    """A row of the table of frames, such as `pvcu_5_chambers`."""

    @model_validator(mode="after")
    def _one_u(self) -> FrameAsked:
        if (self.u_w_m2k is None) == (self.kind is None):
            raise ValueError("give either u_w_m2k or kind.")
        return self

    @property
    def u(self) -> float:
        """The U given, or that of the kind."""
        return (
            self.u_w_m2k
            if self.u_w_m2k is not None
            else float(table("frame_u").find(frame=self.kind)["u_w_m2k"])
        )


class WidthsAsked(Strict):
    """Widths of the profiles as seen, for a layout."""

    frame_mm: Positive
    """Outer edge to the glass of a fixed light."""
    opening_mm: Positive
    """Outer edge to the glass of an opening light."""
    mullion_mm: Positive
    """Between the glass of two fixed lights."""


class GlassOfLayout(Strict):
    """The glass of every light of a layout: its U or its make-up, and its edge."""

    u_w_m2k: U | None = None
    make_up: str | None = None
    """Such as `4-16Ar-4 low-e`; its declared U is taken."""
    coating: Coating = "soft"
    psi_w_mk: Psi | None = None
    spacer: Literal["normal", "improved"] | None = None
    """Usual edge value by spacer; needs frame.kind, and counts as low-e glass unless the make-up says not."""

    @model_validator(mode="after")
    def _one_of_each(self) -> GlassOfLayout:
        if (self.u_w_m2k is None) == (self.make_up is None):
            raise ValueError("give either u_w_m2k or make_up.")
        if (self.psi_w_mk is None) == (self.spacer is None):
            raise ValueError("give either psi_w_mk or spacer.")
        return self


class PanelOfLayout(Strict):
    """The panels of a layout."""

    u_w_m2k: U
    psi_w_mk: Psi


class WindowAsked(Strict):
    """A window by the areas of its parts, or by its layout and profile widths."""

    width_mm: Positive
    height_mm: Positive
    panes: Annotated[list[PartAsked], Field(max_length=200)] = []
    panels: Annotated[list[PartAsked], Field(max_length=200)] = []
    frame: FrameAsked
    layout: LayoutNode | None = None
    profile: WidthsAsked | None = None
    glass: GlassOfLayout | None = None
    panel: PanelOfLayout | None = None
    bars: Literal["none", "on_glass", "cross_in_cavity", "grid_in_cavity", "dividing"] = "none"
    kind: UnitKind = "window"
    """Decides the reference size of a layout."""

    @model_validator(mode="after")
    def _one_form(self) -> WindowAsked:
        for_layout = ("layout", "profile", "glass")
        given = [name for name in (*for_layout, "panel") if getattr(self, name) is not None]
        missing = [name for name in for_layout if name not in given]
        if self.parts and given:
            raise ValueError(f"give either panes and panels or {', '.join(given)}, not both.")
        if self.parts:
            self._check_areas()
        elif missing:
            also = f"; {', '.join(missing)} missing" if given else ""
            raise ValueError(f"give either panes and frame.area_m2, or layout, profile and glass{also}.")
        else:
            self._check_layout()
        return self

    def _check_areas(self) -> None:
        if self.frame.area_m2 is None:
            raise ValueError("frame.area_m2 is missing; give the frame's visible area.")
        parts = sum(part.area_m2 for part in self.parts) + self.frame.area_m2
        whole = self.width_mm * self.height_mm * 1e-6
        if abs(parts - whole) > AREA_TOLERANCE * whole:
            raise ValueError(
                f"panes, panels and frame add up to {parts:.3f} m2, but {self.width_mm:g} x {self.height_mm:g} mm "
                f"is {whole:.3f} m2. Check the areas: glass by its smaller visible side, frame by the rest."
            )

    def _check_layout(self) -> None:
        assert self.glass is not None
        assert self.profile is not None
        if self.frame.area_m2 is not None:
            raise ValueError("a layout brings its own areas; leave out frame.area_m2.")
        if self.glass.spacer is not None and self.frame.kind is None:
            raise ValueError("glass.spacer needs frame.kind; give that or glass.psi_w_mk.")
        if self.profile.opening_mm <= self.profile.frame_mm / 2:
            raise ValueError(
                "profile.opening_mm is measured from the outer edge to the glass; check the figure."
            )

    @property
    def parts(self) -> list[PartAsked]:
        """Panes and panels."""
        return [*self.panes, *self.panels]


class AreasLine(Answer):
    """Areas seen, m2."""

    glass: float
    panels: float
    frame: float
    whole: float


class WindowAnswer(Answer):
    """Heat through the whole window."""

    u_w_m2k: float
    """Unrounded."""
    declared_u_w_m2k: float
    """One decimal, half up."""
    areas_m2: AreasLine
    glass_edge_m: float
    reference_size_mm: list[float] | None = None
    """Of a layout: width and height at which the value is declared."""
    reference_u_w_m2k: float | None = None
    """Of a layout: the same in proportion at the reference size, unrounded."""


def _window(asked: WindowAsked, work: Working) -> WindowAnswer:
    if asked.layout is None:
        return _answer(asked, _given_infills(asked), work)
    answer = _answer(asked, _laid_out(asked, asked.width_mm, asked.height_mm), work)
    width, height = reference_size_mm(kind=asked.kind, width_mm=asked.width_mm, height_mm=asked.height_mm)
    answer.reference_size_mm = [width, height]
    answer.reference_u_w_m2k = _heat(asked, _laid_out(asked, width, height), width, height).u_w_m2k
    return answer


def _answer(asked: WindowAsked, infills: list[Infill], work: Working) -> WindowAnswer:
    heat = _heat(asked, infills, asked.width_mm, asked.height_mm, work)
    return WindowAnswer(
        u_w_m2k=heat.u_w_m2k,
        declared_u_w_m2k=heat.declared_u_w_m2k,
        areas_m2=AreasLine(
            glass=heat.glass_m2, panels=heat.panels_m2, frame=heat.frame_m2, whole=heat.area_m2
        ),
        glass_edge_m=sum(i.edge_m for i in infills if i.kind == "glass"),
    )


def _heat(
    asked: WindowAsked, infills: list[Infill], width_mm: float, height_mm: float, work: Working | None = None
) -> WindowHeat:
    left_m2 = asked.frame.area_m2 or frame_left_m2(infills, width_mm=width_mm, height_mm=height_mm)
    return window_heat(infills, frame_m2=left_m2, frame_u_w_m2k=asked.frame.u, bars=asked.bars, work=work)


def _given_infills(asked: WindowAsked) -> list[Infill]:
    kinds: tuple[tuple[Literal["glass", "panel"], list[PartAsked]], ...] = (
        ("glass", asked.panes),
        ("panel", asked.panels),
    )
    return [
        Infill(kind=kind, area_m2=p.area_m2, edge_m=p.perimeter_m, u_w_m2k=p.u_w_m2k, psi_w_mk=p.psi_w_mk)
        for kind, parts in kinds
        for p in parts
    ]


def _laid_out(asked: WindowAsked, width_mm: float, height_mm: float) -> list[Infill]:
    """Glass and panels of the layout in a frame of that size, the layout in proportion."""
    assert asked.layout is not None
    assert asked.profile is not None
    layout = lay_out(
        in_proportion(asked.layout, across=width_mm / asked.width_mm, down=height_mm / asked.height_mm),
        width_mm=width_mm,
        height_mm=height_mm,
        profile=_profile(asked.profile),
        door=False,
        low=False,
    )
    u, psi = _glass_values(asked)
    infills = []
    for light in layout.lights:
        seen, panel = light.daylight, light.wanted.infill == "panel"
        if panel and asked.panel is None:
            raise BadInput.one(
                "panel", "panel: the layout has panels; give panel.u_w_m2k and panel.psi_w_mk."
            )
        infills.append(
            Infill(
                kind="panel" if panel else "glass",
                area_m2=seen.area_m2,
                edge_m=seen.perimeter_m,
                u_w_m2k=asked.panel.u_w_m2k if panel and asked.panel else u,
                psi_w_mk=asked.panel.psi_w_mk if panel and asked.panel else psi,
            )
        )
    return infills


def _profile(widths: WidthsAsked) -> ProfileSystem:
    """A system with these widths; only widths matter to heat, the rest is that of a plain system."""
    return replace(
        profile_system("plain_70"),
        frame_face_mm=widths.frame_mm,
        sash_face_mm=widths.opening_mm - widths.frame_mm,
        sash_overlap_mm=0.0,
        bar_face_mm=widths.mullion_mm,
    )


def _glass_values(asked: WindowAsked) -> tuple[float, float]:
    """U and edge value of the glass."""
    glass = asked.glass
    assert glass is not None
    unit = parse_glazing(glass.make_up) if glass.make_up is not None else None
    if glass.u_w_m2k is not None:
        u = glass.u_w_m2k
    else:
        assert unit is not None
        u = float(unit_heat(unit, coating=glass.coating).declared_u_w_m2k)
    if glass.psi_w_mk is not None:
        return u, glass.psi_w_mk
    if unit is not None and len(unit.panes) == 1:
        return u, 0.0
    group = table("frame_u").find(frame=asked.frame.kind)["group"]
    low_e = unit is None or bool(unit.low_e)
    return u, edge_psi_w_mk(group=group, spacer=glass.spacer or "normal", low_e=low_e)


CALCULATIONS: tuple[Calculation[Any], ...] = (
    Calculation(
        name="window-u-value",
        summary="heat through a whole window or door, by areas or by layout",
        asks=WindowAsked,
        answers=WindowAnswer,
        run=_window,
        example={
            "width_mm": 1230,
            "height_mm": 1480,
            "layout": {"across": [{"opens": "fixed"}, {"opens": "side_hung_right"}]},
            "profile": {"frame_mm": 65, "opening_mm": 105, "mullion_mm": 95},
            "glass": {"u_w_m2k": 1.2, "psi_w_mk": 0.04},
            "frame": {"u_w_m2k": 1.3},
        },
    ),
)
