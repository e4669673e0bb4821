"""One opening while it is drawn, and what could be ordered instead: looked at over HTTP; only a glass is put in."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any

from fastapi import APIRouter, Response
from pydantic import Field

from jambwright.basis.border import Strict
from jambwright.basis.problems import BadInput
from jambwright.one_opening import Alike, alternatives, evened, look, with_glass
from jambwright.readings import Survey
from jambwright.readings.places import put
from jambwright.readings.proposal import apply_proposal
from jambwright.readings.survey_file import survey_from_tree
from jambwright.store import House, NotThere, now, plain, read_house, replace, require_version
from jambwright.web.api_houses import HouseId, IfMatch, Mark, etag, wanted_version
from jambwright.web.asking import Fitter, Reader, StoreHere
from jambwright.web.drawn_view import drawn_view
from jambwright.web.shapes import HouseShown, Tree
from jambwright.web.texts import say

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
def look_at_drawing(house: HouseId, mark: Mark, drawn: Drawn, store: StoreHere, _: Reader) -> dict[str, Any]:
    """Drawing, sizes, masses and broken limits by the engine. Nothing is kept."""
    found = _there(read_house(store, house), mark)
    return drawn_view(look(_with(found, mark, drawn.wanted), mark))


@router.post("/even", summary="Shares that make the parts of a split look alike")
def even(house: HouseId, mark: Mark, asked: ToEven, store: StoreHere, _: Fitter) -> Shares:
    """Equal holes in the frame, or equal glass seen. Nothing is kept."""
    found = _there(read_house(store, house), mark)
    survey = _with(found, mark, asked.wanted)
    return Shares(shares=list(evened(survey, mark, tuple(asked.path), asked.alike)))


@router.get("/instead", summary="What could be ordered instead, before and after")
def instead(house: HouseId, mark: Mark, response: Response, store: StoreHere, _: Reader) -> dict[str, Any]:
    """Each proposal by its number with the opening as it is and as it would be; to be put in at this version."""
    found = _there(read_house(store, house), mark)
    response.headers["ETag"] = etag(found.version)
    survey = _readable(found.tree, mark)
    offered = [
        {
            "number": number, "say": each.say, "mends": list(each.mends), "remains": list(each.remains),
            "after": drawn_view(look(changed, mark)),
        }
        for number, (each, changed) in enumerate(alternatives(survey, mark), start=1)
    ]  # fmt: skip
    return {"version": found.version, "before": drawn_view(look(survey, mark)), "instead": offered}


@router.post("/glass", summary="Order another glass")
def order_glass(
    house: HouseId, mark: Mark, chosen: GlassChosen, response: Response, store: StoreHere, person: Fitter,
    if_match: IfMatch = None,
) -> HouseShown:  # fmt: skip
    """Kept with what was asked, to be taken back like any accepted change. Refused where it can't be made."""
    version = wanted_version(if_match)
    found = _there(read_house(store, house), mark)
    require_version(found.version, version)
    asked = with_glass(_readable(found.tree, mark), mark, chosen.glass.strip())
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


def _with(found: House, mark: str, wanted: Tree) -> Survey:
    return _readable(put(found.tree, ("openings", mark, "wanted"), wanted), mark)


def _readable(tree: Tree, mark: str) -> Survey:
    """The survey without other openings that can't be read; raises ``BadInput`` for what is wrong with this one."""
    try:
        return survey_from_tree(tree)
    except BadInput as bad:
        own = [problem for problem in bad.problems if problem.opening in (None, mark)]
        if own:
            raise BadInput(own) from None
        others = {problem.opening for problem in bad.problems}
    return survey_from_tree({**tree, "openings": [o for o in tree["openings"] if o["id"] not in others]})
