"""The readings file as text: read it, and report everything wrong with it at once, opening by opening."""

from __future__ import annotations

import difflib
import functools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from statistics import median
from typing import Any

from pydantic import ValidationError

from jambwright.basis.border import cut, path_of, refused
from jambwright.basis.characters import odd_places
from jambwright.basis.envelope import Place
from jambwright.basis.problems import BadInput, Problem
from jambwright.basis.tables import table
from jambwright.basis.tree import parse_tree
from jambwright.readings.plausible import cannot_be
from jambwright.readings.reading import LENGTHS, PLACES, Kind, Reading, reading_name
from jambwright.readings.survey import Opening, Survey
from jambwright.readings.systems import system_names

SHORTEST_MM, LONGEST_MM = 200.0, 6000.0
"""Openings outside these are not windows or doors of a house, or not written in millimetres."""
OFFSET_LARGEST_MM = 120.0
"""A level, plumb or bow beyond this is a mistake or a different shape of opening."""
ALIKE = "the marks {} and {} differ only in capitals, so a file of one may take the place of the other's; \
give one another mark."
ODD_TEXT = "it holds a character that can't be written ({}); type it again."
NEEDED: tuple[Kind, ...] = ("width", "height")
"""Kinds that must be read at all three places before a frame can be sized."""


def read_survey(text: str) -> Survey:
    """Read a readings file. Raises ``BadInput`` with every problem found in it."""
    return survey_from_tree(parse_tree(text))


def survey_from_tree(tree: Any) -> Survey:
    """Check plain values against the models and the sense of the trade. Raises ``BadInput``."""
    if not isinstance(tree, Mapping):
        raise BadInput.one("file", "The file holds no survey; `jambwright form --yaml` writes a blank one.")
    survey, problems, cut = _validated(_without_blanks(tree))
    problems += [Problem(field, ODD_TEXT.format(odd), of=field) for field, odd in odd_places(tree)]
    if survey is not None:
        problems += [p for p in sense(survey) if not any(_is_under(p.field, field) for field in cut)]
    if problems:
        raise BadInput(with_openings_named(problems, tree))
    assert survey is not None
    return survey


def sense(survey: Survey) -> list[Problem]:
    """What no model can see: names that point nowhere, and readings that cannot be."""
    return [
        *_names(survey),
        *cannot_be(survey),
        *(
            problem
            for index, opening in enumerate(survey.openings)
            for problem in _readings(f"openings.{index}", opening)
        ),
    ]


def _without_blanks(tree: Any) -> Any:
    """A copy without fields left empty: a blank on the form is a value not given, never a zero."""
    if isinstance(tree, Mapping):
        return {name: _without_blanks(value) for name, value in tree.items() if value is not None}
    if isinstance(tree, list):
        return [_without_blanks(value) for value in tree]
    return tree


def _validated(tree: dict[str, Any]) -> tuple[Survey | None, list[Problem], set[str]]:
    """The survey, and what the models refuse; that is cut away (the fields are told) to check the rest."""
    problems: list[Problem] = []
    cut: set[str] = set()
    for _ in range(3):
        try:
            return Survey.model_validate(tree), problems, cut
        except ValidationError as error:
            found = refused(error, tree, Survey)
            problems += [p for p in found.values() if not any(_is_under(p.field, field) for field in cut)]
            cut |= {_cut(tree, place) for place in found}
    return None, problems, cut


def _cut(tree: Any, place: Place) -> str:
    *way, last = place
    try:
        inside = functools.reduce(lambda tree, part: tree[part], way, tree)
    except KeyError:
        return path_of(place)  # gone with what it stood in
    if len(way) > 1 and (isinstance(inside, list) or last not in inside):
        # a list goes whole, or those after it would be called by other numbers; so does what lacks a field
        return _cut(tree, tuple(way))
    if isinstance(inside, dict):
        inside.pop(last, None)
    return path_of(place)


def _is_under(field: str, above: str) -> bool:
    return f"{field}.".startswith(f"{above}.")


def _names(survey: Survey) -> Iterator[Problem]:
    rooms = [room.name for room in survey.house.rooms]
    profiles = list(system_names(survey.defaults.systems))
    tools = [tool.name for tool in survey.tools]
    seen: set[str] = set()
    yield from _unknown("defaults.profile", "profile", survey.defaults.profile, profiles)
    regions = table("climate_regions").column("region")
    yield from _unknown("site.climate_region", "climate region", survey.site.climate_region, regions)
    yield from _unknown("defaults.tape", "tool", survey.defaults.tape, tools)
    for index, earlier in alike([opening.id for opening in survey.openings]):
        at = f"openings.{index}.id"
        yield Problem(at, ALIKE.format(earlier, survey.openings[index].id), of=at.removesuffix(".id"))
    for index, opening in enumerate(survey.openings):
        at = f"openings.{index}"
        if opening.id in seen:
            say = f"the mark {opening.id} is used twice; give each its own."
            yield Problem(f"{at}.id", say, of=at)
        seen.add(opening.id)
        if rooms:
            yield from _unknown(f"{at}.room", "room", opening.room, rooms)
        yield from _unknown(f"{at}.wanted.profile", "profile", opening.wanted.profile, profiles)
        for face, taken in opening.faces():
            for reading in taken.readings():
                yield from _unknown(f"{at}.{face}.{reading.kind}.{reading.at}", "tool", reading.tool, tools)


