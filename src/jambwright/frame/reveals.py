"""The hole a frame is sized in: the outer face, or in a rebated reveal both faces and the nibs between them.

A rebated reveal is ordered only by readings of both faces that agree with each other; until then the size is
what it would be, and what to measure is said. Common practice, no published source.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from statistics import fmean

import numpy as np

from jambwright.basis.problems import Problem
from jambwright.basis.units import show_mm
from jambwright.frame.faces import (
    EDGES,
    WIDEST_TRIM_MM,
    Lapped,
    Reveal,
    clashes,
    lapped,
    nib_field,
    sight_gaps_mm,
    unsealed,
)
from jambwright.frame.frame import Frame
from jambwright.opening import (
    BETS,
    SCALES,
    Advice,
    BehindNibs,
    Findings,
    Nib,
    Outline,
    Side,
    adjust,
    advise,
    evidence,
    search,
)
from jambwright.opening.behind_nibs import ACROSS
from jambwright.opening.outline import faults
from jambwright.opening.shape import Floats
from jambwright.readings import trust_of
from jambwright.readings.correction import corrected, with_tools
from jambwright.readings.reading import Reading, ReadingSet
from jambwright.readings.survey import Opening, Survey
from jambwright.readings.tool import Tool
from jambwright.readings.written import Written, written_to_in

READ_NIB_MM = 1.5
"""Standard deviation of a nib that was read: the difference of two tape readings. House value."""

TOLD_NIB_MM = 5.0
"""Standard deviation of a nib taken from the wall's figure or from the two widths. House value."""

DISAGREE = 3.29
"""Standard deviations beyond which nibs and readings disagree: 0.001, two-sided."""

MEASURE_NIBS = (
    "from one line on the glass to the outer leaf outside, and from the same line to the reveal inside; "
    "the nib is the difference"
)
SIDES_OF: Mapping[str, Side] = {"left": "left", "right": "right", "head": "head", "sill": "bottom"}


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleRead:
    """The hole for one frame with its readings looked at."""

    hole: Outline | BehindNibs
    inside: Outline | None = None
    """The inner face adjusted, where it was read."""
    inside_advice: Advice | None = None
    held: tuple[str, ...] = ()
    """Why the frame must not be ordered yet, though the outer readings may agree; what to measure."""
    remarks: tuple[Problem, ...] = ()

    @property
    def nibs(self) -> frozenset[Side]:
        """Sides with a nib in front of the frame."""
        return frozenset(self.hole.nibs) if isinstance(self.hole, BehindNibs) else frozenset()


def look_at_face(survey: Survey, taken: ReadingSet) -> tuple[Outline, Findings, Advice]:
    """Adjust the readings of one face and look for misreads among them, in the light of the whole house."""
    tape, tools = survey.defaults.tape, survey.tools
    others = [face for each in _other_faces(survey, taken) if (face := with_tools(each, tape))]
    # how figures were rounded shows before they are corrected
    written = written_to_in([with_tools(taken, tape), *others])
    # a check moves readings, which are corrected by it, and never the trust in them; its repeats are a list
    bare = tuple(tool.model_copy(update={"check": None, "learned": None}) for tool in tools)
    facing = (tuple(corrected(each, tools)) for each in others)
    return _looked_at(
        tuple(corrected(with_tools(taken, tape), tools)),
        tuple(each for each in facing if _enough_read(each)),
        bare,
        written,
    )


@functools.lru_cache(maxsize=512)
def _looked_at(
    readings: tuple[Reading, ...],
    others: tuple[tuple[Reading, ...], ...],
    tools: tuple[Tool, ...],
    written: Written,
) -> tuple[Outline, Findings, Advice]:
    """Looked at once, however often a proposal plans the opening again."""
    trust = replace(trust_of(tools), written_to=written)
    spoken = [_evidence(each, tools, written) for each in others]
    outline = adjust(readings, trust=trust)
    outline = replace(outline, likely=BETS.after(np.array([crooked for _, crooked in spoken])))
    findings = search(outline, readings, trust, SCALES.after(np.array([scatter for scatter, _ in spoken])))
    return outline, findings, advise(outline, findings, trust)


def _other_faces(survey: Survey, taken: ReadingSet) -> Iterator[ReadingSet]:
    return (face for face in survey.faces if face != taken)


def _enough_read(readings: tuple[Reading, ...]) -> bool:
    """Whether a face can be adjusted at all."""
    measured = [r for r in readings if r.how == "measured"]
    return {"width", "height"} <= {r.kind for r in measured} and not faults(measured)


