"""The terminal: a thin door that reads, calls and shows."""

from __future__ import annotations

import json
from collections.abc import Mapping
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jambwright import __version__
from jambwright.cli_forms import form
from jambwright.cli_houses import backup, restore, serve, verify
from jambwright.cli_lessons import lessons, tools, write_demo_houses
from jambwright.cli_systems import system
from jambwright.last_net import Commands, last_net
from jambwright.terminal import (
    NEEDS_SOMEONE,
    bytes_of,
    never_over_what_is_read,
    problems_told,
    progress,
    say_everything,
    text_of,
    tree_of,
)

if TYPE_CHECKING:
    from jambwright.readings.survey import Survey
    from jambwright.record import PlanRecord


class DemoHouse(StrEnum):
    """The invented houses to be looked at."""

    TERRACE = "terrace"
    SASHES_AND_DOORS = "sashes-and-doors"


DEMO_HOUSES = {
    DemoHouse.TERRACE: "demo_house.yaml",
    DemoHouse.SASHES_AND_DOORS: "demo_sashes_and_doors.yaml",
}

DayOfWork = Annotated[
    str | None,
    typer.Option("--date", help="Day of the work, such as 2026-05-01, in place of the one in the file."),
]

app = typer.Typer(
    name="jambwright",
    cls=Commands,
    help="From tape readings to a plan and papers for replacing the windows and external doors of a house.",
    no_args_is_help=True,
    rich_markup_mode=None,  # plain help answers in a blink
    pretty_exceptions_enable=False,
)


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"jambwright {__version__}")
        raise typer.Exit


@app.callback()
def _root(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")
    ] = False,
) -> None:
    del version


@app.command()
def calc(
    name: Annotated[str | None, typer.Argument(help="Name of the calculation; see --list.")] = None,
    file: Annotated[str, typer.Argument(help="YAML or JSON file; - for standard input.")] = "-",
    as_json: Annotated[bool, typer.Option("--json", help="Answer, or problems, as JSON.")] = False,
    working: Annotated[bool, typer.Option("--working", help="Show every step with its source.")] = False,
    schema: Annotated[bool, typer.Option("--schema", help="Show what it takes, as JSON Schema.")] = False,
    list_all: Annotated[bool, typer.Option("--list", help="List the calculations.")] = False,
) -> None:
    """Do one calculation by name.  Example: jambwright calc lifting pane.yaml --working."""
    from jambwright import calc as by_name
    from jambwright.calc.as_text import as_text

    if list_all or name is None:
        for c in by_name.calculations():
            typer.echo(f"{c.name:20} {c.summary}")
        return
    with problems_told(as_json):
        if schema:
            typer.echo(json.dumps(by_name.calculation(name).asks.model_json_schema(), indent=2))
            return
        given = tree_of(file)
        result = by_name.answer(name, given, working=working)
        typer.echo(json.dumps(result, allow_nan=False) if as_json else as_text(result))


@app.command()
def plan(
    house: Annotated[str, typer.Argument(help="Readings file, YAML or JSON; - for standard input.")],
    out: Annotated[Path, typer.Option("--out", help="Folder for the papers; made when missing.")],
    prices: Annotated[
        str | None, typer.Option("--prices", help="Your price file; adds the estimate.")
    ] = None,
    rain: Annotated[
        str | None, typer.Option("--rain", help="Hourly forecast, YAML: 2026-12-07T09 to millimetres.")
    ] = None,
    since: Annotated[
        str | None,
        typer.Option("--since", help="The order.json of an earlier issue; tells what changed since."),
    ] = None,
    on: DayOfWork = None,
) -> None:
    """Plan a house and write its papers; leaves with 1 while a gate is shut.

    Example: jambwright plan house.yaml --out papers.
    """
    with problems_told():
        record = _plan_and_write(
            _survey(text_of(house), on),
            out,
            prices=text_of(prices) if prices else None,
            rain=tree_of(rain) if rain else None,
            since=text_of(since) if since else None,
        )
        raise typer.Exit(NEEDS_SOMEONE if record.needs_someone else 0)


