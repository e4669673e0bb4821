"""Glass for one opening side by side: what the desk compares, from what the survey says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jambwright.basis.problems import BadInput
from jambwright.checks.heat import Option, OptionRow, compare
from jambwright.checks.opening_heat import climate_of, room_air_of
from jambwright.frame.frame import choose
from jambwright.frame.sizing import Sized
from jambwright.plan.sizing import size_house
from jambwright.readings import Opening, Survey
from jambwright.readings.survey_file import unread

USUAL = ("4-16Ar-4 low-e", "4T-16Ar-4T low-e", "6-14Ar-4 low-e", "4-12Ar-4-12Ar-4 low-e")
"""What is set beside the opening's own glass until someone types others."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """The options, and what was wrong with those that could not be compared."""

    makes: tuple[str, ...]
    rows: tuple[OptionRow, ...]
    problems: tuple[str, ...]


def compared(survey: Survey, mark: str, makes: Sequence[str]) -> Compared:
    """The opening's own glass first, then those asked for, at the size to be ordered."""
    opening = next(o for o in survey.openings if o.id == mark)
    try:
        chosen = choose(opening, survey.defaults)
    except BadInput as bad:
        return Compared(makes=tuple(makes), rows=(), problems=tuple(p.say for p in bad.problems))
    wanted = tuple(dict.fromkeys([chosen.glass, *(make.strip() for make in makes or USUAL if make.strip())]))
    sized, unfit = _sized(survey, opening)
    if sized is None:
        return Compared(makes=wanted, rows=(), problems=unfit)
    site, rows, problems, frame = survey.site, [], [], sized.frame
    region, air = climate_of(site), room_air_of(site)
    for make in wanted:
        option = Option(
            name=make, glass=make, profile=chosen.profile,
            air_leakage_l50_m3_hm2=chosen.profile.air_leakage_l50_m3_hm2,
            units=frame.glazing if make == chosen.glass else None,
        )  # fmt: skip
        try:
            rows += compare(
                [option], layout=sized.opening.wanted.layout, width_mm=frame.width_mm,
                height_mm=frame.height_mm, region=region, air=air, kind=chosen.kind,
                low_threshold=opening.wanted.threshold == "low",
            )  # fmt: skip
        except BadInput as bad:
            problems += [p.say for p in bad.problems]
    return Compared(makes=wanted, rows=tuple(rows), problems=tuple(problems))


def _sized(survey: Survey, opening: Opening) -> tuple[Sized | None, tuple[str, ...]]:
    """The opening sized with those its size depends on, else why it can't be."""
    if missing := unread(opening):
        return None, (f"{opening.name}: not read yet: {', '.join(missing)}.",)
    family, neighbour = opening.wanted.match, opening.wanted.line_up
    near = [
        o
        for o in survey.openings
        if not unread(o)
        and (o is opening or o.id == neighbour or (family is not None and o.wanted.match == family))
    ]
    sized, problems = size_house(survey.part(near))
    found = next((each for each in sized if each.opening.id == opening.id), None)
    return found, tuple(p.say for p in problems)
