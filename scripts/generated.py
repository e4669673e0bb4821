"""Everything in the tree that is made from the code: schemas and reference pages. Run to bring them up to date."""

import importlib
import json
import pkgutil
from collections.abc import Iterator
from pathlib import Path
from typing import Literal, get_args, get_origin

from pydantic import BaseModel

import jambwright
from jambwright import calc
from jambwright.basis.clause import Sourced
from jambwright.basis.tables import data_files, table
from jambwright.readings import Opening, ReadingSet, Survey
from jambwright.readings.ways import ways
from jambwright.record import PlanRecord

ROOT = Path(__file__).parent.parent
DATA = "src/jambwright/basis/data"


def pages() -> dict[str, str]:
    """Every generated file by its path in the project."""
    return {
        f"{DATA}/survey.schema.json": _schema(Survey),
        f"{DATA}/plan.schema.json": _schema(PlanRecord),
        "docs/calculations.md": _calculations(),
        "docs/sources.md": _sources(),
        "src/jambwright/web/static/choices.js": _choices(),
    }


def _schema(model: type[Survey] | type[PlanRecord]) -> str:
    return json.dumps(model.model_json_schema(), indent=1) + "\n"


def _choices() -> str:
    """The words to choose from, for the questions asked on the phone: those of the survey's own models."""
    told = {"/".join(path): words for path, words in _closed(Opening, ())}
    told["wanted/layout"] = [way.kind for way in ways().values() if way.ordered]
    lines = [f"  {json.dumps(path)}: {json.dumps(words)}," for path, words in told.items()]
    head = "// The words that may be chosen at an opening, by field. Made by scripts/generated.py."
    return "\n".join([head, "export const CHOICES = {", *lines, "};"]) + "\n"


def _closed(model: type[BaseModel], way: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], list[str]]]:
    """Fields of an opening that hold one of a few words, through the models inside it."""
    for name, field in model.model_fields.items():
        for kind in (field.annotation, *get_args(field.annotation)):
            if get_origin(kind) is Literal:
                yield (*way, name), list(get_args(kind))
            elif isinstance(kind, type) and issubclass(kind, BaseModel) and kind is not ReadingSet:
                yield from _closed(kind, (*way, name))


def _calculations() -> str:
    lines = [
        "# Calculations by name",
        "",
        "`jambwright calc NAME FILE` takes YAML or JSON; `--json`, `--working` and `--schema` show the rest.",
        "",
        "| name | what it answers | an input that works |",
        "|---|---|---|",
    ]
    for c in calc.calculations():
        example = json.dumps(dict(c.example)).replace("|", "\\|")
        lines.append(f"| `{c.name}` | {c.summary.rstrip('.')} | `{example}` |")
    return "\n".join(lines) + "\n"


def _sources() -> str:
    lines = [
        "# Where the figures are from",
        "",
        "How sure we are of a copy: *read* was seen in a public copy; *second hand* is what another's page says of the",
        "document; *from memory* was not seen; *digitised* was read off a chart; *calculated* follows from the",
        "formula; *invented* is ours, to be replaced.",
        "",
        "## Tables",
        "",
        "| table | what | document | place | how |",
        "|---|---|---|---|---|",
    ]
    for name in data_files(".csv"):
        p = table(name.removesuffix(".csv")).pedigree
        lines.append(f"| `{name}` | {p.title} | {p.document} | {p.place} | {p.how} |")
    lines += ["", "## Formulas", "", "| function | formula | document | how |", "|---|---|---|---|"]
    lines += sorted(_formulas())
    return "\n".join(lines).replace("\n\n\n", "\n\n") + "\n"


def _formulas() -> Iterator[str]:
    for module in pkgutil.walk_packages(jambwright.__path__, "jambwright."):
        for name, value in vars(importlib.import_module(module.name)).items():
            if isinstance(value, Sourced) and value.__module__ == module.name:
                where = f"{module.name.removeprefix('jambwright.')}.{name}"
                formula = value.formula.replace("|", "\\|")
                yield f"| `{where}` | {formula} | {value.source} | {value.source.how} |"


if __name__ == "__main__":
    for path, text in pages().items():
        (ROOT / path).parent.mkdir(parents=True, exist_ok=True)
        (ROOT / path).write_text(text, encoding="utf-8")
