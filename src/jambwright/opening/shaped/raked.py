"""An opening with a straight head that rises to one side.

Readings: widths ``Wb Wm``; heights ``Hl Hm Hr``; along the slope ``S``; diagonals ``D1 D2``; level of the sill ``Ls``;
plumb of the jambs ``Pl Pr``. ``BL`` is the origin.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from jambwright.basis.problems import BadInput, Problem
from jambwright.opening.shaped.figure import Figure, Values, distance, stands_upright


def _readings(p: Values) -> Values:
    xb, yb, xl, yl, xr, yr = (p[name] for name in RAKED.parameters)
    return {
        "Wb": distance(xb, yb), "Wm": distance((xb + xr - xl) / 2, (yb + yr - yl) / 2),
        "Hl": distance(xl, yl), "Hm": distance((xl + xr - xb) / 2, (yl + yr - yb) / 2),
        "Hr": distance(xr - xb, yr - yb), "S": distance(xr - xl, yr - yl),
        "D1": distance(xr, yr), "D2": distance(xl - xb, yl - yb),
        "Ls": yb, "Pl": xl, "Pr": xr - xb,
    }  # fmt: skip


def _start(read: Mapping[str, float]) -> Mapping[str, float]:
    width = read.get("Wb", read.get("Wm"))
    left, right = read.get("Hl"), read.get("Hr")
    if left is None and right is not None and "Hm" in read:
        left = 2 * read["Hm"] - right
    if right is None and left is not None and "Hm" in read:
        right = 2 * read["Hm"] - left
    lacking = [name for name, value in (("Wb", width), ("Hl", left), ("Hr", right)) if value is None]
    if width is None or left is None or right is None:
        raise BadInput.one(
            "readings",
            f"readings: {', '.join(lacking)} not read; a raked head needs its width and both heights.",
        )
    sill, lean = read.get("Ls", 0.0), read.get("Pl", 0.0)
    over = read.get("Pr", lean)
    return {
        "xBR": width,
        "yBR": sill,
        "xTL": lean,
        "yTL": left,
        "xTR": width + over,
        "yTR": sill + right,
    }


def _faults(read: Mapping[str, float], slack: float) -> Iterator[Problem]:
    if {"S", "Hl", "Hr"} <= read.keys() and read["S"] + slack < abs(read["Hl"] - read["Hr"]):
        yield Problem(
            "readings",
            f"the slope of {read['S']:g} mm is shorter than the heights differ "
            f"({abs(read['Hl'] - read['Hr']):g} mm). Measure these three again.",
            of="S, Hl, Hr",
        )
    for diagonal, height in (("D1", "Hr"), ("D2", "Hl")):
        if {diagonal, height, "Wb"} <= read.keys():
            together, apart = read["Wb"] + read[height], abs(read["Wb"] - read[height])
            if not apart - slack <= read[diagonal] <= together + slack:
                yield Problem(
                    "readings",
                    f"a diagonal of {read[diagonal]:g} mm closes no triangle with Wb {read['Wb']:g} and {height} "
                    f"{read[height]:g} mm. Measure these three again.",
                    of=diagonal,
                )


def _stands(p: Mapping[str, float]) -> bool:
    return stands_upright((0.0, 0.0), *((p[f"x{at}"], p[f"y{at}"]) for at in ("BR", "TL", "TR")))


def _derived(p: Mapping[str, float]) -> Mapping[str, float]:
    return {"rake_deg": math.degrees(math.atan2(p["yTR"] - p["yTL"], p["xTR"] - p["xTL"]))}


RAKED = Figure(
    kind="raked",
    parameters=("xBR", "yBR", "xTL", "yTL", "xTR", "yTR"),
    read=_readings,
    places=("Wb", "Wm", "Hl", "Hm", "Hr", "S", "D1", "D2", "Ls", "Pl", "Pr"),
    start=_start,
    faults=_faults,
    derived=_derived,
    stands=_stands,
    upright=("Ls", "Pl", "Pr"),
)
