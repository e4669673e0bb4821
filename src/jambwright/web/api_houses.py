"""Houses and openings over HTTP, with a version as ETag on each."""

from __future__ import annotations

from dataclasses import replace as but
from typing import Annotated, Any

from fastapi import APIRouter, Header, Path, Request, Response
from fastapi.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException

from jambwright.basis.problems import BadInput
from jambwright.basis.tree import LARGEST_CHARACTERS, parse_tree
from jambwright.readings.places import put
from jambwright.store import (
    House,
    HouseLine,
    NotThere,
    Person,
    Store,
    add_house,
    add_house_once,
    house_lines,
    new_tree,
    now,
    read_house,
    remove_house,
    rename_opening,
    replace,
    replace_fitted,
    require_version,
    restore_house,
    to_yaml,
)
from jambwright.web.asking import Fitter, Office, Reader, StoreHere, audited
from jambwright.web.money import survey_for
from jambwright.web.shapes import HouseShown, NewHouse, NewMark, Tree
from jambwright.web.texts import say

router = APIRouter(prefix="/api/houses", tags=["houses"])

HouseId = Annotated[str, Path(pattern=r"^[0-9a-f]{16}$")]
Mark = Annotated[str, Path(pattern=r"^[A-Za-z0-9_-]{1,16}$")]
IfMatch = Annotated[str | None, Header()]
IfNoneMatch = Annotated[str | None, Header()]
YAML = "application/yaml"
YAML_TREE: Tree = {"content": {YAML: {"schema": {"type": "object"}}}}
"""A YAML mapping, as the description of the API says it."""


def etag(version: int) -> str:
    """A version as an entity tag."""
    return f'"{version}"'


def wanted_version(if_match: str | None) -> int | None:
    """The version a change is meant for; a change of a whole house or opening must name it."""
    if if_match is None:
        raise HTTPException(428, say("refused.no_if_match"))
    text = if_match.strip().removeprefix("W/").strip('"')
    if text == "*":
        return None
    return int(text) if text.isascii() and text.isdigit() and len(text) < 12 else -1


def _same(response: Response, version: int, if_none_match: str | None) -> Response | None:
    tag = etag(version)
    if if_none_match and tag in [part.strip().removeprefix("W/") for part in if_none_match.split(",")]:
        return Response(status_code=304, headers={"ETag": tag})
    response.headers["ETag"] = tag
    return None


@router.get("", summary="All houses, the one last worked on first")
def all_houses(store: StoreHere, _: Reader) -> list[HouseLine]:
    """Houses that were not removed."""
    return house_lines(store)


@router.post("", status_code=201, summary="Add a house")
def new_house(
    new: NewHouse, request: Request, response: Response, store: StoreHere, person: Fitter
) -> HouseShown:
    """Add an empty house by its label, or a whole survey. Sent again under its id it is kept once.

    Answers 409 where that id is of a house that began otherwise.
    """
    if (new.label is None) == (new.survey is None):
        raise BadInput.one("label", say("refused.label_or_survey"))
    tree = new_tree(new.label) if new.label else new.survey
    return _added(store, request, response, person, tree, new.practice, new.id)


@router.post(
    "/import",
    status_code=201,
    summary="Add a house from a readings file",
    max_body_size=LARGEST_CHARACTERS,
    openapi_extra={"requestBody": {"required": True, **YAML_TREE}},
)
async def import_house(request: Request, response: Response, store: StoreHere, person: Fitter) -> HouseShown:
    """The YAML or JSON of the command line, as the body."""
    body = await request.body()
    return await run_in_threadpool(_imported, body, store, request, response, person)


def _imported(body: bytes, store: Store, request: Request, response: Response, person: Person) -> HouseShown:
    return _added(store, request, response, person, tree_of(body))


