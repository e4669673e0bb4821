"""The terminal's command for what is filled in: readings file, workbook, prices, and sheets for pencil and paper."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from jambwright.terminal import problems_told


def form(
    as_yaml: Annotated[bool, typer.Option("--yaml", help="A commented blank to fill in.")] = False,
    as_xlsx: Annotated[
        Path | None, typer.Option("--xlsx", help="Write a workbook: one row an opening, to fill in on site.")
    ] = None,
    prices: Annotated[bool, typer.Option("--prices", help="Invented prices, to change to yours.")] = False,
    schema: Annotated[bool, typer.Option("--schema", help="JSON Schema of the readings file.")] = False,
    sheets: Annotated[
        int | None,
        typer.Option(
            "--sheets", min=1, max=200, help="So many blank survey sheets on paper, as PDF into --out."
        ),
    ] = None,
    out: Annotated[Path | None, typer.Option("--out", help="The PDF to write the sheets into.")] = None,
) -> None:
    """Write a blank readings file, workbook or survey sheets.  Example: jambwright form --yaml > house.yaml."""
    from jambwright.basis.tables import read_text

    if (sheets is None) != (out is None):
        raise typer.BadParameter("give both: --sheets 12 --out sheets.pdf.")
    if sheets and out:
        from jambwright.paper.survey_sheet import blank_sheets
        from jambwright.store import write_file

        with problems_told():
            write_file(out, blank_sheets(sheets))
        typer.echo(f"{sheets} survey sheets of two sides are in {out}.")
    elif schema:
        typer.echo(read_text("survey.schema.json"), nl=False)
    elif as_yaml:
        typer.echo(read_text("blank_survey.yaml"), nl=False)
    elif prices:
        typer.echo(read_text("demo_prices.yaml"), nl=False)
    elif as_xlsx:
        from jambwright.readings.form_workbook import form_workbook
        from jambwright.store import write_file

        with problems_told():
            write_file(as_xlsx, form_workbook())
    else:
        raise typer.BadParameter(
            "say which: --yaml, --xlsx FILE, --prices, --schema or --sheets N --out FILE."
        )
