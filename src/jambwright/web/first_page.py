"""The firm's first page: houses by how far they have come, what comes next, and a house to practise on."""

from __future__ import annotations

from datetime import date
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.store import HouseLine, add_house, house_lines, read_house
from jambwright.web.asking import Fitter, Reader, StoreHere, audited
from jambwright.web.desk import desk_page
from jambwright.web.house_states import STATES, Stand, Stands, next_date
from jambwright.web.shapes import HouseShown

router = APIRouter()


@router.get("/", include_in_schema=False)
def all_houses(request: Request, store: StoreHere, person: Reader) -> HTMLResponse:
    """The houses by state."""
    lines = house_lines(store)
    kept: Stands = request.app.state.stands
    stands = kept.of(store, lines)
    today = date.today()
    by_state: dict[str, list[dict[str, Any]]] = {state: [] for state in STATES}
    for line in lines:
        if stand := stands.get(line.id):  # one taken off the list meanwhile has none
            by_state[stand.state].append(_shown(line, stand, today))
    own = any(not line.practice for line in lines)
    return desk_page("desk_houses.html", person, by_state=by_state, count=len(lines), newcomer=not own)


def _shown(line: HouseLine, stand: Stand, today: date) -> dict[str, Any]:
    coming = next_date(stand, today)
    return {
        "id": line.id,
        "label": line.label,
        "practice": line.practice,
        "why": stand.why,
        "next": {"on": coming[0], "words": coming[1]} if coming else None,
    }


@router.post("/api/houses/practice", status_code=201, tags=["houses"], summary="Add a house to practise on")
def practice_house(request: Request, store: StoreHere, person: Fitter) -> HouseShown:
    """A whole house, invented, with readings and one slip of the tape in them; marked as practice."""
    house = read_house(store, add_house(store, parse_tree(read_text("demo_house.yaml")), practice=True))
    audited(request, person.name, "house added", f"{house.id} {house.label}")
    return HouseShown.of(house)