def alike(marks: Sequence[str]) -> Iterator[tuple[int, str]]:
    """Place of every mark that differs from an earlier one in capitals alone, with that one.

    >>> list(alike(["W5", "D1", "w5"]))
    [(2, 'W5')]
    """
    first: dict[str, str] = {}
    for index, mark in enumerate(marks):
        earlier = first.setdefault(mark.casefold(), mark)
        if earlier != mark:
            yield index, earlier


def _unknown(field: str, what: str, name: str | None, known: Sequence[str]) -> Iterator[Problem]:
    if name is None or name in known:
        return
    near = difflib.get_close_matches(name, known, 1)
    hint = f" Did you mean `{near[0]}`?" if near else f" Known: {', '.join(known) or 'none listed'}."
    yield Problem(field, f"there is no {what} `{cut(name)}`.{hint}", of=field)


def _readings(at: str, opening: Opening) -> Iterator[Problem]:
    for face, taken in opening.faces():
        by_kind: dict[str, list[Reading]] = {kind: [] for kind in PLACES}
        for reading in taken.readings():
            by_kind[reading.kind].append(reading)
        for kind, readings in by_kind.items():
            for reading in readings:
                others = [r.mm for r in readings if r is not reading]
                yield from _figure(f"{at}.{face}.{kind}.{reading.at}", reading, others)


def unread(opening: Opening) -> list[str]:
    """Readings that an opening can't be planned without and that were not taken, by name."""
    return [
        reading_name(kind, place)
        for kind in NEEDED
        for place in PLACES[kind]
        if getattr(getattr(opening.outside, kind), place) is None
    ]


def _figure(field: str, reading: Reading, others: Sequence[float]) -> Iterator[Problem]:
    where = field.rsplit(".", 2)[0]
    for mm in dict.fromkeys(reading.values_mm):
        if say := _why_not(reading, mm, others):
            yield Problem(field, f"{reading.name} {mm:g} mm {say}", of=where)
            return


def _why_not(reading: Reading, mm: float, others: Sequence[float]) -> str:
    if reading.kind not in LENGTHS:
        beyond = abs(mm) > OFFSET_LARGEST_MM
        return f"is beyond {OFFSET_LARGEST_MM:g}; write the offset in mm." if beyond else ""
    if mm <= 0:
        return "can't be; a length is above 0. Measure again."
    return "" if SHORTEST_MM <= mm <= LONGEST_MM else _unit_hint(mm, others)


def _unit_hint(mm: float, others: Sequence[float]) -> str:
    lengths = [other for other in others if other > 0]
    for factor, unit in ((10.0, "centimetres"), (1000.0, "metres"), (25.4, "inches")):
        if lengths and abs(mm * factor / median(lengths) - 1) < 0.05:
            return f"looks like {unit} beside {_list(lengths)}; write it in mm: {mm * factor:g}."
    return f"is outside {SHORTEST_MM:g} to {LONGEST_MM:g} mm; check the figure and that it is in mm."


def _list(values: Sequence[float]) -> str:
    return ", ".join(f"{value:g}" for value in values)


def with_openings_named(problems: Sequence[Problem], tree: Mapping[str, Any]) -> list[Problem]:
    """Speak of ``W3 kitchen`` where what a problem speaks of is the path ``openings.2``."""
    listed = tree.get("openings")
    return [_spoken(problem, listed if isinstance(listed, list) else []) for problem in problems]


def _spoken(problem: Problem, openings: Sequence[Any]) -> Problem:
    root, *way = problem.of.split(".")
    if root != "openings" or not way or not way[0].isdecimal() or int(way[0]) >= len(openings):
        return problem
    index, *inside = way
    opening = openings[int(index)]
    named = opening if isinstance(opening, Mapping) else {}
    room = named.get("room")
    name = cut(
        f"{named.get('id', f'opening {int(index) + 1}')} {room if isinstance(room, str) else ''}".strip()
    )
    of = f"{name}: {' '.join(inside)}" if inside else name
    mark = named.get("id")
    return replace(problem, of=of, opening=mark if isinstance(mark, str) else None)
