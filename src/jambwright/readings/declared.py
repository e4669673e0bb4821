"""What a maker declares of the unit he makes: it rules over what is worked out with generic data."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from jambwright.basis.border import Strict, formed
from jambwright.basis.envelope import Name, Said, counted, within

EnergyBand = Literal["A++", "A+", "A", "B", "C", "D", "E", "F", "G"]


class DeclaredLight(Strict):
    """One light fully open, off the maker's sheet or drawing."""

    clear_width_mm: Annotated[float, within("clear_width_mm")] | None = None
    clear_height_mm: Annotated[float, within("clear_height_mm")] | None = None
    """Left clear to climb or walk through; width and height together."""
    bottom_mm: Annotated[float, within("bottom_mm")] | None = None
    """Bottom of the clear opening above the bottom edge of the frame; of a door the top of its threshold."""
    sash_width_mm: Annotated[float, within("sash_width_mm")] | None = None
    sash_height_mm: Annotated[float, within("sash_height_mm")] | None = None
    """Size of the part that opens; width and height together."""


class Declared(Strict):
    """Declared characteristics of one unit, in the terms of EN 14351-1 and the standards it calls up."""

    by: Said
    """The maker's document: declaration of performance, test report, approval or sheet, with its number."""
    u_w_m2k: Annotated[float, within("u_w_m2k")] | None = None
    """Thermal transmittance of the whole unit, U_w or U_d (EN 14351-1)."""
    energy_band: EnergyBand | None = None
    u_glass_w_m2k: Annotated[float, within("u_glass_w_m2k")] | None = None
    """Thermal transmittance of the middle of the glass, U_g (EN 673)."""
    u_frame_w_m2k: Annotated[float, within("u_frame_w_m2k")] | None = None
    """Thermal transmittance of the frame, U_f (EN ISO 10077-2)."""
    f_rsi_edge: Annotated[float, Field(gt=0, lt=1)] | None = None
    """Temperature factor where glass and frame meet (EN ISO 13788, EN ISO 10077-2)."""
    en12600_class: Annotated[str, formed(r"^[123-]\([ABC]\)[0123-]$", "a class such as 1(C)2")] | None = None
    """Impact class of every leaf of glass: 1(C)2."""
    glass_wind_pa: Annotated[float, within("glass_wind_pa")] | None = None
    """Wind that every pane bears at its size and the house's altitude, by the glass maker (EN 16612)."""
    bar_ei_n_mm2: Annotated[float, within("bar_ei_n_mm2")] | None = None
    """Bending stiffness E I of its bars as supplied, reinforcement counted, against wind."""
    fixing_resistance_n: Annotated[float, within("fixing_resistance_n")] | None = None
    """Design resistance of one fixing in this wall across its gap, by the fixing's approval or pull tests here."""
    lights: Annotated[dict[Name, DeclaredLight], counted("settled")] = {}
    """By the mark of the light, A first as on the drawing."""
