"""The fitting of one frame in its crooked opening: fixings, packers, blocks, joints and the order of work."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from jambwright.basis.problems import Problem
from jambwright.basis.working import Working
from jambwright.checks.fixings import Edges, Face, weight_verdict
from jambwright.checks.fixings import Side as FixedSide
from jambwright.checks.movement import gap_verdict
from jambwright.checks.verdict import Verdict
from jambwright.checks.wind_on_house import OpeningWind
from jambwright.frame.balances import unusual
from jambwright.frame.frame import Chosen, Frame
from jambwright.frame.movement import SEALANT_LEAST_MM, movement_gap
from jambwright.opening import Rectangle, Side, Space
from jambwright.plan.bars import BarPlan, frame_edges, plan_bars
from jambwright.plan.blocks import Block, place_blocks
from jambwright.plan.fixing_layout import FixingLayout, fixing_layout
from jambwright.plan.fixing_strength import FixingPlan, Lay, plan_fixings
from jambwright.plan.joints import FoamJoint, SealantJoint, mean_gap_mm, sealant_depth_mm
from jambwright.plan.lifts import Lifts, plan_lifts
from jambwright.plan.order_of_work import Condition, WorkStep, order_of_work
from jambwright.plan.packers import CARRYING, PackingPoint, packing_points
from jambwright.plan.places_to_pack import places_to_pack, runs_in_channel
from jambwright.plan.side_joints import SideJoint, side_joints
from jambwright.readings.declared import Declared
from jambwright.readings.survey import Opening
from jambwright.readings.usual import Wall

IN_CHANNEL = Problem(
    "fixings.jambs",
    "A sash slides in the jambs: nothing is screwed through the balance channel or box, lugs hold the frame.",
    "caution",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What the screws bite into, and how far they stand from the nearest face of it."""

    substrate: str
    edge_mm: float
    face: Face


HEAD_OF_FOLDS_MM = 5.0
"""What the lintel over leaves that fold on a track below may bend under load, or 1/500 of the span where that is less.
From memory, low: makers differ."""


def head_of_folds(frame: Frame) -> Iterator[Problem]:
    """What stands over a folding set must hardly bend: the leaves jam under a head that comes down."""
    for light in frame.layout.lights:
        if light.made == "bi_fold" and not light.follows:
            row = frame.layout.leaves_at(light.path)
            span = row[-1].sight.right_mm - row[0].sight.x_mm
            most = min(HEAD_OF_FOLDS_MM, span / 500)
            say = (
                f"Leaves {row[0].mark} to {row[-1].mark} fold: what stands over them may come down at most {most:.1f} "
                "mm under load (for a set that runs on the track below; from memory, low). Ask a structural engineer "
                "whether the lintel does, hang no leaf from the head without him, and leave 5 to 10 mm over the frame "
                "that no packer fills tight."
            )
            yield Problem("lintel.folds", say, "caution")


