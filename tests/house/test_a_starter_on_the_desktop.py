"""`serve --shortcut`: a file on the desktop that starts the program with the options given, wherever it is run."""

import configparser
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from jambwright.basis.problems import BadInput
from jambwright.cli import app
from jambwright.starter import put_starter

ODD = 'my $houses "50 %" \\new'


def read_back(exec_line):
    """An Exec line read as the Desktop Entry Specification 1.5 has it: escapes of strings, then quoted words."""
    words = shlex.split(exec_line.replace("\\\\", "\\"))
    return [word.replace("%%", "%").replace("\\$", "$").replace("\\`", "`") for word in words]


def test_a_starter_runs_the_program_with_what_was_given(tmp_path, monkeypatch):
    monkeypatch.setattr("platformdirs.user_desktop_path", lambda: tmp_path)
    monkeypatch.chdir(tmp_path)
    given = ["serve", "--data", "firm.db", "--share", "--as", "office", "--no-browser", "--shortcut"]
    told = CliRunner().invoke(app, given)
    assert told.exit_code == 0, told.output
    file = tmp_path / "Jambwright.desktop"
    assert str(file) in told.output.replace("\n", "")
    assert not (tmp_path / "firm.db").exists(), "nothing is served yet"
    entry = configparser.ConfigParser(interpolation=None)
    entry.optionxform = str
    entry.read(file)
    said = entry["Desktop Entry"]
    assert (said["Type"], said["Terminal"]) == ("Application", "true")
    assert Path(said["Icon"]).is_file()
    firm = str(tmp_path / "firm.db")
    wanted = ["serve", "--data", firm, "--no-browser", "--share", "--as", "office"]
    assert read_back(said["Exec"]) == [sys.executable, "-m", "jambwright", *wanted]


def test_what_is_not_said_is_left_to_the_program(tmp_path, monkeypatch):
    monkeypatch.setattr("platformdirs.user_desktop_path", lambda: tmp_path)
    assert CliRunner().invoke(app, ["serve", "--shortcut"]).exit_code == 0
    [file] = tmp_path.iterdir()
    assert read_back(file.read_text().split("Exec=")[1].strip()) == [
        sys.executable,
        "-m",
        "jambwright",
        "serve",
    ]


def test_odd_names_come_through_a_shell_and_a_desktop(tmp_path):
    shell = put_starter(["--version", ODD], tmp_path, "darwin").read_text()
    assert shlex.split(shell.splitlines()[1])[-1] == ODD
    entry = put_starter(["--version", ODD], tmp_path, "linux").read_text()
    assert read_back(entry.split("Exec=")[1].strip())[-1] == ODD
    batch = put_starter(["serve", "--data", "50 % done.db"], tmp_path, "win32")
    assert batch.name == "Jambwright.cmd"
    assert '"50 %% done.db"' in batch.read_text()


def test_the_shell_starter_runs_by_itself(tmp_path):
    file = put_starter(["--version"], tmp_path, "darwin")
    told = subprocess.run([file], capture_output=True, text=True, check=True)
    assert "jambwright" in told.stdout.lower()


def test_without_a_desktop_it_is_told_how_to_start(tmp_path):
    with pytest.raises(BadInput, match=r"No starter can be put into .*Start with: .* -m jambwright serve"):
        put_starter(["serve"], tmp_path / "none", "linux")
