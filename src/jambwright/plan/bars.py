"""Mullions and transoms of one frame: the wind they carry and the section that makes them stiff enough."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from jambwright.basis.problems import Problem
from jambwright.checks.declared import doubt
from jambwright.checks.fixings import Edges, beside, pane, stacked
from jambwright.checks.fixings.pane_loads import BarLoad
from jambwright.checks.members import (
    Reinforcement,
    bar_verdict,
    deflection_limit_mm,
    e_n_mm2,
    lightest_reinforcement,
    sag_of_any_load_n_mm3,
)
from jambwright.checks.rests import by_maker, by_profile
from jambwright.checks.verdict import Rest, Verdict
from jambwright.frame.kinds.leaf import row_of
from jambwright.frame.kinds.slider import parts
from jambwright.frame.layout import Layout, LayoutPath, PlacedLight
from jambwright.frame.profiles import ProfileSystem, Stiles
from jambwright.readings.declared import Declared
from jambwright.readings.wanted import Across, LayoutNode, Light
from jambwright.readings.ways import way_of

BAR_LIMIT = "class_b"
"""Bars bend at most 1/200 of their span: EN 12210 class B. House default."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """What two leaves meet with, as it carries the wind."""

    table: str
    """Where its sections are held, by profile system; empty where the system's sheet holds them."""
    both: str
    alone: str
    ends: str
    """What holds its ends."""
    ask: str


