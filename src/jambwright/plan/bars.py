"""Mullions and transoms of one frame: the wind they carry and the section that makes them stiff enough."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

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
from jambwright.frame.layout import part_sizes_mm
from jambwright.frame.profiles import ProfileSystem
from jambwright.readings.declared import Declared
from jambwright.readings.wanted import Across, LayoutNode, Light
from jambwright.readings.ways import way_of

BAR_LIMIT = "class_b"
"""Bars bend at most 1/200 of their span: EN 12210 class B. House default."""

ASK_STILES = "ask the profile maker for the stiffness E I of the meeting stiles and what the shoot bolts hold"


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


def frame_edges(node: LayoutNode, *, width_mm: float, height_mm: float, wind_pa: float) -> Edges:
    """Wind on the four sides and the bars of a frame, whatever its layout; magnitude only."""
    if isinstance(node, Light):
        if not way_of(node.opens).leaves:
            return pane(width_mm=width_mm, height_mm=height_mm, pressure_pa=wind_pa)
        leaf = pane(width_mm=width_mm / 2, height_mm=height_mm, pressure_pa=wind_pa)
        return beside([leaf, leaf], between="meeting stiles")
    if isinstance(node, Across):
        parts = zip(node.across, part_sizes_mm(node.across, width_mm), strict=True)
        return beside(
            [frame_edges(part, width_mm=size, height_mm=height_mm, wind_pa=wind_pa) for part, size in parts]
        )
    from_below = reversed(list(zip(node.down, part_sizes_mm(node.down, height_mm), strict=True)))
    return stacked(
        [frame_edges(part, width_mm=width_mm, height_mm=size, wind_pa=wind_pa) for part, size in from_below]
    )


def plan_bars(edges: Edges, profile: ProfileSystem, declared: Declared | None = None) -> tuple[BarPlan, ...]:
    """The lightest reinforcement that keeps each bar within its limit; a declared stiffness is what is judged."""
    names = [f"{bar.kind.capitalize()} {number}" for number, bar in enumerate(edges.bars, 1)]
    return tuple(
        _plan_stiles(name, bar, profile)
        if bar.kind == "meeting stiles"
        else _plan(name, bar, profile, declared)
        for name, bar in zip(names, edges.bars, strict=True)
    )


def _plan_stiles(name: str, bar: BarLoad, profile: ProfileSystem) -> BarPlan:
    """The stiles of a pair span from bolt to bolt; joined along the lock they share the wind, else one has it all.

    Steel goes into each stile that works.
    """
    span = float(bar.length_mm)
    sag = float(sag_of_any_load_n_mm3(load=bar.load, span_mm=span))
    steel, stiffness, works = None, None, "of which nothing is held for this profile"
    if stile := profile.stiles:
        count = 2 if stile.joined else 1
        works = "both stiles together" if count == 2 else "the slave leaf's stile alone"
        wanted = sag / float(deflection_limit_mm(span_mm=span, rule=BAR_LIMIT)) / count
        steel, each = _reinforced(wanted, _profile_e_n_mm2(profile) * stile.i_cm4 * 1e4,
                                  (stile.across_mm, stile.deep_mm))  # fmt: skip
        stiffness = count * each
    on_bolt = float(bar.load.moment_n_mm() / bar.length_mm)
    return BarPlan(
        name=name,
        length_mm=span,
        reinforcement=steel,
        verdict=bar_verdict(
            name=f"{name}, {works}, shoot bolts at head and foot to hold {on_bolt:.0f} N each,",
            span_mm=span,
            sag_times_ei_n_mm3=sag,
            ei_n_mm2=stiffness,
            limit_rule=BAR_LIMIT,
            rests_on=(by_profile(profile, ask=ASK_STILES),),
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
