"""What was read of the fitted frames, kept beside the survey: only of openings that are in it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from jambwright.basis.border import accept
from jambwright.basis.problems import BadInput, Problem
from jambwright.readings.fitted import AsFitted


def check_fitted(openings: list[Any], fitted: Any) -> None:
    """Refuse what the model refuses, and openings that are not in the survey; all at once."""
    if not isinstance(fitted, Mapping):
        raise BadInput.one("fitted", "fitted: a mapping of marks to what was read there is wanted.")
    rooms = {opening["id"]: opening["room"] for opening in openings}
    problems: list[Problem] = []
    for mark, kept in fitted.items():
        if mark not in rooms:
            problems.append(Problem("path", f"path: there is no opening {mark}."))
            continue
        try:
            accept(AsFitted, kept)
        except BadInput as bad:
            problems += [
                p.told_of(f"{mark} {rooms[mark]} as fitted", opening=mark, field=f"fitted.{mark}.{p.field}")
                for p in bad.problems
            ]
    if problems:
        raise BadInput(problems)
