"""The security notes: every test they name is there, and the reader is led to them."""

import ast
import re
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
NOTES = (ROOT / "docs" / "security.md").read_text(encoding="utf-8")
SHOWN = re.findall(r"^\| ([\d.]+) \| ([123]) \| .+ \| (\S+)::(\S+) \|$", NOTES, re.MULTILINE)
NUMBERED = re.findall(r"^\| (\d+\.\d+\.\d+) ", NOTES, re.MULTILINE)


@cache
def names_in(file):
    tree = ast.parse((ROOT / file).read_text(encoding="utf-8"))
    return {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}


def test_every_test_that_the_notes_name_is_there():
    assert len(SHOWN) > 50
    assert [f"{file}::{name}" for _, _, file, name in SHOWN if name not in names_in(file)] == []


def test_requirements_stand_once_and_in_their_order():
    numbers = [tuple(map(int, number.split("."))) for number, *_ in SHOWN]
    assert numbers == sorted(set(numbers))
    assert len(SHOWN) < len(NUMBERED), "what is not met is told too"


def test_the_readme_leads_to_them():
    assert "docs/security.md" in (ROOT / "README.md").read_text(encoding="utf-8")
    assert "security.md" in (ROOT / "docs" / "browser.md").read_text(encoding="utf-8")
