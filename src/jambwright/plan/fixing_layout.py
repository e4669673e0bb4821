"""Where the fixings go: corner distance, centres, clear of mullions and transoms, a minimum a side.

Positions on the jambs are measured up from the bottom of the frame, on head and sill from the left.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal

from jambwright.basis import Clause, Problem, table
from jambwright.basis.units import show_mm
from jambwright.checks.fixings import Side

Head = Literal["drilled", "straps", "by_width", "none"]
"""How the head is held: through the frame by the common rule; where the lintel may not be drilled and the width
asks for fixings, by straps at both ends bent back into the side reveals, or by lugs where its maker allows them;
or not at all."""
FixedTo = Literal["wall", "lintel", "side reveals", "nothing"]

STRAP_MM = 75.0
"""A strap that is bent back into the side reveal stands so near the head's end. Common practice, no published
source."""

NHBC = Clause("NHBC Standards", "6.7.11", "read")


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """The rules of position; the house's values and the published ones stand in ``fixing_rules``."""

    edge_mm: float
    """Corner to the first fixing."""
    edge_most_mm: float
    centres_mm: float
    clear_mm: float
    """From the centre line of a mullion or transom."""
    jamb_minimum: int
    sill_minimum: int
    head_minimum: int
    jamb_habit: int
    """Fixings a jamb gets by good habit, where they stay ``habit_centres_mm`` apart."""
    habit_centres_mm: float
    closest_mm: float