@app.command()
def papers(
    plan: Annotated[str, typer.Argument(help="The plan.json of a papers folder; - for standard input.")],
    out: Annotated[Path, typer.Option("--out", help="Folder for the papers; made when missing.")],
    labels: Annotated[
        str | None, typer.Option("--labels", help="Labels on a sheet, 8 if left out: 2, 4, 8 or 14.")
    ] = None,
) -> None:
    """Print the papers of a kept plan again, as issued.  Example: jambwright papers plan.json --out again."""
    from jambwright.paper import labels_pdf, printed
    from jambwright.record import read_record
    from jambwright.store import write_folder

    with problems_told():
        record = read_record(text_of(plan))
        files = printed(record)
        if labels and record.openings:
            files["labels.pdf"] = labels_pdf(record, sheet=labels)
        told = write_folder(out, files, plan=record.plan_id)
    typer.echo("\n".join([f"Papers of plan {record.plan_id} are in {out}.", *told]))


@app.command()
def confirm(
    order: Annotated[str, typer.Argument(help="The order.json that was sent; - for standard input.")],
    answer: Annotated[Path, typer.Argument(help="What the maker answers: CSV, or a workbook.")],
    as_json: Annotated[bool, typer.Option("--json", help="Differences, or problems, as JSON.")] = False,
) -> None:
    """Lay the maker's answer beside the order; leaves with 1 where they differ.

    Example: jambwright confirm papers/order.json answer.xlsx.
    """
    from jambwright.handover import acknowledged, answer_json, answer_lines
    from jambwright.record import read_order

    with problems_told(as_json):
        found = acknowledged(read_order(text_of(order)), bytes_of(answer))
        typer.echo(json.dumps(answer_json(found)) if as_json else "\n".join(answer_lines(found)))
        raise typer.Exit(0 if found.agrees else NEEDS_SOMEONE)


@app.command()
def demo(
    out: Annotated[Path, typer.Option("--out", help="Folder for the papers.")] = Path("jambwright-demo"),
    house: Annotated[
        DemoHouse,
        typer.Option(
            "--house", help="`terrace`, eleven openings; `sashes-and-doors`, a box sash and three doors."
        ),
    ] = DemoHouse.TERRACE,
    houses: Annotated[
        Path | None,
        typer.Option("--houses", help="Write thirty invented houses with their frames in here instead."),
    ] = None,
) -> None:
    """Plan an invented demo house.  Example: jambwright demo --out papers."""
    from jambwright.basis.tables import read_text

    if houses:
        with problems_told():
            typer.echo(f"{write_demo_houses(houses)} invented houses are in {houses}.")
        return

    text, prices = read_text(DEMO_HOUSES[house]), read_text("demo_prices.yaml")
    with problems_told():
        extra = {"house.yaml": text.encode(), "prices.yaml": prices.encode()}
        _plan_and_write(_survey(text), out, extra, prices=prices)


@app.command()
def check(
    house: Annotated[str, typer.Argument(help="Readings file, YAML or JSON; - for standard input.")],
    on: DayOfWork = None,
    as_json: Annotated[bool, typer.Option("--json", help="Findings, or problems, as JSON.")] = False,
) -> None:
    """Say what stops order or work; leaves with 1 while anything does.  Example: jambwright check house.yaml."""
    from jambwright import job
    from jambwright.paper.check_words import check_words, findings_json

    with problems_told(as_json):
        record = job.check(_survey(text_of(house), on))
        typer.echo(json.dumps(findings_json(record)) if as_json else "\n".join(check_words(record)))
        raise typer.Exit(NEEDS_SOMEONE if record.needs_someone else 0)


@app.command()
def apply(
    house: Annotated[str, typer.Argument(help="Readings file, YAML or JSON; - for standard input.")],
    opening: Annotated[str, typer.Argument(help="Mark of the opening, such as W3.")],
    out: Annotated[Path, typer.Option("--out", help="The readings file to write; never the one read.")],
    number: Annotated[int | None, typer.Argument(help="Number of the proposal, as `check` tells it.")] = None,
    undo: Annotated[
        int | None, typer.Option("--undo", help="Take back the accepted proposal of this number instead.")
    ] = None,
    by: Annotated[str | None, typer.Option("--by", help="Who accepted it.")] = None,
    on: Annotated[str | None, typer.Option("--on", help="Day it was accepted, today if left out.")] = None,
) -> None:
    """Put a proposal into a readings file, or take it back.

    Example: jambwright apply house.yaml W3 1 --out changed.yaml.
    """
    from datetime import date

    from jambwright import job
    from jambwright.basis.tree import parse_tree
    from jambwright.checks.regulations import day
    from jambwright.readings.proposal import undo_accepted
    from jambwright.readings.survey_file import survey_from_tree
    from jambwright.store import rewritten, write_file

    if (number is None) == (undo is None):
        raise typer.BadParameter("say which proposal, or --undo and which accepted one.", param_hint="NUMBER")
    with problems_told():
        never_over_what_is_read(out, house)
        text = text_of(house)
        tree = parse_tree(text)
        if number is None:
            survey_from_tree(tree)
            changed, said = undo_accepted(tree, opening, undo or 0), f"accepted proposal {undo} taken back"
        else:
            accepted_on = day(on) if on else date.today()
            changed, chosen = job.accept_proposal(tree, opening, number, on=accepted_on, by=by)
            said = chosen.say
        write_file(out, rewritten(text, changed).encode())
    typer.echo(f"{opening}: {said}. Written to {out}.")


