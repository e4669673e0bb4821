"""The plan of a house as plain values: what `plan.json` holds. Versioned; its JSON Schema is shipped."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from pydantic import BaseModel, ConfigDict

from jambwright import __version__
from jambwright.checks.rules_on_house import OpeningRules
from jambwright.checks.verdict import Verdict, Word
from jambwright.paper.rule_words import lines
from jambwright.plan.house import HousePlan, OpeningPlan
from jambwright.plan.packers import Reason
from jambwright.plan.saving import HouseSaving


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
    reasons: list[Reason]
    """Why it is packed there."""


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
    light: str | None
    """Mark of the light it belongs to."""
    mass_kg: float


class HeatLine(Line):
    """Heat of one unit."""

    u_w_m2k: float
    """At its own size, unrounded."""
    reference_u_w_m2k: float
    """At the reference size, where index and band are declared."""
    index_kwh_m2: float
    band: str
    band_sure: bool
    """False near an edge: the rounded index may fall into the next band."""


class HouseHeatLine(Line):
    """Heat of all units, weighted by area."""

    u_w_m2k: float
    index_kwh_m2: float
    band: str
    band_sure: bool


class RangeLine(Line):
    """From low to high."""

    low: float
    likely: float
    high: float


class SavingLine(Line):
    """What the work saves in a year: a modelled estimate, never a promise."""

    area_m2: float
    before_u_w_m2k: float
    after_u_w_m2k: float
    heat_kwh: RangeLine
    draught_kwh: tuple[float, float]
    """Beside the rest, the old leakage taken."""
    fuel_kwh: RangeLine | None
    co2_kg: RangeLine | None
    money: RangeLine | None
    payback: str | None
    assumptions: list[str]
    missing: list[str]
    """What must be given for what is left out."""


class RuleLine(Line):
    """One finding of one rule."""

    rule: str
    verdict: Word
    limit: str
    found: str
    source: str
    """Document with the days it is in force, and the place in it."""
    how: str
    """How sure we are of the copy."""
    why: str


class RemedyLine(Line):
    """One way to change the order so that it passes; a choice."""

    say: str
    changes: list[str]


class OpeningRulesLine(Line):
    """What the rules say of one opening."""

    findings: list[RuleLine]
    remedies: list[RemedyLine]
    not_mended: list[str]
    """Rules that fail and that no change tried mends."""
    assumed: list[str]
    air_told_at: str | None
    """The opening of the same room under which the room's air is told."""


class BehindNibsLine(Line):
    """A frame behind the nibs of a rebated reveal; it goes in from inside."""

    laps_mm: dict[str, tuple[float, float, float]]
    """How far each nib laps over the frame: at the ends and the middle of its side."""
    wider_mm: float
    """Than the largest true frame that the hole seen from outside would let through."""
    higher_mm: float
    """The same of the height, with the sill."""


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
    """To the wall: behind nibs, to the inner reveal."""
    behind_nibs: BehindNibsLine | None
    """None in a straight reveal."""
    hold: list[str]
    """Why it must not be ordered yet, and what to measure."""
    mullions_mm: list[float]
    transoms_mm: list[float]
    lights: list[LightLine]
    sill: SillLine | None
    fixings: dict[str, FixingsLine]
    packers: list[PackerLine]
    blocks: list[BlockLine]
    pieces: list[PieceLine]
    whole_kg: float
    heat: HeatLine
    cautions: list[str]
    remarks: list[str]
    rules: OpeningRulesLine


class PlanFile(Line):
    """The plan of a house."""

    jambwright_plan: Literal[1] = 1
    made_with: str
    house: str
    note: str
    heat: HouseHeatLine
    saving: SavingLine | None
    """None where no old glazing was looked at."""
    openings: list[OpeningLine]
    rules: list[RuleLine]
    """Findings on the house and the work as a whole."""


def plan_file(plan: HousePlan, saving: HouseSaving | None) -> PlanFile:
    """The plan as plain values."""
    return PlanFile(
        made_with=f"jambwright {__version__}",
        house=plan.survey.site.label,
        note=plan.survey.note,
        heat=HouseHeatLine(
            u_w_m2k=plan.heat.u_w_m2k,
            index_kwh_m2=plan.heat.index_kwh_m2,
            band=plan.heat.band.band,
            band_sure=plan.heat.band.sure,
        ),
        saving=saving and _saving(saving),
        openings=[_opening(each, plan.rules_on(each)) for each in plan.openings],
        rules=_findings(plan.rules.house),
    )


def _saving(saving: HouseSaving) -> SavingLine:
    ranges = {name: getattr(saving, name) for name in ("heat_kwh", "fuel_kwh", "co2_kg", "money")}
    plain = ("area_m2", "before_u_w_m2k", "after_u_w_m2k", "draught_kwh", "payback")
    return SavingLine(
        **{name: getattr(saving, name) for name in plain},
        **{
            name: value and RangeLine(low=value.low, likely=value.likely, high=value.high)
            for name, value in ranges.items()
        },
        assumptions=list(saving.assumptions),
        missing=list(saving.missing),
    )


def _findings(verdicts: Sequence[Verdict], name: str = "") -> list[RuleLine]:
    return [
        RuleLine(
            rule=line.rule,
            verdict=line.word,
            limit=line.limit,
            found=line.found,
            source=f"{line.document}, {line.place}".strip(", "),
            how=line.how,
            why=line.say,
        )
        for line in lines(verdicts, name)
    ]


def _rules(rules: OpeningRules, name: str) -> OpeningRulesLine:
    return OpeningRulesLine(
        findings=_findings(rules.verdicts, name),
        remedies=[
            RemedyLine(say=choice.say, changes=[change.say for change in choice.changes])
            for choice in rules.remedies.choices
        ],
        not_mended=[verdict.rule for verdict in rules.remedies.beyond],
        assumed=list(rules.assumed),
        air_told_at=rules.air_told_at,
    )


def _opening(plan: OpeningPlan, rules: OpeningRules) -> OpeningLine:
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
        behind_nibs=BehindNibsLine.model_validate(plan.lapped, from_attributes=True) if plan.lapped else None,
        hold=list(plan.doubts),
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
        pieces=[
            PieceLine(name=piece.name, light=piece.light, mass_kg=piece.mass_kg) for piece in frame.pieces
        ],
        whole_kg=frame.whole_kg,
        heat=HeatLine(
            u_w_m2k=plan.heat.unit.real.u_w_m2k,
            reference_u_w_m2k=plan.heat.unit.reference.u_w_m2k,
            index_kwh_m2=plan.heat.unit.index_kwh_m2,
            band=plan.heat.unit.band.band,
            band_sure=plan.heat.unit.band.sure,
        ),
        cautions=[caution.text for caution in plan.cautions],
        remarks=[remark.say for remark in plan.remarks],
        rules=_rules(rules, plan.name),
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
                glass_kg=frame.infill_kg(light.mark),
            )
        )
    return lines
