"""Tables, schemas, docs and public names: what must never drift apart."""

import csv
import importlib
import json
import pkgutil
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import jsonschema
import pytest

import generated
import jambwright
from jambwright import calc
from jambwright.basis.clause import Clause, Sourced
from jambwright.basis.tables import data_files, read_text, table
from jambwright.basis.tree import parse_tree

ROOT = Path(__file__).parents[2]
TABLES = [name.removesuffix(".csv") for name in data_files(".csv")]
MODULES = [m.name for m in pkgutil.walk_packages(jambwright.__path__, "jambwright.")]
HOW = {
    "read", "second hand", "from memory, high", "from memory, medium", "from memory, low", "calculated",
    "digitised", "invented", "common practice, no published source", "second hand, one page",
}  # fmt: skip


@pytest.mark.parametrize("name", TABLES)
def test_every_table_has_a_pedigree_and_whole_rows(name):
    found = table(name)
    assert found.rows
    assert found.pedigree.document
    assert found.pedigree.how in HOW
    header = read_text(f"{name}.csv").splitlines()[0].split(",")
    assert set(found.pedigree.units) <= set(header)
    for row in csv.reader(read_text(f"{name}.csv").splitlines()):
        assert len(row) == len(header)
    assert all(found.source(row).how in HOW for row in found)


def test_every_twin_belongs_to_a_table():
    assert {name.removesuffix(".toml") for name in data_files(".toml")} == set(TABLES)
    for name in data_files(".toml"):
        assert {"title", "document", "how"} <= set(tomllib.loads(read_text(name)))


@pytest.mark.parametrize("path", generated.pages())
def test_what_is_made_from_the_code_is_up_to_date(path):
    assert (ROOT / path).read_text(encoding="utf-8") == generated.pages()[path], "run scripts/generated.py"


def test_the_demo_house_keeps_to_the_shipped_schema():
    tree = json.loads(json.dumps(parse_tree(read_text("demo_house.yaml")), default=str))
    jsonschema.validate(tree, json.loads(read_text("survey.schema.json")))


@pytest.mark.parametrize("module", MODULES)
def test_every_module_says_what_it_is_and_every_formula_where_it_is_from(module):
    loaded = importlib.import_module(module)
    assert loaded.__doc__
    for name in getattr(loaded, "__all__", ()):
        assert hasattr(loaded, name)
    for value in vars(loaded).values():
        if isinstance(value, Sourced):
            assert isinstance(value.source, Clause)
            assert value.source.how in HOW
            assert value.formula


@pytest.mark.parametrize("path", sorted(ROOT.glob("src/**/*.py")), ids=lambda p: p.name)
def test_no_module_is_longer_than_a_sitting(path):
    assert len(path.read_text().splitlines()) <= 400


@pytest.mark.parametrize("name", [c.name for c in calc.calculations()])
def test_every_calculation_answers_its_own_example_and_shows_its_working(name):
    wanted = calc.calculation(name)
    answer = calc.answer(name, wanted.example)
    assert answer
    json.dumps(answer, allow_nan=False)
    steps = calc.working(name, wanted.example)
    assert steps
    assert all(step["source"] and step["how"] in HOW for step in steps)
    jsonschema.validate(json.loads(json.dumps(wanted.example)), wanted.asks.model_json_schema())


@pytest.mark.parametrize("name", [c.name for c in calc.calculations()])
def test_every_calculation_refuses_an_unknown_field_by_name(name):
    with pytest.raises(ValueError, match="unknown_field_x: there is no such field"):
        calc.answer(name, {**calc.calculation(name).example, "unknown_field_x": 1})


def test_the_readme_names_every_command():
    readme = (ROOT / "README.md").read_text()
    out = subprocess.run(
        [sys.executable, "-m", "jambwright", "--help"], capture_output=True, text=True, check=True
    ).stdout
    commands = set(re.findall(r"^\W*([a-z]+)\s{2,}", out.split("Commands:")[1], re.MULTILINE))
    assert {"plan", "check", "calc", "form", "demo"} <= commands
    assert not [c for c in commands if f"jambwright {c}" not in readme]
