"""Options side by side as a chart: one row an option, three measures, black for what is ordered."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from jambwright.paper.lettering import advance_mm
from jambwright.paper.scene import Area, Item, Line, Scene, Words, rectangle
from jambwright.record import AS_ORDERED, HouseOption

ROW_MM = 6.4
BAR_MM = 3.4
SIZE_MM = 3.1
HEAD_MM = 2.85
AFTER_NAME_MM = 4.0
PANEL_MM = 27.0
"""Longest bar of a measure."""
FIGURE_MM = 13.0
"""Room for a figure past the end of a bar."""
BETWEEN_MM = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One column of bars."""

    title: str
    good: str
    """Which way is good."""
    value: Callable[[HouseOption], float | None]
    """None leaves the measure out."""
    figure: Callable[[HouseOption], str]


MEASURES = (
    Measure(
        title="heat lost, U, W/m²K",
        good="short is good",
        value=lambda option: option.u_w_m2k,
        figure=lambda option: f"{option.u_w_m2k:.2f}",
    ),
    Measure(
        title="energy index, kWh/m² a year",
        good="to the right is good",
        value=lambda option: option.index_kwh_m2,
        figure=lambda option: f"{option.index_kwh_m2:+.0f}",
    ),
    Measure(
        title="rim of the glass dry up to, %",
        good="long is good",
        value=lambda option: option.edge_dry_up_to_percent,
        figure=lambda option: f"{option.edge_dry_up_to_percent:.0f} %",
    ),
)


def comparison_chart(options: Sequence[HouseOption]) -> Scene:
    """The chart of the house's options, in paper millimetres."""
    items: list[Item] = []
    names = max(advance_mm(option.title, SIZE_MM, bold=_ordered(option)) for option in options)
    for row, option in enumerate(options):
        items.append(
            Words(
                at=(0.0, _middle(row)),
                text=option.title,
                size_mm=SIZE_MM,
                align="left",
                bold=_ordered(option),
            )
        )
    left = names + AFTER_NAME_MM
    told = [m for m in MEASURES if all(m.value(option) is not None for option in options)]
    for measure in told:
        drawn, width = _column(measure, options, left)
        items += drawn
        left += width + BETWEEN_MM
    return Scene(title="Options side by side", items=tuple(items), scale=1)


def _column(measure: Measure, options: Sequence[HouseOption], left: float) -> tuple[list[Item], float]:
    """Bars of one measure from its base line, and the width they take."""
    values = [measure.value(option) or 0.0 for option in options]
    low, high = min(0.0, *values), max(0.0, *values)
    each = PANEL_MM / (high - low)
    room_left = FIGURE_MM if low < 0 else 0.0
    room_right = FIGURE_MM if high > 0 else 0.0
    base = left + room_left - low * each
    width = max(room_left + PANEL_MM + room_right, advance_mm(measure.title, HEAD_MM, bold=True))
    items: list[Item] = [
        Words(at=(left, HEAD_MM + 4.4), text=measure.title, size_mm=HEAD_MM, align="left", bold=True),
        Words(at=(left, HEAD_MM + 0.6), text=measure.good, size_mm=HEAD_MM, align="left"),
        Line(points=((base, -1.0), (base, _middle(len(options) - 1) - ROW_MM / 2)), ink="sash"),
    ]
    for row, (option, value) in enumerate(zip(options, values, strict=True)):
        items += _bar(base, value * each, _middle(row), measure.figure(option), black=_ordered(option))
    return items, width


def _bar(base: float, length: float, middle: float, figure: str, *, black: bool) -> tuple[Item, ...]:
    """A bar from the base line, to the left where it is negative, and its figure past its end."""
    corners = rectangle(min(base, base + length), middle - BAR_MM / 2, max(abs(length), 0.1), BAR_MM)
    end = base + length + (1.2 if length >= 0 else -1.2)
    return (
        Area(points=corners, ink="sash", fill="black" if black else "blank"),
        Words(
            at=(end, middle),
            text=figure,
            size_mm=SIZE_MM,
            align="left" if length >= 0 else "right",
            bold=black,
        ),
    )


def _middle(row: int) -> float:
    return -(row + 0.5) * ROW_MM - 0.5


def _ordered(option: HouseOption) -> bool:
    return option.name == AS_ORDERED
