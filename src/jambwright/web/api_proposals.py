"""Proposals over HTTP: told by number, put into the survey, taken back; history records what they changed."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any

from fastapi import APIRouter, Request, Response
from pydantic import Field

from jambwright.basis.border import Strict
from jambwright.readings.proposal import Proposal, undo_accepted
from jambwright.store import House, Person, Store, now, plain, read_house, replace, require_version
from jambwright.web import heavy
from jambwright.web.api_houses import HouseId, IfMatch, etag, wanted_version
from jambwright.web.asking import Fitter, Reader, StoreHere, address_of
from jambwright.web.shapes import HouseShown
from jambwright.web.workshop import WorkshopHere

router = APIRouter(prefix="/api/houses/{house}/proposals", tags=["proposals"])


class Chosen(Strict):
    """One proposal of an opening, or one accepted there, by its number from 1."""

    opening: Annotated[str, Field(max_length=16)]
    number: Annotated[int, Field(ge=1, le=1000)]


@router.get("", summary="Changes of the order that mend what fails")
def house_proposals(
    house: HouseId, request: Request, response: Response, store: StoreHere, workshop: WorkshopHere, _: Reader
) -> dict[str, list[Proposal]]:
    """By opening, in the order of their numbers; each was planned again and holds."""
    found = read_house(store, house)
    response.headers["ETag"] = etag(found.version)
    offered: dict[str, list[Proposal]] = workshop.offers.do(address_of(request), heavy.offered, found.tree)
    return offered


@router.post("", summary="Put a proposal into the survey")
def accept(
    house: HouseId, chosen: Chosen, request: Request, response: Response, store: StoreHere,
    workshop: WorkshopHere, person: Fitter, if_match: IfMatch = None,
) -> HouseShown:  # fmt: skip
    """Of the version named; refused for an opening that is ordered."""
    found = _at(store, house, if_match)
    on = date.fromisoformat(now()[:10])
    changed = workshop.offers.do(
        address_of(request), heavy.with_proposal, found.tree, chosen.opening, chosen.number, on, person.name
    )
    return _kept(store, found, changed, person, response)


@router.post("/undo", summary="Take an accepted proposal back")
def take_back(
    house: HouseId, chosen: Chosen, response: Response, store: StoreHere, person: Fitter,
    if_match: IfMatch = None,
) -> HouseShown:  # fmt: skip
    """Refused where one of its fields was changed again since."""
    found = _at(store, house, if_match)
    changed = undo_accepted(found.tree, chosen.opening, chosen.number)
    return _kept(store, found, changed, person, response)


def _at(store: Store, house: str, if_match: str | None) -> House:
    """The house at the version on hand: a number means what was told of that version alone."""
    wanted = wanted_version(if_match)
    found = read_house(store, house)
    require_version(found.version, wanted)
    return found


def _kept(store: Store, found: House, tree: dict[str, Any], person: Person, response: Response) -> HouseShown:
    after, _ = replace(
        store, found.id, plain(tree), who=person.name, at=now(), device="http", version=found.version
    )
    response.headers["ETag"] = etag(after.version)
    return HouseShown.of(after)
