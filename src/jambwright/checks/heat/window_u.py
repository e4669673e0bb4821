"""Heat through a whole window or door: glass, edges, panels and frame (EN ISO 10077-1)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from jambwright.basis.clause import clause
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.basis.working import Working
from jambwright.checks.heat.constants import Figures, constant, plain
from jambwright.checks.heat.glass_u import declared_u_w_m2k
from jambwright.checks.heat.solar import window_g


@clause("EN ISO 10077-1:2017", "6.2.2", unit="W/m2K", formula="U_w = (Σ A U + Σ l Ψ) / Σ A")
def whole_u_w_m2k(
    *, areas_m2: ArrayLike, u_w_m2k: ArrayLike, edges_m: ArrayLike, psi_w_mk: ArrayLike
) -> Figures:
    """U of a window from its parts on the last axis: glass, panels and frame, and the edges round the first two.

    >>> whole_u_w_m2k(areas_m2=[1.2726, 0.5478], u_w_m2k=[1.2, 1.4], edges_m=[4.54], psi_w_mk=[0.05])
    1.3849
    """
    areas = np.asarray(areas_m2, dtype=np.float64)
    flow = (areas * np.asarray(u_w_m2k)).sum(axis=-1)
    edge_flow = (np.asarray(edges_m, dtype=np.float64) * np.asarray(psi_w_mk)).sum(axis=-1)
    return plain((flow + edge_flow) / areas.sum(axis=-1))


@clause("EN ISO 6946", "6.7", unit="W/m2K", formula="U = 1 / (0.04 + Σ d/λ + 0.13)")
def panel_u_w_m2k(*, resistance_m2kw: Figures) -> Figures:
    """U of a panel from the sum of thickness over conductivity of its layers.

    >>> panel_u_w_m2k(resistance_m2kw=0.8)
    1.0309
    """
    return 1 / (constant("outside_resistance") + resistance_m2kw + constant("inside_resistance"))


@clause("SAP", "3.2", unit="W/m2K", formula="U_eff = 1 / (1/U + 0.04)")
def u_with_curtains_w_m2k(*, u_w_m2k: Figures) -> Figures:
    """Yearly mean U of a window with curtains.

    >>> u_with_curtains_w_m2k(u_w_m2k=2.8)
    2.5180
    """
    return 1 / (1 / u_w_m2k + constant("curtain_resistance"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Infill:
    """Glass or a panel: what is seen of it, its U and g, and the transmittance of its edge."""

    kind: Literal["glass", "panel"] = "glass"
    area_m2: float
    edge_m: float
    u_w_m2k: float
    psi_w_mk: float
    g: float = 0.0
    """Of glass, at normal incidence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowHeat:
    """A whole window or door: its U, how the sun gets through, and its areas."""

    u_w_m2k: float
    g_window: float
    glass_m2: float
    panels_m2: float
    frame_m2: float

    @property
    def area_m2(self) -> float:
        """Whole area, outer edge to outer edge."""
        return self.glass_m2 + self.panels_m2 + self.frame_m2

    @property
    def glass_share(self) -> float:
        """Visible glass over the whole."""
        return self.glass_m2 / self.area_m2

    @property
    def declared_u_w_m2k(self) -> float:
        """One decimal, half up."""
        return float(declared_u_w_m2k(u_w_m2k=self.u_w_m2k))


@clause("EN 14351-1", "Table J.1", unit="W/m2K", formula="U_w + ΔU", how="from memory, high")
def u_with_bars_w_m2k(*, u_w_m2k: ArrayLike, added_w_m2k: ArrayLike) -> Figures:
    """U of a window with glazing bars, W/m2K; floats or arrays of one shape.

    >>> u_with_bars_w_m2k(u_w_m2k=1.4, added_w_m2k=0.0)
    1.4
    """
    return plain(np.asarray(u_w_m2k, dtype=np.float64) + np.asarray(added_w_m2k))


def window_heat(
    infills: Sequence[Infill],
    *,
    frame_m2: float,
    frame_u_w_m2k: float,
    bars: str = "none",
    work: Working | None = None,
) -> WindowHeat:
    """Heat through a window of glass, panels and frame; ``bars`` is a row of the table of glazing bars.

    ``work`` takes the steps to the U.
    """
    work, source = work or Working(), whole_u_w_m2k.source
    for number, part in enumerate(infills, start=1):
        work.note(
            f"A {part.kind} {number}", "visible area", part.area_m2, "m2", source,
            edge_m=part.edge_m, u_w_m2k=part.u_w_m2k, psi_w_mk=part.psi_w_mk,
        )  # fmt: skip
    work.note("A frame", "whole less glass and panels", frame_m2, "m2", source, u_w_m2k=frame_u_w_m2k)
    u = work.step(
        "U_w",
        whole_u_w_m2k,
        areas_m2=[*(i.area_m2 for i in infills), frame_m2],
        u_w_m2k=[*(i.u_w_m2k for i in infills), frame_u_w_m2k],
        edges_m=[i.edge_m for i in infills],
        psi_w_mk=[i.psi_w_mk for i in infills],
    )
    if bars != "none":
        kinds = table("glazing_bars")
        row = kinds.find(bars=bars)
        work.note(
            "ΔU", f"of bars: {bars.replace('_', ' ')}", row["u_added_w_m2k"], "W/m2K", kinds.source(row)
        )
        u = work.step("U_w with bars", u_with_bars_w_m2k, u_w_m2k=u, added_w_m2k=row["u_added_w_m2k"])
    work.step("U_w declared", declared_u_w_m2k, u_w_m2k=u)
    whole_m2 = sum(i.area_m2 for i in infills) + frame_m2
    return WindowHeat(
        u_w_m2k=float(u),
        g_window=sum(float(window_g(g=i.g, glass_share=i.area_m2 / whole_m2)) for i in infills),
        glass_m2=sum(i.area_m2 for i in infills if i.kind == "glass"),
        panels_m2=sum(i.area_m2 for i in infills if i.kind == "panel"),
        frame_m2=frame_m2,
    )


def frame_left_m2(infills: Sequence[Infill], *, width_mm: float, height_mm: float) -> float:
    """What glass and panels leave of a unit of that outer size. Raises ``BadInput`` when nothing is left."""
    whole_m2 = width_mm * height_mm * 1e-6
    filled_m2 = sum(i.area_m2 for i in infills)
    if filled_m2 >= whole_m2:
        raise BadInput.one(
            "width_mm",
            f"width_mm: glass and panels of {filled_m2:.3f} m2 leave no frame in {width_mm:g} x {height_mm:g} mm; "
            "check the sizes.",
        )
    return whole_m2 - filled_m2


def edge_psi_w_mk(*, group: str, spacer: str, low_e: bool) -> float:
    """Transmittance of the glass edge by kind of frame and spacer, W/mK. Raises ``BadInput`` on others."""
    row = table("psi_glass").find(group=group, spacer=spacer, glass="low_e" if low_e else "uncoated")
    return float(row["psi_w_mk"])


def reference_size_mm(*, kind: str, width_mm: float, height_mm: float) -> tuple[float, float]:
    """The size at which a window or door of that real size is declared (EN 14351-1).

    >>> reference_size_mm(kind="window", width_mm=900, height_mm=1200)
    (1230.0, 1480.0)
    """
    area_m2 = width_mm * height_mm * 1e-6
    rows = [row for row in table("reference_sizes") if row["kind"] == kind]
    row = next(r for r in rows if r["largest_area_m2"] is None or area_m2 <= r["largest_area_m2"])
    return row["width_mm"], row["height_mm"]
