"""One opening while it is drawn, and what could be ordered instead: looked at over HTTP; only a glass is put in."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any

from fastapi import APIRouter, Request, Response
from pydantic import Field

from jambwright.basis.border import Strict
from jambwright.basis.problems import BadInput
from jambwright.one_opening import Alike
from jambwright.readings.places import put
from jambwright.readings.proposal import apply_proposal
from jambwright.store import House, NotThere, now, plain, read_house, replace, require_version
from jambwright.web import heavy
from jambwright.web.api_houses import HouseId, IfMatch, Mark, etag, wanted_version
from jambwright.web.asking import Fitter, Reader, StoreHere, address_of
from jambwright.web.shapes import HouseShown, Tree
from jambwright.web.texts import say
from jambwright.web.workshop import WorkshopHere

router = APIRouter(prefix="/api/houses/{house}/openings/{mark}", tags=["drawing"])


class Drawn(Strict):
    """What is wanted in an opening, as it is drawn and not kept."""

    wanted: Tree


class ToEven(Drawn):
    """A split whose parts are to look alike."""

    path: Annotated[list[str | int], Field(max_length=60)]
    alike: Alike


class Shares(Strict):
    """Shares of the parts of a split, from the left or the head."""

    shares: list[float]


class GlassChosen(Strict):
    """A make-up for all lights of an opening that have none of their own."""

    glass: Annotated[str, Field(min_length=1, max_length=60, pattern=r"\S")]


@router.post("/look", summary="What would be ordered, as it is drawn")
def look_at_drawing(
    house: HouseId,
    mark: Mark,
    drawn: Drawn,
    request: Request,
    store: StoreHere,
    workshop: WorkshopHere,
    _: Reader,
) -> dict[str, Any]:
    """Drawing, sizes, masses and broken limits by the engine. Nothing is kept."""
    found = _there(read_house(store, house), mark)
    told: dict[str, Any] = workshop.quick.do(
        address_of(request), heavy.drawn, _with(found, mark, drawn.wanted), mark
    )
    return told


@router.post("/even", summary="Shares that make the parts of a split look alike")
def even(
    house: HouseId,
    mark: Mark,
    asked: ToEven,
    request: Request,
    store: StoreHere,
    workshop: WorkshopHere,
    _: Fitter,
) -> Shares:
    """Equal holes in the frame, or equal glass seen. Nothing is kept."""
    tree = _with(_there(read_house(store, house), mark), mark, asked.wanted)
    shares = workshop.quick.do(address_of(request), heavy.evened, tree, mark, tuple(asked.path), asked.alike)
    return Shares(shares=list(shares))


@router.get("/instead", summary="What could be ordered instead, before and after")
def instead(
    house: HouseId,
    mark: Mark,
    request: Request,
    response: Response,
    store: StoreHere,
    workshop: WorkshopHere,
    _: Reader,
) -> dict[str, Any]:
    """Each proposal by its number with the opening as it is and as it would be; to be put in at this version."""
    found = _there(read_house(store, house), mark)
    response.headers["ETag"] = etag(found.version)
    offered = workshop.offers.do(address_of(request), heavy.instead, found.tree, mark)
    return {"version": found.version, **offered}


@router.post("/glass", summary="Order another glass")
def order_glass(
    house: HouseId, mark: Mark, chosen: GlassChosen, request: Request, response: Response, store: StoreHere,
    workshop: WorkshopHere, person: Fitter, if_match: IfMatch = None,
) -> HouseShown:  # fmt: skip
    """Kept with what was asked, to be taken back like any accepted change. Refused where it can't be made."""
    version = wanted_version(if_match)
    found = _there(read_house(store, house), mark)
    require_version(found.version, version)
    asked = workshop.quick.do(address_of(request), heavy.glass_asked, found.tree, mark, chosen.glass.strip())
    if not asked.changes:
        raise BadInput.one("glass", say("glass.is_so", mark=mark, glass=chosen.glass))
    on = date.fromisoformat(now()[:10])
    tree = apply_proposal(found.tree, mark, asked, on=on, by=person.name)
    after, _ = replace(
        store, found.id, plain(tree), who=person.name, at=now(), device="http", version=found.version
    )
    response.headers["ETag"] = etag(after.version)
    return HouseShown.of(after)


def _there(found: House, mark: str) -> House:
    if mark not in found.marks:
        raise NotThere(mark)
    return found


def _with(found: House, mark: str, wanted: Tree) -> Tree:
    tree: Tree = put(found.tree, ("openings", mark, "wanted"), wanted)
    return tree
