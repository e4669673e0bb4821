"""An opening with upright jambs, a sill and an arched head.

``BL`` is the origin, ``SL`` and ``SR`` the springing marks; the head is given square to the line between them, from
its middle. Readings: widths ``Wb Wm Ws``; jambs ``Hl Hr``; plumb from the sill's middle to the curve ``Hc``; rises
over the springing line at the middle ``rc``, the quarters ``q1 q3`` and an eighth in ``e1 e7``; diagonals ``D1 D2``;
from the crown to the bottom corners ``C1 C2``; levels ``Ls Lp``; plumb of the jambs ``Pl Pr``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial

import numpy as np

from jambwright.basis.problems import BadInput, Problem
from jambwright.basis.units import show_mm
from jambwright.opening.outline import DETECTION
from jambwright.opening.shaped import curves
from jambwright.opening.shaped.figure import MOST_LEAN, Cells, Figure, Values, distance, stands_upright

PLACES = (
    "Wb", "Wm", "Ws", "Hl", "Hr", "rc", "Hc", "q1", "q3", "e1", "e7", "D1", "D2", "C1", "C2", "Ls", "Lp", "Pl", "Pr"
)  # fmt: skip
CORNERS = ("xBR", "yBR", "xSL", "ySL", "xSR", "ySR")
TURNS = 12
"""Rounds that bring the plumb point of the head to rest; each is a hundred times nearer."""
RiseFits = Callable[[float, float], str]
"""Span and rise to what is wrong with them, or nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arched:
    """One kind of head."""

    kind: str
    curve: curves.Curve
    more: str = ""
    """Name of its parameter beside the rise."""
    most_rise: float = math.inf
    """In half spans."""
    beyond: str = ""
    """What a higher rise would be."""
    true_rise: float | None = None
    """In half spans, where the kind has but one."""

    @property
    def figure(self) -> Figure:
        """The kind as the adjustment takes it."""
        return Figure(
            kind=self.kind,
            parameters=(*CORNERS, "rise", *([self.more] if self.more else [])),
            read=partial(_readings, self),
            places=PLACES,
            start=partial(_start, self),
            faults=partial(_faults, self),
            derived=partial(_derived, self),
            stands=_stands,
            remark=partial(_remark, self),
            upright=("Ls", "Lp", "Pl", "Pr"),
        )


def _stands(p: Mapping[str, float]) -> bool:
    left, right = (p["xSL"], p["ySL"]), (p["xSR"], p["ySR"])
    level = abs(right[1] - left[1]) <= MOST_LEAN * abs(right[0] - left[0])
    return level and stands_upright((0.0, 0.0), (p["xBR"], p["yBR"]), left, right)


def _readings(head: Arched, p: Values) -> Values:
    xb, yb, xl, yl, xr, yr = (p[name] for name in CORNERS)
    dx, dy = xr - xl, yr - yl
    span = distance(dx, dy)
    along = (dx / span, dy / span)
    middle = ((xl + xr) / 2, (yl + yr) / 2)
    rise = p["rise"]
    over: Callable[[Cells], Cells] = partial(_over, head.curve, span, rise, p.get(head.more, rise))
    none = 0.0 * span
    crown = over(none)
    crown_x, crown_y = middle[0] - along[1] * crown, middle[1] + along[0] * crown
    plumb = none
    for _ in range(TURNS):
        plumb = _on_head((xb / 2 - middle[0] + along[1] * over(plumb)) / along[0], span)
    above = middle[1] + along[1] * plumb + along[0] * over(plumb)
    return {
        "Wb": distance(xb, yb), "Wm": distance((xb + xr - xl) / 2, (yb + yr - yl) / 2), "Ws": span,
        "Hl": distance(xl, yl), "Hr": distance(xr - xb, yr - yb),
        "D1": distance(xr, yr), "D2": distance(xl - xb, yl - yb),
        "rc": crown, "Hc": above - yb / 2,
        "q1": over(-span / 4), "q3": over(span / 4), "e1": over(-3 * span / 8), "e7": over(3 * span / 8),
        "C1": distance(crown_x, crown_y), "C2": distance(crown_x - xb, crown_y - yb),
        "Ls": yb, "Lp": dy, "Pl": xl, "Pr": xr - xb,
    }  # fmt: skip


def _on_head(x: Cells, span: Cells) -> Cells:
    """The place itself, or the springing where readings far apart would carry it beyond."""
    return np.where(np.abs(x.real) < span.real / 2, x, np.sign(x.real) * span / 2)


def _over(curve: curves.Curve, span: Cells, rise: Cells, more: Cells, x: Cells) -> Cells:
    return curve(x, span, rise, more)


def _start(head: Arched, read: Mapping[str, float]) -> Mapping[str, float]:
    span, high = _span(read), _high(read)
    rise = _rise(read, high)
    left, sill = read.get("Pl", 0.0), read.get("Ls", 0.0)
    low = read.get("Wb", read.get("Wm", span))
    found = {
        "xBR": low, "yBR": sill,
        "xSL": left, "ySL": read.get("Hl", high),
        "xSR": left + span, "ySR": sill + read.get("Hr", high),
        "rise": rise,
    }  # fmt: skip
    if head.more == "R":
        found["R"] = _pointed_radius(span, rise, _quarter(read))
    elif head.more == "r":
        # the usual construction by the bisector of the cut diagonal
        a, length = span / 2, math.hypot(span / 2, rise)
        found["r"] = length * (length - a + rise) / (2 * a)
    return found


