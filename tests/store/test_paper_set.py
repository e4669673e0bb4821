"""A folder of papers holds those of one plan, whatever happens while they are written."""

import errno
import json
import os
import random
import shutil
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

import pytest

from jambwright.basis.problems import BadInput
from jambwright.store import look_through, write_file, write_folder
from jambwright.store.paper_set import MANIFEST, read_manifest

OLD = {"plan.json": b'{"jambwright_plan": 1}', "order.csv": b"old", "estimate.pdf": b"old estimate"} | {
    "drawings/W1.svg": b"old W1", "drawings/W9.svg": b"old W9",
}  # fmt: skip
NEW = {"plan.json": b'{"jambwright_plan": 2}', "order.csv": b"new", "drawings/W1.svg": b"new W1"}


def contents(folder):
    return {
        file.relative_to(folder).as_posix(): file.read_bytes()
        for file in folder.rglob("*")
        if file.is_file() and file.name != MANIFEST
    }


def test_papers_of_the_plan_before_go_and_what_others_put_there_stays(tmp_path):
    write_folder(tmp_path, OLD, plan="a")
    (tmp_path / "letter.txt").write_text("mine")
    (tmp_path / "drawings" / "sketch.svg").write_text("mine too")
    assert write_folder(tmp_path, NEW, plan="b") == []
    assert contents(tmp_path) == NEW | {"letter.txt": b"mine", "drawings/sketch.svg": b"mine too"}
    assert look_through(tmp_path) == ("b", [])
    write_folder(tmp_path, {"plan.json": b"{}"}, plan="c")
    assert contents(tmp_path) == {
        "plan.json": b"{}",
        "letter.txt": b"mine",
        "drawings/sketch.svg": b"mine too",
    }


def test_the_manifest_lists_each_paper_with_size_and_hash(tmp_path):
    write_folder(tmp_path, NEW, plan="b")
    tree = json.loads((tmp_path / MANIFEST).read_text())
    assert (tree["plan"], tree["complete"], tree["earlier"]) == ("b", True, [])
    assert {row["name"]: (row["size"], row["sha256"]) for row in tree["papers"]} == {
        name: (len(body), sha256(body).hexdigest()) for name, body in NEW.items()
    }


def test_a_paper_that_someone_changed_is_kept_under_another_name_and_told_of(tmp_path):
    write_folder(tmp_path, OLD, plan="a")
    (tmp_path / "order.csv").write_text("my prices in it")
    (tmp_path / "estimate.pdf").write_text("signed")
    [told] = write_folder(tmp_path, NEW, plan="b")
    assert told == "order.csv was there, not as a plan's paper; it is kept as order.kept1.csv."
    assert contents(tmp_path) == NEW | {"order.kept1.csv": b"my prices in it", "estimate.pdf": b"signed"}
    (tmp_path / "order.csv").write_text("again")
    write_folder(tmp_path, OLD, plan="a")
    assert contents(tmp_path)["order.kept2.csv"] == b"again"


def test_files_of_the_same_name_in_a_folder_that_never_held_papers_are_kept(tmp_path):
    (tmp_path / "order.csv").write_text("shoes")
    (tmp_path / "manifest.json").write_text('{"name": "a page"}')
    (tmp_path / "plan.json").mkdir()
    told = write_folder(tmp_path, NEW, plan="b")
    assert len(told) == 3
    assert (tmp_path / "order.kept1.csv").read_text() == "shoes"
    assert (tmp_path / "manifest.kept1.json").read_text() == '{"name": "a page"}'
    assert (tmp_path / "plan.kept1.json").is_dir()
    assert look_through(tmp_path) == ("b", [])


def test_papers_of_a_version_without_manifest_are_replaced_and_what_may_be_stale_is_named(tmp_path):
    for name, body in OLD.items():
        write_file(tmp_path / name, body)
    [told] = write_folder(tmp_path, NEW, plan="b")
    assert told == "Not of this plan, perhaps of one before: estimate.pdf, drawings/W9.svg."
    assert contents(tmp_path) == OLD | NEW


