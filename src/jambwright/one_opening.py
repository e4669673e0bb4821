"""One opening decided as the house stands, quick enough to be asked for with every stroke of a drawing. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from statistics import fmean

from jambwright.basis.problems import BadInput, raise_if_any
from jambwright.checks.changed_order import glass_order
from jambwright.checks.opening_heat import opening_heat
from jambwright.checks.rules_on_house import rules_on_house
from jambwright.checks.survey_facts import Framed
from jambwright.checks.wind_on_house import wind_on_house
from jambwright.frame.frame import choose
from jambwright.frame.layout import Layout
from jambwright.frame.parts import Alike, Split, even_shares, rough_layout, splits_of
from jambwright.frame.rect import Rect
from jambwright.frame.sill import sill_height_mm
from jambwright.job import area_m2, plan_opening, proposals, read_part
from jambwright.plan.house import HousePlan, OpeningPlan
from jambwright.plan.proposals import groups, with_proposal
from jambwright.plan.sizing import size_house
from jambwright.readings.proposal import Proposal
from jambwright.readings.survey import Opening, Survey
from jambwright.readings.survey_file import unread
from jambwright.readings.usual import Defaults
from jambwright.readings.wanted import Colour, UnitKind
from jambwright.record import AGAINST, OpeningRecord, Unread
from jambwright.record.make import house_rules, opening_record, unread_record

__all__ = [
    "Alike",
    "Look",
    "Sketch",
    "alternatives",
    "broken_with",
    "evened",
    "is_ordered",
    "look",
    "own_glass",
    "sketched",
    "with_glass",
]

USUAL_MM: Mapping[UnitKind, Mapping[str, float]] = {
    "window": {"width": 1000.0, "height": 1100.0}, "door": {"width": 900.0, "height": 2050.0},
}  # fmt: skip
"""Drawn at where nothing was read. Common practice, no published source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What would be ordered in one opening."""

    record: OpeningRecord | Unread
    """Without proposals."""
    layout: Layout
    outer: Rect
    """The frame; of one that is not read yet, at about its size and never to be ordered by."""
    splits: tuple[Split, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sketch:
    """How an opening will look, near enough to be drawn on a house and never to be ordered by."""

    layout: Layout
    outer: Rect
    """The frame without its sill."""
    kind: UnitKind
    colour: Colour
    sill_mm: float
    """Height of its sill; 0 for none."""


def sketched(opening: Opening, defaults: Defaults) -> Sketch:
    """How it will look, at the size read so far. Raises ``BadInput`` where its lights can't be made."""
    chosen = choose(opening, defaults)
    width, height = _size_so_far(opening)
    sill = sill_height_mm() if chosen.sill else 0.0
    layout = rough_layout(opening.wanted, chosen, width_mm=width, height_mm=height - sill)
    outer = Rect(x_mm=0, y_mm=0, width_mm=width, height_mm=height - sill)
    return Sketch(layout=layout, outer=outer, kind=chosen.kind, colour=chosen.colour, sill_mm=sill)


def look(survey: Survey, mark: str) -> Look:
    """One opening decided with those that bear on it. Raises ``BadInput`` where its layout can't be made."""
    group = _near(survey, mark)
    opening = _of(group, mark)
    if missing := unread(opening):
        layout, outer = _roughly(survey, opening)
        record: OpeningRecord | Unread = unread_record(group, opening, missing, ())
        return Look(record=record, layout=layout, outer=outer, splits=_splits(opening, layout))
    plan, house = _planned(read_part(group), mark)
    return Look(
        record=opening_record(house, plan, house_rules(house)),
        layout=plan.frame.layout,
        outer=plan.frame.outer,
        splits=_splits(plan.opening, plan.frame.layout),
    )


