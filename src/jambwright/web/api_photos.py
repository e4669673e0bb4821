"""Photos over HTTP: sent until acknowledged, made safe on the way in."""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import sha256
from typing import Annotated, Any

from fastapi import APIRouter, File, Form, Path, Request, Response, UploadFile
from pydantic import AwareDatetime

from jambwright.basis.border import accept
from jambwright.basis.problems import BadInput
from jambwright.basis.tree import parse_json
from jambwright.store import (
    NotThere,
    Photo,
    Store,
    change_photo,
    house_photos,
    keep_photo,
    now,
    photo_jpeg,
    put,
    read_house,
)
from jambwright.web import heavy
from jambwright.web.api_houses import HouseId
from jambwright.web.asking import Fitter, Reader, StoreHere, address_of, audited
from jambwright.web.pictures import LARGEST_UPLOAD, Picture
from jambwright.web.shapes import Id, PhotoLines, PhotoShows
from jambwright.web.texts import say
from jambwright.web.workshop import WorkshopHere

router = APIRouter(prefix="/api/houses/{house}/photos", tags=["photos"])

PhotoId = Annotated[Id, Path()]
Mark = Annotated[str, Form(pattern=r"^[A-Za-z0-9_-]{0,16}$")]


@router.get("", summary="Photos of a house")
def all_photos(house: HouseId, store: StoreHere, _: Reader) -> list[Photo]:
    """Oldest first; the pictures are asked for one by one."""
    read_house(store, house)
    return house_photos(store, house)


@router.put("/{photo}", summary="Send a photo", max_body_size=LARGEST_UPLOAD)
def put_photo(
    house: HouseId,
    photo: PhotoId,
    request: Request,
    store: StoreHere,
    workshop: WorkshopHere,
    person: Fitter,
    file: Annotated[UploadFile, File()],
    at: Annotated[AwareDatetime, Form()],
    mark: Mark = "",
    caption: Annotated[str, Form(max_length=200)] = "",
    drawn: Annotated[str, Form(max_length=200_000, description="Lines as JSON.")] = "[]",
    shows: Annotated[str, Form(max_length=200, description="What it is marked to show, as JSON.")] = "[]",
    keep_place: Annotated[bool, Form(description="Keep where it was taken.")] = False,
) -> Photo:
    """JPEG, PNG or WebP. Written anew without what the camera put in; where it was taken only when wanted.

    What it is marked to show becomes a suspicion of its opening, and stops there what that stops.
    """
    lines = accept(PhotoLines, {"drawn": _json(drawn, "drawn")}).drawn
    marked = accept(PhotoShows, {"shows": _json(shows, "shows")}).shows
    if marked and mark not in read_house(store, house).marks:
        raise BadInput.one("mark", say("photo.no_mark", mark=mark or "–"))
    picture: Picture = workshop.photos.do(address_of(request), heavy.picture, file.file.read(), keep_place)
    kept = Photo(
        id=photo, house=house, mark=mark, caption=caption, drawn=lines, who=person.name, at=at.isoformat(),
        width_px=picture.width_px, height_px=picture.height_px, place=picture.place, shows=[*marked],
    )  # fmt: skip
    keep_photo(store, kept, picture.jpeg)
    _suspect(store, kept, marked, who=person.name, at=kept.at)
    return kept


def _suspect(store: Store, photo: Photo, marked: Iterable[str], *, who: str, at: str) -> None:
    """Make suspicions of its opening of the marks of a photo. Raises ``BadInput`` where one is refused."""
    answers = [
        put(store, photo.house, ("openings", photo.mark, "seen", what), True, id=_once(photo.id, what), who=who, at=at,
            device="photo")
        for what in marked
    ]  # fmt: skip
    if any(answer.outcome == "refused" for answer in answers):
        raise BadInput.one("shows", say("photo.mark_refused", mark=photo.mark))


def _once(photo: str, what: str) -> str:
    """The number of the change that a mark makes: sent again it is the same, and is not made again."""
    return sha256(f"{photo} {what}".encode()).hexdigest()


@router.get("/{photo}.jpg", response_class=Response, summary="The picture",
            responses={200: {"content": {"image/jpeg": {}}}})  # fmt: skip
def picture(house: HouseId, photo: PhotoId, store: StoreHere, _: Reader) -> Response:
    """JPEG."""
    headers = {"Cache-Control": "private, max-age=31536000, immutable"}
    return Response(photo_jpeg(store, house, photo), media_type="image/jpeg", headers=headers)


@router.patch("/{photo}", status_code=204, summary="Change caption or lines, add marks")
def patch_photo(house: HouseId, photo: PhotoId, lines: PhotoLines, store: StoreHere, person: Fitter) -> None:
    """What is left out stays. A mark added becomes a suspicion of the opening, as one sent with the photo does."""
    changed = lines.model_dump(exclude_none=True)
    wanted = changed.pop("shows")
    with store.writing():
        kept = next((each for each in house_photos(store, house) if each.id == photo), None)
        if kept is None:
            raise NotThere(photo)
        more = [what for what in dict.fromkeys(wanted) if what not in kept.shows]
        if more and kept.mark not in read_house(store, house).marks:
            raise BadInput.one("shows", say("photo.no_mark", mark=kept.mark or "–"))
        if more:
            changed["shows"] = [*kept.shows, *more]
            _suspect(store, kept, more, who=person.name, at=now())
        if changed:
            change_photo(store, house, photo, **changed)


@router.delete("/{photo}", status_code=204, summary="Take a photo off the list")
def delete_photo(house: HouseId, photo: PhotoId, request: Request, store: StoreHere, person: Fitter) -> None:
    """It stays in the store."""
    with store.writing():
        change_photo(store, house, photo, removed=True)
        audited(request, person.name, "photo removed", f"{house} {photo}")


def _json(text: str, field: str) -> Any:
    try:
        found = parse_json(text)
    except ValueError:
        found = None
    if found is None:
        raise BadInput.one(field, say("photo.bad_lines" if field == "drawn" else "photo.bad_marks"))
    return found
