"""Plans over HTTP: made in the background with progress, kept with their papers."""

from __future__ import annotations

from collections.abc import AsyncIterable
from typing import Annotated, Any

from fastapi import APIRouter, Depends, File, Path, Request, Response, UploadFile
from fastapi.sse import EventSourceResponse

from jambwright.basis.problems import BadInput
from jambwright.record import record_of_tree
from jambwright.store import (
    Person,
    PlanLine,
    house_plans,
    paper,
    paper_names,
    plan_result,
    read_house,
)
from jambwright.web import heavy
from jambwright.web.api_houses import HouseId
from jambwright.web.asking import Fitter, MayNot, Reader, StoreHere, address_of, audited
from jambwright.web.crew_days import DaysAsked
from jambwright.web.gist import readings_changed, since
from jambwright.web.kept_plans import KeptPlans
from jambwright.web.money import may_take, record_for, sees_money
from jambwright.web.plan_view import stops_view
from jambwright.web.planning import Planning, rests_now
from jambwright.web.progress import Work, Works
from jambwright.web.shapes import Answered, GatesShown, Started
from jambwright.web.texts import say
from jambwright.web.workshop import WorkshopHere

router = APIRouter(tags=["plans"])

Number = Annotated[str, Path(pattern=r"^[0-9a-f]{16}$")]
PaperName = Annotated[str, Path(pattern=r"^[A-Za-z0-9_-]+(/[A-Za-z0-9_-]+)?\.[a-z]{2,5}$", max_length=80)]

