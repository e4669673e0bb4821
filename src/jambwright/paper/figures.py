"""Figures, their units and the names of inputs as they are printed beside a formula."""

from __future__ import annotations

from typing import Any

UNITS = {
    "mm_per_m": "mm/m", "kg_kwh": "kg/kWh", "mm3_pa": "mm³/Pa", "m3_hm2": "m³/(h m²)", "kwh_m2": "kWh/m²",
    "w_m2k": "W/m²K", "m2kw": "m²K/W", "n_mm3": "N mm³", "n_mm2": "N/mm²", "n_mm": "N mm", "kg_m3": "kg/m³",
    "kg_ms": "kg/(m s)", "kg_m": "kg/m", "j_kgk": "J/kgK", "w_mk": "W/mK", "per_k": "1/K", "percent": "%",
    "deg": "°", "kwh": "kWh", "ms": "m/s", "mm4": "mm⁴", "mm3": "mm³", "mm2": "mm²", "mm": "mm", "m2": "m²",
    "km": "km", "kg": "kg", "pa": "Pa", "kd": "K day", "n": "N", "m": "m", "c": "°C", "k": "K",
}  # fmt: skip
"""The end of a name that tells its unit, longest first."""
SHOWN = {
    "W/m2K": "W/m²K", "m2K/W": "m²K/W", "m2": "m²", "degC": "°C", "N mm2": "N mm²", "N/mm2": "N/mm²", "-": "",
    "kWh/m2 year": "kWh/m² a year", "kWh/year": "kWh a year", "kg/m3": "kg/m³", "share": "", "mm3": "mm³",
    "mm4": "mm⁴", "m3/(h m2)": "m³/(h m²)", "mm2": "mm²", "mg/m3": "mg/m³", "year": "",
}  # fmt: skip
LETTERS = {"u": "U", "psi": "Ψ", "alpha": "α", "f_rsi": "f_Rsi", "fu": "f_u", "g_window": "g_w"}
"""Names that are letters of a formula."""


def show_unit(unit: str) -> str:
    """A unit with raised figures."""
    return SHOWN.get(unit, unit)


def show_figure(value: Any) -> str:
    """A figure to four places, a list of them, or words.

    >>> show_figure(1195.0), show_figure(0.045432), show_figure(-1234567.8), show_figure([1.0, 2.25])
    ('1195', '0.04543', '-1.235 × 10^6', '1; 2.25')
    """
    if value is None:
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if hasattr(value, "tolist"):
        value = value.tolist()
    if isinstance(value, list | tuple):
        return "; ".join(show_figure(each) for each in value)
    if isinstance(value, int | float):
        return _number(float(value))
    return str(value).replace("_", " ")


def _number(value: float) -> str:
    if value == 0:
        return "0"
    if abs(value) >= 1e6 or abs(value) < 1e-4:
        share, power = f"{value:.3e}".split("e")
        return f"{float(share):g} × 10^{int(power)}"
    return f"{value:.0f}" if abs(value) >= 1e4 else f"{value:.4g}"


def show_input(name: str, value: Any) -> str:
    """What went into a formula, by name, with the unit its name tells.

    >>> show_input("span_mm", 1004.0), show_input("u_w_m2k", 1.3), show_input("bulge_mm3_pa", 84.5)
    ('span 1004 mm', 'U 1.3 W/m²K', 'bulge 84.5 mm³/Pa')
    """
    if name == "ei_n_mm2":  # elsewhere N/mm² is a stress
        return f"E I {show_figure(value)} N mm²"
    if name.startswith("gamma_"):  # a partial factor: its ending is no unit
        return f"γ {name.removeprefix('gamma_')} {show_figure(value)}"
    for end, unit in UNITS.items():
        if name.endswith(f"_{end}"):
            return f"{_said(name.removesuffix(f'_{end}'))} {show_figure(value)} {unit}"
    return f"{_said(name)} {show_figure(value)}"


def _said(name: str) -> str:
    return LETTERS.get(name, name.replace("_", " "))
