"""Glazing blocks: where the glass rests and where it is held, by how the light opens; heel and toe."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from jambwright.basis.clause import clause
from jambwright.basis.problems import BadInput, Problem
from jambwright.basis.tables import Row, table
from jambwright.basis.working import Working
from jambwright.readings.ways import At, Way, way_of, ways


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One block at an edge of the glass; ``from_corner_mm`` runs from ``corner`` to the block's middle."""

    edge: At
    corner: Literal["left", "right", "top", "bottom", "middle"]
    from_corner_mm: float
    role: Literal["setting", "location"]
    thickness_mm: float
    length_mm: float


def openings() -> tuple[str, ...]:
    """How a light may open, as the block table knows it."""
    return tuple(way.kind for way in ways().values() if way.blocks)


@clause(
    "Geometry of a sash racked about its hinge stile",
    unit="mm",
    formula="toe = clearance + sag",
    how="calculated",
)
def toe_thickness_mm(*, edge_clearance_mm: float, sag_mm: float) -> float:
    """Thickness of the block over the glass at the lock side's top corner.

    The glass stands on its heel at the hinge side, so lifting the sash's head at the lock corner by the sag
    squares it. Millimetres.

    >>> toe_thickness_mm(edge_clearance_mm=5.0, sag_mm=2.0)
    7.0
    """
    return edge_clearance_mm + sag_mm


def place_blocks(
    opening: str,
    *,
    glass_width_mm: float,
    glass_height_mm: float,
    edge_clearance_mm: float = 5.0,
    sag_mm: float = 0.0,
    work: Working | None = None,
) -> tuple[tuple[Block, ...], tuple[Problem, ...]]:
    """Blocks of one pane or panel, and what to mind about them; ``work`` takes the rules and the toe's step.

    Raises ``BadInput`` when the way of opening is not known or there is no room for a block.
    """
    work, rows = work or Working(), _block_rows(opening)
    _note_rules(work, opening, rows)
    rule = {row["rule"]: float(row["value"]) for row in table("glazing_block_rules")}
    least = 2 * rule["least_from_corner_mm"]
    for field, value in (("glass_width_mm", glass_width_mm), ("glass_height_mm", glass_height_mm)):
        if value < least:
            raise BadInput.one(
                field, f"{field}: {value:g} mm leaves no room for blocks; {least:g} mm is the least."
            )
    area_m2 = glass_width_mm * glass_height_mm * 1e-6
    length = max(rule["length_mm"], rule["length_per_m2_mm"] * area_m2)
    toe = toe_edges(way_of(opening))
    blocks = []
    for row in rows:
        run = glass_width_mm if row["edge"] in ("bottom", "top") else glass_height_mm
        is_toe = (row["edge"], row["corner"]) == toe
        thickness = edge_clearance_mm
        if is_toe:
            thickness = work.step("toe", toe_thickness_mm, edge_clearance_mm=edge_clearance_mm, sag_mm=sag_mm)
        blocks.append(
            Block(
                edge=row["edge"],
                corner=row["corner"],
                from_corner_mm=_along(row["place"], run, rule),
                role=row["role"],
                thickness_mm=thickness,
                length_mm=min(length, run / 2),
            )
        )
    return tuple(blocks), tuple(_problems(toe, edge_clearance_mm, sag_mm, rule["least_thickness_mm"]))


def _note_rules(work: Working, opening: str, rows: list[Row]) -> None:
    places, rules = table("glazing_blocks"), table("glazing_block_rules")
    for row in rows:
        where = f"{row['edge']} edge, {row['corner']}"
        work.note(row["role"], row["place"], where, "", places.source(row), opening=opening)
    for row in rules:
        work.note(row["rule"], "", row["value"], row["unit"], rules.source(row))


def _block_rows(opening: str) -> list[Row]:
    """The places of the blocks of a way of opening. Raises ``BadInput`` when none are known."""
    if opening not in openings():
        raise BadInput.one(
            "opening", f"opening: `{opening}` is not known; known are {', '.join(openings())}."
        )
    return [row for row in table("glazing_blocks") if row["opening"] == way_of(opening).blocks]


def toe_edges(way: Way) -> tuple[str, str] | None:
    """Edge and corner of the toe block of a light hung at its side: over the glass at the lock side."""
    return ("top", way.keep) if way.keep in ("left", "right") else None


def _along(place: str, run_mm: float, rule: dict[str, float]) -> float:
    least = rule["least_from_corner_mm"]
    if place == "middle":
        return run_mm / 2
    if place == "quarter":
        return max(least, run_mm / 4)
    return min(max(least, rule["near_corner_mm"]), run_mm / 2)


def _problems(
    toe: tuple[str, str] | None, clearance_mm: float, sag_mm: float, least_mm: float
) -> list[Problem]:
    found = []
    if sag_mm > 0 and toe is None:
        found.append(
            Problem(
                "sag_mm",
                "sag: only a side-hung light can be lifted by its blocks; check the frame.",
                "caution",
            )
        )
    if sag_mm > clearance_mm:
        say = (
            f"sag: {sag_mm:g} mm is more than the {clearance_mm:g} mm edge clearance; "
            "adjust or renew the hinges before blocking."
        )
        found.append(Problem("sag_mm", say, "caution"))
    if clearance_mm < least_mm:
        say = f"edge clearance: {clearance_mm:g} mm is under the {least_mm:g} mm least thickness of a block."
        found.append(Problem("edge_clearance_mm", say, "caution"))
    return found