KINDS = {
    "pdf": "application/pdf", "svg": "image/svg+xml", "csv": "text/csv; charset=utf-8", "json": "application/json",
    "txt": "text/plain; charset=utf-8", "dxf": "image/vnd.dxf", "ics": "text/calendar; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}  # fmt: skip
LARGEST_ANSWER = 5_000_000
"""Bytes of a maker's answer; that to a house with two hundred openings has a tenth."""
SHOWN = ("svg", "pdf", "txt")
"""Papers a browser may show in place; the others are downloaded."""


@router.post("/api/houses/{house}/plans", status_code=202, summary="Plan a house")
def start_plan(
    house: HouseId, request: Request, store: StoreHere, workshop: WorkshopHere, person: Fitter
) -> Started:
    """Started in the background; watch it under its number. Faults of the survey end it with problems."""
    read_house(store, house)
    ticket = workshop.plans.ask(address_of(request))
    started = _started(request, Planning(store, workshop.plans, ticket, house, person.name), person)
    audited(request, person.name, "plan started", house)
    return started


@router.post("/api/houses/{house}/days", status_code=202, summary="Plan the house with the crew's days moved")
def post_days(
    house: HouseId,
    crew: DaysAsked,
    request: Request,
    store: StoreHere,
    workshop: WorkshopHere,
    person: Fitter,
) -> Started:
    """Started in the background; plan and papers are made anew. Kept only when the days can be planned.

    Where one opening is moved, the others stay where the plan before has them, as far as that goes.
    """
    read_house(store, house)
    plans: KeptPlans = request.app.state.plans
    before = plans.latest(store, house)[2] if crew.moves else None
    chosen_now = crew.with_the_rest_kept(before.record.days if before else None)
    ticket = workshop.plans.ask(address_of(request))
    return _started(request, Planning(store, workshop.plans, ticket, house, person.name, chosen_now), person)


def _started(request: Request, planning: Planning, person: Person) -> Started:
    works: Works = request.app.state.works
    return Started(work=works.start(planning, planning.ticket, person.id))


def _work(number: Number, request: Request) -> Work:
    """Looked up before the answer begins, so that there is still a 404 to give."""
    works: Works = request.app.state.works
    return works.find(number)


@router.get("/api/work/{number}", response_class=EventSourceResponse, summary="Watch long work")
async def watch_work(work: Annotated[Work, Depends(_work)], _: Reader) -> AsyncIterable[dict[str, Any]]:
    """Server-sent events: `{step}` each time it moves on, then `{result, problems}`."""
    async for event in work.watch():
        yield event


@router.delete("/api/work/{number}", status_code=204, summary="Stop long work")
def stop_work(person: Fitter, work: Annotated[Work, Depends(_work)]) -> None:
    """By the one who started it. What was done so far is not kept."""
    if work.who != person.id:
        raise MayNot(say("work.not_yours"))
    work.ticket.stop()


@router.get("/api/houses/{house}/plans", summary="Plans of a house, the newest first")
def all_plans(house: HouseId, store: StoreHere, _: Reader) -> list[PlanLine]:
    """With the versions of survey, engine and tables that made them."""
    read_house(store, house)
    return house_plans(store, house)


@router.get("/api/houses/{house}/gates", summary="What stops the order and the work")
def gates(house: HouseId, request: Request, store: StoreHere, _: Reader) -> GatesShown:
    """By the latest plan that can be read: the house, and each opening of that plan."""
    found = read_house(store, house)
    plans: KeptPlans = request.app.state.plans
    newest, line, kept = plans.latest(store, house)
    named = newest.id if newest else None
    if line is None or kept is None:
        return GatesShown(plan=named, of=found.version, latest=newest is None)
    changed = readings_changed(since(line, rests_now(store, found)), line, found.version)
    return GatesShown(plan=named, of=found.version, changed=changed, version=line.version, made=line.made,
                      who=line.who, latest=line == newest, **stops_view(kept.view))  # fmt: skip


@router.get("/api/houses/{house}/plans/{plan}", summary="What a plan says")
def one_plan(house: HouseId, plan: Number, store: StoreHere, person: Reader) -> dict[str, Any]:
    """Its record as it was kept, and the names of its papers; for those who may only look, without money."""
    result: dict[str, Any] = plan_result(store, house, plan)
    if not sees_money(person):
        result = _without_money(result, person)
    return {"record": result, "papers": [name for name in paper_names(store, plan) if may_take(person, name)]}


def _without_money(result: dict[str, Any], person: Person) -> dict[str, Any]:
    try:
        record = record_of_tree(result)
    except BadInput:  # where money stands in it is not known
        raise MayNot(say("refused.old_plan")) from None
    return record_for(person, record).model_dump(mode="json")


@router.post(
    "/api/houses/{house}/plans/{plan}/answer",
    summary="Lay what the maker answers beside the order",
    max_body_size=LARGEST_ANSWER,
)
def post_answer(
    house: HouseId,
    plan: Number,
    request: Request,
    store: StoreHere,
    workshop: WorkshopHere,
    _: Fitter,
    file: Annotated[UploadFile, File()],
) -> Answered:
    """CSV or a workbook with the headings of the order. Nothing is kept."""
    order, answer = paper(store, house, plan, "order.json"), file.file.read()
    found = workshop.quick.do(address_of(request), heavy.answered, order, answer)
    return Answered(agrees=found["agrees"], say=found["say"], differences=found["differences"])


@router.get(
    "/api/houses/{house}/plans/{plan}/papers/{name:path}", response_class=Response, summary="One paper"
)
def one_paper(
    house: HouseId, plan: Number, name: PaperName, request: Request, store: StoreHere, person: Reader
) -> Response:
    """As it was made."""
    if not may_take(person, name):
        raise MayNot(say("refused.money"))
    body = paper(store, house, plan, name)
    kind = name.rsplit(".", 1)[1]
    if kind not in SHOWN:
        audited(request, person.name, "paper taken", f"{house} {name}", often=True)
    how = "inline" if kind in SHOWN else "attachment"
    headers = {
        "Content-Disposition": f'{how}; filename="{name.replace("/", "-")}"',
        "Cache-Control": "private, max-age=31536000, immutable",
    }
    return Response(body, media_type=KINDS.get(kind, "application/octet-stream"), headers=headers)
