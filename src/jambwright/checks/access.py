"""Access notes of one opening, with their figures: lifting aids, suction cups, wind limits, ladder and tower.

They come from the storey and from what is carried; ``checks.cautions`` says what holds of every opening. They
defer to the firm's own assessment, the maker's manual and local codes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from jambwright.basis import Clause, clause, table
from jambwright.basis.figures import Figures
from jambwright.checks.lifting import Lift

BREEZE_MS = 10.0
"""Wind that a push is told for: about the upper end of Beaufort 5."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One thing as it is carried."""

    name: str
    lift: Lift
    bare_glass: bool = False
    """A pane by itself."""
    sail_m2: float = 0.0
    """Area that the wind takes; 0 for a frame without glass."""


@dataclass(frozen=True, slots=True)
class Kit:
    """Something to bring for access."""

    what: str
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """One access note, what to bring for it, and its source."""

    key: str
    on: Literal["carrying", "standing"]
    """What is carried, or what one stands on."""
    short: str
    """In few words, for a sheet."""
    say: str
    source: Clause
    bring: tuple[Kit, ...] = ()
    instead_of: str = ""
    """Caution (``checks.cautions``) that it says with figures."""


def rule(name: str) -> tuple[float, Clause]:
    """A figure of the table ``access_rules`` with its source."""
    rules = table("access_rules")
    row = rules.find(name=name)
    return row["value"], rules.source(row)


@clause(
    "Wind on a flat plate",
    "0.613 v² with a drag of 1.2",
    unit="N",
    formula="F = 0.613 v² 1.2 A",
    how="calculated",
)
def pane_wind_n(*, area_m2: Figures, speed_ms: Figures) -> Figures:
    """Push of the wind on a pane carried across it.

    >>> pane_wind_n(area_m2=1.5, speed_ms=10.0)
    110.3
    """
    return 0.613 * speed_ms**2 * 1.2 * area_m2


def cups_needed(mass_kg: float) -> int:
    """Suction cups for an upright pane: rated load halved, two at least.

    >>> cups_needed(50.4)
    3
    """
    each = rule("cup_load")[0] * rule("cup_share_upright")[0]
    return max(math.ceil(mass_kg / each), int(rule("cups_least")[0]))


def access_notes(loads: Sequence[Load], *, storey: int) -> tuple[Note, ...]:
    """What must be known and brought before anything is lifted. ``storey`` 0 is the ground floor."""
    return (
        *_aids(loads),
        *_cups([load for load in loads if load.bare_glass]),
        *_wind(loads),
        *(_tower() if storey > 0 else _ladder(loads)),
    )


def _aids(loads: Sequence[Load]) -> Iterator[Note]:
    for load in loads:
        if load.lift.people_needed is None:
            yield Note(
                key="lifting_aid",
                on="carrying",
                short=f"{load.name}: lifting aid",
                say=f"{load.name}: {load.lift.what_to_do}",
                source=table("lifting_filter").pedigree.source,
                bring=(Kit("lifting aid"),),
            )


def _cups(panes: Sequence[Load]) -> Iterator[Note]:
    if not panes:
        return
    heaviest = max(panes, key=lambda pane: pane.lift.mass_kg)
    kg = heaviest.lift.mass_kg
    load, source = rule("cup_load")
    cups = cups_needed(kg)
    yield Note(
        key="cups",
        on="carrying",
        short=f"{heaviest.name}: {cups} suction cups of {load:.0f} kg, clean dry faces only",
        say=f"{heaviest.name}, {kg:.0f} kg: {cups} suction cups at least, of {load:.0f} kg marked load, counted half "
        "on upright glass; clean, dry, smooth faces only, never the only hold overhead.",
        source=source,
        bring=(Kit("suction cup", cups),),
    )


def _wind(loads: Sequence[Load]) -> Iterator[Note]:
    least, _ = rule("large_pane")
    mph, source = rule("stop_wind")
    large = max(loads, key=lambda load: load.sail_m2, default=None)
    if large is None or large.sail_m2 < least:
        return
    push = pane_wind_n(area_m2=large.sail_m2, speed_ms=BREEZE_MS)
    told = f"a wind of {BREEZE_MS:.0f} m/s pushes {large.name} with {push:.0f} N"
    yield Note(
        key="wind",
        on="carrying",
        short=f"leave it over {mph:.0f} mph: {told}",
        say=f"Leave {large.name} when the wind passes {mph:.0f} mph: {told}.",
        source=source,
    )


def _ladder(loads: Sequence[Load]) -> Iterator[Note]:
    limit, source = rule("ladder_load")
    if any(load.lift.mass_kg > limit for load in loads):
        say = f"Nothing over {limit:.0f} kg is lifted from a ladder or steps: use a platform."
        yield Note(
            key="ladder",
            on="standing",
            short=f"Ladder: nothing over {limit:.0f} kg from it; use a platform.",
            say=say,
            source=source,
            bring=(Kit("work platform"),),
        )


def _tower() -> Iterator[Note]:
    rail, source = rule("rail_height")
    gap, board, days = (rule(name)[0] for name in ("rail_gap", "toe_board", "inspect_days"))
    outside, inside, mph = (rule(name)[0] for name in ("tower_outside", "tower_inside", "stop_wind"))
    yield Note(
        key="tower",
        on="standing",
        instead_of="height",
        short=f"Height: tower; rail {rail:.0f} mm, toe board {board:.0f}; off it over {mph:.0f} mph.",
        say=f"Work from a tower, platform or scaffold: main rail {rail:.0f} mm or more, gaps {gap:.0f} mm or less, toe "
        f"board {board:.0f} mm, inspected before use, every {days:.0f} days and after bad weather. A tower is at "
        f"most {outside:g} times its least base high outdoors, {inside:g} indoors, unless its manual says "
        f"otherwise; off it when the wind passes {mph:.0f} mph.",
        source=source,
        bring=(Kit("tower or scaffold"), Kit("barrier or restraint for the open hole")),
    )


def kit_of(notes: Iterable[Note]) -> tuple[Kit, ...]:
    """All that is brought for several openings: of each thing as many as one opening wants at most."""
    most: dict[str, int] = {}
    for kit in (kit for note in notes for kit in note.bring):
        most[kit.what] = max(kit.count, most.get(kit.what, 0))
    return tuple(Kit(what, count) for what, count in most.items())
