"""Changes field by field, their history, undo, and word of new ones as they come."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterable
from typing import Annotated

from fastapi import APIRouter, Depends, Path, Query, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.sse import EventSourceResponse

from jambwright.store import history, house_version, now, open_clashes, read_house, take, undo
from jambwright.web.api_houses import HouseId
from jambwright.web.asking import Fitter, Reader, StoreHere, person_asking
from jambwright.web.money import changes_for
from jambwright.web.shapes import ChangesAnswered, ChangesSent, History, HouseShown, Id

router = APIRouter(prefix="/api/houses/{house}", tags=["changes"])

LOOK_EVERY_S = 1.0

ChangeId = Annotated[Id, Path()]


@router.post("/changes", summary="Send changes")
def send_changes(house: HouseId, sent: ChangesSent, store: StoreHere, person: Fitter) -> ChangesAnswered:
    """Taken in order, all in one go. Sending a change again changes nothing and gives the same answer."""
    after, kept = take(store, house, [change.change(person, sent.device) for change in sent.changes])
    return ChangesAnswered(outcomes=kept, house=HouseShown.of(after))


@router.get("/changes", summary="History of a house or of one field")
def house_history(
    house: HouseId,
    store: StoreHere,
    person: Reader,
    under: Annotated[str, Query(max_length=400, description="Path of a field, with what is inside it.")] = "",
    since: Annotated[int, Query(ge=0, le=2**31 - 1, description="Only after this one.")] = 0,
) -> History:
    """The newest first."""
    read_house(store, house)
    return History(
        changes=changes_for(person, history(store, house, under=under, since=since)),
        clashes=changes_for(person, open_clashes(store, house)),
    )


@router.post("/changes/{change}/undo", summary="Put back what stood before a change")
def undo_change(house: HouseId, change: ChangeId, store: StoreHere, person: Fitter) -> ChangesAnswered:
    """A clash when the field was changed again since."""
    after, kept = undo(store, house, change, who=person.name, at=now(), device="desk")
    return ChangesAnswered(outcomes=[kept], house=HouseShown.of(after))


def _version_now(house: HouseId, store: StoreHere) -> int:
    """Looked up before the answer begins, so that there is still a 404 to give."""
    return house_version(store, house)


@router.get("/watch", response_class=EventSourceResponse, summary="Each new version as it comes")
async def watch(
    house: HouseId,
    version: Annotated[int, Depends(_version_now)],
    request: Request,
    store: StoreHere,
    _: Reader,
) -> AsyncIterable[int]:
    """Server-sent events; each carries the version."""
    yield version
    while not await request.is_disconnected():
        await asyncio.sleep(LOOK_EVERY_S)
        if await run_in_threadpool(person_asking, store, request) is None:
            return  # shut out meanwhile
        before, version = version, await run_in_threadpool(house_version, store, house)
        if version != before:
            yield version
