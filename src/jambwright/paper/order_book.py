"""The order to the frame maker: one row a light, as CSV and as a workbook ready to print."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

from jambwright.basis.cells import may_be_formula
from jambwright.paper.csv_file import csv_bytes
from jambwright.paper.fit_words import restrictor, threshold
from jambwright.paper.gate_words import hold, stop
from jambwright.record import Figure, IssuedSize, OpeningRecord, PlanRecord, Unread

HEADERS = (
    "opening", "hold", "room", "kind", "profile", "colour", "width mm", "height mm", "overall height with sill mm",
    "threshold", "behind nibs", "mullions from left mm", "transoms from bottom mm", "light",
    "opens (seen from outside)", "swing", "glass width mm", "glass height mm", "make-up", "obscure", "vent mm2",
    "handle height mm", "stay angle deg", "restrictor",
    "reinforcement of bars", "sill length mm", "sill depth mm", "sill ends", "unit kg", "U at reference size W/m2K",
    "energy index kWh/m2 year", "band",
)  # fmt: skip
VIEW = "All sizes and hands are viewed from outside. Frame sizes are without the sill."

HOLD_WIDTH = 46
"""Letters a line of what speaks against an order; longer words are wrapped."""

Cell = str | float | None


def rows(record: PlanRecord) -> list[tuple[Cell, ...]]:
    """One row a light; what belongs to the frame stands on its first light's row. What is not read yet is held."""
    issued = [row for each in record.issued for row in _issued(each, record)]
    planned = [row for plan in record.openings for row in _rows(plan, hold(plan))]
    return issued + planned + [_not_read(each) for each in record.unread]


def order_csv(record: PlanRecord) -> bytes:
    """The order as CSV."""
    return csv_bytes([HEADERS, *rows(record), (f"{VIEW} Plan {record.plan_id}.",)])


def order_xlsx(record: PlanRecord) -> bytes:
    """The order as a workbook: landscape A4, one page wide, headers on every page."""
    from openpyxl import Workbook
    from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
    from openpyxl.utils import get_column_letter
    from openpyxl.worksheet.properties import PageSetupProperties

    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Order"
    sheet.append([f"Order for {record.site.label}"])
    sheet.append([f"{VIEW} Plan {record.plan_id}."])
    sheet.append(HEADERS)
    ordered = rows(record)
    for row in ordered:
        sheet.append(row)
    for cells in sheet.iter_rows():
        for cell in cells:
            _as_text(cell)
    thin = Border(bottom=Side(style="thin"))
    sheet["A1"].font = Font(bold=True, size=14)
    for cell in sheet[3]:
        cell.font = Font(bold=True)
        cell.alignment = Alignment(wrap_text=True, vertical="top")
        cell.border = thin
    for column, header in enumerate(HEADERS, 1):
        longest = max(
            (len(str(row[column - 1])) for row in ordered if row[column - 1] is not None), default=4
        )
        width = HOLD_WIDTH if header == "hold" and longest > HOLD_WIDTH else longest
        sheet.column_dimensions[get_column_letter(column)].width = max(width, *map(len, header.split())) + 2
    for cells in sheet.iter_rows(min_row=4):
        for cell in cells:
            cell.alignment = Alignment(vertical="top")
        held = cells[HEADERS.index("hold")]
        if held.value:
            held.font = Font(bold=True)
            held.fill = PatternFill("solid", start_color="DDDDDD")
            held.alignment = Alignment(wrap_text=True, vertical="top")
    sheet.freeze_panes = "B4"
    sheet.print_title_rows = "1:3"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _as_text(cell: Any) -> None:
    """A text that a spreadsheet program would take for a formula stays a text, when it is edited too."""
    if isinstance(cell.value, str) and may_be_formula(cell.value):
        cell.data_type, cell.quotePrefix = "s", True


def _rows(plan: OpeningRecord, held: str | None) -> Iterator[tuple[Cell, ...]]:
    frame = plan.frame
    layout, sill = frame.layout, frame.sill
    whole: tuple[Cell, ...] = (
        plan.id,
        held,
        plan.room,
        frame.chosen.kind,
        frame.chosen.profile.title,
        frame.chosen.colour,
        plan.order.width.value,
        plan.order.height.value,
        plan.order.overall_height.value,
        threshold(plan) or None,
        _behind(plan),
        _listed(layout.centre_lines_mm("mullion")),
        _listed(layout.centre_lines_mm("transom")),
    )
    unit = plan.heat.unit
    tail: tuple[Cell, ...] = (_reinforcement(plan),) + (
        (_value(plan.order.sill_length), _value(plan.order.sill_depth), sill.ends) if sill else (None, None, "none")
    ) + (
        round(plan.order.whole_kg.value, 1), round(unit.reference.u_w_m2k, 2),
        *((round(unit.index_kwh_m2, 1), unit.band.band) if unit.band and unit.index_kwh_m2 is not None
          else (None, None)),
    )  # fmt: skip
    for index, light in enumerate(layout.lights):
        wanted, glass = light.wanted, plan.glass[light.mark]
        own: tuple[Cell, ...] = (
            light.mark, light.moves.words, wanted.swing if light.sash else None,
            glass.width.value, glass.height.value, glass.make_up or "panel",
            "yes" if glass.obscure else None, wanted.vent_mm2 or None, wanted.handle_height_mm,
            wanted.open_angle_deg, restrictor(wanted.restrictor) or None,
        )  # fmt: skip
        first = index == 0
        yield (
            *(whole if first else (plan.id, *(None,) * (len(whole) - 1))),
            *own,
            *(tail if first else (None,) * len(tail)),
        )


def _not_read(each: Unread) -> tuple[Cell, ...]:
    """Nothing to order yet, and why."""
    told: dict[str, Cell] = {"opening": each.id, "hold": hold(each), "room": each.room}
    return tuple(told.get(header) for header in HEADERS)


def _issued(each: IssuedSize, record: PlanRecord) -> Iterator[tuple[Cell, ...]]:
    """A size of an earlier version, in the columns it tells."""
    told: dict[str, Cell] = {
        "opening": each.id, "hold": stop(record.gates.ordering, "ordering"), "room": each.room, "kind": each.kind,
        "profile": each.profile, "colour": each.colour, "width mm": each.width_mm, "height mm": each.height_mm,
        "overall height with sill mm": each.overall_height_mm, "sill length mm": each.sill_length_mm,
        "sill depth mm": each.sill_depth_mm,
    }  # fmt: skip
    for mark, (width, height, make_up) in each.glass.items():
        own: dict[str, Cell] = {
            "opening": each.id, "light": mark, "glass width mm": width, "glass height mm": height,
            "make-up": make_up or "panel",
        }  # fmt: skip
        yield tuple((told | own).get(header) for header in HEADERS)
        told = {}


def _reinforcement(plan: OpeningRecord) -> str | None:
    """Which section goes into which bar."""
    made = [f"{bar.name} {bar.reinforcement.section}" for bar in plan.fitting.bars if bar.reinforcement]
    return "; ".join(made) or None


def _behind(plan: OpeningRecord) -> str | None:
    """How much a frame is larger than the hole seen from outside, for a check against the old frame."""
    laps = plan.lapped
    if laps is None:
        return None
    return f"in from inside, {laps.larger} than the hole outside"


def _value(figure: Figure | None) -> float | None:
    return figure.value if figure else None


def _listed(values: tuple[float, ...]) -> str | None:
    return "; ".join(f"{value:.1f}".removesuffix(".0") for value in values) or None