def _span(read: Mapping[str, float]) -> float:
    return _one_of(read, ("Ws", "Wm", "Wb"), "width", "measure it between the springing marks (Ws)")


def _high(read: Mapping[str, float]) -> float:
    jambs = [read[name] for name in ("Hl", "Hr") if name in read]
    if jambs:
        return float(np.mean(jambs))
    if "Hc" in read and "rc" in read:
        return read["Hc"] - read["rc"]
    return _one_of(read, ("Hl",), "height of a jamb", "measure both from sill to springing mark (Hl, Hr)")


def _rise(read: Mapping[str, float], high: float) -> float:
    if "rc" in read:
        return read["rc"]
    if "Hc" in read:
        return read["Hc"] - high
    return _one_of(
        read, ("rc",), "rise", "measure it from the springing line to the crown (rc), and at the quarters"
    )


def _one_of(read: Mapping[str, float], names: tuple[str, ...], what: str, do: str) -> float:
    for name in names:
        if name in read:
            return read[name]
    raise BadInput.one("readings", f"readings: no {what} was read; {do}.")


def _quarter(read: Mapping[str, float]) -> float | None:
    found = [read[name] for name in ("q1", "q3") if name in read]
    return float(np.mean(found)) if found else None


def _pointed_radius(span: float, rise: float, quarter: float | None) -> float:
    """Of the arc from springing to crown through the quarter point; centred on the springing line where unread."""
    on_line = (span**2 / 4 + rise**2) / span
    if quarter is None:
        return on_line
    ends, through = np.array([[span / 2, 0.0], [0.0, rise]]), np.array([span / 4, quarter])
    sides = [math.dist(*ends), math.dist(ends[0], through), math.dist(ends[1], through)]
    along, to = ends[1] - ends[0], through - ends[0]
    twice_area = along[1] * to[0] - along[0] * to[1]
    return float(np.prod(sides) / (2 * twice_area)) if twice_area > 1e-6 * span**2 else on_line


def _faults(head: Arched, read: Mapping[str, float], slack: float) -> Iterator[Problem]:
    span = _span(read)
    rise = _rise(read, _high(read))
    name = "rc" if "rc" in read else "Hc"
    if rise < -slack:
        yield _problem(name, f"the crown lies {-rise:g} mm under the springing line, where the arc would need a "
                       "negative radius. Measure rise and springing marks again.")  # fmt: skip
    if rise > head.most_rise * span / 2 + slack:
        yield _problem(name, f"the crown rises {rise:g} mm, more than half the span of {span:g} mm; {head.beyond}. "
                       "Measure span and rise again, or choose another kind.")  # fmt: skip
    quarter = _quarter(read)
    if head.more == "R" and quarter is not None and quarter < rise / 2 - slack:
        names = ", ".join(place for place in ("q1", "q3", name) if place in read)
        yield _problem(
            names,
            f"the quarter rise of {quarter:g} mm lies under the straight line from springing to crown "
            f"({rise / 2:g} mm), where the arc would need a negative radius. Measure quarters and rise again.",
        )


def _problem(name: str, say: str) -> Problem:
    return Problem("readings", say, of=name)


def _remark(head: Arched, p: Mapping[str, float], sd: Mapping[str, float]) -> str:
    if head.true_rise is None:
        return ""
    off = p["rise"] - head.true_rise * _derived(head, p)["span"] / 2
    if abs(off) <= DETECTION * math.hypot(sd["rise"], head.true_rise * sd["xSR"] / 2):
        return ""
    by = f"{show_mm(abs(off))} mm {'over' if off > 0 else 'under'} half the span"
    return f"No true {head.kind} head: the crown is {by}. Order it by span and rise."


def _derived(head: Arched, p: Mapping[str, float]) -> Mapping[str, float]:
    span = math.dist((p["xSL"], p["ySL"]), (p["xSR"], p["ySR"]))
    found = {"span": span}
    if head.curve is curves.circle and p["rise"] > 0:
        found["R"] = span**2 / (8 * p["rise"]) + p["rise"] / 2
    elif head.curve is curves.three_centred:
        found["R_large"] = float(curves.large_radius(np.array(span), np.array(p["rise"]), np.array(p["r"])))
    return found


ARCHED: Mapping[str, Arched] = {
    head.kind: head
    for head in (
        Arched(kind="segmental", curve=curves.circle, most_rise=1.0,
               beyond="a segmental arch rises at most half its span"),
        Arched(kind="semicircular", curve=curves.circle, most_rise=1.0,
               beyond="a semicircle rises just half its span", true_rise=1.0),
        Arched(kind="two_centred", curve=curves.two_centred, more="R"),
        Arched(kind="three_centred", curve=curves.three_centred, more="r", most_rise=1.0,
               beyond="a three-centred arch rises less than half its span"),
        Arched(kind="ellipse", curve=curves.ellipse),
    )
}  # fmt: skip
