"""Options side by side: for each opening, and for the house as if every unit were ordered that way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.checks.heat import (
    Option,
    OptionRow,
    area_weighted,
    compare,
    edge_of,
)
from jambwright.checks.opening_heat import climate_of, room_air_of, windows_index_kwh_m2
from jambwright.frame.frame import Frame
from jambwright.frame.glazing_unit import GlazingUnit, Pane, parse_glazing
from jambwright.frame.profiles import profile_system
from jambwright.plan.house import HousePlan, OpeningPlan
from jambwright.readings.survey import Survey

AS_ORDERED = "as_ordered"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningOptions:
    """The options that suit one opening, by name, as ordered first."""

    opening_id: str
    name: str
    """Mark and room."""
    rows: Mapping[str, OptionRow]


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseOption:
    """The whole house done one way; a unit that the option does not suit counts as ordered."""

    name: str
    title: str
    units: int
    """How many units it changes, or all as ordered."""
    u_w_m2k: float
    index_kwh_m2: float | None
    """Mean of the windows; none where there are only doors."""
    glass_kg: float
    sound_rw_db: tuple[float, float] | None
    """Least and most of the units' glass; ``None`` where a make-up is in no table."""
    edge_wet_months: int
    """Most of any unit."""
    edge_dry_up_to_percent: float
    """Least of any unit."""
    cost: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseOptions:
    """Options of the whole house, and of each opening that has glass; none where nothing is glazed."""

    whole: tuple[HouseOption, ...]
    single: tuple[OpeningOptions, ...]


def house_options(house: HousePlan) -> HouseOptions:
    """Options of the house, and of each opening that has glass."""
    single = tuple(
        opening_options(house.survey, plan)
        for plan in house.openings
        if any(unit for unit in plan.frame.glazing.values())
    )
    if not single:
        return HouseOptions(whole=(), single=())
    whole = [_whole(row["option"], row["title"], single, house) for row in table("glass_options")]
    return HouseOptions(whole=tuple(option for option in whole if option.units), single=single)


def quoted_at(house: HousePlan, total: float) -> HousePlan:
    """The house with its estimate as the price of what is ordered, where no other was typed in."""
    known = house.survey.house
    quotes = {AS_ORDERED: total} | known.quotes
    survey = house.survey.model_copy(update={"house": known.model_copy(update={"quotes": quotes})})
    return replace(house, survey=survey)


def opening_options(survey: Survey, plan: OpeningPlan) -> OpeningOptions:
    """The options of one opening that differ from its order and can be made in its layout."""
    frame = plan.frame
    air, region = room_air_of(survey.site), climate_of(survey.site)
    found: dict[str, OptionRow] = {}
    seen: list[Any] = []
    for row in table("glass_options"):
        option = _option(row, frame)
        what = (option.units, option.edge, option.profile.name)
        other_use = row["option"] != AS_ORDERED and option.profile.use != frame.chosen.kind
        if other_use or what in seen:  # what is ordered is always among them, whatever it is made of
            continue
        try:
            (found[row["option"]],) = compare(
                [option],
                layout=plan.opening.wanted.layout,
                width_mm=frame.width_mm,
                height_mm=frame.height_mm,
                region=region,
                air=air,
                kind=frame.chosen.kind,
                low_threshold=plan.opening.wanted.threshold == "low",
            )
        except BadInput:  # another system's wider sections leave a light of this layout no glass
            continue
        seen.append(what)
    return OpeningOptions(opening_id=plan.opening.id, name=plan.name, rows=found)


def _option(row: Mapping[str, Any], frame: Frame) -> Option:
    units = {
        mark: unit and parse_glazing(_make_up(row["make_up"], unit)) for mark, unit in frame.glazing.items()
    }
    largest = max(
        (light for light in frame.layout.lights if frame.glazing[light.mark]),
        key=lambda light: light.daylight.area_m2,
    )
    profile = profile_system(row["profile"]) if row["profile"] else frame.chosen.profile
    edge = edge_of(frame.chosen)
    return Option(
        name=row["title"],
        glass=str(units[largest.mark]),
        profile=profile,
        edge=edge if row["option"] == AS_ORDERED else replace(edge, spacer=row["spacer"]),
        air_leakage_l50_m3_hm2=profile.air_leakage_l50_m3_hm2,
        units=units,
    )


def _make_up(pattern: str, ordered: GlazingUnit) -> str:
    """A pattern of the options table filled with the panes ordered, so that safety glass stays safety glass."""
    outer, inner = ordered.panes[0], ordered.panes[-1]
    return pattern.format(
        ordered=ordered,
        outer=_written(outer),
        inner=_written(inner),
        outer_6="6.4L" if outer.kind == "laminated" else _written(Pane(thickness_mm=6.0, kind=outer.kind)),
        outer_tough=_written(_tough(outer)),
        inner_tough=_written(_tough(inner)),
    )


def _written(pane: Pane) -> str:
    return str(GlazingUnit(panes=(pane,)))


def _tough(pane: Pane) -> Pane:
    return pane if pane.kind == "laminated" else Pane(thickness_mm=pane.thickness_mm, kind="toughened")


def _whole(name: str, title: str, single: Sequence[OpeningOptions], house: HousePlan) -> HouseOption:
    rows = [each.rows.get(name, each.rows[AS_ORDERED]) for each in single]
    heat = {plan.opening.id: plan.heat for plan in house.openings}
    glazed = {each.opening_id for each in single}
    blind = [each for mark, each in heat.items() if mark not in glazed]
    areas = [heat[each.opening_id].area_m2 for each in single] + [each.area_m2 for each in blind]
    us = [row.u_w_m2k for row in rows] + [each.unit.real.u_w_m2k for each in blind]
    indices = [row.index_kwh_m2 for row in rows] + [each.unit.index_kwh_m2 for each in blind]
    sounds = [row.sound_rw_db for row in rows]
    known = [sound for sound in sounds if sound is not None]
    return HouseOption(
        name=name,
        title=title,
        units=sum(name in each.rows for each in single),
        u_w_m2k=area_weighted(areas_m2=areas, values=us),
        index_kwh_m2=windows_index_kwh_m2(zip(areas, indices, strict=True)),
        glass_kg=sum(row.glass_kg for row in rows),
        sound_rw_db=(min(known), max(known)) if len(known) == len(sounds) and known else None,
        edge_wet_months=max(row.edge_wet_months for row in rows),
        edge_dry_up_to_percent=min(row.edge_dry_up_to_percent for row in rows),
        cost=house.survey.house.quotes.get(name),
    )
