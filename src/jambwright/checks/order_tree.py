"""What is wanted in an opening as a tree of plain values: its parts by their path, and how two of them differ."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from jambwright.frame.layout import LayoutPath
from jambwright.readings import places
from jambwright.readings.proposal import Change
from jambwright.readings.survey import Opening

Tree = dict[str, Any]


def without_declared(wanted: Tree, names: Sequence[str]) -> Tree:
    """What the maker declared of what is changed is no longer of this unit."""
    declared = wanted.get("declared")
    if not declared:
        return wanted
    return wanted | {"declared": {name: value for name, value in declared.items() if name not in names}}


def wanted_tree(opening: Opening) -> Tree:
    """What is wanted of an opening, as the readings file has it."""
    return opening.wanted.model_dump(exclude_unset=True)


def _path(path: LayoutPath) -> places.Path:
    return ("layout", *map(str, path))


def node_at(wanted: Tree, path: LayoutPath) -> Tree:
    """A part of the layout, by the way to it."""
    return dict(places.get(wanted, _path(path)) or {})


def with_node(wanted: Tree, path: LayoutPath, node: Tree) -> Tree:
    """What is wanted with a part of the layout in place of the one there."""
    return places.put(wanted, _path(path), node)


def put_at(wanted: Tree, path: LayoutPath, name: str, value: Any) -> Tree:
    """What is wanted with one field of a part of the layout set."""
    return places.put(wanted, (*_path(path), name), value)


def changes_of(opening: Opening, wanted: Tree | None) -> tuple[Change, ...]:
    """Field by field; a light that is split is changed as a whole."""
    if wanted is None:
        return ()
    asked, at = wanted_tree(opening), ("openings", opening.id, "wanted")
    found: dict[places.Path, Any] = {}
    for path, _, value in places.differences(asked, wanted):
        split = (path[:depth] for depth in range(1, len(path)) if _is_split(asked, wanted, path[:depth]))
        whole = next(split, None)
        found[whole or path] = places.get(wanted, whole) if whole else value
    return tuple(Change(place=places.text((*at, *path)), value=value) for path, value in found.items())


def _is_split(asked: Tree, wanted: Tree, path: places.Path) -> bool:
    """Whether a part that was one light is several now."""
    one, several = places.get(asked, path), places.get(wanted, path)
    return (
        isinstance(one, dict)
        and isinstance(several, dict)
        and any(way in several and way not in one for way in ("across", "down"))
    )
