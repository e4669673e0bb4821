"""The forms of the desk: a house, one of its openings, any place of its readings file, and the firm's prices."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Any

from fastapi import APIRouter, Query, Response
from fastapi.responses import HTMLResponse

from jambwright.basis.border import accept
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.job import Prices
from jambwright.paper.render import svg
from jambwright.paper.scene import Box
from jambwright.paper.wall_section import Layer, WallView, wall_section
from jambwright.readings import Wall, places
from jambwright.readings.asked import field_at, fields_of, layout_model, place_words, words_of
from jambwright.store import House, NotThere, chosen, read_house
from jambwright.web.api_desk import crew_of
from jambwright.web.api_houses import HouseId
from jambwright.web.asking import Office, Reader, StoreHere
from jambwright.web.asks import asks_of
from jambwright.web.crew_days import CrewChosen
from jambwright.web.desk import Desk, DeskHere, desk_page, of_house
from jambwright.web.form_items import View
from jambwright.web.form_view import LAYOUT, field_page, form_view
from jambwright.web.money import survey_for
from jambwright.web.planning import planned_with_others
from jambwright.web.texts import say

router = APIRouter(include_in_schema=False)

At = Annotated[
    str, Query(max_length=400, description="Path of what the form is of; the house when left out.")
]
FACES = ("outside", "inside")
MARGIN_MM = 3.0
"""Round a drawing, on paper."""


@router.get("/houses/{house}/form")
def house_form(house: HouseId, desk: DeskHere, person: Reader, at: At = "") -> HTMLResponse:
    """The House form, the form of an opening, or that of any place in them."""
    shown = of_house(desk, house, "form", person)
    standing: House = shown["house"]
    found = replace(standing, tree=survey_for(person, standing.tree))
    path = _path(found, at)
    kept = shown["kept"]
    return desk_page(
        "desk_form.html", person, at=at, path=path, mark=path[1] if path else "", **_form(desk, found, path),
        asks=asks_of(found, kept.record if kept else None, f"{at}/" if at else ""), **shown,
    )  # fmt: skip


def _path(house: House, at: str) -> places.Path:
    """The path a form is of. Raises ``NotThere`` where nothing can stand there."""
    if not at:
        return ()
    try:
        path = places.parse(at)
    except BadInput:
        raise NotThere(at) from None
    if path[0] != "openings" or len(path) < 2 or path[1] not in house.marks:
        raise NotThere(at)
    own = field_page(path) == path or path[2:4] == LAYOUT
    inner = len(path) > 4 and places.get(house.tree, path) is None
    if not own or inner or (len(path) > 2 and field_at(path, tree=house.tree) is None):
        raise NotThere(at)
    return path


def _form(desk: Desk, house: House, path: places.Path) -> dict[str, Any]:
    """Title and parts of one form."""
    view = View(house.tree)
    form: dict[str, Any] = {"title": "", "sections": [], "readings": [], "crew": None}
    if not path:
        crew = crew_of(chosen(desk.store, "days", house=house.id), house.tree)
        parts = form_view(house.tree, "house", ())
        return form | {"title": say("part.form"), "sections": parts, "crew": _crew(crew)}
    if len(path) == 2:
        return form | {"title": _name(house, path[1]), "sections": form_view(house.tree, "opening", path)}
    title = place_words(path, house.tree)
    if path[2] in FACES:
        return form | {"title": title, "readings": view.readings(path)}
    of = layout_model(view.standing(path))
    if words := view.light_words(path):
        title = f"{path[1]}: {words}"
    part = {"name": of.lower(), "title": title, "items": view.items(of, path), "missing": 0}
    return form | {"title": title, "sections": [part]}


def _name(house: House, mark: str) -> str:
    opening = places.get(house.tree, ("openings", mark))
    return f"{mark} {opening['room']}"


def _crew(crew: CrewChosen | None) -> list[dict[str, Any]]:
    """Who comes, as last chosen or as usual."""
    tree = crew.model_dump(mode="json") if crew else {}
    view = View(tree, CrewChosen)
    return [
        view.item(field, (field.name,))
        for field in fields_of("CrewChosen", CrewChosen)
        if field.name not in ("held", "stay")
    ]


@router.get("/houses/{house}/wall.svg")
def wall_drawing(house: HouseId, store: StoreHere, _: Reader, at: At = "/defaults/wall") -> Response:
    """A wall's build-up as a section; the house's usual wall where an opening has none of its own."""
    tree = read_house(store, house).tree
    standing = places.get(tree, places.parse(at)) or places.get(tree, ("defaults", "wall")) or {}
    scene = wall_section(_wall_view(accept(Wall, standing)))
    needs = scene.paper_size()
    paper = Box(width_mm=needs.width_mm + 2 * MARGIN_MM, height_mm=needs.height_mm + 2 * MARGIN_MM)
    return Response(svg(scene, paper), media_type="image/svg+xml")


def _wall_view(wall: Wall) -> WallView:
    named = {field.name: field for field in fields_of("Wall")}
    inner_mm = 0 if wall.inner_leaf == "none" else wall.inner_mm
    leaves = [
        Layer(name=words_of(named["outer_leaf"], wall.outer_leaf), mm=wall.outer_mm),
        Layer(name=named["cavity_mm"].label, mm=wall.cavity_mm, solid=False),
        Layer(name=words_of(named["inner_leaf"], wall.inner_leaf), mm=inner_mm),
        Layer(name=named["plaster_mm"].label, mm=wall.plaster_mm),
    ]
    return WallView(
        title=say("form.wall_section"), layers=tuple(leaves), lap_mm=wall.reveal_rebate_mm, closer=wall.closer,
        outside=say("form.outside"), inside=say("form.inside"),
    )  # fmt: skip


@router.get("/prices")
def prices(store: StoreHere, person: Office, kept: bool = False) -> HTMLResponse:
    """The firm's prices as tables, invented ones to begin with; and the houses to be planned again by them."""
    tree = chosen(store, "prices")
    shown: Mapping[str, Any] = tree if tree is not None else parse_tree(read_text("demo_prices.yaml"))
    view = View(shown, Prices)
    items = [view.item(field, (field.name,)) for field in fields_of("Prices", Prices) if not field.by]
    return desk_page("desk_prices.html", person, items=items, tree=shown, none_yet=tree is None, kept=kept,
                     plan_again=planned_with_others(store, tree))  # fmt: skip
