"""Calculations by name over HTTP, and the look at readings while they are taken. Neither keeps anything."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Body, Path, Query, Request

from jambwright import calc
from jambwright.web import heavy
from jambwright.web.asking import Reader, StoreHere, address_of
from jambwright.web.kept_lessons import with_adopted
from jambwright.web.shapes import ReadingCheck
from jambwright.web.workshop import WorkshopHere

router = APIRouter(prefix="/api", tags=["calculations"])

CalcName = Annotated[str, Path(pattern=r"^[a-z-]{1,40}$")]


@router.get("/calc", summary="The calculations there are")
def all_calculations() -> list[dict[str, str]]:
    """Name and summary of each."""
    return [{"name": c.name, "summary": c.summary} for c in calc.calculations()]


@router.get("/calc/{name}", summary="What a calculation takes and gives")
def one_calculation(name: CalcName) -> dict[str, Any]:
    """JSON Schemas and an input that works."""
    c = calc.calculation(name)
    schemas = {"asks": c.asks.model_json_schema(), "answers": c.answers.model_json_schema()}
    return {"name": c.name, "summary": c.summary, "example": dict(c.example), **schemas}


@router.post("/calc/{name}", summary="Do one calculation")
def calculate(
    name: CalcName,
    given: Annotated[dict[str, Any], Body()],
    request: Request,
    workshop: WorkshopHere,
    working: Annotated[bool, Query(description="With every step and its source.")] = False,
) -> dict[str, Any]:
    """The same answer as on the command line, within the time and the memory there is for one."""
    answer: dict[str, Any] = workshop.quick.do(address_of(request), heavy.calculated, name, given, working)
    return answer


@router.post("/reading-check", summary="Look at the readings of one opening")
def reading_check(
    given: ReadingCheck, request: Request, workshop: WorkshopHere, store: StoreHere, _: Reader
) -> dict[str, Any]:
    """The outline as far as it is known, what disagrees, and which reading would help most.

    Lengths are corrected by what the firm has adopted of its tools, as a plan would.
    """
    given = ReadingCheck.model_validate(with_adopted(store, given.model_dump(mode="json", exclude_none=True)))
    found: dict[str, Any] = workshop.looks.do(address_of(request), heavy.looked_at, given)
    return found
