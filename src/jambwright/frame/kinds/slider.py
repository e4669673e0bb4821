"""Panes that slide across past each other, some of which may stand: from the left, hooked by interlocks."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from jambwright.basis.clause import clause
from jambwright.basis.tables import Row
from jambwright.frame.kinds.leaf import Hole, Leaf, row_of
from jambwright.frame.profiles import ProfileSystem
from jambwright.frame.rect import Rect
from jambwright.readings.wanted import Light
from jambwright.readings.ways import Way, way_of

F = float | npt.NDArray[np.float64]

_OF_FIRST = {"vent_mm2": 0.0}
"""A ventilator is told at the first pane that slides."""
_OF_HANDLED: dict[str, object] = {"handle_height_mm": None}
_OF_SLIDING: dict[str, object] = {"restrictor": False}
"""A pane that stands has neither handle nor restrictor."""


@clause(
    "geometry of sliding panes", "panes of one width", unit="mm", formula="(W - 2 J + k I - am) / n",
    how="calculated",
)  # fmt: skip
def sliding_pane_mm(
    *, frame_mm: F, jamb_mm: F, interlock_mm: F, interlocks: F, panes: F, meeting_mm: F = 0.0
) -> F:
    """Width of each pane of a slider, with that many interlocks and a meeting gap where two panes part.

    >>> print(sliding_pane_mm(frame_mm=2100.0, jamb_mm=60.0, interlock_mm=50.0, interlocks=1, panes=2))
    1015.0
    """
    width: F = (frame_mm - 2 * jamb_mm + interlocks * interlock_mm - meeting_mm) / panes
    return width


def sections(profile: ProfileSystem) -> Row:
    """Faces of the panes of a profile system. Raises ``BadInput`` where none are held for it."""
    return row_of("sliders", profile, "panes that slide across")


def parts(one: Way, other: Way) -> bool:
    """Whether two panes beside each other part there, so that they meet and do not hook."""
    return (one.slides, other.slides) == ("left", "right")


def tracks(panes: Sequence[Way]) -> list[int]:
    """Track of each pane from outside: what stands on the first, each pane slid past another on the next.

    >>> tracks([way_of("pane_fixed"), way_of("pane_left"), way_of("pane_left")])
    [1, 2, 3]
    """
    found = []
    for n, pane in enumerate(panes):
        past = panes[:n][::-1] if pane.slides == "left" else panes[n + 1 :]
        stands = next((far for far, each in enumerate(past) if not each.opens), len(past))
        found.append(stands + 2 if pane.opens else 1)
    return found


def leaves(hole: Hole, light: Light, profile: ProfileSystem) -> Sequence[Leaf]:
    """The panes from the left, all of one width; each runs into the tracks at head and foot."""
    section, sight = sections(profile), hole.sight
    panes = [way_of(each) for each in way_of(light.opens).leaves]
    # how far each pane laps over the one before it; less than nothing where the two part
    laps = [
        -section["meeting_mm"] if parts(one, other) else section["interlock_mm"]
        for one, other in pairwise(panes)
    ]
    width = float(
        sliding_pane_mm(
            frame_mm=sight.width_mm, jamb_mm=0.0, interlock_mm=section["interlock_mm"],
            interlocks=sum(lap > 0 for lap in laps), panes=len(panes), meeting_mm=-sum(min(lap, 0.0) for lap in laps),
        )
    )  # fmt: skip
    starts = [sight.x_mm]
    for lap in laps:
        starts.append(starts[-1] + width - lap)
    holes = hole.beside([start + lap / 2 for start, lap in zip(starts[1:], laps, strict=True)])
    first = next(n for n, pane in enumerate(panes) if pane.opens)
    return [
        Leaf(
            way=pane.kind,
            hole=holes[n],
            sash=(sash := _pane(sight, starts[n], width, section["track_mm"])),
            daylight=sash.inset(
                left_mm=_face(section, laps[n - 1] if n else 0.0),
                right_mm=_face(section, laps[n] if n < len(laps) else 0.0),
                top_mm=section["rail_mm"],
                bottom_mm=section["rail_mm"],
            ),
            wanted=_asked_of(light, pane, first=n == first, handled=_handled(panes, n)),
            follows=n != first,
            without_handle=not _handled(panes, n),
        )
        for n, pane in enumerate(panes)
    ]


def _handled(panes: Sequence[Way], n: int) -> bool:
    """Whether a pane has a handle: it slides, and no pane behind it pushes it along."""
    pane = panes[n]
    behind = panes[n + 1 : n + 2] if pane.slides == "left" else panes[max(n - 1, 0) : n]
    return pane.opens and not any(each.slides == pane.slides for each in behind)


def _asked_of(light: Light, pane: Way, *, first: bool, handled: bool) -> Light:
    """What is asked of one pane: what a slider has once is told where it is."""
    change: dict[str, object] = {} if first else dict(_OF_FIRST)
    change |= {} if handled else _OF_HANDLED
    change |= {} if pane.opens else _OF_SLIDING
    return light.model_copy(update=change)


def _pane(sight: Rect, start_mm: float, width_mm: float, track_mm: float) -> Rect:
    at = Rect(x_mm=start_mm, y_mm=sight.y_mm, width_mm=width_mm, height_mm=sight.height_mm)
    return at.inset(top_mm=-track_mm, bottom_mm=-track_mm)


def _face(section: Row, lap_mm: float) -> float:
    """Face of a stile: of one that hooks into the next pane, or of one at a jamb or where two panes part."""
    return float(section["interlock_mm"] if lap_mm > 0 else section["stile_mm"])
