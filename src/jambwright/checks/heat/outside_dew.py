"""Dew on the outside of very good glass: when it forms, and what to tell the people behind it."""

from __future__ import annotations

import numpy as np

from jambwright.basis.clause import clause
from jambwright.checks.heat.constants import Figures, constant, plain
from jambwright.checks.heat.damp import dew_point_c, vapour_pa

ZERO_C_IN_K = 273.15
ROUNDS = 12
"""Newton's steps; the balance is nearly straight, four suffice."""

EXPLANATION = (
    "Mist on the outside of the glass on clear, still mornings means the glass keeps the warmth in: the outer "
    "pane gets so cold that dew settles on it as on a car. It goes with the sun or a breeze, harms nothing, and "
    "is no fault of the unit."
)
"""For the owner. The cause was read in a UK glass trade bulletin."""

STILL_NIGHT = {"inside_c": 18.0, "outside_c": 5.0}
STILL_NIGHT_PERCENT = 95.0
"""A still, clear, damp night of spring or autumn: when people ask."""


def _dew(name: str) -> float:
    return constant(name, of="vapour_constants")


@clause("Clear-sky temperature", "Swinbank", unit="K", formula="T_sky = 0.0552 T_e^1.5")
def clear_sky_k(*, outside_c: Figures) -> Figures:
    """Temperature at which a clear night sky radiates."""
    return _dew("sky_factor") * (outside_c + ZERO_C_IN_K) ** 1.5


@clause(
    "Balance of the outer face", unit="degC", how="calculated",
    formula="(θ_i − θ_so) / (1/U_g − R_se) + (4 + 4 v)(θ_e − θ_so) + ε σ (F T_sky⁴ + (1 − F) T_e⁴ − T_so⁴) = 0",
)  # fmt: skip
def outer_face_c(
    *,
    inside_c: Figures,
    outside_c: Figures,
    glass_u_w_m2k: Figures,
    wind_ms: Figures = 0.0,
    sky_view: Figures = 0.5,
) -> Figures:
    """Temperature of the outer face of the glass at night; ``sky_view`` is the share of open, clear sky it sees.

    Any shapes that fit. Cloud or shelter: a smaller ``sky_view``.

    >>> outer_face_c(inside_c=18.0, outside_c=5.0, glass_u_w_m2k=1.2)
    2.46
    """
    from_room = 1 / (1 / glass_u_w_m2k - constant("outside_resistance"))
    from_air = _dew("dew_convection") + _dew("dew_convection_wind") * wind_ms
    radiating = _dew("dew_emissivity") * constant("stefan_boltzmann")
    air_k = outside_c + ZERO_C_IN_K
    sky = sky_view * clear_sky_k(outside_c=outside_c) ** 4 + (1 - sky_view) * air_k**4
    face_k = np.asarray(air_k, dtype=np.float64)
    for _ in range(ROUNDS):
        gain = (
            from_room * (inside_c + ZERO_C_IN_K - face_k)
            + from_air * (air_k - face_k)
            + radiating * (sky - face_k**4)
        )
        face_k = face_k + gain / (from_room + from_air + 4 * radiating * face_k**3)
    return plain(face_k - ZERO_C_IN_K)


def outside_dew_note(*, glass_u_w_m2k: float) -> str | None:
    """What to tell the owner of glass so good that dew may settle outside; ``None`` for other glass.

    >>> outside_dew_note(glass_u_w_m2k=2.7) is None
    True
    """
    face = outer_face_c(**STILL_NIGHT, glass_u_w_m2k=glass_u_w_m2k)
    outside = vapour_pa(air_c=STILL_NIGHT["outside_c"], humidity_percent=STILL_NIGHT_PERCENT)
    return EXPLANATION if face < dew_point_c(vapour_pa=outside) else None
