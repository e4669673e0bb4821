"""Run the tests on every changed copy of the hand-over code that mutmut made, and tell which change none notices.

Each is run in a fork of a program that has read the tests and run none: typesetting and solving keep threads of
their own, which a fork made after them would lack. Of the tests that reach a changed function the module's own go
first, then those that compare whole plans, those of its room, and the quickest, up to ``--most`` seconds of them, so
a change may be told as unnoticed that a slower test would find.

    python scripts/mutants.py --most 10 [--again] [name ...]
"""

import argparse
import contextlib
import gc
import importlib
import json
import os
import pkgutil
import random
import signal
import sys
import time
from collections import Counter
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest

MADE = Path(__file__).parents[1] / "mutants"
FOUND = MADE.parent / "build" / "mutants.json"
NOT_NOTICED, NOT_REACHED = "not noticed", "not reached"
LONGEST_S = 90.0
AT_ONCE = os.cpu_count() or 1


class Mutants:
    """In place of running the tests one after another: some of them for each mutant, in a fork."""

    def __init__(self, names: list[str], found: dict[str, str], most: float, again: bool) -> None:
        stats = json.loads((MADE / "mutmut-stats.json").read_text())
        self.tests, self.seconds = stats["tests_by_mangled_function_name"], stats["duration_by_test"]
        self.names, self.found, self.most, self.again = names, found, most, again
        self.running: dict[int, tuple[str, float]] = {}
        self.failed = False

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Every mutant, so many at once as there are processors."""
        items = {item.nodeid: item for item in session.items}
        _read_everything()
        self._unchanged(list(items.values()))
        gc.freeze()
        for done, name in enumerate(self.names):
            chosen = [items[test] for test in self._quickest(name) if test in items]
            if not chosen:
                self.found[name] = NOT_REACHED
                continue
            while len(self.running) >= AT_ONCE:
                self._wait()
            pid = os.fork()
            if not pid:
                self._try(name, chosen)
            self.running[pid] = (name, time.monotonic())
            if done % 50 == 0:
                self._keep(f"{done} of {len(self.names)}")
        while self.running:
            self._wait()
        self._keep("all")
        return True

    def _unchanged(self, items: list[Any]) -> None:
        """Without any change every test must pass, in a fork too."""
        pid = os.fork()
        if not pid:
            self._try("", items)
        if os.waitpid(pid, 0)[1]:
            raise pytest.UsageError("A test fails though nothing is changed: run the tests first.")

    def _quickest(self, name: str) -> Iterator[str]:
        spent = 0.0
        reach = self.tests.get(name.rpartition("__mutmut_")[0], ())
        for test in sorted(reach, key=partial(self._order, tuple(name.split(".")[1:-1]))):
            spent += self.seconds[test]
            if spent > self.most:
                return
            yield test

    def _order(self, module: tuple[str, ...], test: str) -> tuple[int, float]:
        """Those of whole plans notice most after a module's own; what they did not notice is left to the others."""
        whole = "test_what_was_decided_stays_decided" in test
        kinds = f"/test_{module[-1]}" in test, whole and not self.again, f"/{module[0]}/" in test, not whole
        return kinds.index(True) if any(kinds) else len(kinds), self.seconds[test]

    def _try(self, name: str, chosen: list[Any]) -> None:
        """In the fork: 1 as soon as a test fails."""
        os.environ["MUTANT_UNDER_TEST"] = name
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 1)
        os.dup2(quiet, 2)
        with contextlib.suppress(BaseException):
            for item in chosen:
                item.config.hook.pytest_runtest_protocol(item=item, nextitem=None)
                if self.failed:
                    os._exit(1)
            os._exit(0)
        os._exit(1)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Whether any failed."""
        self.failed = self.failed or report.failed

    def _wait(self) -> None:
        for pid, (name, since) in list(self.running.items()):
            done, status = os.waitpid(pid, os.WNOHANG)
            if done:
                self.found[name] = NOT_NOTICED if status == 0 else "noticed"
                del self.running[pid]
            elif time.monotonic() - since > LONGEST_S:
                os.kill(pid, signal.SIGKILL)
                os.waitpid(pid, 0)
                self.found[name] = "ran too long"
                del self.running[pid]
        time.sleep(0.01)

    def _keep(self, done: str) -> None:
        FOUND.parent.mkdir(exist_ok=True)
        FOUND.write_text(json.dumps(self.found, indent=1))
        print(done, dict(Counter(self.found.values())), file=sys.stderr, flush=True)


def _read_everything() -> None:
    """All modules, those read late too, and what the tests compare with: once, not in every fork."""
    import jambwright  # the changed one, found first since main() said so

    for module in pkgutil.walk_packages(jambwright.__path__, "jambwright."):
        if "__main__" not in module.name:
            importlib.import_module(module.name)
    for late in (
        "ortools.sat.python.cp_model",
        "ortools.linear_solver.pywraplp",
        "openpyxl",
        "scipy.stats",
        "typst",
    ):
        importlib.import_module(late)
    from test_plans_stay_decided import kept_plans

    kept_plans()


def main() -> None:
    """Run those not run yet; with ``--again`` only those run and not noticed."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("names", nargs="*", help="beginnings of names")
    asked.add_argument("--most", type=float, default=10.0, help="seconds of tests for each")
    asked.add_argument("--again", action="store_true")
    given = asked.parse_args()
    found = json.loads(FOUND.read_text()) if FOUND.exists() else {}
    names = [
        name
        for meta in sorted(MADE.rglob("*.meta"))
        for name in json.loads(meta.read_text())["exit_code_by_key"]
        if name.startswith(tuple(given.names) or ("",))
        and (found.get(name) in (NOT_NOTICED, NOT_REACHED) if given.again else name not in found)
    ]
    random.Random(0).shuffle(names)  # a run that is stopped has looked at a fair sample
    import tomllib

    settings = tomllib.loads((MADE / "pyproject.toml").read_text())["tool"]["mutmut"]
    os.chdir(MADE)
    sys.path[:0] = [str(MADE / "src"), str(MADE / "tests"), str(MADE / "scripts")]
    os.environ["MUTANT_UNDER_TEST"] = ""
    chosen = [*settings["pytest_add_cli_args"], *settings["pytest_add_cli_args_test_selection"]]
    pytest.main(
        ["-q", "--no-header", "-p", "no:randomly", *chosen],
        plugins=[Mutants(names, found, given.most, given.again)],
    )
    for name, how in sorted(found.items()):
        if how in (NOT_NOTICED, NOT_REACHED):
            print(how, name)
    noticed = sum(how not in (NOT_NOTICED, NOT_REACHED) for how in found.values())
    print(f"{noticed} of {len(found)} noticed: {100 * noticed / max(len(found), 1):.1f} %")


if __name__ == "__main__":
    main()
