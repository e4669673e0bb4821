"""Long work in the background: started once, watched by whoever asked for it."""

from __future__ import annotations

import asyncio
import secrets
import threading
from collections import OrderedDict
from collections.abc import AsyncIterator, Callable
from dataclasses import dataclass, field
from typing import Any

from jambwright.basis.problems import BadInput
from jambwright.job import Progress
from jambwright.store import NoRoom, NotThere
from jambwright.web.texts import say
from jambwright.web.workers import Stopped, Ticket

Do = Callable[[Progress], Any]
"""Work that tells of its steps and returns plain values."""

KEPT = 200
"""Finished work remembered."""
LOOK_EVERY_S = 0.1


@dataclass(slots=True)
class Work:
    """One piece of work: the steps it told of, and how it ended."""

    ticket: Ticket
    who: str
    """The person who started it."""
    steps: list[dict[str, Any]] = field(default_factory=list)
    result: Any = None
    problems: list[dict[str, str]] = field(default_factory=list)
    ended: bool = False

    def run(self, do: Do) -> None:
        """Do it and keep how it ended."""
        try:
            self.result = do(self._told)
        except BadInput as bad:
            self.problems = [p.as_json() for p in bad.problems]
        except Stopped:
            self.problems = [{"field": "work", "say": say("work.stopped"), "kind": "bad"}]
        except NoRoom:
            self.problems = [{"field": "disk", "say": say("refused.disk_full"), "kind": "bad"}]
        except Exception:
            self.problems = [{"field": "work", "say": say("refused.broken"), "kind": "bad"}]
            raise
        finally:
            self.ended = True

    def _told(self, step: str, done: int, of: int) -> None:
        self.steps.append({"step": step, "done": done, "of": of})

    async def watch(self) -> AsyncIterator[dict[str, Any]]:
        """Each step as it is told, then how it ended."""
        told = 0
        while True:
            ended = self.ended  # asked first: what is told before the end is seen below
            while told < len(self.steps):
                yield self.steps[told]
                told += 1
            if ended:
                yield {"result": self.result, "problems": self.problems}
                return
            await asyncio.sleep(LOOK_EVERY_S)


class Works:
    """Work under way and lately ended, by number."""

    def __init__(self) -> None:
        self._works: OrderedDict[str, Work] = OrderedDict()

    def start(self, do: Do, ticket: Ticket, who: str) -> str:
        """Start it in a thread of its own, which waits for the worker; returns its number."""
        number, work = secrets.token_hex(8), Work(ticket, who)
        self._works[number] = work
        while len(self._works) > KEPT:
            self._works.popitem(last=False)
        threading.Thread(target=work.run, args=(do,), daemon=True).start()
        return number

    def find(self, number: str) -> Work:
        """The work of that number. Raises ``NotThere``."""
        if number not in self._works:
            raise NotThere(number)
        return self._works[number]
