"""Calculations by name: heat through the middle of the glass."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np
from pydantic import Discriminator, Field, Tag, model_validator

from jambwright.basis.border import Positive, Strict
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.checks.heat.constants import constant
from jambwright.checks.heat.emissivity import corrected_emissivity
from jambwright.checks.heat.glass_u import GlassHeat, glass_heat
from jambwright.checks.heat.solar import pane_to_pane_w_m2k, solar_factor, solar_inside_w_m2k, sun_shares
from jambwright.frame.glazing_unit import Gas

Emissivity = Annotated[float, Field(gt=0, le=1)]


class SunAsked(Strict):
    """What one pane by itself does with the sun, as shares; the rest it takes up."""

    transmittance: Annotated[float, Field(gt=0, le=1)]
    reflectance_outer: Annotated[float, Field(ge=0, le=1)]
    reflectance_inner: Annotated[float, Field(ge=0, le=1)]


class PaneLayer(Strict):
    """One pane. A face without an emissivity is uncoated."""

    glass_mm: Positive
    emissivity_outer: Emissivity | None = None
    """Of the face towards the weather."""
    emissivity_inner: Emissivity | None = None
    """Of the face towards the room."""
    sun: SunAsked | None = None
    """Given for every pane, the g-value is answered too."""


class GapLayer(Strict):
    """One sealed gap."""

    gap_mm: Positive
    gas: Gas
    fill: Annotated[float, Field(ge=0, le=1)] = 0.9
    """Share of the gas, the rest is air: 0.9 for 90 %."""


def _kind(value: Any) -> str:
    has_gap = "gap_mm" in value if isinstance(value, dict) else hasattr(value, "gap_mm")
    return "Gap" if has_gap else "Pane"


Layer = Annotated[Annotated[PaneLayer, Tag("Pane")] | Annotated[GapLayer, Tag("Gap")], Discriminator(_kind)]


class GlassAsked(Strict):
    """Panes and gaps in turn, outside first."""

    layers: Annotated[list[Layer], Field(min_length=1, max_length=11)]
    corrected: bool = False
    """The emissivities given are corrected values already; else they are normal ones."""
    slope_deg: Annotated[float, Field(ge=0, le=90)] = 90.0
    """90 upright, 0 flat with the room below."""

    @model_validator(mode="after")
    def _take_turns(self) -> GlassAsked:
        right = [PaneLayer if i % 2 == 0 else GapLayer for i in range(len(self.layers))]
        if len(self.layers) % 2 == 0 or any(
            type(layer) is not kind for layer, kind in zip(self.layers, right, strict=True)
        ):
            raise ValueError(
                "panes and gaps must take turns, and a pane must be first and last. Add what is missing."
            )
        if len({pane.sun is None for pane in self.panes}) > 1:
            raise ValueError("sun is given for some panes only; give it for all, or for none.")
        return self

    @property
    def panes(self) -> list[PaneLayer]:
        """The panes, outside first."""
        return [layer for layer in self.layers if isinstance(layer, PaneLayer)]

    @property
    def gaps(self) -> list[GapLayer]:
        """The gaps, outside first."""
        return [layer for layer in self.layers if isinstance(layer, GapLayer)]

    @property
    def given_emissivities(self) -> list[float | None]:
        """Of the faces, face 1 first, as given."""
        return [e for pane in self.panes for e in (pane.emissivity_outer, pane.emissivity_inner)]

    def face_emissivities(self, work: Working | None = None) -> list[float]:
        """Of the faces, face 1 first, corrected."""
        work, bare = work or Working(), constant("uncoated_emissivity")
        given = [bare if e is None else e for e in self.given_emissivities]
        if self.corrected:
            return given
        return [
            bare if e is None else float(work.step(f"ε face {number}", corrected_emissivity, normal=e))
            for number, e in enumerate(self.given_emissivities, start=1)
        ]


class GlassAnswer(Answer):
    """Heat through the middle of the glass."""

    u_w_m2k: float
    """Unrounded."""
    declared_u_w_m2k: float
    """One decimal, half up: the value that goes into the window's U."""
    gap_temperature_drops_k: list[float]
    """Outside first; they share 15 K."""
    gap_conductances_w_m2k: list[float]
    g: float | None = None
    """Sun let in, directly and by the heat of the panes, at normal incidence."""


def _heat(asked: GlassAsked, work: Working) -> GlassHeat:
    return glass_heat(
        pane_mm=[pane.glass_mm for pane in asked.panes],
        gap_mm=[gap.gap_mm for gap in asked.gaps],
        gas=[gap.gas for gap in asked.gaps],
        fill=[gap.fill for gap in asked.gaps],
        face_emissivity=asked.face_emissivities(work),
        slope_deg=asked.slope_deg,
        work=work,
    )


def _glass(asked: GlassAsked, work: Working) -> GlassAnswer:
    heat = _heat(asked, work)
    answer = GlassAnswer(
        u_w_m2k=float(heat.u_w_m2k),
        declared_u_w_m2k=float(heat.declared_u_w_m2k),
        gap_temperature_drops_k=heat.gaps.drop_k.tolist(),
        gap_conductances_w_m2k=heat.gaps.conductance_w_m2k.tolist(),
    )
    if asked.panes[0].sun:
        answer.g = _sun(work, asked, heat)
    return answer


def _sun(work: Working, asked: GlassAsked, heat: GlassHeat) -> float:
    given = [pane.sun for pane in asked.panes if pane.sun]
    shares = sun_shares(
        transmittance=[sun.transmittance for sun in given],
        reflectance_outer=[sun.reflectance_outer for sun in given],
        reflectance_inner=[sun.reflectance_inner for sun in given],
    )
    source = solar_factor.source
    work.note(
        "τ_e", "through all panes, with reflections between them", float(shares.transmitted), "-", source
    )
    work.note("α", "taken up by each pane", shares.absorbed, "-", source)
    between = work.step(
        "Λ",
        pane_to_pane_w_m2k,
        pane_mm=np.array([pane.glass_mm for pane in asked.panes]),
        gap_conductance_w_m2k=heat.gaps.conductance_w_m2k,
    )
    inside = work.step("h_i sun", solar_inside_w_m2k, emissivity=asked.face_emissivities()[-1])
    g = work.step(
        "g",
        solar_factor,
        transmitted=shares.transmitted,
        absorbed=shares.absorbed,
        gap_conductance_w_m2k=between,
        inside_w_m2k=inside,
    )
    return float(g)


CALCULATIONS: tuple[Calculation[Any], ...] = (
    Calculation(
        name="glass-u-value",
        summary="heat through the middle of the glass, any panes, gases and coatings",
        asks=GlassAsked,
        answers=GlassAnswer,
        run=_glass,
        example={
            "layers": [
                {"glass_mm": 4},
                {"gap_mm": 16, "gas": "argon", "fill": 0.9},
                {"glass_mm": 4, "emissivity_outer": 0.03},
            ]
        },
    ),
)
