"""Readings gathered into a readings file: what kind of list came in, what it changes, and what it leaves to be said."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from jambwright.basis.border import cut
from jambwright.basis.problems import BadInput
from jambwright.readings import places
from jambwright.readings.laser_list import is_laser_list, labels_of, openings_of_laser
from jambwright.readings.sheets import laid_over, openings_of_table
from jambwright.readings.survey_file import survey_from_tree
from jambwright.readings.tables import table_of_csv, table_of_xlsx, text_in


def openings_in(content: bytes, labels: Any = None) -> tuple[list[dict[str, Any]], tuple[str, ...]]:
    """One tree an opening, and what was left unread, from a workbook, a CSV table or a meter's list.

    Raises ``BadInput``.
    """
    text = text_in(content, "file")
    if text is None:
        _no_labels(labels)
        table = table_of_xlsx(content)
        return openings_of_table(table), table.notes
    if is_laser_list(text):
        return openings_of_laser(text, None if labels is None else labels_of(labels)), ()
    _no_labels(labels)
    return openings_of_table(table_of_csv(text)), ()


def _no_labels(labels: Any) -> None:
    if labels is not None:
        raise BadInput.one("labels", "Labels are for a meter's list; a table has headings.")


def gathered(base: Any, openings: Sequence[Mapping[str, Any]]) -> tuple[dict[str, Any], list[str]]:
    """The base file's tree with the openings laid over it, and what that replaces and leaves open.

    Raises ``BadInput`` where the base is no readings file or the whole can't be.
    """
    listed = base.get("openings") if isinstance(base, Mapping) else []
    if not isinstance(base, Mapping) or not _is_list_of_groups(listed or []):
        raise BadInput.one(
            "into", "The file given with --into is no readings file; `form --yaml` writes a blank one."
        )
    tree = laid_over(base, openings)
    survey_from_tree(tree)
    return tree, [*_told(base, tree)]


def _is_list_of_groups(listed: Any) -> bool:
    return isinstance(listed, list) and all(isinstance(each, Mapping) for each in listed)


def _told(base: Mapping[str, Any], tree: dict[str, Any]) -> Iterator[str]:
    standing = {opening.get("id"): opening for opening in base.get("openings") or []}
    for opening in tree["openings"]:
        mark = opening["id"]
        before = standing.get(mark)
        if before is None:
            wanted = "" if "wanted" in opening else " It is written as one fixed light: say what is to go in."
            yield f"{mark} is new in the file.{wanted}"
            continue
        at = ("openings", str(mark))
        for path, was, value in places.differences(before, opening, at):
            if was is not None:
                field = " ".join(path[2:])
                yield f"{mark} {field}: {cut(str(was))} is replaced by {cut(str(value))}."
