"""What is looked at when a unit comes, row by row: the field it is written in, what was ordered, what is allowed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from jambwright.basis.tables import table
from jambwright.basis.units import show_mm
from jambwright.readings.asked import fields_of
from jambwright.record import DeliveryList, GlassToCheck, Within

Model = Literal["Delivered", "ItsParts", "DeliveredLight"]
WAYS: Mapping[str, str] = {"out": "outwards", "in": "inwards"}
ALL_THERE = "all there"
NOTHING = "nothing damaged"


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One thing that is looked at."""

    path: str
    """Of its field, within what is written as delivered."""
    what: str
    """What it is called on every form."""
    allowed: str
    least_mm: float | None = None
    most_mm: float | None = None
    """What a figure may be; None for what is no figure, and for diagonals, which are held against each other."""
    right: str | bool | None = None
    """The answer that is as ordered; None for a figure."""
    loose: bool = False
    """Only of glass that came loose."""


def frame_looks(listed: DeliveryList) -> Iterator[Look]:
    """The frame itself."""
    yield _sized("Delivered", "width_mm", "", listed.width)
    yield _sized("Delivered", "height_mm", "", listed.height)
    for name in ("rising_mm", "falling_mm"):
        yield _look("Delivered", name, "", allowed=f"no more than {show_mm(listed.diagonals.most_mm)} apart")
    if listed.opens:
        yield _look("Delivered", "hand", "", allowed=_by_light(listed.opens), right=True)
    if listed.swings:
        ways = {mark: WAYS[way] for mark, way in listed.swings.items()}
        yield _look("Delivered", "way", "", allowed=_by_light(ways), right=True)
    yield _look("Delivered", "colour", "", allowed=listed.colours, right=True)


def part_looks(listed: DeliveryList) -> Iterator[Look]:
    """What comes with it."""
    vents = {mark: f"{mm2:.0f} mm²" for mark, mm2 in listed.vents_mm2.items()}
    if vents:
        yield _look("ItsParts", "vents", "parts/", allowed=_by_light(vents), right=True)
    if listed.sill_length_mm is not None and listed.sill_depth_mm is not None:
        sill = f"{show_mm(listed.sill_length_mm)} long, {show_mm(listed.sill_depth_mm)} deep"
        yield _look("ItsParts", "frame_sill", "parts/", allowed=sill, right=True)
    for name in ("keys", "hardware"):
        yield _look("ItsParts", name, "parts/", allowed=ALL_THERE, right=True)
    yield _look("ItsParts", "trims", "parts/", allowed=listed.trims or ALL_THERE, right=True)


def glass_looks(glass: GlassToCheck) -> Iterator[Look]:
    """The glass of one light."""
    at = f"lights/{glass.light}/"
    for place, kind in glass.marks.items():
        allowed = f"{kind} ({table('delivery_marks').find(kind=kind)['standard']})"
        yield _look("DeliveredLight", f"{place}_mark", at, allowed=allowed, right=kind)
    if glass.coated:
        faces = " and ".join(map(str, glass.coated))
        yield _look("DeliveredLight", "low_e", at, allowed=f"face {faces}, from outside", right=True)
    if glass.obscure:
        yield _look("DeliveredLight", "pattern", at, allowed=glass.pattern or "as ordered", right=True)
    if glass.thickness:
        yield _sized("DeliveredLight", "thickness_mm", at, glass.thickness)
    loose = {"glass_width_mm": glass.width, "glass_height_mm": glass.height}
    yield from (_sized("DeliveredLight", name, at, each, loose=True) for name, each in loose.items() if each)
    if apart := glass.diagonals:
        yield _look(
            "DeliveredLight", "glass_diagonals_differ_mm", at, allowed=f"no more than {show_mm(apart.most_mm)}",
            least_mm=0.0, most_mm=apart.most_mm, loose=True,
        )  # fmt: skip


def damage_look() -> Look:
    """Damage, looked for last."""
    return _look("Delivered", "damaged", "", allowed=NOTHING, right=False)


def every_look(listed: DeliveryList) -> Iterator[Look]:
    """All of one unit, in the order it is gone through."""
    yield from frame_looks(listed)
    yield from part_looks(listed)
    for glass in listed.glass:
        yield from glass_looks(glass)
    yield damage_look()


def sources_of(listed: DeliveryList) -> Iterator[str]:
    """Where the limits of a unit are from, with their grade."""
    limits = [listed.width, listed.diagonals]
    limits += [
        each for glass in listed.glass for each in (glass.thickness, glass.width, glass.diagonals) if each
    ]
    yield from dict.fromkeys(f"{each.source} ({each.source.how})" for each in limits)


def _sized(of: Model, name: str, at: str, limit: Within, *, loose: bool = False) -> Look:
    ordered, least, most = map(show_mm, (limit.ordered_mm, limit.least_mm, limit.most_mm))
    return _look(
        of, name, at, allowed=f"{ordered}, from {least} to {most}", least_mm=limit.least_mm,
        most_mm=limit.most_mm, loose=loose,
    )  # fmt: skip


def _look(
    of: Model, name: str, at: str, *, allowed: str, least_mm: float | None = None, most_mm: float | None = None,
    right: str | bool | None = None, loose: bool = False,
) -> Look:  # fmt: skip
    label = next(field.label for field in fields_of(of) if field.name == name)
    return Look(
        path=f"{at}{name}", what=label, allowed=allowed, least_mm=least_mm, most_mm=most_mm, right=right,
        loose=loose,
    )  # fmt: skip


def _by_light(words: Mapping[str, str]) -> str:
    return "; ".join(f"{mark} {said}" for mark, said in words.items())
