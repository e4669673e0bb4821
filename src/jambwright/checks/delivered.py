"""What was delivered against what was ordered: size, square, fit, hand, colour, parts, damage; what is not known."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Literal

from jambwright.basis.clause import Clause, clause
from jambwright.basis.units import show_mm
from jambwright.checks.delivered_glass import glass_verdicts
from jambwright.checks.delivery_list import DeliveryList, Within, delivery_list, rest_of
from jambwright.checks.movement import rests_of_gap
from jambwright.checks.verdict import Verdict, Word, settled
from jambwright.frame.frame import Frame
from jambwright.frame.joint import least_joint_of_mm
from jambwright.frame.movement import movement_gap
from jambwright.frame.order_size import STATIONS
from jambwright.readings import places
from jambwright.readings.cleared import Cleared
from jambwright.readings.delivered import Delivered, Remake
from jambwright.readings.survey import Opening

GROUP = "delivery"
CHECKED = Clause(
    "Common practice",
    "a unit is looked at before anybody signs for it",
    "common practice, no published source",
)
FITS = Clause("Fit of a delivered frame", "the opening as read, less the frame", "calculated")
Fit = Literal["too tight", "fits", "too loose"]
Side = Literal["width", "height"]
BELONGS = {
    "vents": "vents", "frame_sill": "the sill", "keys": "keys", "hardware": "hardware", "trims": "trims and add-ons",
}  # fmt: skip


@clause(
    "Fit of a delivered frame", "joint on each side", unit="mm", formula="g = (opening − frame) / 2",
    how="calculated",
)  # fmt: skip
def joint_left_mm(*, opening_mm: float, frame_mm: float) -> float:
    """What a frame in the middle of its opening leaves on each side, mm.

    >>> joint_left_mm(opening_mm=1210.0, frame_mm=1203.0)
    3.5
    """
    return (opening_mm - frame_mm) / 2


def how_it_fits(*, tightest_mm: float, widest_mm: float, least_mm: float, most_mm: float) -> Fit:
    """Whether the joints left on each side, the tightest and the widest, are those that may be.

    >>> how_it_fits(tightest_mm=5.0, widest_mm=7.0, least_mm=5.0, most_mm=10.0)
    'fits'
    """
    if tightest_mm < least_mm:
        return "too tight"
    return "too loose" if widest_mm > most_mm else "fits"


def delivery_verdicts(opening: Opening, frame: Frame) -> Iterator[Verdict]:
    """What is found of an ordered unit from its delivery until it is fitted."""
    came = opening.delivered
    if opening.is_done("fitted") or not (came or opening.is_done("ordered")):
        return
    if came is None:
        why = "Ordered, and not looked at as delivered: check it by delivery.pdf before anybody signs for it."
        yield _said("awaited", "advise", why)
        return
    listed = delivery_list(frame)
    if not opening.is_done("ordered"):
        yield _said("ordered", "unknown", "It is written as delivered and not marked as ordered.")
    if came.remake:
        yield _remade(came.remake)
    if not (came.on and came.by):
        yield _said("signed", "advise", "Nobody signed what was found: write who looked, and on which day.")
    yield from _size(opening, came, listed)
    yield _square(came, listed.diagonals)
    if not _exchanged(came, listed):
        yield from _fit(opening, came, frame)
    yield from _hung(came, listed)
    yield from glass_verdicts(came.lights, listed.glass)
    yield _asked("colour", {f"the colour on both faces (ordered {listed.colours})": came.colour})
    yield _parts(came, listed)
    yield _damage(came)


def remake_of(opening: Opening) -> Remake | None:
    """Why an ordered unit is made again; ``None`` where it is not, and once one is fitted."""
    made = opening.delivered and opening.is_done("ordered") and not opening.is_done("fitted")
    return opening.delivered.remake if made and opening.delivered else None


def still_settled(opening: Opening, of_house: Sequence[Cleared]) -> tuple[Cleared, ...]:
    """What settles findings of an opening; of a delivery its own entries alone, and none from before it came."""
    came_on = opening.delivered.on if opening.delivered else None
    own = (c for c in opening.cleared if not (_of_delivery(c) and came_on and c.on < came_on))
    return (*own, *(c for c in of_house if not _of_delivery(c)))


def _of_delivery(cleared: Cleared) -> bool:
    return cleared.what == GROUP or cleared.what.startswith(f"{GROUP}.")


def show_day(on: date) -> str:
    """
    >>> show_day(date(2026, 12, 3))
    '3 December 2026'
    """
    return f"{on.day} {on:%B} {on.year}"


def _said(rule: str, word: Word, why: str) -> Verdict:
    return Verdict(rule=f"{GROUP}.{rule}", word=word, why=why, source=CHECKED)


def _remade(remake: Remake) -> Verdict:
    reason = remake.reason.strip().rstrip(".") or "no reason given"
    when = (
        f"A new one is promised for {show_day(remake.promised_on)}; it can't be fitted before."
        if remake.promised_on
        else "No day is promised for the new one."
    )
    return _said("remake", "fails", f"It is to be made again: {reason}. {when}")


def _size(opening: Opening, came: Delivered, listed: DeliveryList) -> Iterator[Verdict]:
    read: Mapping[Side, float | None] = {"width": came.width_mm, "height": came.height_mm}
    limits: Mapping[Side, Within] = {"width": listed.width, "height": listed.height}
    if missing := [name for name, mm in read.items() if mm is None]:
        yield _said("size", "unknown", f"Not measured as delivered: {' and '.join(missing)} of the frame.")
    if opening.ordered_mm is None:
        why = "What was delivered can't be held against the order: give the ordered width and height off the order."
        at = (places.text(("openings", opening.id, "ordered")),)
        yield Verdict(rule=f"{GROUP}.size", word="unknown", why=why, source=CHECKED, places=at)
        return
    if _exchanged(came, listed):
        why = (
            f"Width and height are exchanged: {show_mm(came.width_mm or 0)} x {show_mm(came.height_mm or 0)} "
            f"delivered, {show_mm(listed.width.ordered_mm)} x {show_mm(listed.height.ordered_mm)} ordered."
        )
        yield _said("size", "fails", why)
        return
    yield from (_side(name, mm, limits[name]) for name, mm in read.items() if mm is not None)


def _exchanged(came: Delivered, listed: DeliveryList) -> bool:
    if came.width_mm is None or came.height_mm is None or listed.width.holds(listed.height.ordered_mm):
        return False
    return listed.height.holds(came.width_mm) and listed.width.holds(came.height_mm)


def _side(name: Side, mm: float, limit: Within) -> Verdict:
    over = mm - limit.ordered_mm
    allowed = limit.most_mm - limit.ordered_mm
    said = f"{name.capitalize()} {show_mm(mm)} mm delivered, {show_mm(limit.ordered_mm)} ordered"
    good = limit.holds(mm)
    off = f", {show_mm(abs(over))} too {'large' if over > 0 else 'small'}: {show_mm(allowed)} either way allowed"
    return settled(
        rule=f"{GROUP}.size.{name}", word="meets" if good else "fails", why=f"{said}{'' if good else off}.",
        found=mm, limit=limit.most_mm if over > 0 else limit.least_mm, unit="mm", source=limit.source,
        rests_on=[rest_of(limit, "usual limits of size")],
    )  # fmt: skip


def _square(came: Delivered, limit: Within) -> Verdict:
    read = {"rising": came.rising_mm, "falling": came.falling_mm}
    if missing := [name for name, mm in read.items() if mm is None]:
        them = "the diagonals" if len(missing) == len(read) else f"the {missing[0]} diagonal"
        return _said("square", "unknown", f"Not measured as delivered: {them} of the frame, laid flat.")
    assert came.rising_mm is not None
    assert came.falling_mm is not None
    apart = abs(came.rising_mm - came.falling_mm)
    good = limit.holds(apart)
    more = "" if good else ": it is out of square"
    return settled(
        rule=f"{GROUP}.square", word="meets" if good else "fails",
        why=f"The diagonals of the frame are {show_mm(apart)} mm apart, {show_mm(limit.most_mm)} allowed{more}.",
        found=apart, limit=limit.most_mm, unit="mm", source=limit.source,
        rests_on=[rest_of(limit, "usual limits of square")],
    )  # fmt: skip


def _fit(opening: Opening, came: Delivered, frame: Frame) -> Iterator[Verdict]:
    """The frame that came in the opening as read, its sill under it; no finding where it was not measured."""
    size = frame.size
    planned = {"width": frame.width_mm, "height": frame.height_mm + size.sill_height_mm}
    sides = {"width": ("left", "right", came.width_mm), "height": ("bottom", "head", came.height_mm)}
    for name, (one, other, mm) in sides.items():
        if mm is None:
            continue
        gaps = [
            [size.gaps_mm[side][at] for at in STATIONS[side]] for side in STATIONS if side in (one, other)
        ]
        clear = [planned[name] + sum(both) for both in zip(*gaps, strict=True)]
        whole = mm + (size.sill_height_mm if name == "height" else 0.0)
        yield _joints(opening, frame, name, mm, [joint_left_mm(opening_mm=c, frame_mm=whole) for c in clear])


def _joints(opening: Opening, frame: Frame, name: str, mm: float, left_mm: Sequence[float]) -> Verdict:
    chosen = frame.chosen
    wanted = movement_gap(material=chosen.profile.material, colour=chosen.colour, length_mm=mm)
    asked = opening.wanted.gap_mm if opening.wanted.gap_mm is not None else chosen.joint_mm
    own = [] if asked is None else [asked]
    least, most = min([wanted.gap_per_side_mm, *own]), max([wanted.gap_most_mm, *own])
    tightest, widest = min(left_mm), max(left_mm)
    fit = how_it_fits(tightest_mm=tightest, widest_mm=widest, least_mm=least, most_mm=most)
    closes = tightest < least_joint_of_mm(chosen, mm)
    words: dict[Fit, tuple[Word, str]] = {
        "fits": ("meets", f"{show_mm(least)} to {show_mm(most)} are wanted."),
        "too loose": (
            "advise",
            f"{show_mm(most)} is the most: have it made again, or back the joint and cover it with a trim.",
        ),
        "too tight": (
            "fails" if closes else "advise",
            f"{show_mm(least)} is wanted: ease the wall, or have it made again."
            if closes
            else f"{show_mm(least)} is wanted: set it in the middle, and watch it in hot weather.",
        ),
    }
    word, what = words[fit]
    why = f"In the opening as read this {name} leaves {_several(fit, tightest, widest)} mm a side; {what}"
    if tightest < 0:
        why = f"This {name} is {show_mm(-2 * tightest)} mm more than the opening as read: it does not go in."
    return settled(
        rule=f"{GROUP}.fit.{name}", word=word, source=FITS, unit="mm",
        why=why,
        found=widest if fit == "too loose" else tightest, limit=most if fit == "too loose" else least,
        rests_on=rests_of_gap(wanted),
    )  # fmt: skip


def _several(fit: Fit, tightest_mm: float, widest_mm: float) -> str:
    if fit == "too tight" or show_mm(tightest_mm) == show_mm(widest_mm):
        return show_mm(tightest_mm)
    return f"{show_mm(tightest_mm)} to {show_mm(widest_mm)}"


def _hung(came: Delivered, listed: DeliveryList) -> Iterator[Verdict]:
    """Hand and way; nothing where no light opens."""
    if listed.opens:
        hung = "; ".join(f"{mark} {words}" for mark, words in listed.opens.items())
        swings = "; ".join(f"{mark} {way}" for mark, way in listed.swings.items())
        in_or_out = {f"in or out (ordered {swings})": came.way} if swings else {}
        yield _asked("hand", {f"hinges (ordered {hung})": came.hand} | in_or_out)


def _parts(came: Delivered, listed: DeliveryList) -> Verdict:
    """What comes with it; vents and sill only where they are ordered."""
    there = came.parts.model_dump()
    if not listed.vents_mm2:
        there.pop("vents")
    if listed.sill_length_mm is None:
        there.pop("frame_sill")
    missing = [BELONGS[name] for name, all_there in there.items() if all_there is False]
    not_counted = [BELONGS[name] for name, all_there in there.items() if all_there is None]
    if missing:
        more = f" Not counted: {', '.join(not_counted)}." if not_counted else ""
        return _said("count", "fails", f"Missing or not all there: {', '.join(missing)}.{more}")
    if not_counted:
        return _said("count", "unknown", f"Not counted as delivered: {', '.join(not_counted)}.")
    return _said("count", "meets", f"All there: {', '.join(BELONGS[name] for name in there)}.")


def _damage(came: Delivered) -> Verdict:
    if came.damaged or came.damage.strip():
        return _said("damage", "fails", f"Damaged: {came.damage.strip().rstrip('.') or 'not said what'}.")
    if came.damaged is None:
        return _said("damage", "unknown", "Not looked over for damage as delivered.")
    return _said("damage", "meets", "Looked over, and nothing is damaged.")


def _asked(rule: str, answers: Mapping[str, bool | None]) -> Verdict:
    """Questions with yes for as ordered."""
    wrong = [what for what, good in answers.items() if good is False]
    not_looked = [what for what, good in answers.items() if good is None]
    if wrong:
        more = f" Not looked at: {', and '.join(not_looked)}." if not_looked else ""
        return _said(rule, "fails", f"Not as ordered: {', and '.join(wrong)}.{more}")
    if not_looked:
        return _said(rule, "unknown", f"Not looked at as delivered: {', and '.join(not_looked)}.")
    return _said(rule, "meets", f"As ordered: {', and '.join(answers)}.")
