"""The plan of a house as plain values: what `plan.json` holds. Versioned; its JSON Schema is shipped."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict

from jambwright import __version__
from jambwright.plan.house import HousePlan, OpeningPlan


class Line(BaseModel):
    """Base of every part of the plan file."""

    model_config = ConfigDict(extra="forbid", use_attribute_docstrings=True)


class RectLine(Line):
    """An upright rectangle in the frame's own coordinates."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float


class LightLine(Line):
    """One light."""

    mark: str
    opens: str
    swing: str
    door_leaf: bool
    sight: RectLine
    sash: RectLine | None
    glass: RectLine
    glazing: str | None
    """Make-up; none for a panel."""
    glass_kg: float


class SillLine(Line):
    """The frame sill."""

    length_mm: float
    depth_mm: float
    ends: str
    reveal_length_mm: float
    notch_along_mm: float
    notch_back_mm: float
    screws_mm: list[float]


class FixingsLine(Line):
    """Fixings of one side, from the frame's bottom or left end."""

    positions_mm: list[float]
    held_by: str


class PackerLine(Line):
    """One packing point."""

    side: str
    at_mm: float
    gap_mm: float
    packers_mm: list[float]
    why: str


class BlockLine(Line):
    """One glazing block."""

    light: str
    edge: str
    corner: str
    from_corner_mm: float
    role: str
    thickness_mm: float


class PieceLine(Line):
    """Something that is carried."""

    name: str
    mass_kg: float


class OpeningLine(Line):
    """One opening."""

    id: str
    room: str
    kind: str
    order_width_mm: float
    order_height_mm: float
    overall_height_mm: float
    """With the sill."""
    profile: str
    colour: str
    corners_mm: dict[str, tuple[float, float]]
    place_mm: tuple[float, float]
    gaps_mm: dict[str, dict[str, float]]
    mullions_mm: list[float]
    transoms_mm: list[float]
    lights: list[LightLine]
    sill: SillLine | None
    fixings: dict[str, FixingsLine]
    packers: list[PackerLine]
    blocks: list[BlockLine]
    pieces: list[PieceLine]
    whole_kg: float
    cautions: list[str]
    remarks: list[str]


class PlanFile(Line):
    """The plan of a house."""

    jambwright_plan: Literal[1] = 1
    made_with: str
    house: str
    note: str
    openings: list[OpeningLine]


def plan_file(plan: HousePlan) -> PlanFile:
    """The plan as plain values."""
    return PlanFile(
        made_with=f"jambwright {__version__}",
        house=plan.survey.site.label,
        note=plan.survey.note,
        openings=[_opening(each) for each in plan.openings],
    )


def _opening(plan: OpeningPlan) -> OpeningLine:
    frame, fitting = plan.frame, plan.fitting
    return OpeningLine(
        id=plan.opening.id,
        room=plan.opening.room,
        kind=frame.chosen.kind,
        order_width_mm=frame.width_mm,
        order_height_mm=frame.height_mm,
        overall_height_mm=frame.size.overall_height_mm,
        profile=frame.chosen.profile.name,
        colour=frame.chosen.colour,
        corners_mm=plan.outline.corners_mm,
        place_mm=frame.size.place_mm,
        gaps_mm={side: dict(gaps) for side, gaps in frame.size.gaps_mm.items()},
        mullions_mm=list(frame.layout.centre_lines_mm("mullion")),
        transoms_mm=list(frame.layout.centre_lines_mm("transom")),
        lights=_lights(plan),
        sill=SillLine.model_validate(frame.sill, from_attributes=True) if frame.sill else None,
        fixings={
            side.side: FixingsLine(positions_mm=list(side.positions_mm), held_by=side.held_by)
            for side in fitting.fixings
        },
        packers=[PackerLine.model_validate(point, from_attributes=True) for point in fitting.packers],
        blocks=[
            BlockLine(
                light=mark,
                edge=block.edge,
                corner=block.corner,
                from_corner_mm=block.from_corner_mm,
                role=block.role,
                thickness_mm=block.thickness_mm,
            )
            for mark, blocks in fitting.blocks.items()
            for block in blocks
        ],
        pieces=[PieceLine(name=piece.name, mass_kg=piece.mass_kg) for piece in frame.pieces],
        whole_kg=frame.whole_kg,
        cautions=[caution.text for caution in plan.cautions],
        remarks=[remark.say for remark in plan.remarks],
    )


def _lights(plan: OpeningPlan) -> list[LightLine]:
    frame = plan.frame
    lines = []
    for light in frame.layout.lights:
        unit = frame.glazing[light.mark]
        lines.append(
            LightLine(
                mark=light.mark,
                opens=light.wanted.opens,
                swing=light.wanted.swing,
                door_leaf=light.door_leaf,
                sight=RectLine.model_validate(light.sight, from_attributes=True),
                sash=RectLine.model_validate(light.sash, from_attributes=True) if light.sash else None,
                glass=RectLine.model_validate(light.glass, from_attributes=True),
                glazing=str(unit) if unit else None,
                glass_kg=next(
                    piece.mass_kg
                    for piece in frame.pieces
                    if piece.kind in ("glass", "panel") and piece.name.endswith(f" {light.mark}")
                ),
            )
        )
    return lines
