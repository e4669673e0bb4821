"""What the houses of the store teach, and what of it the firm has adopted."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from jambwright.basis.border import accept
from jambwright.basis.problems import BadInput
from jambwright.lessons import (
    Kept,
    Lessons,
    Line,
    chance_words,
    learn,
    learn_tools,
    learned,
    line_words,
    look_at_tools,
    maker_words,
    tool_words,
)
from jambwright.lessons.words import SENT_BACK
from jambwright.readings.correction import with_learned
from jambwright.readings.fitted import AsFitted
from jambwright.readings.survey_file import survey_from_tree
from jambwright.record import PlanRecord, record_of_tree
from jambwright.store import (
    House,
    NotThere,
    Store,
    choose,
    chosen,
    chosen_at,
    house_lines,
    house_plans,
    now,
    plan_result,
    read_house,
)


def kept_houses(store: Store) -> tuple[list[Kept], list[str]]:
    """Houses that are no practice, with their frames as fitted; and which of them can't be read yet, and why."""
    found, left = [], []
    for line in house_lines(store):
        if line.practice:
            continue
        house = read_house(store, line.id)
        try:
            found.append(
                Kept(
                    survey=survey_from_tree(house.tree),
                    fitted={mark: accept(AsFitted, tree) for mark, tree in house.fitted.items()},
                    plans=_plans_of(store, house) if house.fitted else {},
                )
            )
        except BadInput as bad:
            left.append(f"{line.label} is left out: {bad.problems[0].say}")
    return found, left


def _plans_of(store: Store, house: House) -> dict[str, PlanRecord]:
    """By mark the plan that a frame says it was fitted by, else the latest one that can be read."""
    made = [line.id for line in house_plans(store, house.id)]
    read: dict[str, PlanRecord | None] = {}

    def plan(number: str) -> PlanRecord | None:
        if number not in read:
            try:
                read[number] = record_of_tree(plan_result(store, house.id, number))
            except (BadInput, NotThere):
                read[number] = None
        return read[number]

    found = {}
    for mark, tree in house.fitted.items():
        numbers = [tree["plan"], *made] if tree.get("plan") else made
        if record := next(filter(None, map(plan, numbers)), None):
            found[mark] = record
    return found


def sure_of(store: Store, tool: str) -> Line:
    """What fitted frames tell of a tool. Raises ``BadInput`` where it is not sure enough to be adopted."""
    lines = learn_tools(kept_houses(store)[0])
    line = next((line for line in lines if line.tool == tool), None)
    if line is None:
        known = ", ".join(str(line.tool) for line in lines) or "none"
        raise BadInput.one("tool", f"No fitted frame tells of a tool `{tool}`; known are {known}.")
    if not line.adopt:
        raise BadInput.one("tool", f"{tool}: not adopted. {line.why}")
    return line


def adopt(store: Store, line: Line, *, who: str) -> None:
    """Keep it as the firm's own."""
    kept = learned(line, on=date.fromisoformat(now()[:10]), by=who)
    with store.writing():
        _keep(store, {**_ever(store), str(line.tool): kept.model_dump(mode="json")}, who)


def drop(store: Store, tool: str, *, who: str) -> None:
    """Take what was adopted of a tool back. Raises ``BadInput`` where nothing was."""
    with store.writing():
        standing = _ever(store)
        if standing.get(tool) is None:
            raise BadInput.one("tool", f"Nothing is adopted of a tool `{tool}`.")
        _keep(store, {**standing, tool: None}, who)


def adopted(store: Store) -> dict[str, Any]:
    """What was adopted, by the name of the tool."""
    return {tool: kept for tool, kept in _ever(store).items() if kept is not None}


def _ever(store: Store) -> dict[str, Any]:
    """The same with `None` by the tools whose figure was taken back: plans made by it are outdated."""
    return chosen(store, "tools") or {}


def tools_changed_since(store: Store, tree: Mapping[str, Any], made: str) -> bool:
    """Whether figures of tools were adopted or taken back after a plan was made of a house that names one."""
    named = {tool.get("name") for tool in tree.get("tools") or [] if isinstance(tool, Mapping)}
    changed = chosen_at(store, "tools")
    return changed is not None and changed > made and not named.isdisjoint(_ever(store))


def with_adopted(store: Store, tree: Mapping[str, Any]) -> dict[str, Any]:
    """A house's tree to be planned by: with what the firm has adopted of its tools."""
    return with_learned(tree, adopted(store))


def _keep(store: Store, tools: dict[str, Any], who: str) -> None:
    choose(store, "tools", tools, who=who)


def lessons_view(store: Store) -> dict[str, Any]:
    """All of it for the page at the desk."""
    houses, left = kept_houses(store)
    lessons = learn(houses)
    tools = look_at_tools([house.survey for house in houses])
    return {
        "told": lessons,
        "tool_lines": _tool_lines(lessons, adopted(store)),
        "people": [line_words(line) for line in lessons.found.people] if lessons.found else [],
        "said": [*(lessons.found.say if lessons.found else ()), *lessons.left_out, *left],
        "makers": [maker_words(line) for line in lessons.makers],
        "surveys": list(tool_words(tools)),
        "chances": [*chance_words(lessons.chances), SENT_BACK] if lessons.chances.lines else [],
    }


def _tool_lines(lessons: Lessons, standing: dict[str, Any]) -> list[dict[str, Any]]:
    lines = lessons.found.tools if lessons.found else ()
    named = [str(line.tool) for line in lines]
    shown = [
        {
            "tool": str(line.tool),
            "say": line_words(line),
            "adopt": line.adopt,
            "adopted": standing.get(str(line.tool)),
        }
        for line in lines
    ]
    return shown + [
        {"tool": tool, "say": "", "adopt": False, "adopted": kept}
        for tool, kept in standing.items()
        if tool not in named
    ]
