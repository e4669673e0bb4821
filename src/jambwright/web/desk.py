"""The pages of the desk. Each reads, and shows; what they change goes through the HTTP interface."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse

from jambwright.handover import Ordered
from jambwright.readings.seen import Seen
from jambwright.readings.ways import ways
from jambwright.record import GRAVITY
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
from jambwright.web.crew_days import days_view, moved_view
from jambwright.web.facade import faces
from jambwright.web.fitted_view import fitted_view
from jambwright.web.frame_look import frame_looks
from jambwright.web.gist import Since, readings_changed, since
from jambwright.web.history_words import history_view
from jambwright.web.kept_lessons import lessons_view, tools_changed_since, with_adopted
from jambwright.web.kept_plans import KeptPlan, KeptPlans
from jambwright.web.money import changes_for, sees_money, survey_for, view_for
from jambwright.web.needs import gate_needs, to_read
from jambwright.web.pages import page
from jambwright.web.plan_view import GATES
from jambwright.web.planning import rests_now
from jambwright.web.refusals import Counted
from jambwright.web.workshop import WorkshopHere

router = APIRouter(include_in_schema=False)

TABS = {
    "house": ("form", "findings", "survey"), "order": ("glass", "materials", "cutting"), "days": (), "price": (),
    "papers": (), "history": (),
}  # fmt: skip
"""The way of the work: each tab with the pages inside it."""
PARTS = tuple(name for tab, inside in TABS.items() for name in (tab, *inside))
"""Every page of one house."""
FIRM = {
    "office": ("houses", "lessons", "prices", "people"), "fitter": ("houses", "lessons"), "read_only": ("houses",),
}  # fmt: skip
"""The pages of the firm, by who may see them."""
BESIDE = {
    "opening": "/openings/{mark}", "layout": "/openings/{mark}/layout", "form": "/form?at=/openings/{mark}",
    "glass": "/glass?opening={mark}",
}  # fmt: skip
"""Where the openings listed beside the one that is worked on lead to."""
VERDICTS = tuple(reversed(GRAVITY))
"""The gravest first, as findings are folded."""
SHOWN_CHANGES = 200
"""Of the history, the newest."""


def desk_page(template: str, person: Person, **values: Any) -> HTMLResponse:
    """One page of the desk."""
    counted = itertools.count(1)
    here = template.removeprefix("desk_").removesuffix(".html")
    return page(
        template, person=person, number=lambda: next(counted), verdict_order=VERDICTS, here=here,
        firm=FIRM[person.role], beside_at=BESIDE.get(here, BESIDE["opening"]), **values,
    )  # fmt: skip


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
    tab = next(name for name, inside in TABS.items() if part in (name, *inside))
    result = view_for(person, kept.view) if kept else None
    changed = since(latest, rests_now(desk.store, found)) if latest else Since()
    return {
        "house": found,
        "part": part,
        "tab": tab,
        "tabs": [(name, _address(house, name)) for name in TABS],
        "inside": [(name, _address(house, name)) for name in (tab, *TABS[tab])] if TABS[tab] else [],
        "plan": latest,
        "plans": plans,
        "changed": changed,
        "outdated": latest is not None and readings_changed(changed, latest, found.version),
        "prices_changed": sees_money(person) and changed.prices,
        "tools_changed": latest is not None and tools_changed_since(desk.store, found.tree, latest.made),
        "kept": kept,
        "result": result,
        "states": _states(found, result),
        "unreadable": latest is not None and kept is None,
        "unplanned": [mark for mark in found.marks if kept and mark not in planned],
        "gone": [mark for mark in planned if mark not in found.marks],
        "links": lambda shown: place_links(found, [place["path"] for place in shown]),
    }


def _address(house: str, part: str) -> str:
    return f"/houses/{house}" + ("" if part == "house" else f"/{part}")


def _marks(kept: KeptPlan | None) -> list[str]:
    return [each.id for each in kept.record.every_opening] if kept else []


@router.get("/people")
def people(request: Request, store: StoreHere, person: Office) -> HTMLResponse:
    """Who is let in, what was done, and what was refused."""
    counted: Counted = request.app.state.refused
    counted.write()
    return desk_page("desk_people.html", person, logins=logins(store), audit=audit_lines(store))


@router.get("/houses/{house}")
def one_house(house: HouseId, desk: DeskHere, person: Reader) -> HTMLResponse:
    """What needs somebody, the house by elevation, its openings."""
    shown = of_house(desk, house, "house", person)
    found, record = shown["house"], shown["kept"].record if shown["kept"] else None
    openings = shown["result"]["openings"] if shown["result"] else []
    return desk_page(
        "desk_house.html", person, faces=faces(found.tree), planned={o["id"]: o for o in openings},
        looks=frame_looks(found.tree, None if shown["outdated"] else record),
        needs=gate_needs(found, shown["result"], GATES),
        to_read=to_read(found) if record is None else [],
        clashes=open_clashes(desk.store, house), asks=asks_of(found, record), **shown,
    )  # fmt: skip


def _states(house: House, result: dict[str, Any] | None) -> dict[str, str]:
    """What a word on each opening says: that its order is shut, its gravest verdict, or why it has none."""
    planned = result or {"openings": [], "unread": []}
    states = {o["id"]: "shut" if o["stops"]["ordering"] else o["word"] for o in planned["openings"]}
    states |= {o["id"]: "unread" for o in planned["unread"]}
    return {mark: states.get(mark, "unplanned") for mark in house.marks}


@router.get("/houses/{house}/openings/{mark}")
def one_opening(house: HouseId, mark: Mark, desk: DeskHere, person: Reader) -> HTMLResponse:
    """Everything about one opening."""
    shown = of_house(desk, house, "house", person)
    if mark not in shown["house"].marks:
        raise NotThere(mark)
    found, record = shown["house"], shown["kept"].record if shown["kept"] else None
    opening = next(o for o in found.tree["openings"] if o["id"] == mark)
    looks = frame_looks(found.tree | {"openings": [opening]}, None if shown["outdated"] else record)
    return desk_page("desk_opening.html", person, mark=mark, opening=opening, look=looks.get(mark),
        missing=next((each["missing"] for each in to_read(found) if each["id"] == mark), []),
        planned=_among(shown, "openings", mark), unread=_among(shown, "unread", mark),
        drawings=_drawings(desk.store, shown["plan"], mark),
        suspicions=list(Seen.model_fields),
        photos=[photo for photo in house_photos(desk.store, house) if photo.mark == mark],
        changes=history_view(changes_for(person, _changes_at(desk.store, house, mark)), shown["house"].tree),
        fitted=_as_fitted(shown, mark), **shown,
    )  # fmt: skip


@router.get("/houses/{house}/openings/{mark}/layout")
def layout(house: HouseId, mark: Mark, desk: DeskHere, person: Reader) -> HTMLResponse:
    """The lights of one opening, to be drawn."""
    shown = of_house(desk, house, "house", person)
    if mark not in shown["house"].marks:
        raise NotThere(mark)
    opening = next(o for o in shown["house"].tree["openings"] if o["id"] == mark)
    door = (opening.get("wanted") or {}).get("kind") == "door"
    hung = [
        {"kind": way.kind, "hangs": way.hangs}
        for way in ways().values()
        if way.ordered and way.hangs and (door or not way.only_in_doors)
    ]
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
    moved = moved_view(shown["plans"], crew) if crew else None
    return desk_page("desk_days.html", person, found=found, crew=crew, moved=moved, **shown)


@router.get("/houses/{house}/history")
def house_history(house: HouseId, desk: DeskHere, person: Reader) -> HTMLResponse:
    """Every change, with undo."""
    shown = of_house(desk, house, "history", person)
    kept = history(desk.store, house, limit=SHOWN_CHANGES)
    told = history_view(changes_for(person, kept), shown["house"].tree)
    return desk_page("desk_history.html", person, changes=told, capped=len(kept) == SHOWN_CHANGES, **shown)


@router.get("/houses/{house}/survey")
def survey(house: HouseId, desk: DeskHere, person: Reader) -> HTMLResponse:
    """The readings file, to be changed by hand."""
    shown = of_house(desk, house, "survey", person)
    found: House = shown["house"]
    return desk_page("desk_survey.html", person, text=to_yaml(survey_for(person, found.tree)),
                 fitted=to_yaml(dict(found.fitted)), **shown)  # fmt: skip


@router.get("/houses/{house}/findings")
def findings(house: HouseId, desk: DeskHere, person: Reader) -> HTMLResponse:
    """All findings, folded by verdict."""
    shown = of_house(desk, house, "findings", person)
    return desk_page("desk_findings.html", person, folds=_folds(shown["result"]), **shown)


def _folds(result: dict[str, Any] | None) -> list[dict[str, Any]]:
    """Findings by verdict, the gravest first, each fold with the house and the openings that have any."""
    if result is None:
        return []
    whose = [{"id": "", "room": "", "verdicts": result["verdicts"]}, *result["openings"]]
    folds = []
    for word in VERDICTS:
        groups = [(o, [v for v in o["verdicts"] if v["word"] == word]) for o in whose]
        of = [{"id": o["id"], "room": o["room"], "verdicts": found} for o, found in groups if found]
        folds.append({"word": word, "n": sum(len(each["verdicts"]) for each in of), "of": of})
    return [fold for fold in folds if fold["n"]]


@router.get("/houses/{house}/{part}")
def of_the_plan(house: HouseId, part: str, desk: DeskHere, person: Reader) -> HTMLResponse:
    """Pages that show a part of the plan as it is."""
    if part not in ("order", "materials", "cutting", "price"):
        raise NotThere(part)
    return desk_page(f"desk_{part}.html", person, **of_house(desk, house, part, person))
