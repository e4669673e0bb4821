"""The papers of one plan in a folder, written as one set: never half of one plan and half of another.

``manifest.json`` names the plan and each of its papers with size and hash. By it papers of an earlier plan are told
from fresh ones and taken away; what someone else put there, or changed, stays. While papers are exchanged it says so
(``complete`` is false) and lists those of both plans, so that it tells the truth even when the power goes.
"""

from __future__ import annotations

import errno
import json
import os
import shutil
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass, field, replace
from hashlib import file_digest, sha256
from pathlib import Path, PurePosixPath
from typing import Any

from jambwright.basis.problems import BadInput, Problem
from jambwright.basis.tree import parse_json
from jambwright.store.folder import write_new
from jambwright.store.trouble import of_disk

MANIFEST = "manifest.json"
LAYOUT = 1
STAGING = ".jambwright-new-"


@dataclass(frozen=True, slots=True)
class Paper:
    """One paper as the manifest lists it."""

    name: str
    size: int
    sha256: str

    @classmethod
    def of(cls, name: str, content: bytes) -> Paper:
        """By its content."""
        return cls(name, len(content), sha256(content).hexdigest())


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperSet:
    """What the manifest of a folder says."""

    plan: str
    complete: bool
    papers: tuple[Paper, ...]
    earlier: tuple[Paper, ...] = ()
    """Papers of the plan before, while they are being exchanged."""

    def text(self) -> bytes:
        """As it is written."""
        return json.dumps({"jambwright_papers": LAYOUT, **asdict(self)}, indent=1).encode()


def require_folder(folder: Path) -> None:
    """Raise ``BadInput`` where papers can't be written to a folder: asked before the long work of making them."""
    try:
        whole = folder.absolute()
    except OSError as error:  # the folder we are in is gone
        raise of_disk(error, folder) from None
    there = next(path for path in (whole, *whole.parents) if path.exists())
    if there.is_dir() and os.access(there, os.W_OK | os.X_OK):
        return
    refused = errno.EACCES if there.is_dir() else errno.ENOTDIR
    raise of_disk(OSError(refused, os.strerror(refused)), there)


def write_folder(folder: Path, files: Mapping[str, bytes], *, plan: str) -> list[str]:
    """Write the papers of a plan by relative name, all of them or none.

    Returns sentences about what was found there that is of no plan. Raises ``BadInput`` naming what can't be
    written; the papers of the plan before are then whole.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with _alone(folder):
            for left in folder.glob(f"{STAGING}*"):  # of a run that was cut off
                shutil.rmtree(left, ignore_errors=True)
            return _exchanged(folder, files, plan)
    except OSError as error:
        named = [name for name in (error.filename, error.filename2) if name and STAGING not in str(name)]
        raise of_disk(error, (named or [folder])[0]) from None


def look_through(folder: Path) -> tuple[str, list[Problem]]:
    """The plan that a folder holds the papers of, and what is wrong with them."""
    listed = read_manifest(folder)
    if listed is None:
        raise BadInput.one("folder", f"{folder} is no folder of papers: it has no {MANIFEST}.")
    found = [] if listed.complete else [f"the papers of plan {listed.plan} were not all written; plan again."]
    earlier = {paper.name: paper.sha256 for paper in listed.earlier}
    for paper in listed.papers:
        try:
            there = _hash(folder / paper.name)
        except OSError as error:
            raise of_disk(error, folder / paper.name, doing="can't be read") from None
        if there is None:
            found.append(f"{paper.name} is missing.")
        elif there != paper.sha256:
            of = (
                "is of an earlier plan."
                if there == earlier.get(paper.name)
                else "was changed since it was written."
            )
            found.append(f"{paper.name} {of}")
    return listed.plan, [Problem("folder", say, of=str(folder)) for say in found]


def read_manifest(folder: Path) -> PaperSet | None:
    """What the manifest says; nothing where there is none, or none of ours."""
    try:
        tree = parse_json((folder / MANIFEST).read_bytes())
        if tree["jambwright_papers"] != LAYOUT:
            return None
        return PaperSet(
            plan=str(tree["plan"]),
            complete=tree["complete"] is True,
            papers=_listed(tree["papers"]),
            earlier=_listed(tree["earlier"]),
        )
    except (OSError, ValueError, TypeError, KeyError):
        return None


def _listed(rows: Any) -> tuple[Paper, ...]:
    papers = tuple(Paper(**row) for row in rows)
    if not all(isinstance(each, str) for paper in papers for each in (paper.name, paper.sha256)):
        raise TypeError("a name or a hash that is none")
    if any(PurePosixPath(p.name).is_absolute() or ".." in PurePosixPath(p.name).parts for p in papers):
        raise ValueError("a paper outside the folder")
    return papers


@dataclass(slots=True)
class _Moves:
    """Moves within one folder, with the way back."""

    staging: Path
    back: list[tuple[Path, Path]] = field(default_factory=list)

    def move(self, old: Path, new: Path) -> None:
        new.parent.mkdir(parents=True, exist_ok=True)
        self.back.append((new, old))  # before it is done: an interrupt may come between
        old.replace(new)

    def put(self, name: str, target: Path) -> None:
        if os.path.lexists(target):
            self.move(target, self.staging / "old" / name)
        self.move(self.staging / "new" / name, target)

    def put_manifest(self, target: Path) -> None:
        """From here on it says that papers are being exchanged; there is no moment without one."""
        was, between = self.staging / "was.json", self.staging / "between.json"
        self.back.append((was, target) if was.exists() else (target, between))
        between.replace(target)

    def undo(self) -> None:
        """All the way back. Raises ``OSError`` where one can't be moved; what was is then still in ``staging``."""
        while self.back:
            new, old = self.back[-1]
            if os.path.lexists(new) and (old.name == MANIFEST or not os.path.lexists(old)):
                new.replace(old)
            self.back.pop()


