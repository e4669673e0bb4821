"""The papers of a plan by whom they are for, each with what can be done with it and whether it still holds."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from jambwright.web.gist import HOUSE, Since
from jambwright.web.texts import say, texts

Plain = dict[str, Any]

PURPOSES: Mapping[str, tuple[str, ...]] = {
    "maker": ("order.pdf", "order.xlsx", "order.csv", "order.json"),
    "fitters": ("delivery.pdf", "fit-sheets.pdf", "crew.pdf", "crew.ics"),
    "owner": ("estimate.pdf", "comparison.pdf", "household-note.pdf", "household-note.txt"),
    "control": ("findings.pdf", "findings.csv", "calculations.pdf", "calculations.json"),
    "van": ("picking.pdf", "buying.csv", "cutting.pdf"),
    "sheets": ("survey-sheets.pdf", "labels.pdf", "templates.pdf"),
    "office": ("summary.txt", "estimate.csv", "plan.json"),
}
"""Papers by whom they are for, in the order they are printed. Of the drawings DXF is for the maker, SVG for fitters."""
BY_ITSELF = ("survey-sheets.pdf", "labels.pdf", "templates.pdf")
"""Printed for itself, never among others: of use before the plan, or on paper or at a scale of its own."""
REST = "others"
"""Papers of a plan of another version, which this one knows no purpose of."""
DRAWINGS = "drawings/"
COMPARED = "drawings/comparison.svg"
ALL = "all"

ON_PRICES = ("estimate.pdf", "estimate.csv", "comparison.pdf", COMPARED, "summary.txt", "plan.json")
ON_DAYS = (
    "crew.pdf", "crew.ics", "household-note.pdf", "household-note.txt", "picking.pdf", "buying.csv", "summary.txt",
    "plan.json",
)  # fmt: skip
"""Papers that hold days, or are sorted by visits."""
SHOWN_BY_BROWSER = ("pdf", "svg", "txt")
AS_TABLE = ("csv", "xlsx", "ics")


def purpose_of(name: str) -> str:
    """Whom a paper is for.

    >>> purpose_of("fit-sheets.pdf"), purpose_of("drawings/W1-fitting.dxf"), purpose_of("moon.pdf")
    ('fitters', 'maker', 'others')
    """
    if name == COMPARED:
        return "owner"
    if name.startswith(DRAWINGS):
        return "maker" if _ending(name) == "dxf" else "fitters"
    return next((purpose for purpose, listed in PURPOSES.items() if name in listed), REST)


def printed_for(purpose: str, names: Collection[str]) -> list[str]:
    """Of these papers, those that are printed for a purpose, or for all of them, in order."""
    listed = [name for each, some in PURPOSES.items() if purpose in (each, ALL) for name in some]
    return [name for name in listed if name in names and _ending(name) == "pdf" and name not in BY_ITSELF]


def papers_view(names: Sequence[str], changed: Since) -> list[Plain]:
    """A part for each purpose that has papers."""
    return [part for purpose in (*PURPOSES, REST) if (part := _part(purpose, names, changed))]


def _part(purpose: str, names: Sequence[str], changed: Since) -> Plain | None:
    own = [name for name in names if purpose_of(name) == purpose]
    order = {name: n for n, name in enumerate(PURPOSES.get(purpose, ()))}
    papers = sorted((n for n in own if not n.startswith(DRAWINGS)), key=lambda name: order.get(name, 0))
    drawings = [name for name in own if name.startswith(DRAWINGS)]
    if not own:
        return None
    return {
        "purpose": purpose,
        "printed": len(printed_for(purpose, names)),
        "papers": [_paper(name, changed) for name in papers],
        "drawings": [_paper(name, changed) for name in drawings],
    }


def _paper(name: str, changed: Since) -> Plain:
    ending = _ending(name)
    return {
        "name": name,
        "title": title_of(name),
        "ending": ending,
        "look": "here" if ending in SHOWN_BY_BROWSER else "table" if ending in AS_TABLE else "",
        "stale": list(stale_words(name, changed)),
    }


def _ending(name: str) -> str:
    return name.rsplit(".", 1)[-1]


def title_of(name: str) -> str:
    """What a paper is called: a drawing by what it draws."""
    plain = name.replace("-", "_")
    known = texts().get(f"paper.{plain}")
    return known or name.removeprefix(DRAWINGS).rsplit(".", 1)[0].replace("-", " ")


def stale_words(name: str, changed: Since) -> Iterator[str]:
    """What a paper rests on that has changed since it was made, in a sentence each."""
    if not changed.known:
        yield say("stale.not_known")
    elif marks := [mark for mark in changed.readings if _concerns(name, mark)]:
        yield say("stale.readings", what=marks_words(marks))
    if changed.prices and name in ON_PRICES:
        yield say("stale.prices")
    if changed.days and name in ON_DAYS:
        yield say("stale.days")
    if changed.tools:
        yield say("stale.tools")
    if changed.program:
        yield say("stale.program")


def _concerns(name: str, mark: str) -> bool:
    """Whether readings of an opening, or of the house, are in a paper: a drawing is of one opening."""
    if not name.startswith(DRAWINGS) or name == COMPARED or mark == HOUSE:
        return True
    return name.startswith(f"{DRAWINGS}{mark}-")


def marks_words(marks: Sequence[str]) -> str:
    """Openings by their marks, and the house in words."""
    return ", ".join(mark or say("stale.house") for mark in marks)