@pytest.mark.parametrize("name", ["order.csv", "W1.svg", "W9.svg", MANIFEST])
@pytest.mark.parametrize("number", [errno.EACCES, errno.ENOSPC])
def test_a_file_that_cannot_be_replaced_is_named_and_the_set_before_stays_whole(
    tmp_path, monkeypatch, name, number
):
    write_folder(tmp_path, OLD, plan="a")
    (tmp_path / "letter.txt").write_text("mine")
    before = (tmp_path / MANIFEST).read_bytes()
    real = Path.replace

    def stubborn(self, target):
        # one that another program holds open can neither be moved nor be replaced
        if name == self.name or (name == Path(target).name and self.name in ("complete.json", name)):
            raise OSError(number, os.strerror(number), str(self), None, str(target))
        return real(self, target)

    monkeypatch.setattr(Path, "replace", stubborn)
    with pytest.raises(BadInput) as told:
        write_folder(tmp_path, NEW, plan="b")
    monkeypatch.undo()
    assert name in str(told.value)
    assert ("disk is full" in str(told.value)) == (number == errno.ENOSPC)
    assert contents(tmp_path) == OLD | {"letter.txt": b"mine"}
    assert (tmp_path / MANIFEST).read_bytes() == before


def test_a_disk_that_fills_up_while_papers_are_written_leaves_those_before_whole(tmp_path, monkeypatch):
    write_folder(tmp_path, OLD, plan="a")
    real, room = os.write, 60

    def write(handle, content):
        nonlocal room
        if room <= 0:
            raise OSError(errno.ENOSPC, "No space left on device")
        room -= (done := real(handle, bytes(content)[:room]))
        return done

    monkeypatch.setattr("jambwright.store.folder.os.write", write)
    with pytest.raises(BadInput, match="can't be written: the disk is full"):
        write_folder(tmp_path, NEW, plan="b")
    monkeypatch.undo()
    assert contents(tmp_path) == OLD
    assert look_through(tmp_path) == ("a", [])


def test_a_place_that_is_no_folder_is_told_in_a_sentence(tmp_path):
    (tmp_path / "letter").write_text("mine")
    for out in (tmp_path / "letter", tmp_path / "letter" / "papers"):
        with pytest.raises(BadInput, match="a file stands where a folder is wanted"):
            write_folder(out, NEW, plan="b")
    with pytest.raises(BadInput, match="is a folder; name a file in it"):
        write_file(tmp_path, b"")
    (tmp_path / "drawings").write_text("mine")
    with pytest.raises(BadInput, match=r"drawings.* a file stands where a folder is wanted"):
        write_folder(tmp_path, NEW, plan="b")
    assert contents(tmp_path) == {"letter": b"mine", "drawings": b"mine"}


def test_a_manifest_that_names_a_file_elsewhere_has_no_power_over_it(tmp_path):
    folder, outside = tmp_path / "papers", tmp_path / "precious"
    outside.write_text("x")
    write_folder(folder, OLD, plan="a")
    tree = json.loads((folder / MANIFEST).read_text())
    tree["papers"].append({"name": "../precious", "size": 1, "sha256": sha256(b"x").hexdigest()})
    (folder / MANIFEST).write_text(json.dumps(tree))
    write_folder(folder, NEW, plan="b")
    assert outside.read_text() == "x"


@pytest.mark.parametrize(
    "manifest",
    [
        "[" * 100_000,
        '{"jambwright_papers": 1, "plan": "a", "complete": true, "earlier": [], "papers": '
        '[{"name": "order.csv", "size": 3, "sha256": ["odd"]}]}',
    ],
)
def test_a_manifest_that_is_none_of_ours_is_kept_and_told_of(tmp_path, manifest):
    (tmp_path / MANIFEST).write_text(manifest)
    with pytest.raises(BadInput, match="is no folder of papers"):
        look_through(tmp_path)
    assert write_folder(tmp_path, NEW, plan="b") == [
        "manifest.json was there, not as a plan's paper; it is kept as manifest.kept1.json."
    ]
    assert (tmp_path / "manifest.kept1.json").read_text() == manifest


def test_a_paper_that_cannot_be_looked_at_is_told(tmp_path):
    name = "a" * 300
    listed = {"name": name, "size": 1, "sha256": "0"}
    tree = {"jambwright_papers": 1, "plan": "a", "complete": True, "papers": [listed], "earlier": []}
    (tmp_path / MANIFEST).write_text(json.dumps(tree))
    with pytest.raises(BadInput, match="can't be read"):
        look_through(tmp_path)


