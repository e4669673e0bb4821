"""Feed every reader with spoilt files, guided by the lines of code they reach; what breaks one is kept.

A reader may answer or refuse in words; anything else, or more than ten seconds, is a fault.

    python scripts/fuzz.py --seconds 600 survey workbook
"""

import argparse
import io
import json
import random
import sys
import time
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path

from PIL import Image
from PIL.ExifTags import GPS, IFD, Base

import jambwright
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.plan.prices import read_prices
from jambwright.readings import places
from jambwright.readings.form_workbook import form_workbook
from jambwright.readings.gathering import gathered, openings_in
from jambwright.readings.survey_file import read_survey, survey_from_tree
from jambwright.web.pictures import LARGEST_PIXELS, make_safe

ROOT = Path(__file__).parents[1]
CORPUS = ROOT / "tests" / "data" / "bad"
OURS = str(Path(jambwright.__file__).parent)
SLOWEST_SECONDS = 10.0
LONGEST_SENTENCE = 600
BASE = parse_tree((CORPUS / "sound.yaml").read_text(encoding="utf-8"))
PIECES = [
    b"0,07", b"1_000", b"1e999", b"-", b"{", b"}", b"[", b"]", b": ", b"\n", b"\t", b"&a ", b"*a", b"!!x ", b"null",
    b"yes", b"nan", b".inf", b"15:04", b"911 1/2", b"9" * 400, b"'", b'"', b"#", b"\x00", b"\xff", "½".encode(),
    b",", b"\\ud83d", b"2026-02-30", b"- ", b"a" * 3000, b"W1", b"opening", b"<", b"</row>",
    b"true", b";", b"=1+1",
]  # fmt: skip


def _text(content: bytes) -> str:
    return content.decode("utf-8", "replace")


def _change(content: bytes) -> None:
    """One change of a field, as a phone sends it: its path and its value, a line each."""
    path, _, value = _text(content).partition("\n")
    survey_from_tree(places.put(BASE, places.parse(path), json.loads(value) if value else None))


def _gather(content: bytes) -> None:
    openings, _ = openings_in(content)
    gathered(BASE, openings)


READERS: dict[str, Callable[[bytes], object]] = {
    "survey": lambda content: read_survey(_text(content)),
    "prices": lambda content: read_prices(_text(content)),
    "workbook": _gather,
    "csv": _gather,
    "laser": _gather,
    "changes": _change,
    "photos": make_safe,
}


def _photos() -> Iterator[bytes]:
    """One of each kind there may be, turned and with a place as a phone writes them."""
    for kind in LARGEST_PIXELS:
        out = io.BytesIO()
        lines = Image.Exif()
        lines[Base.Orientation] = 6
        lines.get_ifd(IFD.GPSInfo)[GPS.GPSLatitudeRef] = "N"
        lines.get_ifd(IFD.GPSInfo)[GPS.GPSLatitude] = (51.0, 30.0, 12.5)
        Image.effect_noise((40, 30), 60).convert("RGB").save(out, kind, exif=lines)
        yield out.getvalue()


def _seeds(reader: str) -> list[bytes]:
    if reader == "photos":
        return list(_photos())
    if reader == "changes":
        paths = (
            "/openings/W1/outside/width/top",
            "/house/rooms/kitchen/use",
            "/openings/W1/wanted/layout",
            "/note",
        )
        return [f"{path}\n{json.dumps({'mm': [1210, 1211]})}".encode() for path in paths]
    endings = {
        "survey": ("*.yaml", "*.json"),
        "prices": ("prices*.yaml",),
        "workbook": ("*.xlsx",),
        "csv": ("*.csv",),
    }
    kept = [
        path.read_bytes()
        for ending in endings.get(reader, ("*.txt",))
        for path in sorted(CORPUS.glob(ending))
    ]
    own = {
        "survey": [read_text("demo_house.yaml").encode(), read_text("blank_survey.yaml").encode()],
        "prices": [read_text("demo_prices.yaml").encode()],
        "workbook": [form_workbook()],
        "csv": [b"opening,room,width top mm,note\nW1,kitchen,1210 1211,over the sink\n"],
        "laser": [b"W1 width top, 1.2105\nW1 width top, 1.211\n"],
    }
    return [*own[reader], *(content for content in kept if len(content) < 20_000)]


