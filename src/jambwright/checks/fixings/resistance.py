"""What one fixing can hold: in the wall by substrate, and in the screw that bends across the packed gap.

Wind pushes the frame across the screw, so wall and screw are both checked, each with the factors of its own
code: 1.5 R <= F_Rk / γ_M, 1.5 R l / α_M <= M0_Rk / γ_Ms.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from jambwright.basis import BadInput, Clause, Working, clause, table
from jambwright.basis.tables import Row
from jambwright.checks.figures import Figures
from jambwright.checks.fixings import screw, timber

SUBSTRATES = (
    "concrete", "weak_concrete", "brick", "dense_block", "perforated_brick", "aerated_block",
    "aerated_block_7", "timber", "stone", "none",
)  # fmt: skip
"""Words of the readings file and the finer ones a specifier may know; stone and none have no figure."""
PULL_TEST = "site pull test advised"


@dataclass(frozen=True, slots=True, kw_only=True)
class FixingInWall:
    """One kind of fixing in one substrate."""

    fixing: str
    substrate: str
    embedment_mm: float
    design_n: float
    recommended_n: float
    edge_mm: float
    """Full resistance at this distance of the screw from the edge of the wall, or more."""
    edge_least_mm: float
    spacing_mm: float
    drill: str
    source: Clause

    @property
    def warning(self) -> str:
        """What goes beside every figure of low confidence."""
        return PULL_TEST if self.source.how == "from memory, low" else ""

    def screw_governs(self, allowed_n: float) -> bool:
        """Whether an allowed reaction is that of the bending screw, less than the wall's."""
        return allowed_n < self.design_n / factor("wind") * (1 - 1e-9)


def factor(name: str) -> float:
    """A factor of the table ``fixing_factors``."""
    return table("fixing_factors").value(factor=name)


@clause("ETAG 020, EN 1992-4", "", unit="N", formula="F_Rd = F_Rk / γ_M")
def anchor_design_n(*, f_rk_n: Figures, gamma_m: Figures) -> Figures:
    """Design resistance of a fixing in concrete or masonry."""
    return f_rk_n / gamma_m


@clause("ETAG 020", "recommended load", unit="N", formula="F_rec = F_Rd / 1.4")
def recommended_n(*, design_n: Figures, load_factor: Figures) -> Figures:
    """Recommended load, as makers print it.

    >>> recommended_n(design_n=2000 / 2.5, load_factor=1.4)
    571.4
    """
    return design_n / load_factor


@clause("EN 1992-4:2018", "6.2.2.3", unit="mm", formula="l = gap + grip / 2 + 0.5 d")
def lever_mm(*, gap_mm: Figures, grip_mm: Figures, diameter_mm: Figures) -> Figures:
    """Free length of the screw: from half a diameter inside the wall to the middle of the frame's grip."""
    return gap_mm + grip_mm / 2 + 0.5 * diameter_mm


@clause("EN 1992-4:2018", "7.2.2.3.2", unit="N", formula="V_Rd = α_M M0_Rk / (γ_Ms l)")
def screw_design_n(
    *, characteristic_moment_n_mm: Figures, gamma_ms: Figures, lever_mm: Figures, head: screw.ScrewHead
) -> Figures:
    """Design shear of the screw bending across the gap."""
    return screw.ALPHA_M[head] * characteristic_moment_n_mm / (gamma_ms * lever_mm)


@clause("EN 1990:2002", "6.4.3.2", unit="N", formula="R_allowed = F_Rd / γ_F")
def allowed_wind_n(*, design_n: Figures, gamma_f: Figures) -> Figures:
    """Characteristic wind reaction that one fixing may take."""
    return design_n / gamma_f


def fixings_for(substrate: str) -> list[FixingInWall]:
    """Every kind of fixing with a figure in this substrate; empty where none is known, as in stone.

    Raises ``BadInput`` for a substrate that is no word of ours.
    """
    if substrate not in SUBSTRATES:
        raise BadInput.one(
            "substrate", f"substrate: {substrate!r} is not known; give one of {', '.join(SUBSTRATES)}."
        )
    if substrate == "timber":
        return [_in_timber()]
    rows = table("fixing_resistance")
    return [_in_masonry(row, rows.source(row)) for row in rows if row["substrate"] == substrate]


