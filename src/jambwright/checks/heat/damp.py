"""Damp air and cold surfaces: vapour, dew point, temperature factor, condensation and mould (EN ISO 13788)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from jambwright.basis.clause import clause
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.checks.heat.constants import Array, Figures, constant, plain


def _vapour(name: str) -> float:
    return constant(name, of="vapour_constants")


def _over_ice_or_water(ice: NDArray[np.bool_]) -> tuple[Array, Array]:
    factor = np.where(ice, _vapour("ice_factor"), _vapour("water_factor"))
    return factor, np.where(ice, _vapour("ice_offset"), _vapour("water_offset"))


@clause(
    "EN ISO 13788:2012", "(E.7), (E.8)", unit="Pa",
    formula="p_sat = 610.5 exp(17.269 θ / (237.3 + θ)); below 0 °C 610.5 exp(21.875 θ / (265.5 + θ))",
)  # fmt: skip
def saturation_pa(*, air_c: Figures) -> Figures:
    """Vapour pressure of air that can take no more, over water or, below 0 degC, over ice.

    >>> saturation_pa(air_c=20.0)
    2337.0
    """
    air = np.asarray(air_c, dtype=np.float64)
    factor, offset = _over_ice_or_water(air < 0)
    return plain(_vapour("saturation_at_zero") * np.exp(factor * air / (offset + air)))


@clause(
    "EN ISO 13788:2012", "(E.9), (E.10)", unit="degC",
    formula="θ = 237.3 L / (17.269 − L), L = ln(p / 610.5); below 610.5 Pa 265.5 L / (21.875 − L)",
)  # fmt: skip
def dew_point_c(*, vapour_pa: Figures) -> Figures:
    """Temperature at which air with that vapour pressure begins to shed water (or frost).

    >>> dew_point_c(vapour_pa=1168.5)
    9.269
    """
    level = np.log(np.asarray(vapour_pa, dtype=np.float64) / _vapour("saturation_at_zero"))
    factor, offset = _over_ice_or_water(level < 0)
    return plain(offset * level / (factor - level))


@clause("EN ISO 13788:2012", "(E.1)", unit="Pa", formula="p = φ p_sat(θ)")
def vapour_pa(*, air_c: Figures, humidity_percent: Figures) -> Figures:
    """Vapour pressure of air of a temperature and relative humidity in percent."""
    return humidity_percent / 100 * saturation_pa(air_c=air_c)


@clause(
    "EN ISO 13788:2012", "Annex A", unit="Pa", formula="p_i = p_e + 1.1 Δp, Δp falling to 0 at 20 °C outside"
)
def class_vapour_pa(*, outside_pa: Figures, outside_c: Figures, excess_pa: Figures) -> Figures:
    """Vapour pressure inside from that outside and the upper limit of the humidity class.

    >>> class_vapour_pa(outside_pa=549.5, outside_c=0.0, excess_pa=540.0)
    1143.5
    """
    share = np.clip(1 - np.asarray(outside_c) / _vapour("excess_ends_at"), 0.0, 1.0)
    return plain(outside_pa + _vapour("excess_margin") * excess_pa * share)


def class_excess_pa(humidity_class: int) -> float:
    """Upper limit of a humidity class at or below 0 degC outside. Class 5 has none: ``BadInput``."""
    if humidity_class == 5:
        raise BadInput.one(
            "humidity_class",
            "humidity_class: class 5 (laundries, pools) has no upper limit; read the humidity and give inside_rh.",
        )
    return float(table("humidity_classes").find(**{"class": humidity_class})["excess_pa"])


@clause("EN ISO 13788:2012", "5.1", unit="degC", formula="θ_si = θ_e + f_Rsi (θ_i − θ_e)")
def surface_c(*, inside_c: Figures, outside_c: Figures, f_rsi: Figures) -> Figures:
    """Temperature of an inside surface.

    >>> surface_c(inside_c=19.0, outside_c=-3.0, f_rsi=0.60)
    10.2
    """
    return outside_c + f_rsi * (inside_c - outside_c)


@clause("EN ISO 13788:2012", "5.1", unit="-", formula="f_Rsi = (θ − θ_e) / (θ_i − θ_e)")
def f_rsi_needed(*, surface_needed_c: Figures, inside_c: Figures, outside_c: Figures) -> Figures:
    """Temperature factor that keeps a surface at a temperature; below 0 any surface does."""
    return (surface_needed_c - outside_c) / (inside_c - outside_c)


@clause("EN ISO 13788:2012", "5.1", unit="-", formula="f_Rsi = 1 − U R_si")
def f_rsi_of_u(*, u_w_m2k: Figures) -> Figures:
    """Temperature factor of a flat part of a window, from the U worked out with the same surface.

    >>> f_rsi_of_u(u_w_m2k=1.2)
    0.844
    """
    return 1 - u_w_m2k * constant("inside_resistance")


@clause("EN ISO 13788:2012", "5.3", unit="degC", formula="p_sat(θ) = p_i / 0.8")
def mould_free_c(*, vapour_pa: Figures) -> Figures:
    """Surface temperature at which the air at the surface has 80 % humidity: mould needs more.

    >>> mould_free_c(vapour_pa=1168.5)
    12.625
    """
    return dew_point_c(vapour_pa=vapour_pa / _vapour("mould_humidity"))


@clause("EN ISO 13788:2012", "5.3", unit="%", formula="φ = p_i / p_sat(θ_i)", how="calculated")
def humidity_percent(*, vapour_pa: Figures, air_c: Figures) -> Figures:
    """Relative humidity of air with that vapour pressure.

    >>> humidity_percent(vapour_pa=1143.5, air_c=20.0)
    48.93
    """
    return 100 * vapour_pa / saturation_pa(air_c=air_c)
