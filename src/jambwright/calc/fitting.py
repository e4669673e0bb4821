"""Calculations by name: what is decided for the fitting of one opening."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field

from jambwright.basis.border import Positive, Strict
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.plan.blocks import place_blocks


class BlocksAsked(Strict):
    """One pane or panel and how its light opens."""

    opening: str
    """How the light opens, hinge side as seen from outside."""
    glass_width_mm: Positive
    glass_height_mm: Positive
    edge_clearance_mm: Positive = 5.0
    sag_mm: Annotated[float, Field(ge=0)] = 0.0
    """How far the sash has dropped at the lock side."""


class BlockLine(Answer):
    """One block."""

    edge: Literal["bottom", "top", "left", "right"]
    from_corner_mm: float
    """From `corner` to the middle of the block."""
    corner: Literal["left", "right", "top", "bottom", "middle"]
    role: Literal["setting", "location"]
    thickness_mm: float
    length_mm: float


class BlocksAnswer(Answer):
    """Where the blocks go."""

    blocks: list[BlockLine]
    problems: list[dict[str, str]]


def _blocks(asked: BlocksAsked, work: Working) -> BlocksAnswer:
    blocks, problems = place_blocks(
        asked.opening,
        glass_width_mm=asked.glass_width_mm,
        glass_height_mm=asked.glass_height_mm,
        edge_clearance_mm=asked.edge_clearance_mm,
        sag_mm=asked.sag_mm,
        work=work,
    )
    lines = [
        BlockLine(
            edge=b.edge,
            from_corner_mm=b.from_corner_mm,
            corner=b.corner,
            role=b.role,
            thickness_mm=b.thickness_mm,
            length_mm=b.length_mm,
        )
        for b in blocks
    ]
    return BlocksAnswer(blocks=lines, problems=[p.as_json() for p in problems])


CALCULATIONS: tuple[Calculation[Any], ...] = (
    Calculation(
        name="glazing-blocks",
        summary="where the glass rests and is held, heel and toe",
        asks=BlocksAsked,
        answers=BlocksAnswer,
        run=_blocks,
        example={"opening": "side_hung_left", "glass_width_mm": 560, "glass_height_mm": 1010},
    ),
)