def tree_of(body: bytes) -> Any:
    """The tree of a readings or price file sent as text."""
    try:
        return parse_tree(body.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise BadInput.one("file", say("refused.not_utf8")) from None


def _added(
    store: Store,
    request: Request,
    response: Response,
    person: Person,
    tree: Any,
    practice: bool = False,
    id: str | None = None,
) -> HouseShown:
    with store.writing():
        if id is None:
            kept = add_house(store, tree, practice=practice)
        else:
            kept = add_house_once(store, tree, practice=practice, id=id)
        house = read_house(store, kept)
        audited(request, person.name, "house added", f"{house.id} {house.label}")
    response.headers["ETag"] = etag(house.version)
    response.headers["Location"] = f"/api/houses/{house.id}"
    return HouseShown.of(house)


@router.get(
    "/{house}",
    summary="One house",
    response_model=HouseShown,
    responses={304: {"description": "Not changed"}},
)
def one_house(
    house: HouseId, response: Response, store: StoreHere, person: Reader, if_none_match: IfNoneMatch = None
) -> HouseShown | Response:
    """The survey with its versions."""
    found = read_house(store, house)
    same = _same(response, found.version, if_none_match)
    return same or HouseShown.of(but(found, tree=survey_for(person, found.tree)))


@router.get("/{house}/survey.yaml", summary="The readings file", response_class=Response,
            responses={200: YAML_TREE})  # fmt: skip
def survey_yaml(house: HouseId, request: Request, store: StoreHere, person: Reader) -> Response:
    """The survey as the command line reads it."""
    found = read_house(store, house)
    return _download(request, person, found, survey_for(person, found.tree))


@router.put(
    "/{house}/survey.yaml",
    summary="Put a whole readings file in place of the old",
    max_body_size=LARGEST_CHARACTERS,
    openapi_extra={"requestBody": {"required": True, **YAML_TREE}},
)
async def put_survey_yaml(
    house: HouseId,
    request: Request,
    response: Response,
    store: StoreHere,
    person: Fitter,
    if_match: IfMatch = None,
) -> HouseShown:
    """Every field that differs is kept as a change."""
    body, version = await request.body(), wanted_version(if_match)
    return await run_in_threadpool(lambda: _replaced(store, house, tree_of(body), version, person, response))


@router.get("/{house}/fitted.yaml", summary="All that was read as fitted", response_class=Response,
            responses={200: YAML_TREE})  # fmt: skip
def fitted_yaml(house: HouseId, request: Request, store: StoreHere, person: Reader) -> Response:
    """By opening; reads back as it is."""
    found = read_house(store, house)
    return _download(request, person, found, dict(found.fitted), "fitted")


@router.put(
    "/{house}/fitted.yaml",
    summary="Put all that was read as fitted in place of the old",
    max_body_size=LARGEST_CHARACTERS,
    openapi_extra={"requestBody": {"required": True, **YAML_TREE}},
)
async def put_fitted_yaml(
    house: HouseId,
    request: Request,
    response: Response,
    store: StoreHere,
    person: Fitter,
    if_match: IfMatch = None,
) -> HouseShown:
    """Every field that differs is kept as a change."""
    body, version = await request.body(), wanted_version(if_match)

    def put_it() -> HouseShown:
        sent = tree_of(body)
        after, _ = replace_fitted(
            store, house, sent, who=person.name, at=now(), device="http", version=version
        )
        response.headers["ETag"] = etag(after.version)
        return HouseShown.of(after)

    return await run_in_threadpool(put_it)


@router.put("/{house}", summary="Put a whole survey in place of the old")
def put_house(
    house: HouseId,
    survey: Tree,
    response: Response,
    store: StoreHere,
    person: Fitter,
    if_match: IfMatch = None,
) -> HouseShown:
    """Every field that differs is kept as a change."""
    return _replaced(store, house, survey, wanted_version(if_match), person, response)


@router.delete("/{house}", status_code=204, summary="Take a house off the list")
def delete_house(
    house: HouseId, request: Request, store: StoreHere, person: Office, if_match: IfMatch = None
) -> None:
    """Its rows and history stay; it can be put back."""
    with store.writing():
        remove_house(store, house, version=wanted_version(if_match))
        audited(request, person.name, "house removed", house)


@router.post("/{house}/restore", status_code=204, summary="Put a removed house back")
def put_back(house: HouseId, request: Request, store: StoreHere, person: Office) -> None:
    """Back on the list as it was."""
    with store.writing():
        restore_house(store, house)
        audited(request, person.name, "house put back", house)


@router.get(
    "/{house}/openings/{mark}",
    summary="One opening",
    response_model=Tree,
    responses={304: {"description": "Not changed"}},
)
def one_opening(
    house: HouseId,
    mark: Mark,
    response: Response,
    store: StoreHere,
    _: Reader,
    if_none_match: IfNoneMatch = None,
) -> Tree | Response:
    """Its part of the survey."""
    found = read_house(store, house)
    opening = _opening(found, mark)
    same = _same(response, found.marks[mark], if_none_match)
    return same or opening


@router.post("/{house}/openings", status_code=201, summary="Add an opening")
def new_opening(house: HouseId, opening: Tree, response: Response, store: StoreHere, person: Fitter) -> Tree:
    """Refused when its mark is taken."""
    found = read_house(store, house)
    mark = str(opening.get("id"))
    if mark in found.marks:
        raise BadInput.one("id", say("refused.mark_taken", mark=mark))
    survey = {**found.tree, "openings": [*found.tree["openings"], opening]}
    _replaced(store, house, survey, found.version, person, response)
    response.headers["Location"] = f"/api/houses/{house}/openings/{mark}"
    return opening


@router.post("/{house}/openings/{mark}/rename", summary="Give an opening another mark")
def new_mark(
    house: HouseId, mark: Mark, new: NewMark, response: Response, store: StoreHere, person: Fitter
) -> HouseShown:
    """Its photos, its frame as fitted and what lines up with it follow."""
    after = rename_opening(store, house, mark, new.id, who=person.name, at=now(), device="http")
    response.headers["ETag"] = etag(after.version)
    return HouseShown.of(after)


@router.put("/{house}/openings/{mark}", summary="Put an opening in place of the old")
def put_opening(
    house: HouseId, mark: Mark, opening: Tree, response: Response, store: StoreHere, person: Fitter,
    if_match: IfMatch = None,
) -> Tree:  # fmt: skip
    """Every field that differs is kept as a change."""
    found = _at_version(store, house, mark, wanted_version(if_match))
    shown = _replaced(
        store, house, put(found.tree, ("openings", mark), opening), found.version, person, response
    )
    response.headers["ETag"] = etag(shown.marks[mark])
    return opening


@router.delete("/{house}/openings/{mark}", status_code=204, summary="Take an opening away")
def delete_opening(
    house: HouseId, mark: Mark, response: Response, store: StoreHere, person: Fitter, if_match: IfMatch = None
) -> None:
    """Undo brings it back."""
    found = _at_version(store, house, mark, wanted_version(if_match))
    _replaced(store, house, put(found.tree, ("openings", mark), None), found.version, person, response)


def _opening(house: House, mark: str) -> Tree:
    found: Tree | None = next((o for o in house.tree["openings"] if o["id"] == mark), None)
    if found is None:
        raise NotThere(mark)
    return found


def _at_version(store: Store, house: str, mark: str, version: int | None) -> House:
    """The house, when the opening is still at the version on hand."""
    found = read_house(store, house)
    _opening(found, mark)
    require_version(found.marks[mark], version)
    return found


def _download(request: Request, person: Person, found: House, tree: Tree, what: str = "") -> Response:
    """A part of a house as a YAML file."""
    exported = f"{found.id} {found.label}{what and f', as {what}'}"
    audited(request, person.name, "house exported", exported, often=True)
    name = f"house-{found.id}{what and f'-{what}'}.yaml"
    headers = {"ETag": etag(found.version), "Content-Disposition": f'attachment; filename="{name}"'}
    return Response(to_yaml(tree), media_type=YAML, headers=headers)


def _replaced(
    store: Store, house: str, survey: Tree, version: int | None, person: Person, response: Response
) -> HouseShown:
    after, _ = replace(store, house, survey, who=person.name, at=now(), device="http", version=version)
    response.headers["ETag"] = etag(after.version)
    return HouseShown.of(after)
