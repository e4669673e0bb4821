"""From the plan of an opening to what its drawings show. Figures are taken over, never worked out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from jambwright.basis.tables import table
from jambwright.basis.units import show_mm
from jambwright.paper.blocks_drawing import BlocksView
from jambwright.paper.edge_marks import EdgeMark
from jambwright.paper.elevation import ElevationView
from jambwright.paper.fitting_drawing import FittingView, Gap, Station
from jambwright.paper.planes_drawing import PlaneLeaf, PlanesView
from jambwright.paper.sill_drawing import SillView
from jambwright.paper.symbols import Held
from jambwright.record import (
    SIDES_OF,
    OpeningRecord,
    PackingPoint,
    PlacedLight,
    Rect,
    Side,
    round_all,
    tracks,
)

STATION: dict[str, Station] = {
    "bottom": "start", "left": "start", "middle": "middle", "centre": "middle", "top": "end", "right": "end",
}  # fmt: skip


def fitting_view(plan: OpeningRecord) -> FittingView:
    """The crooked opening with the frame in it."""
    frame = plan.frame
    size = frame.size
    x, y = size.place_mm
    sill = size.sill_height_mm
    return FittingView(
        title=plan.name,
        boundary_mm=plan.hole_mm,
        whole=Rect(x_mm=x, y_mm=y - sill, width_mm=frame.width_mm, height_mm=frame.height_mm + sill),
        nib_edges=plan.nib_edges_mm,
        sill_mm=sill,
        face_mm=frame.chosen.profile.frame_face_mm,
        bars=frame.layout.bars,
        gaps=tuple(
            Gap(side=side, place=STATION[place], mm=mm)
            for side, gaps in size.gaps_mm.items()
            for place, mm in gaps.items()
        ),
        marks=tuple(_marks(plan)),
        size=f"{show_mm(frame.width_mm)} × {show_mm(frame.height_mm)}",
        lean=_lean(plan),
    )


def elevation_view(plan: OpeningRecord) -> ElevationView:
    """The lights from outside."""
    frame = plan.frame
    return ElevationView(
        title=plan.name,
        outer=frame.outer,
        layout=frame.layout,
        sill_length_mm=frame.sill.length_mm if frame.sill else 0.0,
        sill_height_mm=frame.size.sill_height_mm,
        slots=plan.by_sheet.slots,
    )


def planes_views(plan: OpeningRecord) -> list[PlanesView]:
    """Of each light of sliding sashes or panes the planes they slide in, and of folding leaves how they fold."""
    layout, seen = plan.frame.layout, set()
    views = []
    for light in layout.lights:
        leaves = layout.leaves_at(light.path)
        if not light.hung_last or light.path in seen:
            continue
        seen.add(light.path)
        views.append((_folds_view if light.made == "bi_fold" else _planes_view)(plan.name, leaves))
    return views


_TOWARDS = {"up": 1, "right": 1, "down": -1, "left": -1, "": 0}


def _planes_view(name: str, leaves: Sequence[PlacedLight]) -> PlanesView:
    upright = all(leaf.moves.clear == "slide_up" for leaf in leaves)
    planes = tracks([leaf.moves for leaf in leaves]) if not upright else range(1, len(leaves) + 1)
    part, sight = (round_all([getattr(leaf, what) for leaf in leaves]) for what in ("part", "sight"))
    return PlanesView(
        title=f"{name} planes of {leaves[0].mark} to {leaves[-1].mark}",
        upright=upright,
        frame_mm=(part.y_mm, sight.y_mm, sight.top_mm, part.top_mm)
        if upright
        else (part.x_mm, sight.x_mm, sight.right_mm, part.right_mm),
        leaves=tuple(
            PlaneLeaf(
                mark=leaf.mark,
                from_mm=sash.y_mm if upright else sash.x_mm,
                to_mm=sash.top_mm if upright else sash.right_mm,
                plane=plane,
                slides=_TOWARDS[leaf.moves.slides],
            )
            for leaf, plane in zip(leaves, planes, strict=True)
            if (sash := leaf.sash)
        ),
    )


HALF_FOLDED_DEG = 35.0


def _folds_view(name: str, leaves: Sequence[PlacedLight]) -> PlanesView:
    """Folding leaves shut and half folded, seen from above."""
    part, sight = (round_all([getattr(leaf, what) for leaf in leaves]) for what in ("part", "sight"))
    each_way = [[leaf for leaf in leaves if leaf.moves.slides == side] for side in ("left", "right")]
    return PlanesView(
        title=f"{name} leaves {leaves[0].mark} to {leaves[-1].mark}",
        upright=False,
        frame_mm=(part.x_mm, sight.x_mm, sight.right_mm, part.right_mm),
        leaves=tuple(
            PlaneLeaf(mark=leaf.mark, from_mm=sash.x_mm, to_mm=sash.right_mm, plane=1, slides=0)
            for leaf in leaves
            if (sash := leaf.sash)
        ),
        folded=tuple(_folded(folding) for folding in each_way if folding),
    )


def _folded(leaves: Sequence[PlacedLight]) -> tuple[tuple[float, float], ...]:
    """Leaves of one side as one line, swung by turns away from and back to the plane they stand in."""
    to_left = leaves[0].moves.slides == "left"
    sashes = [leaf.sash for leaf in leaves if leaf.sash]
    out = -1.0 if leaves[0].swings == "out" else 1.0
    along = sashes[0].x_mm if to_left else sashes[-1].right_mm
    points = [(along, 0.0)]
    angle = math.radians(HALF_FOLDED_DEG)
    for number, sash in enumerate(sashes, 1):
        along += (1 if to_left else -1) * sash.width_mm * math.cos(angle)
        points.append((along, out * sash.width_mm * math.sin(angle) if number % 2 else 0.0))
    return tuple(points)


def blocks_view(plan: OpeningRecord) -> BlocksView:
    """The glazing blocks."""
    return BlocksView(
        title=plan.name,
        outer=plan.frame.outer,
        lights=plan.frame.layout.lights,
        blocks=plan.fitting.blocks,
    )


def sill_view(plan: OpeningRecord) -> SillView | None:
    """The sill, where there is one."""
    if plan.frame.sill is None:
        return None
    return SillView(title=plan.name, sill=plan.frame.sill, set_back_mm=plan.frame.chosen.set_back_mm)


def _marks(plan: OpeningRecord) -> Iterator[EdgeMark]:
    """Every fixing with the packers beside it, then the packing points that stand alone."""
    lift = {"left": plan.frame.size.sill_height_mm, "right": plan.frame.size.sill_height_mm}
    width = float(table("packers").rows[0]["width_mm"])
    alone = list(plan.fitting.packers)
    for held in plan.fitting.fixings:
        side: Side = "bottom" if held.side == "sill" else held.side
        for at in held.positions_mm:
            beside = next((p for p in alone if p.side == side and abs(p.at_mm - at) < width), None)
            if beside:
                alone.remove(beside)
            yield _mark(side, at, lift.get(side, 0.0), beside, held.held_by)
    for point in alone:
        yield _mark(point.side, point.at_mm, lift.get(point.side, 0.0), point, "none")


def _mark(side: Side, at: float, lift: float, point: PackingPoint | None, held: Held) -> EdgeMark:
    packers = "+".join(show_mm(mm) for mm in point.packers_mm) or "0" if point else ""
    return EdgeMark(side=side, at_mm=at + lift, figure=f"{at:.0f}", packers=packers, held=held)


def _lean(plan: OpeningRecord) -> dict[str, str]:
    """Levels and plumbs as read of the face that is drawn, at the corner where each shows."""
    outer, nibs = plan.readings.outside.readings, plan.readings.nibs
    read = {(r.kind, r.at): r.mm for r in outer if SIDES_OF.get(r.at) not in nibs}
    if plan.readings.inside:
        inner = plan.readings.inside.readings
        read |= {(r.kind, r.at): r.mm for r in inner if SIDES_OF.get(r.at) in nibs}
    said = {
        "top_left": [_off(read.get(("plumb", "left")), "top leans", "→", "←", "plumb")],
        "top_right": [
            _off(read.get(("plumb", "right")), "top leans", "→", "←", "plumb"),
            _off(read.get(("level", "head")), "this end", "↑", "↓", "level"),
        ],
        "bottom_right": [_off(read.get(("level", "sill")), "this end", "↑", "↓", "level")],
    }
    lines = {corner: [line for line in each if line] for corner, each in said.items()}
    return {corner: "\n".join(each) for corner, each in lines.items() if each}


def _off(mm: float | None, words: str, plus: str, minus: str, true: str) -> str:
    if mm is None:
        return ""
    return true if abs(mm) < 0.05 else f"{words} {plus if mm > 0 else minus} {show_mm(abs(mm))}"
