"""The pages of the desk. Each reads, and shows; what they change goes through the HTTP interface."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse

from jambwright.handover import Ordered
from jambwright.readings.ways import ways
from jambwright.store import (
    House,
    Kept,
    NotThere,
    Person,
    PlanLine,
    Store,
    audit_lines,
    chosen,
    history,
    house_lines,
    house_photos,
    house_plans,
    logins,
    open_clashes,
    paper_names,
    read_house,
    to_yaml,
)
from jambwright.web import heavy
from jambwright.web.api_desk import crew_of
from jambwright.web.api_houses import HouseId, Mark
from jambwright.web.asking import Fitter, Office, Reader, StoreHere, address_of
from jambwright.web.asks import asks_of, place_links
from jambwright.web.crew_days import days_view
from jambwright.web.facade import faces
from jambwright.web.fitted_view import fitted_view
from jambwright.web.kept_lessons import lessons_view, tools_changed_since, with_adopted
from jambwright.web.kept_plans import KeptPlan, KeptPlans
from jambwright.web.money import changes_for, may_take, survey_for, view_for
from jambwright.web.pages import page
from jambwright.web.refusals import Counted
from jambwright.web.workshop import WorkshopHere

router = APIRouter(include_in_schema=False)

PARTS = (
    "house",
    "form",
    "findings",
    "order",
    "glass",
    "materials",
    "cutting",
    "days",
    "price",
    "papers",
    "history",
    "survey",
)
"""The pages of one house, in the order of their tabs."""


def desk_page(template: str, person: Person, **values: Any) -> HTMLResponse:
    """One page of the desk."""
    counted = itertools.count(1)
    return page(template, person=person, number=lambda: next(counted), **values)


@dataclass(frozen=True, slots=True)
class Desk:
    """Where the pages of a house read: the store, and the plans at hand."""

    store: Store
    plans: KeptPlans


async def _desk_here(request: Request, store: StoreHere) -> Desk:
    return Desk(store, request.app.state.plans)


DeskHere = Annotated[Desk, Depends(_desk_here)]


def of_house(desk: Desk, house: str, part: str, person: Person) -> dict[str, Any]:
    """What every page of a house shows: the house, its tabs, its latest plan and what that plan leaves out."""
    found = read_house(desk.store, house)
    plans = house_plans(desk.store, house)
    latest = plans[0] if plans else None
    kept = desk.plans.find(desk.store, latest) if latest else None
    planned = _marks(kept)
    return {
        "house": found,
        "part": part,
        "parts": [(name, f"/houses/{house}" + ("" if name == "house" else f"/{name}")) for name in PARTS],
        "plan": latest,
        "plans": plans,
        "outdated": latest is not None and latest.version != found.version,
        "tools_changed": latest is not None and tools_changed_since(desk.store, found.tree, latest.made),
        "kept": kept,
        "result": view_for(person, kept.view) if kept else None,
        "unreadable": latest is not None and kept is None,
        "unplanned": [mark for mark in found.marks if kept and mark not in planned],
        "gone": [mark for mark in planned if mark not in found.marks],
        "links": lambda shown: place_links(found, [place["path"] for place in shown]),
    }


def _marks(kept: KeptPlan | None) -> list[str]:
    return [each.id for each in kept.record.every_opening] if kept else []


@router.get("/")
def all_houses(store: StoreHere, person: Reader) -> HTMLResponse:
    """The houses."""
    return desk_page("desk_houses.html", person, houses=house_lines(store))


@router.get("/people")
def people(request: Request, store: StoreHere, person: Office) -> HTMLResponse:
    """Who is let in, what was done, and what was refused."""
    counted: Counted = request.app.state.refused
    counted.write()
    return desk_page("desk_people.html", person, logins=logins(store), audit=audit_lines(store))


@router.get("/houses/{house}")
def one_house(house: HouseId, desk: DeskHere, person: Reader) -> HTMLResponse:
    """The house by elevation."""
    shown = of_house(desk, house, "house", person)
    openings = shown["result"]["openings"] if shown["result"] else []
    asks = asks_of(shown["house"], shown["kept"].record if shown["kept"] else None)
    return desk_page("desk_house.html", person, faces=faces(shown["house"].tree), states=_states(shown),
                     planned={o["id"]: o for o in openings}, clashes=open_clashes(desk.store, house), asks=asks,
                     **shown)  # fmt: skip


def _states(shown: dict[str, Any]) -> dict[str, str]:
    """What a word on each opening says: that its order is shut, its gravest verdict, or why it has none."""
    result = shown["result"] or {"openings": [], "unread": []}
    states = {o["id"]: "shut" if o["stops"]["ordering"] else o["word"] for o in result["openings"]}
    states |= {o["id"]: "unread" for o in result["unread"]}
    return {mark: states.get(mark, "unplanned") for mark in shown["house"].marks}


@router.get("/houses/{house}/openings/{mark}")
def one_opening(house: HouseId, mark: Mark, desk: DeskHere, person: Reader) -> HTMLResponse:
    """Everything about one opening."""
    shown = of_house(desk, house, "house", person)
    if mark not in shown["house"].marks:
        raise NotThere(mark)
    return desk_page("desk_opening.html", person, mark=mark,
        opening=next(o for o in shown["house"].tree["openings"] if o["id"] == mark),
        planned=_among(shown, "openings", mark), unread=_among(shown, "unread", mark),
        drawings=_drawings(desk.store, shown["plan"], mark),
        photos=[photo for photo in house_photos(desk.store, house) if photo.mark == mark],
        changes=changes_for(person, _changes_at(desk.store, house, mark)), fitted=_as_fitted(shown, mark), **shown,
    )  # fmt: skip


@router.get("/houses/{house}/openings/{mark}/layout")
def layout(house: HouseId, mark: Mark, desk: DeskHere, person: Reader) -> HTMLResponse:
    """The lights of one opening, to be drawn."""
    shown = of_house(desk, house, "house", person)
    if mark not in shown["house"].marks:
        raise NotThere(mark)
    opening = next(o for o in shown["house"].tree["openings"] if o["id"] == mark)
    hung = [{"kind": way.kind, "hangs": way.hangs} for way in ways().values() if way.ordered and way.hangs]
    return desk_page("desk_layout.html", person, mark=mark, opening=opening, ways=hung, **shown)


def _changes_at(store: Store, house: str, mark: str) -> list[Kept]:
    """What was changed of an opening and of its frame as fitted, the newest first."""
    both = (history(store, house, under=f"/{root}/{mark}", limit=40) for root in ("openings", "fitted"))
    return sorted(itertools.chain(*both), key=lambda change: -change.seq)


def _as_fitted(shown: dict[str, Any], mark: str) -> dict[str, Any] | None:
    kept = shown["house"].fitted.get(mark)
    openings = shown["kept"].record.openings if shown["kept"] else ()
    ordered = next((Ordered.of(opening) for opening in openings if opening.id == mark), None)
    return fitted_view(kept, ordered) if kept else None


def _among(shown: dict[str, Any], list_of: str, mark: str) -> dict[str, Any] | None:
    """The opening of that mark among those the plan has planned, or could not for want of readings."""
    return next((o for o in (shown["result"] or {}).get(list_of, []) if o["id"] == mark), None)


def _drawings(store: Store, plan: PlanLine | None, mark: str) -> list[str]:
    names = paper_names(store, plan.id) if plan else []
    return [name for name in names if name.startswith(f"drawings/{mark}-") and name.endswith(".svg")]


@router.get("/houses/{house}/glass")
def glass(
    house: HouseId, desk: DeskHere, person: Reader, request: Request, workshop: WorkshopHere,
    opening: Annotated[str, Query(max_length=16)] = "", make: Annotated[list[str] | None, Query(max_length=6)] = None,
) -> HTMLResponse:  # fmt: skip
    """Glass options side by side."""
    shown = of_house(desk, house, "glass", person)
    marks = list(shown["house"].marks)
    mark = opening if opening in marks else next(iter(marks), "")
    if not mark:
        return desk_page("desk_glass.html", person, mark=mark, options=None, **shown)
    asked = next(o for o in shown["house"].tree["openings"] if o["id"] == mark)
    told = (with_adopted(desk.store, shown["house"].tree), mark, make or [])
    glass = workshop.quick.do(address_of(request), heavy.compared, *told)
    return desk_page("desk_glass.html", person, mark=mark, options=glass.options, opening=asked, broken=glass.broken,
                     own=glass.own, may_order=person.role != "read_only" and not glass.ordered,
                     **shown)  # fmt: skip


@router.get("/lessons")
def lessons(store: StoreHere, person: Fitter) -> HTMLResponse:
    """What readings and fitted frames of all houses teach; it speaks of people by name."""
    return desk_page("desk_lessons.html", person, **lessons_view(store))


@router.get("/houses/{house}/days")
def days(house: HouseId, desk: DeskHere, person: Reader) -> HTMLResponse:
    """The crew's days, to be moved about."""
    shown = of_house(desk, house, "days", person)
    kept: KeptPlan | None = shown["kept"]
    crew = crew_of(chosen(desk.store, "days", house=house), shown["house"].tree)
    found = days_view(kept.record.days, crew) if crew and kept and kept.record.days else None
    return desk_page("desk_days.html", person, found=found, crew=crew, **shown)


