"""Every file that once went wrong: one clear sentence, status 2, nothing written, and soon."""

import json
import time
from pathlib import Path

import pytest
from typer.testing import CliRunner

from jambwright.cli import app

BAD = Path(__file__).parents[1] / "data" / "bad"
FAULTS = [json.loads(line) for line in (BAD / "faults.jsonl").read_text(encoding="utf-8").splitlines()]
SOUND = str(BAD / "sound.yaml")
LONGEST_SENTENCE = 450
MACHINE = (
    "Traceback",
    "datetime.",
    "constructor",
    "pydantic",
    "<class",
    "Error:",
    "^[",
    "__",
    "NoneType",
    "input_type",
)


def words_for(fault, out):
    """The command that reads the file."""
    file = str(BAD / fault["file"])
    return {
        "check": ["check", file],
        "prices": ["plan", SOUND, "--prices", file, "--out", str(out)],
        "rain": ["plan", SOUND, "--rain", file, "--out", str(out)],
        "gather": ["gather", file, "--into", SOUND, "--out", str(out)],
        "labels": [
            "gather",
            str(BAD / "two_figures.txt"),
            "--labels",
            file,
            "--into",
            SOUND,
            "--out",
            str(out),
        ],
        "into": ["gather", str(BAD / "hidden_first.xlsx"), "--into", file, "--out", str(out)],
    }[fault["read_by"]]


@pytest.mark.parametrize("fault", FAULTS, ids=[f"{fault['read_by']} {fault['file']}" for fault in FAULTS])
def test_a_file_that_once_went_wrong_is_answered_in_words(fault, tmp_path):
    out, start = tmp_path / "out", time.perf_counter()
    told = CliRunner().invoke(app, words_for(fault, out))
    assert time.perf_counter() - start < 10
    assert told.exception is None or isinstance(told.exception, SystemExit), told.exception
    if fault["comes_to"] == "refused":
        assert told.exit_code == 2, told.output
        assert told.stdout == ""
        assert not out.exists()
        said = told.stderr.splitlines()
        assert 1 <= len(said) <= 3
        assert all(len(line) <= LONGEST_SENTENCE for line in said)
    else:
        assert told.exit_code in (0, 1), told.output
        said = told.stdout.splitlines()
    assert fault["words"] in " ".join(said).replace("\n", " ")
    assert not [word for word in MACHINE if word in told.output]


def test_the_file_they_are_made_from_is_sound():
    told = CliRunner().invoke(app, ["check", SOUND])
    assert told.exit_code == 1, told.output
    assert "more than" not in told.stdout


def test_every_file_of_the_corpus_is_listed():
    named = {fault["file"] for fault in FAULTS}
    assert {path.name for path in BAD.iterdir()} == named | {"faults.jsonl", "sound.yaml"}
