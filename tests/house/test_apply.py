"""Proposals on the command line: put into a readings file, taken back, refused in words."""

import json

import pytest
from typer.testing import CliRunner

from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.cli import app

DEMO = read_text("demo_house.yaml")


@pytest.fixture
def house(tmp_path):
    file = tmp_path / "house.yaml"
    file.write_text(DEMO, encoding="utf-8")
    return file


def run(*words):
    return CliRunner().invoke(app, [str(word) for word in words])


def opening(file, mark):
    return next(each for each in parse_tree(file.read_text())["openings"] if each["id"] == mark)


def test_a_proposal_is_put_in_by_its_number_and_the_opening_passes(house, tmp_path):
    out = tmp_path / "new.yaml"
    result = run("apply", house, "W3", 1, "--out", out, "--by", "Ada", "--on", "2026-11-02")
    assert result.exit_code == 0, result.output
    assert "W3: light A: 35 mm wider at the cost of light B. Written to" in result.stdout
    assert "W3 front bedroom: Stops the order" in run("check", house).stdout
    assert "W3 front bedroom: Stops the order" not in run("check", out).stdout
    (kept,) = opening(out, "W3")["accepted"]
    assert (kept["on"], kept["by"]) == ("2026-11-02", "Ada")
    assert kept["mends"] == ["escape.width", "ventilation.purge.kept"]
    assert "# Invented end-of-terrace house" in out.read_text()
    assert house.read_text() == DEMO


def test_the_number_is_the_one_that_check_tells(house, tmp_path):
    told = json.loads(run("check", house, "--json").stdout)["proposals"]
    assert list(told) == ["W3", "W4"]
    for number, each in enumerate(told["W3"], 1):
        out = tmp_path / f"{number}.yaml"
        assert run("apply", house, "W3", number, "--out", out).exit_code == 0
        changes = opening(out, "W3")["accepted"][0]["changes"]
        assert [(c["place"], c.get("value")) for c in changes] == [
            (c["place"], c["value"]) for c in each["changes"]
        ]


def test_an_accepted_proposal_is_taken_back_and_the_file_is_as_it_was(house, tmp_path):
    out, back = tmp_path / "new.yaml", tmp_path / "back.yaml"
    assert run("apply", house, "W3", 2, "--out", out).exit_code == 0
    result = run("apply", out, "W3", "--undo", 1, "--out", back)
    assert result.exit_code == 0, result.output
    assert back.read_text() == DEMO


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["W3", "9"], "W3: there is no proposal 9; there are 2."),
        (["W9", "1"], "W9: there is no proposal 1; nothing is proposed for it."),
        (["W77", "1"], "There is no opening W77; there are W1, "),
        (["W3", "--undo", "1"], "W3 front bedroom: there is no accepted proposal 1; none was accepted."),
        (["W3"], "say which proposal"),
        (["W3", "1", "--undo", "1"], "say which proposal"),
    ],
)
def test_what_cannot_be_put_in_is_told_and_nothing_is_written(house, tmp_path, words, says):
    result = run("apply", house, *words, "--out", tmp_path / "new.yaml")
    assert result.exit_code == 2
    assert says in result.stderr
    assert not (tmp_path / "new.yaml").exists()


def test_the_file_that_is_read_is_never_written_over(house, tmp_path):
    (tmp_path / "same").symlink_to(house)
    for out in (house, tmp_path / "same"):
        result = run("apply", house, "W3", 1, "--out", out)
        assert result.exit_code == 2
        assert "is a file that is read" in result.stderr
    assert house.read_text() == DEMO


def test_an_opening_that_is_ordered_is_not_changed(house, tmp_path):
    house.write_text(DEMO.replace("  - id: W3\n", "  - id: W3\n    done: [ordered]\n"), encoding="utf-8")
    result = run("apply", house, "W3", 1, "--out", tmp_path / "new.yaml")
    assert result.exit_code == 2
    assert "W3 front bedroom is ordered already" in result.stderr