@functools.lru_cache(maxsize=4096)
def _evidence(
    readings: tuple[Reading, ...], tools: tuple[Tool, ...], written: Written
) -> tuple[Floats, Floats]:
    """What one face says of the house's readings, and of its walls; asked again for every other opening."""
    trust = replace(trust_of(tools), written_to=written)
    return evidence(readings, trust), adjust(readings, trust=trust).bow_and_lean_evidence()


def hole_of(survey: Survey, opening: Opening, outside: Outline) -> HoleRead:
    """The hole for the frame of an opening whose outer face is adjusted."""
    nibs = _nibs(survey, opening)
    if not nibs:
        return HoleRead(
            hole=outside, inside=look_at_face(survey, opening.inside)[0] if opening.inside else None
        )
    if opening.inside is None or not _enough(opening.inside):
        return HoleRead(hole=_behind(outside, None, tuple(nibs.items())), held=(_wanted(opening),))
    inside, _, advice = look_at_face(survey, opening.inside)
    hole = _behind(outside, inside, tuple(_from_widths(nibs, opening, outside, inside).items()))
    held = [f"Inside: {say}" for say in advice.say] if advice.word == "measure again" else []
    return HoleRead(
        hole=hole,
        inside=inside,
        inside_advice=advice,
        held=(*held, *_disagreements(hole)),
        remarks=tuple(_not_read(opening, hole)),
    )


@functools.lru_cache(maxsize=512)
def _behind(outside: Outline, inside: Outline | None, nibs: tuple[tuple[Side, Nib], ...]) -> BehindNibs:
    return BehindNibs(outside=outside, inside=inside, nibs=dict(nibs))


def nib_back_mm(survey: Survey, opening: Opening) -> float | None:
    """Wall face to the back of the nibs, where there are any: as measured, else the outer leaf."""
    if not _nibs(survey, opening):
        return None
    return opening.reveal_depth_mm or survey.wall_of(opening).outer_mm


def look_over(
    survey: Survey, opening: Opening, outside: Outline, read: HoleRead, frame: Frame
) -> tuple[Lapped | None, HoleRead, tuple[Problem, ...]]:
    """How a sized frame stands behind its nibs, whether that holds the order, and where it clashes.

    Nothing is said of a straight reveal while one face only was read.
    """
    if read.inside is None and not read.nibs:
        return None, read, ()
    hole = read.hole
    at = hole.inner_at() if isinstance(hole, BehindNibs) and hole.inside else None
    found = list(
        clashes(frame.size, outside, read.inside, _reveal(survey, opening, read, frame), inside_at_mm=at)
    )
    if not isinstance(hole, BehindNibs):
        return None, read, tuple(found)
    laps = lapped(frame.size, outside, read.nibs)
    found += [*_lined(hole, frame), *_sill(frame, read.nibs)]
    held = read.held or tuple(short.say for short in unsealed(laps))
    return laps, replace(read, held=held), tuple(found)


def _nibs(survey: Survey, opening: Opening) -> dict[Side, Nib]:
    """Nibs as read at the opening, else as the wall usually has them."""
    usual, nibs = survey.wall_of(opening).reveal_rebate_mm, {}
    for name, side in SIDES_OF.items():
        own = getattr(opening.nibs, name)
        mm, sigma = (usual, TOLD_NIB_MM) if own is None else (own, READ_NIB_MM)
        if mm > 0:
            nibs[side] = Nib(mm=mm, sigma_mm=sigma)
    return nibs


def _enough(taken: ReadingSet) -> bool:
    return {"width", "height"} <= {r.kind for r in taken.readings()}


def _wanted(opening: Opening) -> str:
    """What to measure before a rebated reveal is ordered."""
    lacks = "was not read" if opening.inside is None else "was read without widths or without heights"
    return (
        f"The reveal is rebated and the hole behind the nibs {lacks}: the frame goes in from inside and must "
        "not be ordered to the hole seen from outside. Measure inside, between the reveals, three widths, "
        f"three heights, both diagonals, level and plumb; and the nibs, {MEASURE_NIBS}."
    )


def _width_mm(outline: Outline) -> float:
    return fmean(r.adjusted_mm for r in outline.readings if r.kind == "width")


def _from_widths(
    nibs: Mapping[Side, Nib], opening: Opening, outside: Outline, inside: Outline
) -> dict[Side, Nib]:
    """Jamb nibs that were not read share what the inner hole is wider by, where both jambs have one."""
    unread = [side for side in ACROSS if getattr(opening.nibs, side) is None]
    if not unread or any(side not in nibs for side in ACROSS):
        return dict(nibs)
    left_over = _width_mm(inside) - _width_mm(outside)
    left_over -= sum(nibs[side].mm for side in ACROSS if side not in unread)
    if left_over <= 0:
        return dict(nibs)
    shared = Nib(mm=left_over / len(unread), sigma_mm=TOLD_NIB_MM)
    return {side: shared if side in unread else nib for side, nib in nibs.items()}


