"""The comparison: options of the house and of each opening side by side, and what the work saves, as PDF."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from jambwright.basis.tables import table
from jambwright.basis.units import show_mm, two_figures
from jambwright.paper.comparison_chart import comparison_chart
from jambwright.paper.pdf import typeset
from jambwright.paper.render import svg
from jambwright.record import (
    HouseOption,
    HouseSaving,
    OpeningOptions,
    OpeningRecord,
    OptionRow,
    PlanRecord,
    Range,
    Saved,
)

TEMPLATE = "comparison.typ"


def comparison(record: PlanRecord) -> bytes:
    """Options and saving of a house as PDF."""
    assert record.options is not None
    whole, single, saving = record.options.whole, record.options.single, record.saving
    sizes = {opening.id: opening for opening in record.openings}
    data: dict[str, Any] = {
        "units": len(record.openings),
        "options": [_house_row(option) for option in whole],
        "costs": any(option.cost is not None for option in whole),
        "openings": [_opening(each, sizes[each.opening_id]) for each in single],
        "sounds": _sound_sources(single),
        "edge_how": table("edge_cold_spots").pedigree.how,
        "saving": _saving(saving) if saving else None,
    }
    if whole:
        chart = comparison_chart(whole)
        data["chart"] = {"svg": svg(chart), "width": chart.paper_size().width_mm, "title": chart.title}
    return typeset(TEMPLATE, record, data, gate="ordering")


def _house_row(option: HouseOption) -> list[str]:
    sound = option.sound_rw_db
    return [
        option.title,
        f"{option.units}",
        f"{option.u_w_m2k:.2f}",
        _signed(option.index_kwh_m2),
        f"{option.glass_kg:.0f}",
        "–" if sound is None else f"{sound[0]:.0f}" + (f" to {sound[1]:.0f}" if sound[1] > sound[0] else ""),
        f"{option.edge_wet_months}",
        f"{option.edge_dry_up_to_percent:.0f}",
        "–" if option.cost is None else f"{option.cost:.0f}",
    ]


def _signed(index: float | None) -> str:
    return "–" if index is None else f"{index:+.0f}"


def _opening(each: OpeningOptions, opening: OpeningRecord) -> dict[str, Any]:
    order = opening.order
    return {
        "name": each.name,
        "size": f"{show_mm(order.width.value)} × {show_mm(order.height.value)} mm",
        "rows": [_opening_row(row) for row in each.rows.values()],
    }


def _opening_row(row: OptionRow) -> list[str]:
    return [
        row.name,
        row.glass,
        f"{row.glass_u_w_m2k:.2f}",
        f"{row.u_w_m2k:.2f}",
        _signed(row.index_kwh_m2),
        (row.band or "–") + ("" if row.band_sure else " *"),
        f"{row.glass_kg:.0f}",
        "–" if row.sound_rw_db is None else f"{row.sound_rw_db:.0f}",
        f"{row.edge_wet_months}",
        f"{row.edge_dry_up_to_percent:.0f}",
    ]


def _sound_sources(single: Sequence[OpeningOptions]) -> list[str]:
    rows = [row for each in single for row in each.rows.values()]
    hows = sorted({row.sound_source.how for row in rows if row.sound_source})
    return (
        [f"{table('glass_sound').pedigree.source} and makers' figures (copies {'; '.join(hows)})"]
        if hows
        else []
    )


def _saving(saving: HouseSaving) -> dict[str, Any]:
    heating = saving.heating
    ways = [_way(f"by {name}", saved) for name, saved in saving.ways.items()]
    rows = [_range("heat, kWh", saving.heat_kwh)]
    if heating and saving.fuel_kwh and saving.co2_kg:
        rows += [_range(f"{heating.fuel}, kWh", saving.fuel_kwh), _range("carbon dioxide, kg", saving.co2_kg)]
    if saving.money:
        rows.append(_range("money, at the price typed in", saving.money))
    low, high = saving.draught_kwh
    return {
        "area": f"{saving.area_m2:.1f}",
        "before": f"{saving.before_u_w_m2k:.1f}",
        "after": f"{saving.after_u_w_m2k:.1f}",
        "ways": ways,
        "ranges": rows,
        "draught": f"{two_figures(low)} to {two_figures(high)}",
        "cost": None if saving.cost is None else f"{saving.cost:.0f}",
        "payback": saving.payback,
        "assumptions": list(saving.assumptions),
        "missing": list(saving.missing),
    }


def _way(name: str, saved: Saved) -> list[str]:
    parts = (saved.fabric_kwh, -saved.lost_sun_kwh, saved.heat_kwh)
    return [name, *(two_figures(part) for part in parts)]


def _range(name: str, values: Range) -> list[str]:
    return [name, two_figures(values.low), two_figures(values.likely), two_figures(values.high)]
