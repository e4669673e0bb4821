"""Handling and access notes for one opening: who lifts what, what goes in unglazed, cups, ladders, towers.

Cautions only: they defer to the firm's own assessment, the maker's manual and local codes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from jambwright.basis import Clause, Problem, clause, table
from jambwright.basis.problems import raise_if_any
from jambwright.checks.figures import Figures
from jambwright.checks.lifting import Lift, lift


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One piece as it is carried."""

    name: str
    mass_kg: float
    kind: Literal["frame", "sash", "door", "glass", "sill"]
    area_m2: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """One caution with its source."""

    say: str
    source: Clause


@dataclass(frozen=True, slots=True, kw_only=True)
class Handling:
    """What the fitters must know before they lift."""

    lifts: tuple[tuple[Piece, Lift], ...]
    whole: Lift
    """All pieces as one glazed unit."""
    fit_unglazed: bool
    notes: tuple[Note, ...]

    @property
    def heaviest(self) -> tuple[Piece, Lift]:
        """The heaviest piece and its lift."""
        return max(self.lifts, key=lambda pair: pair[0].mass_kg)


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


def handling(pieces: Sequence[Piece], *, storey: int, people: int = 2) -> Handling:
    """Lifts piece by piece and the cautions that go with them. ``storey`` 0 is the ground floor.

    Raises ``BadInput`` for no pieces, a piece without mass, a storey below ground.
    """
    _check(pieces, storey)
    lifts = tuple((piece, lift(mass_kg=piece.mass_kg, people=people)) for piece in pieces)
    whole = lift(mass_kg=sum(piece.mass_kg for piece in pieces), people=people)
    unglazed = whole.word != "meets" and any(piece.kind == "glass" for piece in pieces)
    notes = (
        *_over_the_filter(lifts),
        *(_unglazed(whole) if unglazed else ()),
        *_glass(pieces),
        *(_upstairs(pieces) if storey > 0 else _ladder(pieces)),
    )
    return Handling(lifts=lifts, whole=whole, fit_unglazed=unglazed, notes=notes)


def _check(pieces: Sequence[Piece], storey: int) -> None:
    problems = [
        Problem("mass_kg", f"{piece.name}: {piece.mass_kg:g} kg can't be; work its mass out again.")
        for piece in pieces
        if piece.mass_kg <= 0
    ]
    if not pieces:
        problems.append(Problem("pieces", "pieces: nothing to carry; list the frame, sashes and panes."))
    if storey < 0:
        problems.append(Problem("storey", f"storey: {storey} can't be; 0 is the ground floor."))
    raise_if_any(problems)


def _over_the_filter(lifts: Sequence[tuple[Piece, Lift]]) -> Iterator[Note]:
    source = table("lifting_filter").pedigree.source
    for piece, found in lifts:
        if found.word != "meets":
            yield Note(say=f"{piece.name}: {found.what_to_do}", source=source)


def _unglazed(whole: Lift) -> Iterator[Note]:
    yield Note(
        say=f"Fit the frame unglazed: glazed it weighs {whole.mass_kg:.0f} kg, over the "
        f"{whole.allowed_kg:.1f} kg "
        f"filter for {whole.people}. Glaze it when it is fixed.",
        source=table("lifting_filter").pedigree.source,
    )


def _glass(pieces: Sequence[Piece]) -> Iterator[Note]:
    panes = [piece for piece in pieces if piece.kind == "glass"]
    if not panes:
        return
    metres, carrying = rule("carry")
    yield Note(
        say="Carry glass on edge beside the body, in cut-resistant gloves, wrist guards, eye protection "
        "and safety "
        f"shoes; walk the route first, rest after {metres:.0f} m. If it goes, let it fall. Never carry a "
        "cracked pane.",
        source=carrying,
    )
    heaviest = max(panes, key=lambda pane: pane.mass_kg)
    load, cups = rule("cup_load")
    yield Note(
        say=f"{heaviest.name}, {heaviest.mass_kg:.0f} kg: {cups_needed(heaviest.mass_kg)} suction cups at "
        "least, of "
        f"{load:.0f} kg marked load, counted half on upright glass; clean, dry, smooth faces only, never "
        "the only hold "
        "overhead.",
        source=cups,
    )
    large, _ = rule("large_pane")
    mph, wind = rule("stop_wind")
    for pane in panes:
        if pane.area_m2 >= large:
            force = pane_wind_n(area_m2=pane.area_m2, speed_ms=10.0)
            yield Note(
                say=f"{pane.name}: a breeze of 10 m/s pushes it with {force:.0f} N; leave it when the "
                "wind passes "
                f"{mph:.0f} mph.",
                source=wind,
            )


def _ladder(pieces: Sequence[Piece]) -> Iterator[Note]:
    limit, source = rule("ladder_load")
    if any(piece.mass_kg > limit for piece in pieces):
        yield Note(
            say=f"Nothing over {limit:.0f} kg is lifted from a ladder or steps: use a platform.",
            source=source,
        )


def _upstairs(pieces: Sequence[Piece]) -> Iterator[Note]:
    yield from _ladder(pieces)
    rail, law = rule("rail_height")
    yield Note(
        say=f"Work from a tower, platform or scaffold: main rail {rail:.0f} mm or more, gaps "
        f"{rule('rail_gap')[0]:.0f} mm "
        f"or less, toe board {rule('toe_board')[0]:.0f} mm, inspected before use, every "
        f"{rule('inspect_days')[0]:.0f} days and after bad weather.",
        source=law,
    )
    yield Note(
        say="An opening with its window out is an edge to fall from: put a barrier or a restraint inside "
        "before the "
        "old window comes out, and keep people from under it.",
        source=Clause("Work at Height Regulations 2005", "regulation 6", "from memory, high"),
    )
    outside, tower = rule("tower_outside")
    yield Note(
        say=f"Tower height at most {outside:g} times its least base outdoors, {rule('tower_inside')[0]:g} "
        "indoors, "
        f"unless its manual says otherwise; off it when the wind passes {rule('stop_wind')[0]:.0f} mph.",
        source=tower,
    )
