"""A house planned in the background and kept, with a note of everything the plan rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from jambwright.basis.problems import BadInput
from jambwright.job import Progress
from jambwright.record import read_order
from jambwright.store import (
    House,
    HouseLine,
    NotThere,
    Store,
    choose,
    chosen,
    house_lines,
    house_plans,
    keep_plan,
    newest_plans,
    paper,
    read_house,
)
from jambwright.web import heavy
from jambwright.web.api_desk import crew_of
from jambwright.web.crew_days import CrewChosen
from jambwright.web.gist import Plain, rests_on
from jambwright.web.kept_lessons import adopted, with_adopted
from jambwright.web.workers import Bench, Ticket


def rests_now(store: Store, house: House) -> Plain:
    """What a plan of the house made now would rest on."""
    crew = crew_of(chosen(store, "days", house=house.id), house.tree)
    return _rests(store, house, chosen(store, "prices"), crew)


def planned_with_others(store: Store, prices: Any) -> list[HouseLine]:
    """The houses whose newest plan goes by other prices than these, or that was not kept by which."""
    lines, now = newest_plans(store), rests_on({}, prices, None, None)
    return [
        line
        for line in house_lines(store)
        if line.id in lines and _by_others(lines[line.id].gist, now["prices"])
    ]


def _by_others(gist: Mapping[str, Any] | None, prices: str) -> bool:
    return ((gist or {}).get("rests") or {}).get("prices") != prices


def _rests(store: Store, house: House, prices: Any, crew: CrewChosen | None) -> Plain:
    own = {tool["name"] for tool in house.tree.get("tools") or ()}
    tools = {name: figure for name, figure in adopted(store).items() if name in own}
    return rests_on(house.tree, prices, crew and crew.model_dump(mode="json"), tools)


def earlier_issue(store: Store, house: House) -> bytes | None:
    """The order last made as an issue before the one that stands in the readings file; ``None`` where there is none."""
    asked = house.tree.get("order") or {}
    number, issue = asked.get("number"), asked.get("issue", 1)
    if issue == 1:
        return None
    found: tuple[int, bytes] | None = None
    for line in house_plans(store, house.id):  # the newest first, so of each issue the one made last
        try:
            body = paper(store, house.id, line.id, "order.json")
            head = read_order(body).head
        except (NotThere, BadInput):
            continue  # made before there was an order of that kind
        if head.number == number and (found[0] if found else 0) < head.issue < issue:
            found = head.issue, body
    return found and found[1]


@dataclass(frozen=True, slots=True)
class Planning:
    """A house to be planned at a bench, and kept."""

    store: Store
    bench: Bench
    ticket: Ticket
    house: str
    who: str
    crew: CrewChosen | None = None
    """Chosen with this plan; kept once the days could be planned."""

    def __call__(self, told: Progress) -> Any:
        """Plan, print and keep."""
        standing = read_house(self.store, self.house)
        crew = self.crew or crew_of(chosen(self.store, "days", house=self.house), standing.tree)
        prices = chosen(self.store, "prices")
        rests = _rests(self.store, standing, prices, crew)
        earlier = earlier_issue(self.store, standing)
        asked = (with_adopted(self.store, standing.tree), prices, crew, self.crew is not None, earlier)
        record, files, gist = self.bench.run(self.ticket, heavy.planned, *asked, told=told)
        if self.crew:
            days = {"chosen": self.crew.model_dump(mode="json")}
            choose(self.store, "days", days, who=self.who, house=self.house)
        plan = keep_plan(self.store, standing, self.who, record, files, gist | {"rests": rests})
        return {"plan": plan.id}
