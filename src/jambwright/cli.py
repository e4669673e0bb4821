"""The terminal: a thin door that reads, calls and shows."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated, Any

import typer

from jambwright import __version__
from jambwright.basis.problems import BadInput

BAD_FILE = 2
"""Exit status when the input can't be used; nothing was written."""

app = typer.Typer(
    name="jambwright",
    help="From tape readings to a plan and papers for replacing the windows and external doors of a house.",
    no_args_is_help=True,
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

    if list_all or name is None:
        for c in by_name.calculations():
            typer.echo(f"{c.name:20} {c.summary}")
        return
    with _problems_told(as_json):
        if schema:
            typer.echo(json.dumps(by_name.calculation(name).asks.model_json_schema(), indent=2))
            return
        given = _tree(file)
        result = by_name.answer(name, given)
        if working:
            result["working"] = by_name.working(name, given)
        typer.echo(json.dumps(result, allow_nan=False) if as_json else _as_text(result))


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

    with _problems_told(as_json):
        listed = listed_rules(nation, on)
        if as_json:
            typer.echo(json.dumps({"rules": listed}))
            return
        for rule in listed:
            typer.echo("{rule:36} {test:9} {says}: {limit} {unit}  [{source}]{note}".format(**rule))


@contextmanager
def _problems_told(as_json: bool) -> Iterator[None]:
    """Tell bad input on standard error and leave with status 2."""
    try:
        yield
    except BadInput as bad:
        if as_json:
            typer.echo(json.dumps({"problems": [p.as_json() for p in bad.problems]}), err=True)
        else:
            for problem in bad.problems:
                typer.echo(problem.say, err=True)
        raise typer.Exit(BAD_FILE) from None


def _tree(file: str) -> Any:
    from jambwright.basis.tree import parse_tree

    if file == "-":
        return parse_tree(sys.stdin.read())
    try:
        return parse_tree(Path(file).read_text(encoding="utf-8"))
    except OSError as error:
        raise BadInput.one("file", f"{file}: {error.strerror}.") from None
    except UnicodeDecodeError:
        raise BadInput.one("file", f"{file} is not text in UTF-8.") from None


def _as_text(result: Mapping[str, Any], indent: str = "") -> str:
    """Fields one a line; steps of a working read value first."""
    lines = []
    for name, value in result.items():
        if name == "working":
            lines += ["working:"] + ["  " + _step_text(step) for step in value]
        elif isinstance(value, Mapping):
            lines += [f"{indent}{name}:", _as_text(value, indent + "  ")]
        elif isinstance(value, list) and value and isinstance(value[0], Mapping):
            lines.append(f"{indent}{name}:")
            lines += [indent + "  " + ", ".join(f"{k} {_plain(v)}" for k, v in row.items()) for row in value]
        else:
            lines.append(f"{indent}{name}: {_plain(value)}")
    return "\n".join(lines)


def _step_text(step: Mapping[str, Any]) -> str:
    given = ", ".join(f"{k} {_plain(v)}" for k, v in step["inputs"].items())
    parts = [f"{step['symbol']} = {_plain(step['value'])} {step['unit']}".rstrip(), step["formula"]]
    return "   ".join(
        [*filter(None, parts), *([f"with {given}"] if given else []), f"[{step['source']}; {step['how']}]"]
    )


def _plain(value: Any) -> str:
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, list):
        return "[" + ", ".join(_plain(v) for v in value) + "]"
    return str(value)


def main() -> None:
    """Run the command line."""
    app()
