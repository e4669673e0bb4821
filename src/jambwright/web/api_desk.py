"""What the office chooses beside the survey, over HTTP: the firm's prices, and the crew's days of a house."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.concurrency import run_in_threadpool

from jambwright import job
from jambwright.basis.border import accept
from jambwright.plan.crew.days import CrewDays, plan_days
from jambwright.plan.house import HousePlan
from jambwright.plan.prices import Prices, prices_from_tree
from jambwright.readings.survey_file import survey_from_tree
from jambwright.store import NotThere, Store, choose, chosen, read_house, to_yaml
from jambwright.web.api_houses import YAML, HouseId, tree_of
from jambwright.web.asking import Fitter, Office, Reader, StoreHere, audited
from jambwright.web.crew_days import CrewChosen, days_view
from jambwright.web.progress import Works
from jambwright.web.shapes import Started

router = APIRouter(prefix="/api", tags=["desk"])

FILE = {"requestBody": {"required": True, "content": {YAML: {"schema": {"type": "object"}}}}}


def prices_of(store: Store) -> Prices | None:
    """The firm's prices, None when it has none."""
    tree = chosen(store, "prices")
    return None if tree is None else prices_from_tree(tree)


@router.get("/prices", summary="The firm's price file", response_class=Response,
            responses={200: {"content": {YAML: {"schema": {"type": "object"}}}}})  # fmt: skip
def get_prices(store: StoreHere, _: Fitter) -> Response:
    """As the command line reads it."""
    tree = chosen(store, "prices")
    if tree is None:
        raise NotThere("prices")
    return Response(to_yaml(tree), media_type=YAML)


@router.put("/prices", status_code=204, summary="Keep a price file", openapi_extra=FILE)
async def put_prices(request: Request, store: StoreHere, person: Office) -> None:
    """In place of the one before."""
    await run_in_threadpool(_keep_prices, await request.body(), request, store, person.name)


def _keep_prices(body: bytes, request: Request, store: Store, who: str) -> None:
    tree = tree_of(body)
    prices_from_tree(tree)
    choose(store, "prices", tree, who=who)
    audited(request, who, "prices changed")


@router.get("/houses/{house}/days", summary="The crew's days as last planned")
def get_days(house: HouseId, store: StoreHere, _: Reader) -> dict[str, Any]:
    """What was chosen, and who does what when."""
    read_house(store, house)
    found: dict[str, Any] | None = chosen(store, "days", house=house)
    if found is None:
        raise NotThere("days")
    return found


@router.post("/houses/{house}/days", status_code=202, summary="Plan the crew's days")
def post_days(
    house: HouseId, crew: CrewChosen, request: Request, store: StoreHere, person: Fitter
) -> Started:
    """Started in the background; what was chosen is kept only when there is a plan for it."""
    works: Works = request.app.state.works
    read_house(store, house)
    return Started(work=works.start(lambda told: _days(store, house, crew, person.name, told)))


def _days(store: Store, house: str, crew: CrewChosen, who: str, told: Callable[[str], None]) -> Any:
    plan = job.plan_house(survey_from_tree(read_house(store, house).tree), told)
    keep_days(store, house, plan, crew, who)
    return {}


def keep_days(store: Store, house: str, plan: HousePlan, crew: CrewChosen, who: str) -> CrewDays:
    """Plan the days of a planned house and keep them for the desk."""
    days = plan_days(plan, crew.crew())
    choose(store, "days", days_view(plan, days, crew), who=who, house=house)
    return days


def crew_of(days: Any, tree: dict[str, Any]) -> CrewChosen | None:
    """The crew of the days last planned, else the usual one from the day of the work on, where that is known."""
    if days is not None:
        return accept(CrewChosen, days["chosen"])
    first = tree.get("date_of_work")
    return accept(CrewChosen, {"first_day": first}) if first else None