def test_what_is_wrong_with_a_folder_of_papers_is_told_paper_by_paper(tmp_path):
    with pytest.raises(BadInput, match="no folder of papers"):
        look_through(tmp_path)
    write_folder(tmp_path, NEW, plan="b")
    (tmp_path / "order.csv").write_text("x")
    (tmp_path / "plan.json").unlink()
    _, found = look_through(tmp_path)
    said = [problem.bare for problem in found]
    assert said == ["plan.json is missing.", "order.csv was changed since it was written."]


def test_a_pipe_or_a_device_is_not_replaced_by_a_file(tmp_path):
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(BadInput, match="is no file but a device or a pipe"):
        write_file(pipe, b"order")
    assert pipe.is_fifo()


def test_two_at_once_do_not_mix(tmp_path, monkeypatch):
    real = shutil.rmtree
    seen = []

    def second(*words, **more):
        if not seen:
            seen.append(1)
            with pytest.raises(BadInput, match=r"being written to .* just now"):
                write_folder(tmp_path, OLD, plan="a")
        return real(*words, **more)

    monkeypatch.setattr("jambwright.store.paper_set.shutil.rmtree", second)
    write_folder(tmp_path, NEW, plan="b")
    assert seen
    assert contents(tmp_path) == NEW


DYING = """
import os, signal, sys, threading
from pathlib import Path
from jambwright.store import write_folder

folder = Path(sys.argv[1])
SETS = [{f"{'drawings/' if k % 2 else ''}{k}-{n if k > 9 else ''}.txt": f"plan {n} paper {k}".encode() * 200
         for k in range(12)} for n in (0, 1)]

def killed_at(move):
    real = Path.replace
    def replace(self, target):
        nonlocal move
        move -= 1
        if move < 0:
            os.kill(os.getpid(), signal.SIGKILL)
        return real(self, target)
    Path.replace = replace

write_folder(folder, SETS[1], plan="1")
print("ready", flush=True)
for line in sys.stdin:
    kind, point, n = line.split()
    if (child := os.fork()) == 0:
        if kind == "move":
            killed_at(int(point))
        else:
            signal.signal(signal.SIGALRM, signal.SIG_DFL)
            signal.setitimer(signal.ITIMER_REAL, float(point))
        while True:
            for turn in (0, 1):
                write_folder(folder, SETS[turn ^ int(n)], plan=str(turn ^ int(n)))
    os.waitpid(child, 0)
    print("killed", flush=True)
"""


def test_killed_at_any_moment_the_manifest_tells_the_truth(tmp_path):
    chance, complete = random.Random(1), []
    (tmp_path / "mine.txt").write_text("mine")
    points = [f"move {move} {move % 2}" for move in range(40)]
    points += [f"moment {chance.uniform(0.001, 0.06):.4f} {chance.randrange(2)}" for _ in range(20)]
    with subprocess.Popen([sys.executable, "-c", DYING, tmp_path], stdin=-1, stdout=-1, text=True) as writer:
        assert writer.stdout.readline() == "ready\n"
        for point in points:
            print(point, file=writer.stdin, flush=True)
            assert writer.stdout.readline() == "killed\n"
            complete.append(tells_the_truth(tmp_path))
        writer.stdin.close()
    assert set(complete) == {True, False}
    write_folder(tmp_path, NEW, plan="b")
    assert contents(tmp_path) == NEW | {"mine.txt": b"mine"}


def tells_the_truth(folder):
    """Every paper that lies there is as the manifest lists it, and a set said to be complete is."""
    listed = read_manifest(folder)
    there = {name: sha256(body).hexdigest() for name, body in contents(folder).items() if name[0] != "."}
    assert there.pop("mine.txt") == sha256(b"mine").hexdigest()
    fresh, before = ({p.name: p.sha256 for p in papers} for papers in (listed.papers, listed.earlier))
    if listed.complete:
        assert there == fresh
    else:
        assert all(hashed in (fresh.get(name), before.get(name)) for name, hashed in there.items())
    assert bool(look_through(folder)[1]) is not listed.complete
    return listed.complete
