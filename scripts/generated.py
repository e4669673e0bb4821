"""Everything in the tree that is made from the code: schemas and reference pages. Run to bring them up to date."""

import importlib
import json
import pkgutil
from collections.abc import Iterator
from pathlib import Path

from pydantic import BaseModel

import jambwright
from jambwright import calc
from jambwright.basis.clause import Sourced
from jambwright.basis.tables import data_files, table
from jambwright.readings import Survey
from jambwright.readings.asked import fields_of
from jambwright.readings.blank_file import blank_file
from jambwright.readings.system_sheet import SystemSheet
from jambwright.readings.systems import SHIPPED, shipped_systems
from jambwright.record import Order, PlanRecord

ROOT = Path(__file__).parent.parent
DATA = "src/jambwright/basis/data"


def pages() -> dict[str, str]:
    """Every generated file by its path in the project."""
    return {
        f"{DATA}/survey.schema.json": _described(Survey),
        f"{DATA}/system.schema.json": _described(SystemSheet),
        f"{DATA}/plan.schema.json": _schema(PlanRecord),
        f"{DATA}/order.schema.json": _schema(Order),
        f"{DATA}/blank_survey.yaml": blank_file(),
        "docs/calculations.md": _calculations(),
        "docs/sources.md": _sources(),
    }


def _schema(model: type[PlanRecord] | type[Order]) -> str:
    return json.dumps(model.model_json_schema(), indent=1) + "\n"


def _described(root: type[BaseModel]) -> str:
    """The schema of a readings file or of a system sheet, each field with its label and help."""
    schema = root.model_json_schema()
    for name, shape in {**schema["$defs"], root.__name__: schema}.items():
        for field in fields_of(name, root):
            told = {"title": field.label, "description": field.help}
            shape["properties"][field.name] |= {key: said for key, said in told.items() if said}
    return json.dumps(schema, indent=1) + "\n"


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
    lines += ["", "## System sheets", "", "| sheet | what | by | how |", "|---|---|---|---|"]
    for name, sheet in shipped_systems().items():
        lines.append(f"| `{SHIPPED.format(name)}` | {sheet.title} | {sheet.by} | {sheet.source.how} |")
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
