"""Where on the wall a window sits, and the pressure coefficients there: EN 1991-1-4, 7.2.2 and 7.2.9.

Walls of a building with a rectangular plan: the wind blows onto the windward wall (zone D), along the side
walls (A, B, C from the windward corner) and leaves the leeward wall (E). ``breadth`` is the plan dimension
across the wind, ``depth`` the one along it.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from jambwright.basis import Working, clause, table
from jambwright.checks.figures import Figures, Floats, one_or_all
from jambwright.checks.wind.terrain import EN

Method = Literal["en", "uk"]
Side = Literal["windward", "side", "leeward"]

MOST_HEIGHT_OVER_DEPTH = 5.0
"""Above it a building is a tower and outside the table."""

LARGE_M2 = 10.0
"""From this area the coefficients for large areas hold; those for small ones hold up to 1 m²."""


@clause(EN, "Fig 7.5", unit="m", formula="e = min(b, 2 h)")
def edge_length_m(*, breadth_m: Figures, height_m: Figures) -> Figures:
    """The length that measures the zones of a side wall."""
    return np.minimum(breadth_m, 2 * np.asarray(height_m))[()]


def zone_lengths_m(*, breadth_m: float, depth_m: float, height_m: float) -> Mapping[str, tuple[float, float]]:
    """Where each zone of a side wall starts and ends, from the windward corner (EN 1991-1-4, Fig 7.5).

    >>> zone_lengths_m(breadth_m=8.0, depth_m=9.0, height_m=5.5)
    {'A': (0.0, 1.6), 'B': (1.6, 8.0), 'C': (8.0, 9.0)}
    """
    e = float(edge_length_m(breadth_m=breadth_m, height_m=height_m))
    ends = {"A": min(e / 5, depth_m), "B": min(e, depth_m), "C": depth_m}
    starts = {"A": 0.0, "B": ends["A"], "C": ends["B"]}
    return {zone: (starts[zone], ends[zone]) for zone in ends if ends[zone] > starts[zone]}


def zone_of(
    *, wall: ArrayLike, breadth_m: Figures, height_m: Figures, from_corner_m: Figures,
    work: Working | None = None,
) -> NDArray[np.str_]:  # fmt: skip
    """Zone of the window's edge that is nearest the windward corner; on a border the more exposed zone.

    ``work`` takes the steps, where one window is given.

    >>> str(zone_of(wall="side", breadth_m=8.0, height_m=5.5, from_corner_m=3.0))
    'B'
    """
    work, which = work or Working(), np.asarray(wall, dtype=str)
    along = Working() if np.all(which != "side") else work  # the other walls have one zone, whatever e is
    e = along.step("e", edge_length_m, breadth_m=breadth_m, height_m=height_m)
    borders = [which == "windward", which == "leeward", from_corner_m <= e / 5, from_corner_m <= e]
    zone: NDArray[np.str_] = one_or_all(np.select(borders, ["D", "E", "A", "B"], "C"))
    work.note(
        "zone", "by wall and distance from the corner", zone, "", edge_length_m.source,
        wall=wall, from_corner_m=from_corner_m,
    )  # fmt: skip
    return zone


@clause(EN, "7.2.2, Table 7.1", unit="-", formula="c_pe by zone, h/d and area")
def external_coefficient(
    *, zone: ArrayLike, height_over_depth: Figures, area_m2: Figures, method: Method
) -> Figures:
    """External pressure coefficient, linear between the rows of h/d.

    Area: ``en`` goes from cpe,1 at 1 m² to cpe,10 at 10 m² with the logarithm; ``uk`` keeps cpe,1 up to 1 m²
    and takes cpe,10 for anything larger (NA.2.25, from memory, medium).

    >>> round(float(external_coefficient(zone="D", height_over_depth=0.5, area_m2=12.0, method="en")), 3)
    0.733
    """
    large = _off_table(zone, height_over_depth, "large")
    small = _off_table(zone, height_over_depth, "small")
    if method == "uk":
        share = np.where(np.asarray(area_m2) <= 1.0, 0.0, 1.0)
    else:
        share = np.log10(np.clip(area_m2, 1.0, LARGE_M2)) / np.log10(LARGE_M2)
    return one_or_all(small - (small - large) * share)


def _off_table(zone: ArrayLike, height_over_depth: Figures, column: str) -> Floats:
    zones, ratio = np.broadcast_arrays(np.asarray(zone, dtype=str), height_over_depth)
    out = np.empty(zones.shape)
    for name in np.unique(zones):
        rows = [row for row in table("wind_walls") if row["zone"] == name]
        here = zones == name
        out[here] = np.interp(ratio[here], [r["height_over_depth"] for r in rows], [r[column] for r in rows])
    return out


@dataclass(frozen=True, slots=True, kw_only=True)
class NetCoefficients:
    """External less internal coefficient: ``into`` the room (0 or more), ``out`` of it (0 or less)."""

    into: Figures
    out: Figures


def internal_coefficients(internal: float | Literal["worst"] = "worst") -> tuple[float, float]:
    """Internal coefficient for the pressure into the room and out of it.

    ``worst`` takes both signs of 7.2.9(6) note 2, for a house whose leaks are not known.
    """
    if internal != "worst":
        return internal, internal
    constants = table("wind_constants")
    return constants.value(name="internal_under"), constants.value(name="internal_over")


@clause(EN, "5.2(3)", unit="-", formula="c = c_pe − c_pi")
def net_coefficient(*, external: Figures, internal: Figures) -> Figures:
    """Net coefficient, + into the room."""
    return external - internal


def net_coefficients(*, external: Figures, internal: float | Literal["worst"] = "worst") -> NetCoefficients:
    """Worst net coefficients in and out for one external coefficient; a way that can't occur is 0.

    >>> net = net_coefficients(external=0.8)
    >>> float(net.into), float(net.out)
    (1.1, 0.0)
    """
    cpi_in, cpi_out = internal_coefficients(internal)
    return NetCoefficients(
        into=np.maximum(net_coefficient(external=external, internal=cpi_in), 0.0),
        out=np.minimum(net_coefficient(external=external, internal=cpi_out), 0.0),
    )


@clause(EN, "5.2(1), 5.2(2)", unit="Pa", formula="w = q_p c")
def net_pressure_pa(*, peak_pressure_pa: Figures, coefficient: Figures) -> Figures:
    """Net pressure on the window, + into the room; the reference height is that of the building."""
    return peak_pressure_pa * coefficient


@dataclass(frozen=True, slots=True, kw_only=True)
class NetPressures:
    """Net pressure of the wind from one side, into the room and out of it, with the coefficients behind."""

    coefficients: NetCoefficients
    in_pa: Figures
    out_pa: Figures


def net_pressures(
    *,
    peak_pa: Figures,
    zone: ArrayLike,
    height_over_depth: Figures,
    area_m2: Figures,
    method: Method,
    internal: float | Literal["worst"] = "worst",
    work: Working | None = None,
    of: str = "",
    ways: Collection[str] = ("in", "out"),
) -> NetPressures:
    """Net pressures in one zone of the walls, for one window or many.

    ``work`` takes the steps of the ``ways`` asked for, where one window is given; ``of`` marks their symbols.
    """
    work = work or Working()
    external = work.step(
        f"c_pe{of}", external_coefficient, zone=zone, height_over_depth=height_over_depth, area_m2=area_m2,
        method=method,
    )  # fmt: skip
    net, source = net_coefficients(external=external, internal=internal), net_coefficient.source
    pressures = {}
    for way, sign, coefficient, cpi in zip(
        ("in", "out"), ("max", "min"), (net.into, net.out), internal_coefficients(internal), strict=True
    ):
        noted = work if way in ways else Working()
        noted.note(
            f"c_{way}{of}",
            f"{sign}(0, c_pe − c_pi)",
            coefficient,
            "-",
            source,
            external=external,
            internal=cpi,
        )
        pressures[way] = noted.step(
            f"w_{way}{of}", net_pressure_pa, peak_pressure_pa=peak_pa, coefficient=coefficient
        )
    return NetPressures(coefficients=net, in_pa=pressures["in"], out_pa=pressures["out"])