@cache
def house_rules() -> Rules:
    """First at 150 mm from the corner, at most 500 mm apart, 150 mm clear of bars."""
    of = {row["name"]: row["house"] for row in table("fixing_rules")}
    return Rules(
        edge_mm=of["edge_mm"],
        edge_most_mm=table("fixing_rules").find(name="edge_mm")["published_most"],
        centres_mm=of["centres_mm"],
        clear_mm=of["clear_mm"],
        jamb_minimum=int(of["jamb_minimum"]),
        sill_minimum=int(of["sill_minimum"]),
        head_minimum=int(of["head_minimum"]),
        jamb_habit=int(of["jamb_habit"]),
        habit_centres_mm=of["habit_centres_mm"],
        closest_mm=of["closest_mm"],
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SideFixings:
    """Fixings of one side: where, how the frame is held there, and the rules that could not be met."""

    side: Side
    positions_mm: tuple[float, ...]
    held_by: Literal["screw", "lug", "none"] = "screw"
    fixed_to: FixedTo = "wall"
    """What they go into."""
    ask_maker_mm: tuple[float, ...] = ()
    """Where the width asks for a fixing in a lintel that only its maker can allow."""
    why: str = ""
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FixingLayout:
    """Fixings of a whole frame."""

    left: SideFixings
    right: SideFixings
    head: SideFixings
    sill: SideFixings

    def __iter__(self) -> Iterator[SideFixings]:
        """Left, right, head, sill."""
        return iter((self.left, self.right, self.head, self.sill))

    @property
    def count(self) -> int:
        """All fixings of the frame."""
        return sum(len(side.positions_mm) for side in self)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Rules that could not be met, side by side."""
        return tuple(problem for side in self for problem in side.problems)


def fixing_layout(
    *,
    width_mm: float,
    height_mm: float,
    mullions_mm: Sequence[float] = (),
    transoms_mm: Sequence[float] = (),
    rules: Rules | None = None,
    head: Head = "drilled",
    head_basis: str = "closer",
    at_least: Mapping[Side, int] | None = None,
    lugs: bool = False,
) -> FixingLayout:
    """Positions on all four sides. ``at_least`` raises the number on a side, as strength may ask; ``lugs`` stand
    where screws would.

    Mullions are centre lines from the left, transoms from the bottom. Source: NHBC Standards 6.7.11 and the
    house rules of ``fixing_rules``.

    >>> fixing_layout(width_mm=800, height_mm=1200).left.positions_mm
    (150.0, 600.0, 1050.0)
    """
    by = rules or house_rules()
    more = at_least or {}
    habit = by.jamb_habit if height_mm - 2 * by.edge_mm >= by.habit_centres_mm * (by.jamb_habit - 1) else 0
    jamb = max(by.jamb_minimum, habit)
    screwed = FixingLayout(
        left=_side("left", height_mm, transoms_mm, by, max(jamb, more.get("left", 0))),
        right=_side("right", height_mm, transoms_mm, by, max(jamb, more.get("right", 0))),
        head=_head(width_mm, mullions_mm, by, head, head_basis, more.get("head", 0)),
        sill=_side("sill", width_mm, mullions_mm, by, max(by.sill_minimum, more.get("sill", 0))),
    )
    return _by_lugs(screwed) if lugs else screwed


def _by_lugs(layout: FixingLayout) -> FixingLayout:
    """The same places held by lugs in place of screws."""
    left, right, head, sill = (
        replace(side, held_by="lug") if side.held_by == "screw" else side for side in layout
    )
    return FixingLayout(left=left, right=right, head=head, sill=sill)


def _side(
    side: Side,
    length_mm: float,
    bars_mm: Sequence[float],
    rules: Rules,
    least: int,
) -> SideFixings:
    """Fewest fixings that keep the rules, evenly spread and moved clear of bars."""
    room = length_mm - 2 * rules.edge_mm
    if room < rules.closest_mm:
        return _single(side, length_mm, bars_mm, rules, least)
    fewest = max(least, 2, math.ceil(room / rules.centres_mm - 1e-9) + 1)
    most = max(fewest, math.floor(room / rules.closest_mm)) + len(bars_mm) + 1
    tried: list[tuple[float, ...]] = []
    for n in range(fewest, most + 1):
        even = [rules.edge_mm + room * i / (n - 1) for i in range(n)]
        tried.append(_clear_of_bars(even, bars_mm, rules, length_mm))
        if _over(tried[-1], length_mm, rules) == 0 and len(tried[-1]) >= least:
            break
    best = min(tried, key=lambda at: (_over(at, length_mm, rules), len(at) < least))
    return SideFixings(
        side=side, positions_mm=best,
        problems=tuple(_unmet(side, best, length_mm, bars_mm, rules, least)),
    )  # fmt: skip


def _single(
    side: Side,
    length_mm: float,
    bars_mm: Sequence[float],
    rules: Rules,
    least: int,
) -> SideFixings:
    at = (length_mm / 2,)
    problems = list(_too_near(side, at, bars_mm, rules))
    if least > 1:
        problems.append(
            _caution(
                side,
                f"is {show_mm(length_mm)} mm long, so only one fixing keeps {show_mm(rules.edge_mm)} mm from "
                f"the corners where {least} are wanted; it stands in the middle.",
            )
        )
    return SideFixings(side=side, positions_mm=at, problems=tuple(problems))


def _head(
    width_mm: float, bars_mm: Sequence[float], rules: Rules, head: Head, basis: str, at_least: int
) -> SideFixings:
    if head == "drilled":
        drilled = _side("head", width_mm, bars_mm, rules, max(rules.head_minimum, at_least))
        return replace(drilled, fixed_to="lintel")
    rows = [row for row in table("head_fixings") if row["basis"] == basis]
    wanted = max((int(row["fixings"]) for row in rows if width_mm >= row["from_mm"]), default=0)
    if head == "none" or max(wanted, at_least) == 0:
        return SideFixings(
            side="head", positions_mm=(), held_by="none", fixed_to="nothing",
            why="The lintel may not be drilled: the head is bedded in foam and loads the tops of the jambs.",
            problems=_head_left_out(width_mm, wanted),
        )  # fmt: skip
    if head == "straps":
        return _straps(width_mm, bars_mm, rules, wanted)
    at = _along_head(width_mm, bars_mm, rules, max(wanted, at_least))
    return SideFixings(
        side="head", positions_mm=at, held_by="lug", fixed_to="lintel", ask_maker_mm=at,
        why="The lintel may not be drilled: lugs to it only where its maker allows.",
        problems=tuple(_too_near("head", at, bars_mm, rules)),
    )  # fmt: skip


def _along_head(width_mm: float, bars_mm: Sequence[float], rules: Rules, n: int) -> tuple[float, ...]:
    """Evenly along the head, clear of bars."""
    return _clear_of_bars([width_mm * i / (n + 1) for i in range(1, n + 1)], bars_mm, rules, width_mm)


def _straps(width_mm: float, bars_mm: Sequence[float], rules: Rules, wanted: int) -> SideFixings:
    """A strap at each end; what the width asks for between them is for the lintel's maker to allow."""
    end = min(STRAP_MM, width_mm / 4)
    ask = _along_head(width_mm, bars_mm, rules, wanted)
    places = ", ".join(show_mm(x) for x in ask)
    say = (
        f"is held by straps at both ends only; a frame {show_mm(width_mm)} mm wide asks for more at {places} mm "
        "from the left. The lintel may not be drilled: ask its maker whether it may be there."
    )
    return SideFixings(
        side="head", positions_mm=(end, width_mm - end), held_by="lug", fixed_to="side reveals",
        ask_maker_mm=ask,
        why="The lintel may not be drilled: straps bent back into the side reveals near the head.",
        problems=(_caution("head", say),) if ask else (),
    )  # fmt: skip


def _head_left_out(width_mm: float, wanted: int) -> tuple[Problem, ...]:
    if not wanted:
        return ()
    return (
        _caution("head", f"has no fixing, though a frame {show_mm(width_mm)} mm wide asks for {wanted}; "
                 "use lugs or ask the maker of the lintel."),
    )  # fmt: skip


def _clear_of_bars(
    even_mm: Sequence[float], bars_mm: Sequence[float], rules: Rules, length_mm: float
) -> tuple[float, ...]:
    """Move positions out of the strips kept clear of bars; one on a centre line becomes one each side."""
    low, high = rules.edge_mm, length_mm - rules.edge_mm
    strips = _strips(bars_mm, rules.clear_mm)
    moved: set[float] = set()
    for x in even_mm:
        strip = next(((a, b) for a, b in strips if a + 1e-6 < x < b - 1e-6), None)
        if strip is None:
            moved.add(round(x, 3))
            continue
        ends = [round(end, 3) for end in strip if low <= end <= high] or [round(x, 3)]
        nearest = min(abs(end - x) for end in ends)
        moved.update(end for end in ends if abs(end - x) <= nearest + 1e-3)
    return tuple(sorted(moved))


def _strips(bars_mm: Sequence[float], clear_mm: float) -> list[tuple[float, float]]:
    """Stretches to keep clear, those that overlap joined into one."""
    joined: list[tuple[float, float]] = []
    for bar in sorted(bars_mm):
        a, b = bar - clear_mm, bar + clear_mm
        if joined and a < joined[-1][1]:
            joined[-1] = (joined[-1][0], b)
        else:
            joined.append((a, b))
    return joined


def _over(at_mm: Sequence[float], length_mm: float, rules: Rules) -> float:
    """How far the widest centres and the corners are past the rules, mm; 0 when they keep them."""
    centres = max((b - a for a, b in itertools.pairwise(at_mm)), default=0.0)
    corner = max(at_mm[0], length_mm - at_mm[-1])
    return round(max(centres - rules.centres_mm, corner - rules.edge_most_mm, 0.0), 2)


def _unmet(
    side: Side, at_mm: Sequence[float], length_mm: float, bars_mm: Sequence[float], rules: Rules, least: int
) -> Iterator[Problem]:
    yield from _too_near(side, at_mm, bars_mm, rules)
    widest = max((b - a for a, b in itertools.pairwise(at_mm)), default=0.0)
    if widest > rules.centres_mm + 0.01:
        yield _caution(
            side,
            f"has fixings {show_mm(widest)} mm apart where {show_mm(rules.centres_mm)} is the most: bars "
            f"stand so close that none fits {show_mm(rules.clear_mm)} mm clear of them. Put a lug or a plate "
            "at the bar's foot.",
        )
    corner = max(at_mm[0], length_mm - at_mm[-1])
    if corner > rules.edge_most_mm + 0.01:
        yield _caution(
            side,
            f"has its first fixing {show_mm(corner)} mm from the corner where {show_mm(rules.edge_most_mm)} "
            "is the most: a bar stands near the corner.",
        )
    if len(at_mm) < least:
        yield _caution(side, f"has room for {len(at_mm)} fixings where {least} are wanted.")


def _too_near(
    side: Side, at_mm: Sequence[float], bars_mm: Sequence[float], rules: Rules
) -> Iterator[Problem]:
    for x in at_mm:
        for bar in bars_mm:
            if abs(x - bar) < rules.clear_mm - 0.01:
                yield _caution(
                    side,
                    f"has its fixing at {show_mm(x)} mm only {show_mm(abs(x - bar))} mm from a bar's centre "
                    f"line where {show_mm(rules.clear_mm)} is wanted; there is no room for both rules.",
                )


def _caution(side: Side, say: str) -> Problem:
    name = f"The {side} jamb" if side in ("left", "right") else f"The {side}"
    return Problem(f"{side}_mm", f"{name} {say}", "caution")
