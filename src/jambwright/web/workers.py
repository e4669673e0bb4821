"""Work in processes of its own, each held to a time and a memory; one that goes over is ended and replaced.

Every worker has a pipe to itself, so that ending one can spoil nothing of the others'. Where work waits, nobody
has more than one piece under way: whoever asks for much holds up nobody but themselves.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import threading
import time
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any, Protocol, cast

from jambwright.basis.problems import BadInput, Problem
from jambwright.job import Progress
from jambwright.web.texts import say

LOOK_EVERY_S = 0.1
"""How often work under way, or waiting, is looked at for having been stopped."""
KEPT_MB = 150
"""A worker that has grown by more gives it all back by being replaced."""
MEMORY_IS_BOUNDED = sys.platform == "linux"
"""Elsewhere the system has no bound that holds for what a program asks for while it runs."""


class Busy(Exception):
    """Too much is waiting already."""

    def __init__(self, say: str, retry_after_s: int) -> None:
        self.say, self.retry_after_s = say, retry_after_s
        super().__init__(say)


class Stopped(Exception):
    """The one who asked for it did not want to wait for it any longer."""


class Broke(Exception):
    """The work met a fault of the program; the text is where."""


class Tells(Protocol):
    """What a worker does: told its progress, given plain values, gives plain values."""

    def __call__(self, told: Progress, /, *given: Any) -> Any:
        """Do it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """What one kind of work may take."""

    workers: int
    seconds: float
    memory_mb: int
    """Beside the program itself."""
    waiting: int = 12
    waiting_of_one: int = 2
    """Of one asker, beside what is under way."""
    nice: int = 19
    """How far it stands back for the server itself, which takes readings and shows pages."""


class Ticket:
    """A place in the line, and the way to leave it or to stop what came of it."""

    __slots__ = ("stopped", "who")

    def __init__(self, who: str) -> None:
        self.who, self.stopped = who, False

    def stop(self) -> None:
        """Leave the line; end the work where it has begun."""
        self.stopped = True


def _untold(step: str, done: int, of: int) -> None:
    """Nobody watches."""


class Bench:
    """The workers of one kind of work, and who waits for them."""

    def __init__(self, budget: Budget) -> None:
        self.budget = budget
        self._turn = threading.Condition()
        self._idle: list[_Worker] = []
        self._working: list[str] = []
        self._waiting: list[Ticket] = []

    def do(self, who: str, work: Tells, *given: Any) -> Any:
        """Have it done, waiting for a worker if need be. ``who`` asks: an address, as a rule.

        Raises ``BadInput`` as the work does, and when it takes too long or too much; ``Busy``.
        """
        return self.run(self.ask(who), work, *given)

    def ask(self, who: str) -> Ticket:
        """A place in the line. Raises ``Busy``."""
        with self._turn:
            mine = sum(ticket.who == who for ticket in self._waiting)
            if mine >= self.budget.waiting_of_one + (who not in self._working):
                raise Busy(say("work.busy_yours"), self._soon_s())
            if len(self._waiting) >= self.budget.waiting + self.budget.workers - len(self._working):
                raise Busy(say("work.busy"), self._soon_s())
            self._waiting.append(ticket := Ticket(who))
        return ticket

    def run(self, ticket: Ticket, work: Tells, *given: Any, told: Progress = _untold) -> Any:
        """Wait for the ticket's turn and have the work done. Raises ``Stopped`` and what ``do`` does."""
        with self._in_turn(ticket):
            worker = self._idle.pop() if self._idle else _Worker(self.budget)
            try:
                return worker.do(work, given, told, ticket)
            finally:
                if worker.fit:
                    self._idle.append(worker)
                else:
                    worker.end()

    @contextmanager
    def _in_turn(self, ticket: Ticket) -> Iterator[None]:
        with self._turn:
            try:
                while not ticket.stopped and self._next() is not ticket:
                    self._turn.wait(LOOK_EVERY_S)
                if ticket.stopped:
                    raise Stopped
            finally:
                self._waiting.remove(ticket)
            self._working.append(ticket.who)
        try:
            yield
        finally:
            with self._turn:
                self._working.remove(ticket.who)
                self._turn.notify_all()

    def _next(self) -> Ticket | None:
        """Who is next: the first of those who have nothing under way."""
        if len(self._working) >= self.budget.workers:
            return None
        return next((ticket for ticket in self._waiting if ticket.who not in self._working), None)

    def _soon_s(self) -> int:
        return max(1, round(min(self.budget.seconds, 30) / 3))

    def warm(self) -> None:
        """Start a worker ahead of the first work."""
        with suppress(Busy, Stopped):  # the server may have ended meanwhile
            self.do("", nothing)

    def close(self) -> None:
        """End every worker; work under way is stopped."""
        with self._turn:
            for ticket in self._waiting:
                ticket.stop()
        while self._idle:
            self._idle.pop().end()