def _exchanged(folder: Path, files: Mapping[str, bytes], plan: str) -> list[str]:
    ours = _Ours.of(folder)
    papers = tuple(Paper.of(name, content) for name, content in files.items())
    staging = Path(tempfile.mkdtemp(prefix=STAGING, dir=folder))
    moves = _Moves(staging)
    told: list[str] = []
    try:
        _stage(staging, folder, files, PaperSet(plan=plan, complete=True, papers=papers), ours)
        # from here on nothing is written any more, only moved: a full disk can't stop it half way
        strange = [paper.name for paper in papers if _in_the_way(folder, paper, ours)]
        for name in [*([MANIFEST] if ours.strange_manifest else []), *strange]:
            told.append(
                f"{name} was there, not as a plan's paper; it is kept as {_kept(moves, folder / name)}."
            )
        moves.put_manifest(folder / MANIFEST)
        for paper in papers:
            moves.put(paper.name, folder / paper.name)
        stale = [name for name in ours.known if name not in files and ours.has(folder, name)]
        for name in stale:
            moves.move(folder / name, staging / "old" / name)
        (staging / "complete.json").replace(folder / MANIFEST)
    except BaseException:
        moves.undo()
        shutil.rmtree(staging, ignore_errors=True)
        raise
    shutil.rmtree(staging, ignore_errors=True)
    for name in stale:
        with suppress(OSError):  # others have files there
            (folder / name).parent.rmdir()
    return [*told, *ours.doubtful(folder, files)]


def _stage(staging: Path, folder: Path, files: Mapping[str, bytes], complete: PaperSet, ours: _Ours) -> None:
    """Everything that is to be written, written beside the place it goes to."""
    for name, content in files.items():
        write_new(staging / "new" / name, content)
    between = replace(complete, complete=False, earlier=ours.papers(folder, files))
    write_new(staging / "between.json", between.text())
    write_new(staging / "complete.json", complete.text())
    if ours.manifest is not None:
        write_new(staging / "was.json", ours.manifest)


def _in_the_way(folder: Path, paper: Paper, ours: _Ours) -> bool:
    """Whether something that was written for no plan has the name of a paper."""
    return os.path.lexists(folder / paper.name) and not ours.has(folder, paper.name, paper)


def _kept(moves: _Moves, target: Path) -> str:
    """Move what someone else made out of the way under a name of its own."""
    number, free = 1, target
    while os.path.lexists(free):
        free = target.with_name(f"{target.stem}.kept{number}{target.suffix}")
        number += 1
    moves.move(target, free)
    return free.name


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ours:
    """Which files of a folder were written for a plan before."""

    known: Mapping[str, frozenset[str]]
    """Hashes by name, from the manifest."""
    manifest: bytes | None
    """The manifest as it was."""
    strange_manifest: bool
    """Whether a file of that name is of someone else."""
    unlisted: bool
    """A folder of papers from before there was a manifest: the names alone tell."""

    @classmethod
    def of(cls, folder: Path) -> _Ours:
        listed = read_manifest(folder)
        known: dict[str, frozenset[str]] = {}
        for paper in (*listed.papers, *listed.earlier) if listed else ():
            known[paper.name] = known.get(paper.name, frozenset()) | {paper.sha256}
        return cls(
            known=known,
            manifest=(folder / MANIFEST).read_bytes() if listed else None,
            strange_manifest=listed is None and os.path.lexists(folder / MANIFEST),
            unlisted=listed is None and _has_plan(folder),
        )

    def has(self, folder: Path, name: str, new: Paper | None = None) -> bool:
        """Whether a file is as it was written for a plan, or just as it is to be."""
        there = _hash(folder / name)
        if there is None:
            return False
        return self.unlisted or there in self.known.get(name, ()) or (new is not None and there == new.sha256)

    def papers(self, folder: Path, files: Mapping[str, bytes]) -> tuple[Paper, ...]:
        """Those that may lie there while papers are exchanged."""
        names = [*self.known, *(files if self.unlisted else ())]
        there = [(name, folder / name) for name in dict.fromkeys(names) if self.has(folder, name)]
        return tuple(Paper.of(name, file.read_bytes()) for name, file in there)

    def doubtful(self, folder: Path, files: Mapping[str, bytes]) -> Sequence[str]:
        """Of an earlier version's folder, what may be a paper of an earlier plan."""
        if not self.unlisted:
            return []
        places = [file for pattern in ("*.*", "drawings/*.*") for file in sorted(folder.glob(pattern))]
        names = [file.relative_to(folder).as_posix() for file in places if file.is_file()]
        left = [name for name in names if name not in files and name != MANIFEST]
        return [f"Not of this plan, perhaps of one before: {', '.join(left)}."] if left else []


def _has_plan(folder: Path) -> bool:
    try:
        return "jambwright_plan" in parse_json((folder / "plan.json").read_bytes())
    except (OSError, ValueError, TypeError):
        return False


def _hash(file: Path) -> str | None:
    if not file.is_file():
        return None
    with file.open("rb") as opened:
        return file_digest(opened, "sha256").hexdigest()


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Only one at a time exchanges the papers of a folder."""
    try:
        import fcntl
    except ImportError:  # no such lock there; a file that is open can't be replaced, and that is told
        yield
        return
    held = os.open(folder, os.O_RDONLY)
    try:
        try:
            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            say = f"Papers are being written to {folder} just now; wait for that, then plan again."
            raise BadInput.one("folder", say) from None
        yield
    finally:
        os.close(held)