@router.get("/houses/{house}/papers")
def papers(house: HouseId, desk: DeskHere, person: Reader) -> HTMLResponse:
    """Papers of the latest plan, and the plans before."""
    shown = of_house(desk, house, "papers", person)
    plan: PlanLine | None = shown["plan"]
    names = [n for n in paper_names(desk.store, plan.id) if may_take(person, n)] if plan else []
    return desk_page("desk_papers.html", person, names=names, **shown)


@router.get("/houses/{house}/history")
def house_history(house: HouseId, desk: DeskHere, person: Reader) -> HTMLResponse:
    """Every change, with undo."""
    shown = of_house(desk, house, "history", person)
    return desk_page(
        "desk_history.html", person, changes=changes_for(person, history(desk.store, house)), **shown
    )


@router.get("/houses/{house}/survey")
def survey(house: HouseId, desk: DeskHere, person: Reader) -> HTMLResponse:
    """The readings file, to be changed by hand."""
    shown = of_house(desk, house, "survey", person)
    found: House = shown["house"]
    return desk_page("desk_survey.html", person, text=to_yaml(survey_for(person, found.tree)),
                 fitted=to_yaml(dict(found.fitted)), **shown)  # fmt: skip


@router.get("/houses/{house}/{part}")
def of_the_plan(house: HouseId, part: str, desk: DeskHere, person: Reader) -> HTMLResponse:
    """Pages that show a part of the plan as it is."""
    if part not in ("findings", "order", "materials", "cutting", "price"):
        raise NotThere(part)
    return desk_page(f"desk_{part}.html", person, **of_house(desk, house, part, person))
