"""The benches at which heavy work is done, and what each kind may take."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated

from fastapi import Depends, Request

from jambwright.web.workers import Bench, Budget

LOOKS = Budget(workers=2, seconds=10, memory_mb=1000, waiting=24, nice=0)
"""A look at the readings of one opening, while somebody stands at it with the tape: no calculation holds it up."""
QUICK = Budget(workers=2, seconds=10, memory_mb=2000, waiting=24)
"""A calculation, glass options. The largest house takes a second or two.

A search for a cutting plan asks for over 1 GB at once and fills little of it; that counts all the same.
"""
OFFERS = Budget(workers=1, seconds=120, memory_mb=1000, waiting=6)
"""Every opening planned again for each change that may mend it."""
PLANS = Budget(workers=2, seconds=900, memory_mb=3000, waiting=8)
"""A house planned and all its papers drawn: a second or so an opening."""
PHOTOS = Budget(workers=1, seconds=20, memory_mb=560, waiting=30)
"""One photo after the other is unpacked: the largest takes 480 MB meanwhile."""


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Workshop:
    """The benches of one server. Workers are started when they are first wanted."""

    looks: Bench = field(default_factory=lambda: Bench(LOOKS))
    quick: Bench = field(default_factory=lambda: Bench(QUICK))
    offers: Bench = field(default_factory=lambda: Bench(OFFERS))
    plans: Bench = field(default_factory=lambda: Bench(PLANS))
    photos: Bench = field(default_factory=lambda: Bench(PHOTOS))

    def close(self) -> None:
        """End all work."""
        for bench in (self.looks, self.quick, self.offers, self.plans, self.photos):
            bench.close()


async def _workshop(request: Request) -> Workshop:
    workshop: Workshop = request.app.state.workshop
    return workshop


WorkshopHere = Annotated[Workshop, Depends(_workshop)]