def nothing(told: Progress) -> None:
    """No work at all: what a worker costs by itself."""


class _Worker:
    """One process and the pipe to it."""

    def __init__(self, budget: Budget) -> None:
        self._budget = budget
        context = _context()
        self._pipe, far = context.Pipe()
        self._process = context.Process(target=_serve, args=(far, budget.memory_mb, budget.nice), daemon=True)
        self._process.start()
        far.close()
        self.fit = True

    def do(self, work: Tells, given: tuple[Any, ...], told: Progress, ticket: Ticket) -> Any:
        self.fit = False  # until it has answered and may be used again
        try:
            self._pipe.send((work, given))
            until = time.monotonic() + self._budget.seconds
            while True:
                if self._pipe.poll(LOOK_EVERY_S):
                    kind, found, fit = self._pipe.recv()
                    if kind != "step":
                        self.fit = fit
                        return self._ended(kind, found)
                    told(*found)
                elif ticket.stopped:
                    raise Stopped
                if time.monotonic() > until:
                    raise BadInput.one("work", say("work.too_long", seconds=f"{self._budget.seconds:g}"))
        except (EOFError, OSError):  # gone: what asks for memory outside Python is ended, not refused
            raise self._too_much() from None

    def _ended(self, kind: str, found: Any) -> Any:
        if kind == "problems":
            raise BadInput(cast(tuple[Problem, ...], found))
        if kind == "memory":
            raise self._too_much()
        if kind == "broke":
            raise Broke(found)
        return found

    def _too_much(self) -> BadInput:
        return BadInput.one("work", say("work.too_much", mb=self._budget.memory_mb))

    def end(self) -> None:
        self._process.kill()
        self._process.join()
        self._pipe.close()


def _context() -> Any:
    """New workers are branched off a process that has read all it needs, where the system can do that."""
    context = multiprocessing.get_context("forkserver" if sys.platform == "linux" else "spawn")
    if sys.platform == "linux":
        context.set_forkserver_preload(["__main__", "jambwright.web.read_ahead"])
    return context


def _serve(pipe: Connection, memory_mb: int, nice: int) -> None:
    """What a worker does all its life; it ends when the server is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the server, which ends its workers
    if hasattr(os, "nice"):
        os.nice(nice)
    threading.Thread(target=_end_with_server, daemon=True).start()
    _bound_memory(memory_mb)
    at_first = _peak_mb()

    def told(*step: Any) -> None:
        pipe.send(("step", step, True))

    with suppress(EOFError, OSError):
        while True:
            work, given = pipe.recv()
            kind, found = _outcome(work, told, given)
            pipe.send((kind, found, kind != "memory" and _peak_mb() - at_first < KEPT_MB))


def _end_with_server() -> None:
    """A server that is killed can end no worker: each sees to it itself, however long its work may be."""
    if server := multiprocessing.parent_process():
        server.join()
        os._exit(1)


def _outcome(work: Callable[..., Any], told: Callable[..., None], given: tuple[Any, ...]) -> tuple[str, Any]:
    try:
        return "done", work(told, *given)
    except BadInput as bad:
        return "problems", bad.problems
    except MemoryError:
        return "memory", None
    except Exception:
        return "broke", traceback.format_exc()


def _bound_memory(memory_mb: int) -> None:
    """What the program may ask for beside what it has now."""
    if MEMORY_IS_BOUNDED:
        import resource

        pages = int(Path("/proc/self/statm").read_text().split()[5])
        most = pages * resource.getpagesize() + memory_mb * 1_000_000
        resource.setrlimit(resource.RLIMIT_DATA, (most, most))


def _peak_mb() -> float:
    if sys.platform == "win32":
        return 0.0
    import resource

    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / (1e6 if sys.platform == "darwin" else 1e3)