def _spoilt(content: bytes, others: list[bytes], chance: random.Random) -> bytes:
    """One to four changes; in a workbook of one of its parts, which the zip file holds whole."""
    if content.startswith(b"PK"):
        return _spoilt_part(content, chance)
    spoilt = bytearray(content)
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(spoilt) + 1)
        to = min(len(spoilt), at + chance.choice((0, 1, 2, 8, 40)))
        other = chance.choice(others)
        start = chance.randrange(len(other) + 1)
        spoilt[at:to] = chance.choice(
            (chance.choice(PIECES), bytes(spoilt[at:to]) * 2, b"", other[start : start + 60])
        )
    return bytes(spoilt)


def _spoilt_part(content: bytes, chance: random.Random) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        names = [name for name in old.namelist() if old.getinfo(name).file_size < 100_000]
        hit = chance.choice(names) if names else ""
        for name in names:
            part = old.read(name)
            new.writestr(name, _spoilt(part, [part], chance) if name == hit else part)
    return out.getvalue()


@dataclass(slots=True)
class Reached:
    """Lines of our own code that were run, by file and number."""

    lines: set[tuple[str, int]] = field(default_factory=set)

    def run(self, read: Callable[[], object]) -> bool:
        """Run it; whether it reached a line that nothing did before."""
        before = len(self.lines)

        def trace(frame, event, _):
            if not frame.f_code.co_filename.startswith(OURS):
                return None
            if event == "line":
                self.lines.add((frame.f_code.co_filename, frame.f_lineno))
            return trace

        sys.settrace(trace)
        try:
            read()
        finally:
            sys.settrace(None)
        return len(self.lines) > before


def fault_of(reader: str, content: bytes, reached: Reached | None = None) -> tuple[str, bool]:
    """What is wrong with how a reader takes it, empty when nothing is, and whether it reached new lines."""
    start, new = time.perf_counter(), False
    reached = reached or Reached()
    before = len(reached.lines)
    try:
        reached.run(lambda: READERS[reader](content))
    except BadInput as refused:
        said = [problem.say for problem in refused.problems]
        if not all(said) or any(len(say) > LONGEST_SENTENCE for say in said):
            return f"refused in no sentence: {max(said, key=len, default='')[:200]}", new
    except json.JSONDecodeError:
        pass  # a body that is no JSON never reaches the reader of changes
    except Exception as fault:  # whatever it is, it is the fault looked for
        return f"{type(fault).__name__}: {fault}"[:300], new
    seconds = time.perf_counter() - start
    return (f"took {seconds:.0f} s" if seconds > SLOWEST_SECONDS else ""), len(reached.lines) > before


def faults(
    reader: str, *, cases: int | None = None, seconds: float = 1e9, seed: int = 0
) -> Iterator[tuple[bytes, str]]:
    """Inputs that a reader does not take as it should, each with what happened."""
    chance, reached, pool = random.Random(seed), Reached(), _seeds(reader)
    until, done = time.monotonic() + seconds, 0
    waiting = list(pool)
    while time.monotonic() < until and (cases is None or done < cases):
        content = waiting.pop() if waiting else _spoilt(chance.choice(pool), pool, chance)
        done += 1
        wrong, new = fault_of(reader, content, reached)
        if wrong:
            yield content, wrong
        elif new and len(content) < 20_000:
            pool.append(content)


def main() -> None:
    """Run the readers named, all when none is, and keep what breaks them."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("readers", nargs="*", choices=[*READERS, []], default=[])
    asked.add_argument("--seconds", type=float, default=60.0, help="for each reader")
    asked.add_argument("--seed", type=int, default=int(time.time()))
    given = asked.parse_args()
    kept = ROOT / "build" / "fuzz"
    found = 0
    for reader in given.readers or READERS:
        told: set[str] = set()
        for content, wrong in faults(reader, seconds=given.seconds, seed=given.seed):
            if wrong not in told:
                told.add(wrong)
                kept.mkdir(parents=True, exist_ok=True)
                file = kept / f"{reader}-{sha256(content).hexdigest()[:12]}"
                file.write_bytes(content)
                print(f"{reader}: {wrong}\n  {file}")
        found += len(told)
        print(f"{reader}: {len(told)} faults, seed {given.seed}")
    sys.exit(bool(found))


if __name__ == "__main__":
    main()