MEETING: Mapping[str, Meeting] = {
    "meeting stiles": Meeting(
        table="",
        both="both stiles together",
        alone="the slave leaf's stile alone",
        ends="shoot bolts at head and foot",
        ask="ask the profile maker for the stiffness E I of the meeting stiles and what the shoot bolts hold",
    ),
    "meeting rails": Meeting(
        table="vertical_sashes",
        both="both rails together while the fastener is shut",
        alone="one rail alone",
        ends="the channels at both jambs",
        ask="ask the profile maker for the stiffness E I of the meeting rails",
    ),
    "interlock": Meeting(
        table="sliders",
        both="both stiles together",
        alone="one stile alone",
        ends="the tracks at head and foot",
        ask="ask the profile maker for the stiffness E I of the interlock",
    ),
    "meeting panes": Meeting(
        table="sliders",
        both="both stiles together",
        alone="one stile alone",
        ends="the tracks at head and foot",
        ask="ask the profile maker for the stiffness E I of the stiles that meet",
    ),
    "stable rails": Meeting(
        table="stable_doors",
        both="both rails together while the leaves are bolted to each other",
        alone="one rail alone",
        ends="hinges and locks at both jambs",
        ask="ask the profile maker for the stiffness E I of the rails at which the leaves meet",
    ),
    "folding stiles": Meeting(
        table="bi_folds",
        both="both stiles together",
        alone="one stile alone",
        ends="carriers and bolts at head and foot",
        ask="ask the profile maker for the stiffness E I of the folding leaves' stiles and what their bolts hold",
    ),
}
"""By what leaves meet with in the table of ways of opening."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BarPlan:
    """One mullion or transom and what goes into it."""

    name: str
    length_mm: float
    doubts: tuple[Problem, ...] = ()
    """About the declared stiffness."""
    reinforcement: Reinforcement | None
    """``None`` when the bare profile is enough, or nothing that fits makes it so; the verdict says which."""
    verdict: Verdict


def frame_edges(node: LayoutNode, layout: Layout, *, wind_pa: float, path: LayoutPath = ()) -> Edges:
    """Wind on the four sides and the bars of a frame as it is laid out; magnitude only.

    ``node`` is the part of the wanted layout at ``path``, all of it when left out.
    """
    if isinstance(node, Light):
        return _light_edges(layout.leaves_at(path), wind_pa)
    way, parts = ("across", node.across) if isinstance(node, Across) else ("down", node.down)
    edges = [
        frame_edges(part, layout, wind_pa=wind_pa, path=(*path, way, index))
        for index, part in enumerate(parts)
    ]
    return beside(edges) if way == "across" else stacked(edges[::-1])


def _light_edges(leaves: Sequence[PlacedLight], wind_pa: float) -> Edges:
    """Each leaf as a pane between the lines on which they meet, with what they meet with as a bar."""
    panes = [
        pane(width_mm=leaf.part.width_mm, height_mm=leaf.part.height_mm, pressure_pa=wind_pa)
        for leaf in leaves
    ]
    if len(panes) == 1:
        return panes[0]
    between = [_between(one, other) for one, other in pairwise(leaves)]
    if leaves[0].part.y_mm == leaves[1].part.y_mm:
        return beside(panes, between)
    return stacked(panes[::-1], between[::-1])


def _between(one: PlacedLight, other: PlacedLight) -> str:
    """What two leaves of a light meet with; panes that part there have stiles that only meet."""
    if one.slides_past and parts(one.moves, other.moves):
        return "meeting panes"
    return way_of(one.wanted.opens).joins


def plan_bars(edges: Edges, profile: ProfileSystem, declared: Declared | None = None) -> tuple[BarPlan, ...]:
    """The lightest reinforcement that keeps each bar within its limit; a declared stiffness is what is judged."""
    names = [f"{bar.kind.capitalize()} {number}" for number, bar in enumerate(edges.bars, 1)]
    return tuple(
        _plan_meeting(name, bar, profile) if bar.kind in MEETING else _plan(name, bar, profile, declared)
        for name, bar in zip(names, edges.bars, strict=True)
    )


def _meeting_section(meeting: Meeting, profile: ProfileSystem) -> Stiles | None:
    """What meets, of one system; nothing where nothing is held of it."""
    if not meeting.table:
        return profile.stiles
    row = row_of(meeting.table, profile, "stiles that meet")
    return Stiles(
        i_cm4=row["i_cm4"],
        across_mm=row["across_mm"],
        deep_mm=row["deep_mm"],
        joined=row["joined"] == "yes",
    )


def _plan_meeting(name: str, bar: BarLoad, profile: ProfileSystem) -> BarPlan:
    """What leaves meet with spans from end to end; both share the wind where something joins them, else one has it all.

    Steel goes into each that works.
    """
    meeting = MEETING[bar.kind]
    span = float(bar.length_mm)
    sag = float(sag_of_any_load_n_mm3(load=bar.load, span_mm=span))
    steel, stiffness, works = None, None, "of which nothing is held for this profile"
    if section := _meeting_section(meeting, profile):
        count = 2 if section.joined else 1
        works = meeting.both if count == 2 else meeting.alone
        wanted = sag / float(deflection_limit_mm(span_mm=span, rule=BAR_LIMIT)) / count
        steel, each = _reinforced(wanted, _profile_e_n_mm2(profile) * section.i_cm4 * 1e4,
                                  (section.across_mm, section.deep_mm))  # fmt: skip
        stiffness = count * each
    on_end = float(bar.load.moment_n_mm() / bar.length_mm)
    return BarPlan(
        name=name,
        length_mm=span,
        reinforcement=steel,
        verdict=bar_verdict(
            name=f"{name}, {works}, {meeting.ends} to hold {on_end:.0f} N each,",
            span_mm=span,
            sag_times_ei_n_mm3=sag,
            ei_n_mm2=stiffness,
            limit_rule=BAR_LIMIT,
            rests_on=(by_profile(profile, ask=meeting.ask),),
        ),
    )


def _reinforced(
    wanted: float, bare: float, chamber_mm: tuple[float, float]
) -> tuple[Reinforcement | None, float]:
    """The lightest section that makes up what a bare profile lacks, and the stiffness of both; none where none does."""
    steel = None
    if wanted > bare:
        steel = lightest_reinforcement(ei_wanted_n_mm2=wanted, chamber_mm=chamber_mm, profile_ei_n_mm2=bare)
    return steel, bare + (steel.ei_n_mm2 if steel else 0.0)


def _plan(name: str, bar: BarLoad, profile: ProfileSystem, declared: Declared | None) -> BarPlan:
    span = float(bar.length_mm)
    sag = float(sag_of_any_load_n_mm3(load=bar.load, span_mm=span))
    wanted = sag / float(deflection_limit_mm(span_mm=span, rule=BAR_LIMIT))
    bare = bare_ei_n_mm2(profile)
    steel, modelled = _reinforced(wanted, bare, (profile.chamber_across_mm, profile.chamber_deep_mm))
    stiffness, said, rests = _stiffness(modelled, profile, declared)
    return BarPlan(
        name=name,
        length_mm=span,
        reinforcement=steel,
        doubts=tuple(_doubts(declared, modelled)),
        verdict=bar_verdict(
            name=f"{name}{said}",
            span_mm=span,
            sag_times_ei_n_mm3=sag,
            ei_n_mm2=stiffness,
            limit_rule=BAR_LIMIT,
            rests_on=rests,
        ),
    )


def _stiffness(
    modelled: float, profile: ProfileSystem, declared: Declared | None
) -> tuple[float, str, tuple[Rest, ...]]:
    """The stiffness to judge by, what is said of it, and what it rests on: the declared one rules."""
    if declared is None or declared.bar_ei_n_mm2 is None:
        rest = by_profile(profile, ask="ask the profile maker for the stiffness E I of this bar")
        return modelled, "", (rest,)
    given = declared.bar_ei_n_mm2
    said = f", declared E I {given / 1e9:.2f} kN m² (modelled {modelled / 1e9:.2f}),"
    return given, said, (by_maker(declared),)


def _doubts(declared: Declared | None, modelled: float) -> Iterator[Problem]:
    if declared and declared.bar_ei_n_mm2:
        yield from doubt("bar_ei_n_mm2", declared=declared.bar_ei_n_mm2, modelled=modelled, by=declared.by)


def bare_ei_n_mm2(profile: ProfileSystem) -> float:
    """Stiffness of a bar without reinforcement; timber counts as softwood C16."""
    return _profile_e_n_mm2(profile) * profile.bar_i_cm4 * 1e4


def _profile_e_n_mm2(profile: ProfileSystem) -> float:
    return e_n_mm2("softwood_c16" if profile.material == "timber" else profile.material)
