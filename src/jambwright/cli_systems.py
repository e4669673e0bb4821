"""The terminal's command for the sheet of a maker's system: look at one, and put it into a readings file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from jambwright.terminal import never_over_what_is_read, problems_told, text_of


def system(
    sheet: Annotated[
        str | None, typer.Argument(help="System sheet, YAML or JSON; - for standard input.")
    ] = None,
    into: Annotated[str | None, typer.Option("--into", help="Readings file to put it into.")] = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="The readings file to write; never the one read.")
    ] = None,
    shipped: Annotated[
        str | None,
        typer.Option("--shipped", help="Show a shipped, invented sheet, to change to your maker's."),
    ] = None,
    schema: Annotated[bool, typer.Option("--schema", help="JSON Schema of a sheet.")] = False,
) -> None:
    """Look at a maker's system sheet, say what it leaves open, and put it into a readings file.

    Example: jambwright system own.yaml --into house.yaml --out house-own.yaml.
    """
    from jambwright.basis.tables import read_text
    from jambwright.basis.tree import parse_tree
    from jambwright.readings.survey_file import survey_from_tree
    from jambwright.readings.systems import SHIPPED, gaps_of, read_sheet, system_sheet, with_system
    from jambwright.store import rewritten, write_file

    with problems_told():
        if schema:
            typer.echo(read_text("system.schema.json"), nl=False)
            return
        if shipped:
            typer.echo(read_text(SHIPPED.format(system_sheet(shipped).name)), nl=False)
            return
        if sheet is None or (into is None) != (out is None):
            raise typer.BadParameter("give a sheet, and --into with --out to put it into a readings file.")
        as_written = text_of(sheet)
        found = read_sheet(as_written)
        said = [f"{found.name}: {found.title}, by {found.by}.", *gaps_of(found)]
        if into and out:
            never_over_what_is_read(out, sheet, into)
            text = text_of(into)
            tree = with_system(parse_tree(text), parse_tree(as_written))
            survey_from_tree(tree)
            write_file(out, rewritten(text, tree).encode())
            said.append(f"Put into {out}; an opening takes it by `profile: {found.name}`.")
    typer.echo("\n".join(said))
