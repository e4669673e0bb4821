"""`jambwright tools` and `jambwright lessons`, on files and on a store of invented houses."""

import pytest
from typer.testing import CliRunner

from jambwright.basis.tables import read_text
from jambwright.cli import app
from jambwright.lessons.made_up import made_up_houses
from jambwright.store import to_yaml


def run(*words):
    return CliRunner().invoke(app, [str(word) for word in words])


@pytest.fixture
def house(tmp_path):
    tree, fitted = made_up_houses()[2]
    (tmp_path / "house.yaml").write_text(to_yaml(tree))
    (tmp_path / "house.fitted.yaml").write_text(to_yaml(fitted))
    return tmp_path / "house.yaml"


def test_tools_of_a_file(house):
    done = run("tools", house)
    assert done.exit_code == 0
    assert "Your readings scatter" in done.output
    assert "beside" in done.output or "no difference can be told" in done.output
    assert "steel rule" in done.output


def test_lessons_of_a_file_with_its_gaps_beside_it(house):
    done = run("lessons", house)
    assert done.exit_code == 0
    assert "fitted frames, 1 house." in done.output
    assert "openings are too few" in done.output


def test_a_file_without_gaps_is_told(tmp_path):
    (tmp_path / "demo.yaml").write_text(read_text("demo_house.yaml"))
    done = run("lessons", tmp_path / "demo.yaml")
    assert done.exit_code == 2
    assert "demo.fitted.yaml" in done.output


def test_the_demo_houses_are_written_once_and_adopted_from(tmp_path):
    data = tmp_path / "thirty.db"
    assert "30 invented houses" in run("demo", "--houses", data).output
    assert run("demo", "--houses", data).exit_code == 2
    assert "tape B" in run("tools", "--data", data).output
    adopted = run("lessons", "--data", data, "--adopt", "tape B", "--by", "Office")
    assert adopted.exit_code == 0
    assert '"by": "Office"' in adopted.output
    refused = run("lessons", "--data", data, "--adopt", "tape A")
    assert refused.exit_code == 2
    assert "not adopted" in refused.output


def test_too_little_to_tell_is_said(tmp_path):
    tree, _ = made_up_houses()[0]
    (tmp_path / "one.yaml").write_text(to_yaml(tree | {"openings": tree["openings"][:1]}))
    assert "Openings read far enough: 1. That is too little" in run("tools", tmp_path / "one.yaml").output
