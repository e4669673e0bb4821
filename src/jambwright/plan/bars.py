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

BAR_LIMIT = "class_b"
"""Bars bend at most 1/200 of their span: EN 12210 class B. House default."""


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
        return pane(width_mm=width_mm, height_mm=height_mm, pressure_pa=wind_pa)
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
    return tuple(_plan(name, bar, profile, declared) for name, bar in zip(names, edges.bars, strict=True))


def _plan(name: str, bar: BarLoad, profile: ProfileSystem, declared: Declared | None) -> BarPlan:
    span = float(bar.length_mm)
    sag = float(sag_of_any_load_n_mm3(load=bar.load, span_mm=span))
    wanted = sag / float(deflection_limit_mm(span_mm=span, rule=BAR_LIMIT))
    bare = bare_ei_n_mm2(profile)
    chamber = (profile.chamber_across_mm, profile.chamber_deep_mm)
    steel = None
    if wanted > bare:
        steel = lightest_reinforcement(ei_wanted_n_mm2=wanted, chamber_mm=chamber, profile_ei_n_mm2=bare)
    modelled = bare + (steel.ei_n_mm2 if steel else 0.0)
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
    material = "softwood_c16" if profile.material == "timber" else profile.material
    return e_n_mm2(material) * profile.bar_i_cm4 * 1e4
