"""Papers at the desk: by whom they are for, looked at in the page, and all that is printed as one file."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Path, Query, Request, Response
from fastapi.responses import HTMLResponse

from jambwright.paper import label_sheets, labels_pdf
from jambwright.paper.one_pdf import one_pdf
from jambwright.record import read_record
from jambwright.store import NotThere, PlanLine, paper, paper_names
from jambwright.web.api_houses import HouseId
from jambwright.web.api_plans import Number
from jambwright.web.asking import MayNot, Reader, StoreHere
from jambwright.web.desk import DeskHere, desk_page, of_house
from jambwright.web.joining import only_here
from jambwright.web.money import may_take
from jambwright.web.paper_tables import READ, tables_of
from jambwright.web.papers_view import papers_view, printed_for, stale_words, title_of
from jambwright.web.texts import say

router = APIRouter(include_in_schema=False)

Purpose = Literal["all", "maker", "fitters", "owner", "control", "van", "sheets", "office"]


@router.get("/houses/{house}/papers")
def papers(house: HouseId, desk: DeskHere, request: Request, person: Reader) -> HTMLResponse:
    """Papers of the latest plan by purpose, and the plans before."""
    shown = of_house(desk, house, "papers", person)
    plan: PlanLine | None = shown["plan"]
    names = [n for n in paper_names(desk.store, plan.id) if may_take(person, n)] if plan else []
    sheets = label_sheets() if "labels.pdf" in names else []
    return desk_page("desk_papers.html", person, papers=papers_view(names, shown["changed"]), sheets=sheets,
                     shared=bool(phone_address(request)),
                     printed=len(printed_for("all", names)), **shown)  # fmt: skip


@router.get("/houses/{house}/papers/look")
def look(
    house: HouseId, desk: DeskHere, person: Reader, name: Annotated[str, Query(max_length=80)] = ""
) -> HTMLResponse:
    """One paper that is a table, in the page."""
    if not may_take(person, name):
        raise MayNot(say("refused.money"))
    shown = of_house(desk, house, "papers", person)
    plan: PlanLine | None = shown["plan"]
    if plan is None or name.rsplit(".", 1)[-1] not in READ:
        raise NotThere(name)
    tables = tables_of(name, paper(desk.store, house, plan.id, name))
    stale = list(stale_words(name, shown["changed"]))
    return desk_page(
        "desk_paper.html", person, name=name, title=title_of(name), tables=tables, stale=stale, **shown
    )


@router.get("/houses/{house}/plans/{plan}/print/{purpose}")
def print_all(house: HouseId, plan: Number, purpose: Purpose, store: StoreHere, person: Reader) -> Response:
    """Every printed paper for one purpose, or for all, as one PDF."""
    names = printed_for(purpose, [name for name in paper_names(store, plan) if may_take(person, name)])
    if not names:
        raise NotThere(purpose)
    body = one_pdf([paper(store, house, plan, name) for name in names])
    headers = {
        "Content-Disposition": f'inline; filename="{purpose}-papers.pdf"',
        "Cache-Control": "private, max-age=31536000, immutable",
    }
    return Response(body, media_type="application/pdf", headers=headers)


@router.get("/houses/{house}/plans/{plan}/labels/{sheet}")
def labels(
    house: HouseId,
    plan: Number,
    sheet: Annotated[str, Path(pattern=r"^[0-9]{1,3}$")],
    request: Request,
    store: StoreHere,
    person: Reader,
) -> Response:
    """Labels whose codes open their openings under the address the desk has now."""
    if not may_take(person, "labels.pdf"):
        raise MayNot(say("refused.money"))
    record = read_record(paper(store, house, plan, "plan.json"))
    if sheet not in label_sheets() or not record.openings:
        raise NotThere(sheet)
    address = phone_address(request)
    body = labels_pdf(record, sheet=sheet, leads_to=f"{address}/site/{house}" if address else None)
    # never kept: the address may be another tomorrow
    headers = {"Content-Disposition": 'inline; filename="labels.pdf"', "Cache-Control": "no-store"}
    return Response(body, media_type="application/pdf", headers=headers)


def phone_address(request: Request) -> str | None:
    """Where a phone reaches this desk; ``None`` while only this machine can."""
    address = f"{request.app.state.address or request.base_url}".rstrip("/")
    return None if only_here(address) else address
