"""Sashes against what their profile and hinges take, and ventilators against the head they sit in."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from jambwright.basis.clause import Clause, clause
from jambwright.basis.tables import Row, table
from jambwright.basis.units import show_mm
from jambwright.checks.figures import HAIR
from jambwright.checks.rests import by_sources
from jambwright.checks.verdict import PartOfOpening, Verdict, settled
from jambwright.frame.frame import Frame
from jambwright.frame.layout import PlacedLight

ASK = "ask the maker of profile and hinges what the sash may be"
ASK_VENT = "ask the maker of the ventilator how long it is"
END_MM = 60.0
"""Straight head wanted beyond each end of a ventilator. From memory, low."""
INWARDS = Clause("Common practice", "tilt and turn", "common practice, no published source")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sash:
    """What the limits bind: the sash with its glass or panel."""

    width_mm: float
    height_mm: float
    mass_kg: float

    @property
    def ratio(self) -> float:
        """Width over height."""
        return self.width_mm / self.height_mm


_MEASURES: Mapping[str, tuple[str, str, str, Callable[[Sash], float]]] = {
    "kg": ("sash.mass", "mass", "kg", lambda sash: sash.mass_kg),
    "width_mm": ("sash.width", "width", "mm", lambda sash: sash.width_mm),
    "height_mm": ("sash.height", "height", "mm", lambda sash: sash.height_mm),
    "ratio": ("sash.ratio", "width over height", "", lambda sash: sash.ratio),
}


_WANTED = {"most_kg": "mass", "most_width_mm": "width", "most_height_mm": "height"}
"""Limits that every way to hang a sash should have."""


def sash_of(frame: Frame, light: PlacedLight) -> Sash | None:
    """The sash of a light; nothing where it is fixed."""
    if light.sash is None:
        return None
    kg = sum(piece.mass_kg for piece in frame.pieces if piece.light == light.mark)
    return Sash(width_mm=light.sash.width_mm, height_mm=light.sash.height_mm, mass_kg=kg)


def hung_as(light: PlacedLight) -> str:
    """How it hangs in the words of the limits."""
    if light.door_leaf:
        return "door"
    return "leaf of a French pair" if light.leaf_of_pair else light.way.family


def limit_verdicts(frame: Frame) -> tuple[Verdict, ...]:
    """Every limit that a light breaks; else, once for all, that the limits held are kept or that none are held."""
    broken = [verdict for light in frame.layout.lights for verdict in _broken(frame, light)]
    return (*broken, *_kept(frame, {str(each.part.mark) for each in broken if each.part}))


def _broken(frame: Frame, light: PlacedLight) -> Iterator[Verdict]:
    sash = sash_of(frame, light)
    for row in limits_of(frame, light) if sash else ():
        assert sash is not None
        bound, _, name = row["limit"].partition("_")
        rule, called, unit, measure = _MEASURES[name]
        found, limit = float(measure(sash)), float(row["value"])
        if (found > limit + HAIR) if bound == "most" else (found < limit - HAIR):
            asks = "at most" if bound == "most" else "at least"
            why = (
                f"{hung_as(light)}, sash {show_mm(sash.width_mm)} x {show_mm(sash.height_mm)} mm: {called} "
                f"{_shown(found)} {unit}".rstrip()
                + f", {asks} {limit:g} {unit}".rstrip()
                + " is held."
            )
            yield _said(rule, why, light, table("sash_limits").source(row), ASK,
                        found=round(found, 2), limit=limit, unit=unit)  # fmt: skip
    if light.sash and light.way.clear == "turn" and light.wanted.swing == "out":
        why = "A tilt and turn sash opens inwards; order it so, or another way of opening."
        part = PartOfOpening("light", light.mark)
        yield Verdict(rule="sash.swing", word="fails", why=why, part=part, source=INWARDS)
    yield from _vent(light)


def limits_of(frame: Frame, light: PlacedLight) -> list[Row]:
    """The limits held of a light by its profile and how it hangs."""
    profile, hung = frame.chosen.profile.name, hung_as(light)
    return [row for row in table("sash_limits") if (row["profile"], row["hung"]) == (profile, hung)]


def _kept(frame: Frame, broken: set[str]) -> Iterator[Verdict]:
    """What keeps its limits, and of what none are held: neither is passed over in silence."""
    openers = [light for light in frame.layout.lights if light.sash]
    title = frame.chosen.profile.title
    bare = [light for light in openers if not limits_of(frame, light)]
    for hung in dict.fromkeys(hung_as(light) for light in bare):
        why = f"{title} holds no limits of a {hung}: whether its hinges carry it is not checked; {ASK}."
        yield Verdict(rule="sash.limits", word="advise", why=why, source=table("sash_limits").pedigree.source)
    sound = [light for light in openers if light not in bare and light.mark not in broken]
    if sound:
        rows = [row for light in sound for row in limits_of(frame, light)]
        marks = ", ".join(light.mark for light in sound)
        held = {row["limit"] for row in rows}
        gaps = [name for limit, name in _WANTED.items() if limit not in held]
        lacking = f" Of its {' and '.join(gaps)} nothing is held." if gaps else ""
        sources = [table("sash_limits").source(row) for row in rows]
        yield settled(
            rule="sash.limits", word="meets", why=f"Sash {marks} keeps the limits held of {title}.{lacking}",
            source=table("sash_limits").pedigree.source,
            rests_on=[by_sources("usual limits", *sources, ask=ASK, of_product=True)],
        )  # fmt: skip


@clause("Common practice", "slot ventilators in a head", unit="mm", formula="n length + 2 × 60",
        how="from memory, low")  # fmt: skip
def head_for_vents_mm(*, vents: int, length_mm: float) -> float:
    """Straight head that ventilators side by side take.

    >>> head_for_vents_mm(vents=2, length_mm=380.0)
    880.0
    """
    return vents * length_mm + 2 * END_MM


def head_wanted_mm(vent_mm2: float) -> float:
    """The least head that holds ventilators of that equivalent area together, by the shortest made."""
    return min(
        head_for_vents_mm(vents=math.ceil(vent_mm2 / row["each_mm2"]), length_mm=row["least_mm"])
        for row in table("vent_lengths")
    )


def head_of(light: PlacedLight) -> float:
    """The head a ventilator may sit in."""
    return (light.sash or light.sight).width_mm


def _vent(light: PlacedLight) -> Iterator[Verdict]:
    if not light.wanted.vent_mm2:
        return
    wanted, there = head_wanted_mm(light.wanted.vent_mm2), head_of(light)
    if wanted > there + HAIR:
        why = (
            f"ventilators of {light.wanted.vent_mm2:g} mm² take {show_mm(wanted)} mm of straight head, "
            f"{show_mm(there)} mm is there; share them out, or order one over the frame."
        )
        yield _said("sash.vent", why, light, table("vent_lengths").pedigree.source, ASK_VENT,
                    found=there, limit=wanted, unit="mm")  # fmt: skip


def _said(rule: str, why: str, light: PlacedLight, source: Clause, ask: str, **more: Any) -> Verdict:
    return settled(
        rule=rule, word="fails", why=why[:1].upper() + why[1:], part=PartOfOpening("light", light.mark),
        source=source, rests_on=[by_sources("a usual limit", source, ask=ask, of_product=True)], **more,
    )  # fmt: skip


def _shown(value: float) -> str:
    return f"{value:.1f}" if value >= 10 else f"{value:.2f}"
