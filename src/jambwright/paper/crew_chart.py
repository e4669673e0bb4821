"""Who is where on one day: a row for each person, a bar for each stretch of work, every bar with what it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from jambwright.paper.crew_words import block_of
from jambwright.paper.dimension import spread
from jambwright.paper.lettering import advance_mm
from jambwright.paper.scene import Area, Item, Line, Scene, Words, rectangle
from jambwright.record import DAY, ENDS, STARTS, Placed

HOUR_MM = 19.0
BAR_MM = 4.8
GAP_MM = 1.8
"""Between one person's row and the next."""
NAMES_MM = 20.0
LETTERING_MM, SMALL_MM = 2.9, 2.83
UNDER_MM = 3.4
"""Room under a row for the marks of bars too short to hold them."""
CLEAR_MM = 1.0
WAIT_MINUTES = 15
"""One of a pair who waits no longer for the other within a block is still there: the bar goes on."""


@dataclass(frozen=True, slots=True)
class _Bar:
    mark: str
    left: float
    right: float

    @property
    def middle(self) -> float:
        return (self.left + self.right) / 2

    @property
    def holds_its_mark(self) -> bool:
        return advance_mm(self.mark, LETTERING_MM, bold=True) + CLEAR_MM <= self.right - self.left


def day_chart(placed: Sequence[Placed], people: Sequence[str]) -> Scene:
    """The chart of what is placed on one day."""
    hours = range(STARTS // 60, ENDS // 60 + 1)
    items: list[Item] = [
        Words(at=(_x(hour * 60), CLEAR_MM), text=f"{hour}:00", size_mm=SMALL_MM, seat="base")
        for hour in hours
    ]
    top = 0.0
    for who in people:
        bars = list(_bars([each for each in placed if who in each.who]))
        items += (
            Line(points=((_x(hour * 60), top), (_x(hour * 60), top - BAR_MM)), ink="hatch") for hour in hours
        )
        items.append(Words(at=(0.0, top - BAR_MM / 2), text=who, size_mm=LETTERING_MM, align="left"))
        items += _row(bars, top)
        top -= BAR_MM + GAP_MM + (0.0 if all(bar.holds_its_mark for bar in bars) else UNDER_MM - GAP_MM / 2)
    return Scene(title="Who is where", items=tuple(items), scale=1)


def _bars(own: Sequence[Placed]) -> Iterator[_Bar]:
    """Stretches without a break in one block at one opening, and what belongs to the day as a whole."""
    for name, run in groupby(own, key=lambda each: f"{each.opening} {block_of(each.step)}".strip()):
        steps = [step for step in run if step.end > step.start]
        while steps:
            last = next(
                (n for n in range(len(steps) - 1) if steps[n + 1].start > steps[n].end + WAIT_MINUTES),
                len(steps) - 1,
            )
            yield _Bar(name, _x(steps[0].start % DAY), _x((steps[last].end - 1) % DAY + 1))
            steps = steps[last + 1 :]


def _row(bars: Sequence[_Bar], top: float) -> Iterator[Item]:
    for bar in bars:
        outline = rectangle(bar.left, top - BAR_MM, bar.right - bar.left, BAR_MM)
        yield Area(points=outline, ink="frame", fill="blank")
        if bar.holds_its_mark:
            at = (bar.middle, top - BAR_MM / 2)
            yield Words(at=at, text=bar.mark, size_mm=LETTERING_MM, bold=True)
    short = [bar for bar in bars if not bar.holds_its_mark]
    widths = [advance_mm(bar.mark, SMALL_MM, bold=True) for bar in short]
    places = spread([bar.middle for bar in short], widths, CLEAR_MM, within=(_x(STARTS), _x(ENDS)))
    for bar, x in zip(short, places, strict=True):
        foot = top - BAR_MM
        yield Line(points=((bar.middle, foot), (x, foot - CLEAR_MM)), ink="leader")
        yield Words(at=(x, foot - UNDER_MM), text=bar.mark, size_mm=SMALL_MM, seat="base", bold=True)


def _x(minute: int) -> float:
    return NAMES_MM + (minute - STARTS) / 60 * HOUR_MM