def _planned(group: Survey, mark: str) -> tuple[OpeningPlan, HousePlan]:
    """The opening planned; of the others only what bears on it, their frames and their heat."""
    sized, bad = size_house(group)
    raise_if_any([problem for problem in bad if problem.opening == mark])
    mine = next(each for each in sized if each.opening.id == mark)
    try:
        [wind] = wind_on_house(group.part([mine.opening]), [area_m2(mine.opening)])
        plan = plan_opening(group, mine, wind)
    except BadInput as wrong:
        name = mine.opening.name
        raise BadInput(p.told_of(name, opening=mark) for p in wrong.problems) from None
    framed = [
        Framed(
            opening=each.opening,
            frame=each.frame,
            heat=plan.heat if each is mine else opening_heat(group.site, each.opening, each.frame),
        )
        for each in sized
    ]
    rules = rules_on_house(group, framed)
    return plan, HousePlan(survey=group, openings=(plan,), heat=None, rules=rules)


def evened(survey: Survey, mark: str, path: tuple[str | int, ...], alike: Alike) -> tuple[float, ...]:
    """Shares of the parts of one split with which they look alike. Raises ``BadInput``."""
    return even_shares(_of(survey, mark).wanted.layout, look(survey, mark).layout, path, alike)


def alternatives(survey: Survey, mark: str) -> list[tuple[Proposal, Survey]]:
    """What could be ordered instead, by number from 1, each with the survey as it would then be."""
    group = _near(survey, mark)
    readable = read_part(group)
    offered = proposals(readable).get(mark, ())
    return [(each, with_proposal(readable, mark, each)) for each in offered]


def with_glass(survey: Survey, mark: str, make_up: str) -> Proposal:
    """Another glass for one opening as a change of its order. Raises ``BadInput`` where it can't be ordered."""
    asked = glass_order(_of(survey, mark), make_up)
    if asked.changes:
        look(with_proposal(survey, mark, asked), mark)
    return asked


def broken_with(survey: Survey, mark: str, make_up: str) -> tuple[str, ...]:
    """What the limits that an opening breaks ask, with another glass; of an ordered one, as it is."""
    asked = glass_order(_of(survey, mark), make_up)
    as_is = is_ordered(survey, mark) or not asked.changes
    record = look(survey if as_is else with_proposal(survey, mark, asked), mark).record
    if isinstance(record, Unread):
        return ()
    return tuple(dict.fromkeys(v.asks or v.rule for v in record.verdicts if v.word in AGAINST))


def own_glass(survey: Survey, mark: str) -> tuple[str, ...]:
    """Marks of the lights that have a make-up of their own."""
    layout, _ = _roughly(survey, _of(survey, mark))
    return tuple(light.mark for light in layout.lights if light.wanted.glass)


def is_ordered(survey: Survey, mark: str) -> bool:
    """Whether its frame and glass are ordered already."""
    return _of(survey, mark).is_done("ordered")


def _near(survey: Survey, mark: str) -> Survey:
    """The opening with those that bear on it. Raises ``BadInput`` where there is none of that mark."""
    found = next((g for g in groups(survey) if any(o.id == mark for o in g.openings)), None)
    if found is None:
        raise BadInput.one("opening", f"There is no opening {mark}.")
    return found


def _of(survey: Survey, mark: str) -> Opening:
    return next(each for each in survey.openings if each.id == mark)


def _splits(opening: Opening, layout: Layout) -> tuple[Split, ...]:
    return tuple(splits_of(opening.wanted.layout, layout))


def _roughly(survey: Survey, opening: Opening) -> tuple[Layout, Rect]:
    """The layout at the size read so far."""
    width, height = _size_so_far(opening)
    chosen = choose(opening, survey.defaults)
    layout = rough_layout(opening.wanted, chosen, width_mm=width, height_mm=height)
    return layout, Rect(x_mm=0, y_mm=0, width_mm=width, height_mm=height)


def _size_so_far(opening: Opening) -> tuple[float, float]:
    """Width and height by what was read, or about as usual."""
    read = list(opening.outside.readings())
    width, height = (
        fmean(figures) if (figures := [r.mm for r in read if r.kind == kind]) else usual
        for kind, usual in USUAL_MM[opening.wanted.kind].items()
    )
    return width, height
