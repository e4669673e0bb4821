"""What the office chooses beside the survey, over HTTP: the firm's prices; and who comes when, as last chosen."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response
from fastapi.concurrency import run_in_threadpool

from jambwright.basis.border import accept
from jambwright.job import Prices, prices_from_tree
from jambwright.store import NotThere, Store, choose, chosen, read_house, to_yaml
from jambwright.web.api_houses import YAML, HouseId, tree_of
from jambwright.web.asking import Fitter, Office, StoreHere, audited
from jambwright.web.crew_days import CrewChosen
from jambwright.web.kept_lessons import adopt, drop, sure_of

router = APIRouter(prefix="/api", tags=["desk"])

ToolName = Annotated[str, Query(min_length=1, max_length=100)]
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
    with store.writing():
        choose(store, "prices", tree, who=who)
        audited(request, who, "prices changed")


@router.put("/houses/{house}/crew", status_code=204, summary="Keep who comes and when, for the next plan")
def put_crew(house: HouseId, crew: CrewChosen, store: StoreHere, person: Fitter) -> None:
    """The days are planned with the house; what is held to a day stays held where nothing is said of that."""
    before = crew_of(chosen(store, "days", house=house), read_house(store, house).tree)
    if before:
        unsaid = {"held", "stay", "longer_minutes", "covered"} - crew.model_fields_set
        crew = crew.model_copy(update={name: getattr(before, name) for name in unsaid})
    choose(store, "days", {"chosen": crew.model_dump(mode="json")}, who=person.name, house=house)


@router.post("/tools/adopted", status_code=204, summary="Adopt what fitted frames tell of a tool")
def adopt_tool(tool: ToolName, request: Request, store: StoreHere, person: Office) -> None:
    """Kept with the day and the number of openings behind it; refused where it is not sure enough."""
    line = sure_of(store, tool)  # learning takes a while: others may write meanwhile
    with store.writing():
        adopt(store, line, who=person.name)
        audited(request, person.name, "tool figure adopted", tool)


@router.delete("/tools/adopted", status_code=204, summary="Take an adopted figure of a tool back")
def drop_tool(tool: ToolName, request: Request, store: StoreHere, person: Office) -> None:
    """The tool's readings are used as written again."""
    with store.writing():
        drop(store, tool, who=person.name)
        audited(request, person.name, "tool figure taken back", tool)


def crew_of(days: Any, tree: dict[str, Any]) -> CrewChosen | None:
    """The crew chosen last, else the usual one from the day of the work on, where that is known."""
    if days is not None:
        return accept(CrewChosen, days["chosen"])
    first = tree.get("date_of_work")
    return accept(CrewChosen, {"first_day": first}) if first else None
