"""Screws in timber, pulled along their axis: EN 1995-1-1:2004+A1:2008, 8.7.2."""

from __future__ import annotations

from typing import Any, Literal

import numpy as np

from jambwright.basis import BadInput, Problem, clause, table
from jambwright.basis.problems import raise_if_any
from jambwright.checks.figures import Figures

EN_1995 = "EN 1995-1-1:2004+A1:2008"
Timber = Literal["c16", "c24", "d30"]


@clause(EN_1995, "8.7.2(5) eq. (8.39)", unit="N/mm²", formula="f_ax,k = 0.52 d^−0.5 l_ef^−0.1 ρ_k^0.8")
def withdrawal_strength_n_mm2(*, diameter_mm: Figures, depth_mm: Figures, rho_k_kg_m3: Figures) -> Figures:
    """Characteristic withdrawal strength.

    >>> withdrawal_strength_n_mm2(diameter_mm=6.0, depth_mm=40.0, rho_k_kg_m3=310.0)
    14.45
    """
    return 0.52 * diameter_mm**-0.5 * depth_mm**-0.1 * rho_k_kg_m3**0.8


@clause(EN_1995, "8.7.2(8) eq. (8.41)", unit="screws", formula="n_ef = n^0.9")
def effective_number(*, count: Figures) -> Figures:
    """How many of a group of screws count."""
    return count**0.9


@clause(
    EN_1995,
    "8.7.2(4) eqs (8.38), (8.40)",
    unit="N",
    formula="F_ax,Rk = n_ef f_ax,k d l_ef k_d / (1.2 cos² α + sin² α), k_d = min(d/8, 1)",
)
def withdrawal_n(
    *,
    strength_n_mm2: Figures,
    diameter_mm: Figures,
    depth_mm: Figures,
    effective_count: Figures,
    angle_deg: Figures,
) -> Figures:
    """Characteristic withdrawal resistance of a group."""
    angle = np.radians(angle_deg)
    lean = 1.2 * np.cos(angle) ** 2 + np.sin(angle) ** 2
    k_d = np.minimum(diameter_mm / 8, 1.0)
    return effective_count * strength_n_mm2 * diameter_mm * depth_mm * k_d / lean


@clause(EN_1995, "2.4.3 eq. (2.17)", unit="N", formula="F_Rd = k_mod F_Rk / γ_M")
def design_n(*, characteristic_n: Figures, k_mod: Figures, gamma_m: Figures) -> Figures:
    """Design resistance."""
    return k_mod * characteristic_n / gamma_m


def screw_withdrawal_n(
    *,
    diameter_mm: Any,
    depth_mm: Any,
    rho_k_kg_m3: Any,
    count: Any = 1.0,
    angle_deg: Any = 90.0,
    root_diameter_mm: Any = None,
) -> Figures:
    """Characteristic withdrawal of screws, floats or arrays of one shape.

    Raises ``BadInput`` outside the range of the rule: 6 to 12 mm, root 0.6 to 0.75 of the diameter, at least
    30 degrees to the grain, at least 6 d deep.

    >>> float(screw_withdrawal_n(diameter_mm=8.0, depth_mm=60.0, rho_k_kg_m3=350.0, count=2))
    11859.5
    """
    raise_if_any(_outside(diameter_mm, depth_mm, root_diameter_mm, angle_deg))
    strength = withdrawal_strength_n_mm2(diameter_mm=diameter_mm, depth_mm=depth_mm, rho_k_kg_m3=rho_k_kg_m3)
    return withdrawal_n(
        strength_n_mm2=strength, diameter_mm=diameter_mm, depth_mm=depth_mm,
        effective_count=effective_number(count=count), angle_deg=angle_deg,
    )  # fmt: skip


def _outside(d: Any, depth: Any, root: Any, angle: Any) -> list[Problem]:
    d, depth, angle = np.asarray(d, float), np.asarray(depth, float), np.asarray(angle, float)
    problems = []
    if np.any((d < 6) | (d > 12)):
        problems.append(_range("diameter_mm", d, "from 6 to 12 mm", "take another screw"))
    if root is not None and np.any((np.asarray(root) < 0.6 * d) | (np.asarray(root) > 0.75 * d)):
        problems.append(
            _range("root_diameter_mm", root, "from 0.6 to 0.75 of the diameter", "take another screw")
        )
    if np.any(depth < 6 * d - 1e-9):
        problems.append(_range("depth_mm", depth, "at least 6 times the diameter", "take a longer screw"))
    if np.any((angle < 30) | (angle > 90)):
        problems.append(_range("angle_deg", angle, "from 30 to 90 degrees to the grain", "turn the screw"))
    return problems


def _range(field: str, given: Any, expected: str, remedy: str) -> Problem:
    worst = np.asarray(given, float).ravel()
    return Problem(field, f"{field}: {worst[0]:g} is outside EN 1995-1-1, 8.7.2: {expected}; {remedy}.")


def density_kg_m3(timber: Timber) -> float:
    """Characteristic density; ``BadInput`` names the classes known."""
    return float(table("timber_density").find(timber=timber)["rho_k_kg_m3"])


def k_mod(*, service_class: int, load: Literal["short", "instant"]) -> float:
    """Modification factor for wind, taken as short or instantaneous by national choice."""
    if service_class not in (1, 2, 3):
        raise BadInput.one("service_class", f"service_class: {service_class} is not 1, 2 or 3.")
    return float(table("timber_k_mod").find(service_class=float(service_class), load=load)["k_mod"])
