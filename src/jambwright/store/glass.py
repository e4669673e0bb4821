"""Glass as it is written: a make-up that can't be read is refused where it is put in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from jambwright.basis.problems import BadInput, Problem
from jambwright.frame import parse_glazing
from jambwright.readings import places
from jambwright.readings.asked import place_words


def check_glass(path: places.Path, value: Any) -> None:
    """Refuse a make-up that can't be read; in an opening, what was copied from another one stays."""
    if path[-1] == "glass" and isinstance(value, str):
        parse_glazing(value)
    elif ("layout" in path or path[0] == "defaults") and isinstance(value, Mapping | list):
        for key, inside in value.items() if isinstance(value, Mapping) else enumerate(value):
            check_glass((*path, str(key)), inside)


def check_glass_of(tree: Mapping[str, Any], before: Mapping[str, Any] | None = None) -> None:
    """Refuse a whole survey for the makes-up in it that can't be read; what stood there ``before`` stays."""
    problems = []
    for path, was, value in _written(tree, before or {}):
        try:
            if value != was:
                check_glass(path, value)
        except BadInput as bad:
            of = place_words(path)
            problems += [Problem(".".join(path), p.say.removeprefix("glass: "), of=of) for p in bad.problems]
    if problems:
        raise BadInput(problems)


def _written(tree: Mapping[str, Any], before: Mapping[str, Any]) -> list[tuple[places.Path, Any, Any]]:
    """Places of a survey that hold glass: the usual one, and each opening's own with its lights."""
    paths: list[places.Path] = [("defaults", "glass")]
    for opening in tree.get("openings") or []:
        paths += [("openings", opening["id"], "wanted", name) for name in ("glass", "layout")]
    return [(path, places.get(before, path), places.get(tree, path)) for path in paths]