def ground_of(wall: Wall, chosen: Chosen, *, substrate: str | None, behind_nibs: bool) -> Ground:
    """The leaf that the middle of the frame stands in and its nearest face; behind nibs the inner leaf.

    ``substrate`` is what the survey says instead. In a wall without a cavity, or one closed by a brick return,
    the screw bites into a wall that goes on from leaf to leaf.
    """
    into = chosen.set_back_mm + chosen.profile.frame_depth_mm / 2
    has_inner = wall.inner_leaf != "none" and wall.inner_mm > 0
    back = wall.outer_mm + ((wall.cavity_mm + wall.inner_mm) if has_inner else 0.0)
    in_outer, in_inner = wall.outer_mm - into, into - wall.outer_mm - wall.cavity_mm
    inner = has_inner and (behind_nibs or in_inner > 0)
    seen = wall.closer != "unknown"
    faces: dict[Face, float]
    if wall.closer == "brick_return" or (has_inner and wall.cavity_mm == 0):
        faces = {"outer": into, "room": back - into}
    elif inner:
        faces = {"inner cavity" if seen else "unseen cavity": in_inner, "room": back - into}
    else:
        cavity: Face = "cavity" if seen else "unseen cavity"
        faces = {"outer": into, cavity if has_inner else "room": in_outer}
    face = min(faces, key=faces.__getitem__)
    return Ground(
        substrate=substrate or (wall.inner_leaf if inner else wall.outer_leaf),
        edge_mm=max(faces[face], 0.0),
        face=face,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting:
    """Everything the fitter does to one frame. Positions are in the frame's own coordinates."""

    fixings: FixingLayout
    fixing_plan: FixingPlan | None
    """Kind, length and strength of the fixings; ``None`` while the wind is not known."""
    bars: tuple[BarPlan, ...]
    packers: tuple[PackingPoint, ...]
    blocks: Mapping[str, tuple[Block, ...]]
    """By light mark."""
    lifts: Lifts
    glass_in: tuple[str, ...]
    """Marks of the lights whose glass or panel is put in on site."""
    sealant: tuple[SealantJoint, ...]
    foam: tuple[FoamJoint, ...]
    steps: tuple[WorkStep, ...]
    verdicts: tuple[Verdict, ...]
    """Whether fixings and bars carry the wind, packers the weight, and the joints the movement."""
    problems: tuple[Problem, ...]
    joints: tuple[SideJoint, ...] = ()
    """Side by side, as they are built up; a plan kept before there were any has none."""


def plan_fitting(
    frame: Frame,
    space: Space,
    opening: Opening,
    *,
    ground: Ground,
    wind: OpeningWind | None,
    conditions: frozenset[Condition],
    nibs: frozenset[Side] = frozenset(),
    kind: str | None = None,
    lugs: bool = False,
    packers_mm: Sequence[float] | None = None,
) -> Fitting:
    """Plan the fitting of a frame that stands in the space of its hole at ``frame.size.place_mm``.

    ``nibs`` are the sides where the outer leaf laps in front of it. Fixings follow the rules of position; where
    the wind is known they are added until it is carried. ``kind`` of fixing and ``packers_mm`` are what the firm
    carries; left out, any of the tables. ``lugs`` hold it in place of screws.
    """
    wanted = opening.wanted
    in_channel = any(runs_in_channel(frame))
    lugs = lugs or in_channel
    lay = partial(
        fixing_layout,
        width_mm=frame.width_mm,
        height_mm=frame.height_mm,
        mullions_mm=frame.layout.centre_lines_mm("mullion"),
        transoms_mm=frame.layout.centre_lines_mm("transom"),
        head="drilled" if opening.lintel.may_drill else "straps",
        lugs=lugs,
    )
    fixing_plan: FixingPlan | None = None
    bars: tuple[BarPlan, ...] = ()
    if wind:
        edges = frame_edges(wanted.layout, frame.layout, wind_pa=wind.governing_pa)
        fixing_plan = _strong_fixings(frame, lay, edges, ground, wanted.declared, kind, lugs=lugs)
        bars = plan_bars(edges, frame.chosen.profile, wanted.declared)
    layout = fixing_plan.held.layout if fixing_plan else lay()
    x, y = frame.size.place_mm
    stands = Rectangle(x=x, y=y, width=frame.width_mm, height=frame.height_mm)
    packers, packer_problems = packing_points(
        space,
        stands,
        places_to_pack(frame, layout),
        sill_height_mm=frame.size.sill_height_mm,
        carried_mm=packers_mm,
    )
    blocks, block_problems = _blocks(frame, wanted.dropped_sash_mm)
    sealant, foam = _joints(frame, nibs)
    lifts = plan_lifts(frame)
    glass_in = tuple(_glass_in(frame, lifts, layout))
    comes: Condition = "heavy" if lifts.unglazed else "fixed_glass" if glass_in else "glazed"
    return Fitting(
        fixings=layout,
        fixing_plan=fixing_plan,
        bars=bars,
        packers=packers,
        blocks=blocks,
        lifts=lifts,
        glass_in=glass_in,
        sealant=sealant,
        foam=foam,
        joints=side_joints(frame.size.gaps_mm, sealant, foam, frame_mm=(frame.width_mm, frame.height_mm)),
        steps=order_of_work(conditions | {comes}),
        verdicts=(
            *((fixing_plan.verdict,) if fixing_plan else ()),
            *(bar.verdict for bar in bars),
            _weight(frame, packers, layout),
            *_movement(frame, nibs),
        ),
        problems=(
            *(fixing_plan.problems if fixing_plan else layout.problems),
            *dict.fromkeys(doubt for bar in bars for doubt in bar.doubts),
            *packer_problems,
            *block_problems,
            *((IN_CHANNEL,) if in_channel else ()),
            *unusual(frame.balances),
            *head_of_folds(frame),
        ),
    )


def _glass_in(frame: Frame, lifts: Lifts, layout: FixingLayout) -> Iterator[str]:
    """All of a unit that goes in unglazed; else the fixed glass, which hides the rebate that is drilled through."""
    screwed = any(side.held_by == "screw" and side.positions_mm for side in layout)
    for light in frame.layout.lights:
        if (lifts.unglazed and light.made != "slab") or (not light.opens and screwed):
            yield light.mark


def _strong_fixings(
    frame: Frame,
    lay: Lay,
    edges: Edges,
    ground: Ground,
    declared: Declared | None,
    kind: str | None,
    *,
    lugs: bool,
) -> FixingPlan:
    """Fixings that carry the wind: lugs, or screws from the glazing rebate through the frame."""
    profile = frame.chosen.profile
    widest: dict[FixedSide, float] = {
        "sill" if side == "bottom" else side: max(0.0, *gaps.values())
        for side, gaps in frame.size.gaps_mm.items()
    }
    return plan_fixings(
        lay,
        edges=edges,
        substrate=ground.substrate,
        gaps_mm=widest,
        frame_mm=profile.frame_face_mm - profile.rebate_depth_mm,
        edge_mm=ground.edge_mm,
        declared=declared,
        edge_face=ground.face,
        kind=kind,
        lugs=lugs,
    )


def _weight(frame: Frame, packers: Sequence[PackingPoint], layout: FixingLayout) -> Verdict:
    """Each part's weight comes down at the bars and jambs beside it, the outer frame's at its corners."""
    lines = (0.0, *frame.layout.centre_lines_mm("mullion"), frame.width_mm)
    masses = dict.fromkeys(lines, 0.0)
    outer = sum(piece.mass_kg for piece in frame.pieces if piece.kind == "frame")
    for line in (lines[0], lines[-1]):
        masses[line] += outer / 2
    for light in frame.layout.lights:
        kg = sum(piece.mass_kg for piece in frame.pieces if piece.light == light.mark)
        sides = (light.sight.x_mm, light.sight.right_mm)
        if light.is_paired or light.made == "stable_door":  # it hangs whole on its own jamb
            sides = (sides[0],) * 2 if light.moves.hangs == "left" else (sides[1],) * 2
        for side in sides:
            masses[min((abs(line - side), line) for line in lines)[1]] += kg / 2
    return weight_verdict(
        width_mm=frame.width_mm,
        at_mm=list(masses),
        masses_kg=list(masses.values()),
        # packers beside the fixings stop the screws from bowing the frame; the weight goes to these
        packers_mm=[
            point.at_mm
            for point in packers
            if point.side == "bottom" and not CARRYING.isdisjoint(point.reasons)
        ],
        jamb_fixings=len(layout.left.positions_mm) + len(layout.right.positions_mm),
    )


def _movement(frame: Frame, nibs: frozenset[Side]) -> Iterator[Verdict]:
    """The tightest joint across and down the frame, and the widest where it is too wide to seal.

    Behind a nib nothing is sealed but the nib itself.
    """
    across: tuple[Side, Side] = ("left", "right")
    down: tuple[Side, Side] = ("head", "bottom")
    material, colour = frame.chosen.profile.material, frame.chosen.colour
    for sides, length in ((across, frame.width_mm), (down, frame.height_mm)):
        working = Working()
        wanted = movement_gap(material=material, colour=colour, length_mm=length, work=working)
        gaps = [mm for side in sides for mm in frame.size.gaps_mm[side].values()]
        under_sill = frame.sill is not None and sides == down
        tight = min(frame.size.gaps_mm["head"].values()) if under_sill else min(gaps)
        yield gap_verdict(got_mm=tight, wanted=wanted, working=working)
        sealed = [mm for side in sides if side not in nibs for mm in frame.size.gaps_mm[side].values()]
        if sealed and max(sealed) > wanted.gap_most_mm:
            yield gap_verdict(got_mm=max(sealed), wanted=wanted, working=working)


def _blocks(frame: Frame, sag_mm: float) -> tuple[dict[str, tuple[Block, ...]], list[Problem]]:
    blocks: dict[str, tuple[Block, ...]] = {}
    problems: list[Problem] = []
    for light in frame.layout.lights:
        if light.made == "slab" and frame.glazing[light.mark] is None:
            blocks[light.mark] = ()  # made in one piece
            continue
        blocks[light.mark], found = place_blocks(
            light.way.kind,
            glass_width_mm=light.glass.width_mm,
            glass_height_mm=light.glass.height_mm,
            edge_clearance_mm=frame.chosen.profile.edge_clearance_mm,
            sag_mm=sag_mm if light.way.clear == "side" else 0.0,
        )
        problems += found
    return blocks, problems


def _joints(frame: Frame, nibs: frozenset[Side]) -> tuple[tuple[SealantJoint, ...], tuple[FoamJoint, ...]]:
    """One sealant and one foam joint a side, from the true gaps. A door's threshold is bedded, not foamed.

    At a nib the bead runs in the corner of nib and frame, and the gap to the reveal behind it is all foam.
    """
    sealant: list[SealantJoint] = []
    foam: list[FoamJoint] = []
    for side, gaps in frame.size.gaps_mm.items():
        length_m = 1e-3 * (frame.height_mm if side in ("left", "right") else frame.width_mm)
        first, middle, last = gaps.values()
        width = max(0.0, mean_gap_mm(first, middle, last))
        seal = SEALANT_LEAST_MM if side in nibs else width
        depth = float(sealant_depth_mm(width_mm=seal))
        sealant.append(
            SealantJoint(length_m=length_m, width_mm=round(seal, 1), depth_mm=depth, against_nib=side in nibs)
        )
        if not (side == "bottom" and frame.chosen.kind == "door"):
            behind = frame.chosen.profile.frame_depth_mm - (0.0 if side in nibs else depth)
            foam.append(FoamJoint(length_m=length_m, gap_mm=width, depth_mm=behind))
    return tuple(sealant), tuple(foam)