def _disagreements(hole: BehindNibs) -> Iterator[str]:
    """Sets that can't both be true of one reveal."""
    assert hole.inside is not None
    if not all(side in hole.nibs for side in ACROSS):
        return
    inner, outer = _width_mm(hole.inside), _width_mm(hole.outside)
    if inner <= outer:
        yield (
            f"Inside reads {inner:.0f} mm wide where the hole between the nibs reads {outer:.0f}: nibs can't "
            "stand in past a narrower reveal. Were the faces exchanged, or does plaster cover the nibs? "
            "Measure both middle widths again, or give the nibs as 0."
        )
        return
    miss = hole.closure("left", "right")
    if miss and abs(miss[0]) > DISAGREE * miss[1]:
        left, right = (hole.nibs[side].mm for side in ACROSS)
        yield (
            f"The nibs read {left:.0f} mm left and {right:.0f} mm right, but the hole behind them reads "
            f"{inner - outer:.0f} mm wider than the hole between them: {abs(miss[0]):.0f} mm "
            f"{'more' if miss[0] > 0 else 'less'}. Measure the nibs and the middle widths again."
        )


def _not_read(opening: Opening, hole: BehindNibs) -> Iterator[Problem]:
    unread = [
        name for name, side in SIDES_OF.items() if side in hole.nibs and getattr(opening.nibs, name) is None
    ]
    if unread:
        taken = ", ".join(f"{name} {hole.nibs[SIDES_OF[name]].mm:.0f} mm" for name in unread)
        say = f"The nibs were not read; taken are {taken}, with a wide margin. Measure each {MEASURE_NIBS}."
        yield Problem(f"nibs.{unread[0]}", say, "caution")


def _reveal(survey: Survey, opening: Opening, read: HoleRead, frame: Frame) -> Reveal:
    wall, profile = survey.wall_of(opening), frame.chosen.profile
    return Reveal(
        frame_face_mm=profile.frame_face_mm,
        frame_depth_mm=profile.frame_depth_mm,
        set_back_mm=frame.chosen.set_back_mm,
        outer_leaf_mm=wall.outer_mm,
        cavity_mm=wall.cavity_mm,
        nibs=read.nibs,
        opens_in=_sides_with_sash(frame, "in"),
        opens_out=_sides_with_sash(frame, "out"),
    )


def _sides_with_sash(frame: Frame, swing: str) -> frozenset[Side]:
    """Sides of the frame along which a sash of that swing stands."""
    face = frame.chosen.profile.frame_face_mm
    sides: set[Side] = set()
    for light in frame.layout.lights:
        if light.sash and light.swings == swing:
            near: dict[Side, float] = {
                "left": light.sash.x_mm,
                "right": frame.width_mm - light.sash.right_mm,
                "head": frame.height_mm - light.sash.top_mm,
                "bottom": light.sash.y_mm,
            }
            sides |= {side for side, mm in near.items() if mm < face}
    return frozenset(sides)


def _lined(hole: BehindNibs, frame: Frame) -> Iterator[Problem]:
    """Where the inner reveal stands so far back that it must be lined: mostly for the nib to clear the sash."""
    face = frame.chosen.profile.frame_face_mm
    for side, least in sight_gaps_mm(hole, face).items():
        gap = max(frame.size.gaps_mm[side].values())
        if least > 0 and gap >= least:
            back = max(hole.reveal_back_mm(side))
            yield Problem(
                nib_field(side),
                f"The nib at the {EDGES[side]} stands {back:.0f} mm in past the reveal: over a frame that fills "
                f"the reveal it would cover the sash and glass, so that a sash can't open nor the glass drain. "
                f"The frame is ordered to clear it; line the reveal behind it by about {gap:.0f} mm.",
                "caution",
            )
        elif gap > WIDEST_TRIM_MM:
            yield Problem(
                nib_field(side),
                f"The reveal behind the nib at the {EDGES[side]} stays {gap:.0f} mm from the frame: line it.",
                "caution",
            )


def _sill(frame: Frame, nibs: frozenset[Side]) -> Iterator[Problem]:
    if frame.sill and "bottom" in nibs:
        say = "A frame sill can't pass the upstand at the sill: order without it, or cut the upstand away."
        yield Problem("wanted.sill", say, "caution")
    elif frame.sill and nibs & set(ACROSS):
        say = (
            f"The sill ends between the nibs ({show_mm(frame.sill.reveal_length_mm)} mm): behind them pack the "
            f"frame's ends solid, {show_mm(frame.size.sill_height_mm)} mm more than beside them."
        )
        yield Problem("wanted.sill", say, "caution")