@app.command()
def gather(
    readings: Annotated[
        Path, typer.Argument(help="Workbook, CSV, or a laser meter's list of label, metres.")
    ],
    into: Annotated[str, typer.Option("--into", help="Readings file with site, house and defaults.")],
    out: Annotated[Path, typer.Option("--out", help="The readings file to write; never the one read.")],
    labels: Annotated[
        str | None, typer.Option("--labels", help="YAML: meter's label to `W1 width top`.")
    ] = None,
) -> None:
    """Put readings from a table or a meter into a readings file.

    Example: jambwright gather site.xlsx --into house.yaml --out house-read.yaml.
    """
    from jambwright.basis.tree import parse_tree
    from jambwright.readings.gathering import gathered, openings_in
    from jambwright.store import rewritten, write_file

    with problems_told():
        never_over_what_is_read(out, str(readings), into, labels)
        openings, notes = openings_in(bytes_of(readings), tree_of(labels) if labels else None)
        text = text_of(into)
        tree, told = gathered(parse_tree(text), openings)
        write_file(out, rewritten(text, tree).encode())
    typer.echo("\n".join([f"{len(openings)} openings read into {out}.", *notes, *told]))


@app.command()
def rules(
    nation: Annotated[
        str, typer.Option("--nation", help="england, wales, scotland, northern_ireland, ireland.")
    ],
    on: Annotated[str, typer.Option("--date", help="Day of the work, such as 2026-05-01.")],
    as_json: Annotated[bool, typer.Option("--json", help="The rules, or problems, as JSON.")] = False,
) -> None:
    """List the rules in force, with sources.  Example: jambwright rules --nation wales --date 2026-05-01."""
    from jambwright.checks.regulations import listed_rules

    with problems_told(as_json):
        listed = listed_rules(nation, on)
        if as_json:
            typer.echo(json.dumps({"rules": listed}))
            return
        for rule in listed:
            not_judged = "" if rule["judged"] == "yes" else "  NOT JUDGED HERE"
            line = "{rule:36} {test:9} {says}: {limit} {unit}  [{source}]{note}".format(**rule)
            typer.echo(line + not_judged)


def _survey(text: str, on: str | None = None) -> Survey:
    """The survey in a readings file, moved to another day of work where one is given."""
    from jambwright.basis.border import accept
    from jambwright.checks.regulations import day
    from jambwright.readings.survey import Survey
    from jambwright.readings.survey_file import read_survey

    survey = read_survey(text)
    return accept(Survey, survey.model_dump() | {"date_of_work": day(on)}) if on else survey


def _plan_and_write(
    survey: Survey,
    out: Path,
    extra: Mapping[str, bytes] | None = None,
    *,
    prices: str | None = None,
    rain: Mapping[str, float] | None = None,
    since: str | None = None,
) -> PlanRecord:
    """Plan, make every paper, and only then write; nothing is written when the input is bad."""
    from jambwright import job
    from jambwright.plan.prices import read_prices
    from jambwright.record import read_order
    from jambwright.store import require_folder, write_folder

    require_folder(out)
    choices = job.Choices(
        prices=read_prices(prices) if prices is not None else None,
        rain=rain,
        earlier=read_order(since) if since is not None else None,
    )
    with progress() as told:
        record, papers = job.plan_and_print(survey, choices, told)
    left = write_folder(out, {**papers, **(extra or {})}, plan=record.plan_id)
    typer.echo(papers["summary.txt"].decode(), nl=False)
    typer.echo(f"Papers are in {out}: {', '.join(sorted(name for name in papers if '/' not in name))}")
    for line in left:
        typer.echo(line)
    return record


for command in (form, system, tools, lessons, serve, backup, restore, verify):
    app.command()(command)


def main() -> None:
    """Run the command line."""
    with last_net():
        say_everything()
        app()
