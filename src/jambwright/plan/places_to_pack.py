"""Where a frame is packed: beside fixings, under bars and corners, behind hinges, keeps, balances and rails."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from itertools import pairwise

from jambwright.basis.tables import table
from jambwright.frame.frame import Frame
from jambwright.frame.layout import PlacedLight
from jambwright.opening import Side
from jambwright.plan.fixing_layout import FixingLayout
from jambwright.plan.packers import Place, Reason, packed_once


def places_to_pack(frame: Frame, fixings: FixingLayout) -> Iterator[Place]:
    """Beside every fixing, under every mullion, near the bottom corners, behind door hinges and keeps.

    A door's threshold is packed between these too, so that it is nowhere unsupported further than the rule.
    """
    places = packed_once(_places(frame, fixings))
    yield from places
    if frame.chosen.kind == "door":
        most = table("packing_places").find(place="threshold_centres")["mm"]
        held = [at for side, at, _ in places if side == "bottom"]
        for low, high in pairwise(held):
            n = math.ceil((high - low) / most - 1e-9)
            yield from (("bottom", low + (high - low) * i / n, ("threshold",)) for i in range(1, n))


def _places(frame: Frame, fixings: FixingLayout) -> Iterator[Place]:
    for side in fixings:
        if side.held_by != "none":
            name: Side = "bottom" if side.side == "sill" else side.side
            yield from ((name, at, ("fixing",)) for at in side.positions_mm)
    place = {row["place"]: float(row["mm"]) for row in table("packing_places")}
    corner = min(place["bottom_corner"], frame.width_mm / 4)
    yield from (("bottom", at, ("corner",)) for at in (corner, frame.width_mm - corner))
    yield from (("bottom", at, ("mullion",)) for at in frame.layout.centre_lines_mm("mullion"))
    for master, slave in frame.layout.pairs:
        meets = max(master.sight.x_mm, slave.sight.x_mm)
        yield from ((side, meets, ("lock_keep",)) for side in ("head", "bottom"))
    for light in frame.layout.lights:
        if light.slides_past and light.moves.slides:
            yield from _sliding_packers(frame, light, place)
        if light.made == "bi_fold":
            yield from _fold_packers(frame, light, place)
        if light.swings and (light.door_leaf or light.is_paired or light.made == "bi_fold"):
            yield from _door_packers(light, frame.width_mm, place["hinge_from_end"], place["keep_height"])
        if light.moves.rules == "reversible":
            yield from _reversing_packers(light, frame.width_mm, place["hinge_from_end"])


def _door_packers(
    light: PlacedLight, frame_width_mm: float, from_end_mm: float, keep_mm: float
) -> Iterator[Place]:
    """Only a leaf that hangs on or locks to an outer jamb has wall to pack against."""
    assert light.sash is not None
    bottom, top = light.sash.y_mm, light.sash.top_mm
    for side in _jambs(light, frame_width_mm):
        if side == light.way.hangs:
            hinges = (bottom + from_end_mm, (bottom + top) / 2, top - from_end_mm)
            yield from ((side, at, ("hinge",)) for at in hinges)
        elif side == light.way.keep:
            yield side, bottom + (light.wanted.handle_height_mm or keep_mm), ("lock_keep",)


def _reversing_packers(light: PlacedLight, frame_width_mm: float, from_end_mm: float) -> Iterator[Place]:
    """Where the arms are screwed on near the head, and half way down, where they carry the sash turned over."""
    assert light.sash is not None
    middle = light.sash.y_mm + light.sash.height_mm / 2
    for side in _outer_jambs(light, frame_width_mm):
        yield from ((side, at, ("hinge",)) for at in (light.sash.top_mm - from_end_mm, middle))


def _jambs(light: PlacedLight, frame_width_mm: float) -> Iterator[Side]:
    """The outer jambs that a light stands at."""
    if light.sight.x_mm < frame_width_mm / 4:
        yield "left"
    if light.sight.right_mm > 0.75 * frame_width_mm:
        yield "right"


def runs_in_channel(frame: Frame) -> Iterator[Side]:
    """The outer jambs in which a sash slides up and down, on balances or in a box."""
    for light in frame.layout.lights:
        if light.moves.clear == "slide_up":
            yield from _outer_jambs(light, frame.width_mm)


def _outer_jambs(light: PlacedLight, frame_width_mm: float) -> Iterator[Side]:
    """The outer jambs that a light reaches, with no mullion between."""
    if light.part.x_mm < 0.5:
        yield "left"
    if light.part.right_mm > frame_width_mm - 0.5:
        yield "right"


def _sliding_packers(frame: Frame, light: PlacedLight, place: Mapping[str, float]) -> Iterator[Place]:
    """Behind the balances near head and foot and at the meeting rails, which bow a jamb; along the sill below.

    Of panes see ``_pane_packers``.
    """
    if light.moves.clear == "slide_across":
        yield from _pane_packers(frame, light, place)
        return
    end = place["balance_from_end"]
    if light.moves.slides == "down":
        ends: tuple[tuple[float, Reason], ...] = (
            (light.sight.top_mm - end, "balance"),
            (light.sight.y_mm, "meeting_rail"),
        )
    else:
        ends = ((light.sight.y_mm + end, "balance"),)
    for side in _outer_jambs(light, frame.width_mm):
        yield from ((side, at, (reason,)) for at, reason in ends)
    if light.part.y_mm == 0:
        centres = math.ceil(light.sight.width_mm / place["sash_sill_centres"])
        steps = (light.sight.x_mm + light.sight.width_mm * n / centres for n in range(1, centres))
        yield from (("bottom", at, ("sash_sill",)) for at in steps)


def _fold_packers(frame: Frame, light: PlacedLight, place: Mapping[str, float]) -> Iterator[Place]:
    """At head and foot where a leaf ends: carriers and bolts hold there; in a window along the track as well.

    A door's threshold is packed all along.
    """
    row = frame.layout.leaves_at(light.path)
    if light != row[-1]:
        yield from ((side, light.sight.right_mm, ("track",)) for side in ("head", "bottom"))
        return
    start, run = row[0].sight.x_mm, row[-1].sight.right_mm - row[0].sight.x_mm
    if light.part.y_mm == 0 and frame.chosen.kind != "door":
        count = math.ceil(run / place["threshold_centres"])
        yield from (("bottom", start + run * n / count, ("track",)) for n in range(1, count))


def _pane_packers(frame: Frame, light: PlacedLight, place: Mapping[str, float]) -> Iterator[Place]:
    """Over a pane, where it is kept from being lifted, along the track it runs on, and behind its lock."""
    assert light.sash is not None
    yield "head", light.sight.x_mm + light.sight.width_mm / 2, ("track",)
    shuts: Side = "right" if light.moves.slides == "left" else "left"
    if shuts in _outer_jambs(light, frame.width_mm):
        yield shuts, light.sash.y_mm + (light.wanted.handle_height_mm or place["keep_height"]), ("lock_keep",)
    if light.part.y_mm == 0 and frame.chosen.kind != "door":  # a door's threshold is packed all along
        row = [leaf.sight for leaf in frame.layout.leaves_at(light.path)]
        start, run = row[0].x_mm, row[-1].right_mm - row[0].x_mm
        count = math.ceil(run / place["threshold_centres"])
        yield from (("bottom", start + run * n / count, ("track",)) for n in range(1, count))
