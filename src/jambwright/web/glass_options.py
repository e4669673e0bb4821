"""Glass for one opening side by side: what the desk compares, from what the survey says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from jambwright.basis.border import accept
from jambwright.basis.problems import BadInput
from jambwright.checks.heat import Option, RoomAir, climate, compare, region_of_nation
from jambwright.frame.frame import choose
from jambwright.readings import Survey

USUAL = ("4-16Ar-4 low-e", "4T-16Ar-4T low-e", "6-14Ar-4 low-e", "4-12Ar-4-12Ar-4 low-e")
"""What is set beside the opening's own glass until someone types others."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """The options, and what was wrong with those that could not be compared."""

    makes: tuple[str, ...]
    rows: tuple[dict[str, Any], ...]
    problems: tuple[str, ...]


def compared(tree: dict[str, Any], mark: str, makes: Sequence[str]) -> Compared:
    """The opening's own glass first, then those asked for."""
    survey = accept(Survey, tree)
    opening = next(o for o in survey.openings if o.id == mark)
    chosen = choose(opening, survey.defaults)
    wanted = tuple(dict.fromkeys([chosen.glass, *(make.strip() for make in makes or USUAL if make.strip())]))
    wide, high = _size_mm(opening)
    if not (wide and high):
        return Compared(makes=wanted, rows=(), problems=("unread",))
    site, rows, problems = survey.site, [], []
    region = climate(site.climate_region or region_of_nation(site.nation))
    air = RoomAir(inside_c=site.indoor.temperature_c, humidity_class=site.indoor.humidity_class)
    for make in wanted:
        option = Option(
            name=make, glass=make, profile=chosen.profile,
            air_leakage_l50_m3_hm2=chosen.profile.air_leakage_l50_m3_hm2,
        )  # fmt: skip
        try:
            rows += compare(
                [option], layout=opening.wanted.layout, width_mm=wide, height_mm=high, region=region, air=air,
                kind=chosen.kind,
            )  # fmt: skip
        except BadInput as bad:
            problems += [p.say for p in bad.problems]
    return Compared(makes=wanted, rows=tuple(asdict(row) for row in rows), problems=tuple(problems))


def _size_mm(opening: Any) -> tuple[float | None, float | None]:
    """The tightest readings: near enough to compare by."""
    read = list(opening.outside.readings())
    wide, high = ([r.mm for r in read if r.kind == kind] for kind in ("width", "height"))
    return (min(wide) if wide else None), (min(high) if high else None)
