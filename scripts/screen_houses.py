"""The houses that the pictures of the screens are taken of, from nothing read to handed over. All are invented."""

import io
from typing import Any

import httpx2
from PIL import Image, ImageDraw

from delivered_units import ordered_house, right
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.store import (
    Change,
    Photo,
    Store,
    add_house,
    choose,
    invite,
    join,
    keep_photo,
    keep_plan,
    new_id,
    new_tree,
    read_house,
    replace_fitted,
    take,
)
from phone_house import ended
from survey_trees import AS_FITTED, FULL_OPENING, tree

MISREAD = {
    "width": {"bottom": 1310, "middle": 1209, "top": 1211}, "height": {"left": 1052, "centre": 1051.5, "right": 1050},
    "diagonal": {"rising": 1605, "falling": 1602}, "plumb": {"left": 1, "right": 1.5}, "level": {"sill": 12, "head": 1},
}  # fmt: skip
"""A bottom width 100 mm long, and a sill out of level."""
ROOMS = {"Kitchen": "kitchen", "Conservatory-cum-breakfast-room": "living", "Hall/stairs": "hall"}
AT = "2026-03-02T10:00:00Z"


def fill(store: Store, address: str) -> dict[str, str]:
    """The id of a house in every state; those that have a plan are planned by HTTP."""
    choose(store, "prices", parse_tree(read_text("demo_prices.yaml")), who="Ada Example")
    bare = new_tree("2 Sample Row (invented)")
    bare["openings"] = [{"id": "W1", "room": "Kitchen", "outside": {}}]
    demo = parse_tree(read_text("demo_house.yaml"))
    made = {
        "new": add_house(store, new_tree("1 Sample Row (invented)")),
        "bare": add_house(store, bare),
        "half": add_house(store, tree(site={"nation": "wales", "label": "3 Sample Row (invented)"})),
        "full": add_house(store, demo),
        "failing": add_house(store, _failing()),
        "old": add_house(store, _cannot_be_planned(demo)),
        "ordered": add_house(store, ordered_house(right(hand=False, damaged=True, lights={}))),
    }
    with _office(store, address) as client:
        for name in ("full", "failing", "ordered"):
            ended(client, f"/api/houses/{made[name]}/plans")
    keep_plan(store, read_house(store, made["old"]), "Ada Example", {"of": "another version"}, {})
    _lived_in(store, made["full"])
    _clash(store, made["failing"])
    return made


def _failing() -> dict[str, Any]:
    return tree(
        site={
            "nation": "wales",
            "label": "5 Sample Row with a very long name, the Old Rectory Cottages (invented)",
        },
        date_of_work="2026-12-14",
        house={"rooms": [{"name": name, "use": use} for name, use in ROOMS.items()]},
        openings=[
            FULL_OPENING,
            FULL_OPENING | {"id": "W2", "outside": MISREAD},
            FULL_OPENING
            | {"id": "W3", "room": "Conservatory-cum-breakfast-room", "lintel": {"kind": "none"}},
            {"id": "D1", "room": "Hall/stairs", "outside": {}, "wanted": {"kind": "door"}},
        ],
    )


def _cannot_be_planned(demo: dict[str, Any]) -> dict[str, Any]:
    """An opening in a room that the house does not have."""
    first, *others = demo["openings"]
    label = {"label": "6 Sample Row (invented)"}
    return demo | {"site": demo["site"] | label, "openings": [first | {"room": "attic"}, *others]}


def _office(store: Store, address: str) -> httpx2.Client:
    token = join(store, invite(store, name="Ada Example", role="office"), device="pictures")[0]
    return httpx2.Client(
        base_url=address, headers={"Authorization": f"Bearer {token}"}, timeout=httpx2.Timeout(300)
    )


def _lived_in(store: Store, house: str) -> None:
    """A photo with a mark on it, a frame as fitted, an opening changed since and taken back."""
    picture = Image.new("RGB", (640, 480), (176, 160, 140))
    ImageDraw.Draw(picture).rectangle(
        (180, 90, 460, 390), fill=(96, 120, 130), outline=(240, 240, 235), width=14
    )
    body = io.BytesIO()
    picture.save(body, "JPEG")
    photo = Photo(id="p1", house=house, mark="W4", caption="Crack over the lintel", who="Ada Example", at=AT,
                  drawn=[[[0.2, 0.1], [0.5, 0.2], [0.8, 0.1]]], width_px=640, height_px=480)  # fmt: skip
    keep_photo(store, photo, body.getvalue())
    replace_fitted(store, house, {"W4": AS_FITTED}, who="Ada Example", at=AT, device="desk")


def _clash(store: Store, house: str) -> None:
    """Two phones that read one width apart while neither had signal."""
    path = "/openings/W1/outside/width/bottom"
    for who, value in (("Ada Example", 1212), ("Bo Example", 1218)):
        take(
            store, house, [Change(path=path, was=1210, value=value, who=who, at=AT, device=who, id=new_id())]
        )
