"""The glass that was delivered against the glass ordered, light by light: marks, coated face, thickness, sizes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from jambwright.basis.tables import table
from jambwright.basis.units import show_mm
from jambwright.checks.delivery_list import GlassToCheck, PanePlace, Within, rest_of
from jambwright.checks.verdict import PartOfOpening, Rest, Verdict, Word, settled
from jambwright.readings.delivered import DeliveredLight, MarkSeen

RULE = "delivery.glass"
PANES: Mapping[PanePlace, str] = {"outside": "outer", "middle": "middle", "inside": "inner"}


@dataclass(slots=True)
class _Found:
    """What is said of one light's glass."""

    wrong: list[str] = field(default_factory=list)
    unmarked: list[str] = field(default_factory=list)
    """Marks nobody looked for: they decide whether it may stay."""
    not_looked: list[str] = field(default_factory=list)
    good: list[str] = field(default_factory=list)
    rests: list[Rest] = field(default_factory=list)


def glass_verdicts(came: Mapping[str, DeliveredLight], listed: Sequence[GlassToCheck]) -> Iterator[Verdict]:
    """One verdict a light that has glass; a mark that the order does not know is said."""
    known = [glass.light for glass in listed]
    for mark in came:
        if mark not in known:
            why = f"There is no glass of a light {mark} on the order; its lights with glass are {', '.join(known)}."
            yield Verdict(rule=RULE, word="unknown", why=why)
    yield from (_verdict(came.get(glass.light, DeliveredLight()), glass) for glass in listed)


def _verdict(came: DeliveredLight, glass: GlassToCheck) -> Verdict:
    found = _Found()
    _marks(came, glass, found)
    _coating(came, glass, found)
    if glass.obscure:
        named = f" (ordered {glass.pattern})" if glass.pattern else ""
        _yes(f"the pattern of its obscure glass and its side{named}", came.pattern, found)
    _measured("the unit's thickness", came.thickness_mm, glass.thickness, found)
    for name, mm, limit in (
        ("width", came.glass_width_mm, glass.width),
        ("height", came.glass_height_mm, glass.height),
    ):
        if mm is not None:
            _measured(f"the glass's {name}", mm, limit, found)
    if came.glass_diagonals_differ_mm is not None:
        apart = came.glass_diagonals_differ_mm
        _measured("the difference of the glass's diagonals", apart, glass.diagonals, found)
    said = [f"Ordered {glass.make_up}."]
    said += [f"Wrong: {'; '.join(found.wrong)}."] if found.wrong else []
    said += [f"As ordered: {'; '.join(found.good)}."] if found.good else []
    missing = [*found.unmarked, *found.not_looked]
    said += [f"Not looked at as delivered: {'; '.join(missing)}."] if missing else []
    word: Word = "meets"
    if found.wrong:
        word = "fails"
    elif found.unmarked:
        word = "unknown"
    elif found.not_looked or not found.good:
        word = "advise"
    return settled(
        rule=RULE, word=word, why=" ".join(said), part=PartOfOpening("light", glass.light),
        rests_on=found.rests,
    )  # fmt: skip


def _marks(came: DeliveredLight, glass: GlassToCheck, found: _Found) -> None:
    rows = table("delivery_marks")
    for place, kind in glass.marks.items():
        seen: MarkSeen | None = getattr(came, f"{place}_mark")
        row = rows.find(kind=kind)
        if seen in (None, "not_looked"):
            found.unmarked.append(f"the {kind} mark of the {PANES[place]} pane")
            continue
        source = rows.source(row)
        found.rests.append(Rest(what="its mark", how=source.how, ask="ask the glass maker to confirm it"))
        if seen == kind:
            found.good.append(f"{PANES[place]} pane marked {kind} ({row['standard']})")
        else:
            bears = "no mark" if seen == "none" else f"a {seen} mark"
            found.wrong.append(f"the {PANES[place]} pane is ordered {kind} and bears {bears}")
    found.not_looked += [f"the {PANES[place]} pane, whose mark is in no table" for place in glass.not_judged]


def _coating(came: DeliveredLight, glass: GlassToCheck, found: _Found) -> None:
    if glass.coated:
        _yes(f"the coating on face {' and '.join(map(str, glass.coated))} from outside", came.low_e, found)


def _yes(what: str, good: bool | None, found: _Found) -> None:
    listed = {None: found.not_looked, True: found.good, False: found.wrong}[good]
    listed.append(what)


def _measured(what: str, mm: float | None, limit: Within | None, found: _Found) -> None:
    if limit is None:
        found.not_looked += (
            [f"{what}, {show_mm(mm)} mm, for which no limit is known"] if mm is not None else []
        )
        return
    if mm is None:
        found.not_looked.append(what)
        return
    found.rests.append(rest_of(limit, "usual limits of glass"))
    said = f"{what} {show_mm(mm)} mm"
    if limit.holds(mm):
        found.good.append(said)
    else:
        about = f"{show_mm(limit.least_mm)} to " if limit.ordered_mm else ""
        found.wrong.append(f"{said}, {about}{show_mm(limit.most_mm)} allowed")
