"""System sheets by name: those a firm has in its readings file, before the invented ones that are shipped."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, get_args

from jambwright.basis.border import accept
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import data_files, read_text
from jambwright.basis.tree import parse_tree
from jambwright.readings.system_sheet import SashKind, Sections, SystemSheet, missing_sections

SHIPPED = "system_{}.yaml"


@functools.cache
def shipped_systems() -> Mapping[str, SystemSheet]:
    """The invented systems by name, in the order of their files."""
    start = SHIPPED.split("{", 1)[0]
    files = [name for name in data_files(".yaml") if name.startswith(start)]
    sheets = [read_sheet(read_text(name)) for name in files]
    return {sheet.name: sheet for sheet in sheets}


def read_sheet(text: str) -> SystemSheet:
    """A system sheet on its own, as YAML or JSON. Raises ``BadInput`` with everything wrong in it."""
    return accept(SystemSheet, parse_tree(text))


def system_names(own: Sequence[SystemSheet] = ()) -> dict[str, str]:
    """Names and titles of the systems to choose from, the firm's own first."""
    firm = {sheet.name: sheet.title for sheet in own}
    return firm | {name: sheet.title for name, sheet in shipped_systems().items() if name not in firm}


def system_sheet(name: str, own: Sequence[SystemSheet] = ()) -> SystemSheet:
    """The sheet of that name, the firm's own before a shipped one. Raises ``BadInput`` that names those known."""
    found = next((sheet for sheet in own if sheet.name == name), None) or shipped_systems().get(name)
    if found is None:
        known = ", ".join(system_names(own))
        raise BadInput.one("profile", f"profile: there is no system `{name}`; known are {known}.")
    return found


def gaps_of(sheet: SystemSheet) -> Iterator[str]:
    """What a sheet leaves open, in sentences; none of it can be checked."""
    if lacking := missing_sections(sheet):
        instead = f"as {sheet.like}" if sheet.like else "it can not be planned"
        yield f"Sections not given: {', '.join(lacking)}; {instead}."
    if sheet.stiles is None:
        yield "Meeting stiles not given: no pair is checked against wind."
    for sash in sheet.sashes:
        if sash.lacking:
            yield f"{sash.kind}: no most {' and '.join(sash.lacking)}."
    if silent := [kind for kind in get_args(SashKind) if sheet.sash(kind) is None]:
        yield f"Nothing of: {', '.join(silent)}."
    if sheet.glass_mm is None:
        yield "Glass thicknesses not given."
    if sheet.vents is None:
        yield "Ventilators not given."


def with_system(tree: Mapping[str, Any], sheet: Mapping[str, Any]) -> dict[str, Any]:
    """A readings file's tree with a sheet, as written, in it; in place of the firm's one of that name."""
    defaults = dict(tree.get("defaults") or {})
    listed = [*(defaults.get("systems") or [])]
    names = [each.get("name") if isinstance(each, Mapping) else None for each in listed]
    if sheet["name"] in names:
        listed[names.index(sheet["name"])] = sheet
    else:
        listed.append(sheet)
    return dict(tree) | {"defaults": {"systems": listed} | defaults | {"systems": listed}}


def whole_sections(sheet: SystemSheet) -> Sections:
    """The sections of a sheet, those it leaves out taken from the system it is like.

    Raises ``BadInput`` where sections are missing and it is like none.
    """
    lacking = missing_sections(sheet)
    if not lacking:
        return sheet.sections
    if sheet.like is None or sheet.like == sheet.name:
        say = (
            f"system {sheet.name}: its sections lack {', '.join(lacking)}; write them off the maker's sheet, or name "
            "under `like` a system whose figures stand in."
        )
        raise BadInput.one("sections", say)
    stand_in = shipped_systems().get(sheet.like)
    if stand_in is None:
        known = ", ".join(shipped_systems())
        raise BadInput.one(
            "like", f"system {sheet.name}: `{sheet.like}` is none of the shipped systems {known}."
        )
    given = {n: v for n in Sections.model_fields if (v := getattr(sheet.sections, n)) is not None}
    return stand_in.sections.model_copy(update=given)