def fixing_in(*, fixing: str, substrate: str) -> FixingInWall:
    """One kind of fixing in a substrate; ``BadInput`` says which kinds have a figure there."""
    known = fixings_for(substrate)
    found = next((f for f in known if f.fixing == fixing), None)
    if found is None:
        names = ", ".join(f.fixing for f in known) or "none"
        raise BadInput.one(
            "fixing",
            f"fixing: no figure for {fixing} in {substrate}; with a figure: {names}. Choose one of them "
            "or have "
            "pull tests made.",
        )
    return found


def allowed_reaction_n(
    *, held: FixingInWall, gap_mm: Any, head: screw.ScrewHead = "free", work: Working | None = None
) -> Figures:
    """Characteristic wind reaction one fixing may take, the lesser of wall and screw; floats or arrays.

    ``work`` takes the steps, where one gap is given.

    Raises ``BadInput`` for a negative gap.

    >>> float(allowed_reaction_n(held=fixing_in(fixing="plug_10", substrate="brick"), gap_mm=5.0))
    533.3
    """
    if np.any(np.asarray(gap_mm) < 0):
        raise BadInput.one("gap_mm", f"gap_mm: {gap_mm} can't be; a frame that does not go in has no gap.")
    work = work or Working()
    kind = table("fixing_kinds").find(fixing=held.fixing)
    work.note(
        "F_Rd", "F_Rk / γ_M", held.design_n, "N", held.source, fixing=held.fixing, substrate=held.substrate
    )
    modulus = work.step("W", screw.section_modulus_mm3, root_diameter_mm=kind["root_diameter_mm"])
    moment = work.step(
        "M0_Rk", screw.characteristic_moment_n_mm, modulus_mm3=modulus, fu_n_mm2=kind["fu_n_mm2"]
    )
    lever = work.step(
        "l", lever_mm, gap_mm=gap_mm, grip_mm=kind["grip_mm"], diameter_mm=kind["outer_diameter_mm"]
    )
    bent = work.step(
        "V_Rd", screw_design_n, characteristic_moment_n_mm=moment, gamma_ms=factor("screw_bending"),
        lever_mm=lever, head=head,
    )  # fmt: skip
    weaker = np.minimum(held.design_n, bent)
    return work.step("R", allowed_wind_n, design_n=weaker, gamma_f=factor("wind"))


def _in_masonry(row: Row, source: Clause) -> FixingInWall:
    # a maker's recommended load already holds the load factor 1.4
    design = (
        anchor_design_n(f_rk_n=row["f_rk_n"], gamma_m=row["gamma_m"])
        if row["f_rk_n"]
        else row["f_rec_n"] * factor("recommended")
    )
    return FixingInWall(
        fixing=row["fixing"], substrate=row["substrate"], embedment_mm=row["embedment_mm"], design_n=design,
        recommended_n=recommended_n(design_n=design, load_factor=factor("recommended")),
        edge_mm=row["edge_mm"], edge_least_mm=row["edge_least_mm"], spacing_mm=row["spacing_mm"],
        drill=row["drill"], source=source,
    )  # fmt: skip


def _in_timber() -> FixingInWall:
    """The direct screw in softwood of the lowest class, by its withdrawal; edge and spacing 4 d and 7 d."""
    kind = table("fixing_kinds").find(fixing="screw_7_5")
    d = kind["outer_diameter_mm"]
    pulled = _withdrawal_in_c16_n(d)
    return FixingInWall(
        fixing="screw_7_5", substrate="timber", embedment_mm=6 * d, design_n=pulled,
        recommended_n=recommended_n(design_n=pulled, load_factor=factor("recommended")),
        edge_mm=4 * d, edge_least_mm=4 * d, spacing_mm=7 * d, drill="no hammer",
        source=Clause(timber.EN_1995, "8.7.2, Table 8.6", "from memory, high"),
    )  # fmt: skip


def _withdrawal_in_c16_n(diameter_mm: float) -> float:
    """Design withdrawal of one screw 6 d deep in softwood C16 under short wind, service class 2."""
    characteristic = timber.screw_withdrawal_n(
        diameter_mm=diameter_mm, depth_mm=6 * diameter_mm, rho_k_kg_m3=timber.density_kg_m3("c16")
    )
    return float(
        timber.design_n(
            characteristic_n=characteristic, k_mod=timber.k_mod(service_class=2, load="short"),
            gamma_m=factor("timber"),
        )
    )  # fmt: skip
