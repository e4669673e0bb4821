"""Leaves that fold up against the jambs: so many to the left, so many to the right, all of one width."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from jambwright.basis.clause import clause
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import Row
from jambwright.frame.kinds.leaf import Hole, Leaf, row_of
from jambwright.frame.profiles import ProfileSystem
from jambwright.frame.rect import Rect
from jambwright.readings.wanted import Light
from jambwright.readings.ways import way_of

F = float | npt.NDArray[np.float64]

USUAL_LEAF_MM = 900.0
"""Leaves are made no wider where their number is not said. Common practice, no published source."""
FEWEST, MOST = 2, 7
"""Leaves of a set. From memory, low; the maker's sheet governs."""
_WITHOUT_VENT = {"vent_mm2": 0.0}
_WITHOUT_HANDLE: dict[str, object] = {"handle_height_mm": None}


@clause(
    "a hardware maker's page of folding sets", "leaves of one width", unit="mm",
    formula="(L - 2 j - k (N - 1)) / N", how="read",
)  # fmt: skip
def folding_leaf_mm(*, track_mm: F, jamb_gap_mm: F, leaf_gap_mm: F, leaves: F) -> F:
    """Width of each leaf in a clear track, with a gap at both jambs and one between leaves.

    >>> print(folding_leaf_mm(track_mm=4200.0, jamb_gap_mm=7.0, leaf_gap_mm=4.0, leaves=5))
    834.0
    """
    width: F = (track_mm - 2 * jamb_gap_mm - leaf_gap_mm * (leaves - 1)) / leaves
    return width


def sections(profile: ProfileSystem) -> Row:
    """Gaps and stiles of the folding leaves of a profile system. Raises ``BadInput`` where none are held for it."""
    return row_of("bi_folds", profile, "leaves that fold")


def leaves_each_way(light: Light, track_mm: float) -> tuple[int, int]:
    """How many leaves fold to the left and to the right; all to the left where it is not said.

    Raises ``BadInput`` where they are too few or too many for a set.
    """
    if light.fold_left is None and light.fold_right is None:
        return max(FEWEST, math.ceil(track_mm / USUAL_LEAF_MM)), 0
    left, right = light.fold_left or 0, light.fold_right or 0
    if not FEWEST <= left + right <= MOST:
        say = f"layout: a bi-fold set of {left} + {right} leaves; {FEWEST} to {MOST} in all are made into a set."
        raise BadInput.one("wanted.layout", say)
    return left, right


def leaves(hole: Hole, light: Light, profile: ProfileSystem) -> Sequence[Leaf]:
    """The leaves from the left, between the jambs, above the track and under the head."""
    section, sight = sections(profile), hole.sight
    left, right = leaves_each_way(light, sight.width_mm)
    count, gap = left + right, section["leaf_gap_mm"]
    width = float(
        folding_leaf_mm(
            track_mm=sight.width_mm, jamb_gap_mm=section["jamb_gap_mm"], leaf_gap_mm=gap, leaves=count
        )
    )
    starts = [sight.x_mm + section["jamb_gap_mm"] + n * (width + gap) for n in range(count)]
    holes = hole.beside([start - gap / 2 for start in starts[1:]])
    ways = [*_towards("left", left), *_towards("right", right)[::-1]]
    handled = _handled(left, right)
    return [
        Leaf(
            way=way,
            hole=holes[n],
            sash=(sash := _leaf(sight, starts[n], width, section)),
            daylight=sash.grown(-profile.sash_face_mm),
            wanted=_asked_of(light, first=n == 0, lead=n == handled),
            follows=n > 0,
            without_handle=n != handled,
        )
        for n, way in enumerate(ways)
    ]


def _towards(side: str, count: int) -> list[str]:
    """The ways of the leaves that fold to one side, from its jamb on: hung there and back by turns.

    The last of an odd number opens alone.
    """
    ways = [f"fold_{side}_back" if n % 2 else f"fold_{side}" for n in range(count)]
    return [*ways[:-1], f"traffic_{side}"] if count % 2 else ways


def _handled(left: int, right: int) -> int:
    """Which leaf has the handle that is asked for: one that opens alone, else the last of the left or right set."""
    last_left = left % 2 or (left and not right % 2)
    return left - 1 if last_left else left


def _asked_of(light: Light, *, first: bool, lead: bool) -> Light:
    """What is asked of one leaf: what a set has once is told where it is."""
    change: dict[str, object] = {} if first else dict(_WITHOUT_VENT)
    return light.model_copy(update=change | ({} if lead else _WITHOUT_HANDLE))


def _leaf(sight: Rect, start_mm: float, width_mm: float, section: Row) -> Rect:
    at = Rect(x_mm=start_mm, y_mm=sight.y_mm, width_mm=width_mm, height_mm=sight.height_mm)
    return at.inset(top_mm=section["head_gap_mm"], bottom_mm=section["sill_gap_mm"])


def in_words(light: Light, leaves: Sequence[str]) -> str:
    """A set by its leaves as it was placed.

    >>> in_words(Light(opens="bi_fold"), ["fold_left", "fold_left_back", "traffic_left"])
    'bi-fold set of 3: 3 fold left, traffic leaf 3'
    """
    slides = [way_of(each).slides for each in leaves]
    each_way = [f"{slides.count(side)} fold {side}" for side in ("left", "right") if side in slides]
    alone = [f"{n}" for n, each in enumerate(leaves, 1) if each.startswith("traffic")]
    used = f"traffic leaf {' and '.join(alone)}" if alone else "no traffic leaf"
    return f"{way_of(light.opens).words} of {len(leaves)}: {' and '.join(each_way)}, {used}"
