"""Fields of a survey by path, and the fields in which two surveys differ.

A path is written as a JSON Pointer (RFC 6901), save that an item of a list of named things is reached by
its name: ``/openings/W1/outside/width/bottom``, ``/house/rooms/Kitchen/use``. An item of any other list is
reached by its number from 0: ``/openings/W3/wanted/layout/across/1/opens``. A place that was never filled
and a place that holds null are the same: nothing is there.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from jambwright.basis.border import cut
from jambwright.basis.problems import BadInput
from jambwright.readings.reading import PLACES

NAMED_LISTS = {("openings",): "id", ("house", "rooms"): "name", ("tools",): "name",
               ("defaults", "systems"): "name"}  # fmt: skip
"""Lists whose items are told apart by a field rather than by their place in the list."""

DEEPEST = 40
"""As deep as a readings file may be nested."""
READING_DEPTH = 5
"""/openings/MARK/FACE/KIND/AT: a reading is kept or replaced as a whole."""

Path = tuple[str, ...]


def parse(text: str) -> Path:
    """The keys of a path.

    >>> parse("/house/rooms/Hall~1stairs/use")
    ('house', 'rooms', 'Hall/stairs', 'use')
    """
    keys = tuple(key.replace("~1", "/").replace("~0", "~") for key in text.split("/")[1:])
    if not text.startswith("/") or not all(keys) or not 0 < len(keys) <= DEEPEST:
        raise BadInput.one("path", f"path: `{text[:80]}` is no place in a survey; write /openings/W1/note.")
    return keys


def text(path: Path) -> str:
    """The path as written.

    >>> text(("house", "rooms", "Hall/stairs"))
    '/house/rooms/Hall~1stairs'
    """
    return "".join("/" + key.replace("~", "~0").replace("/", "~1") for key in path)


def is_reading(path: Path) -> bool:
    """Whether the path leads to one reading of an opening, as surveyed or as fitted."""
    return len(path) == READING_DEPTH and path[0] in ("openings", "fitted") and path[3] in PLACES


def get(tree: Any, path: Path) -> Any:
    """What stands at the path, None when nothing does."""
    done: Path = ()
    for key in path:
        tree = _step(tree, done, key)
        done = (*done, key)
    return tree


def put(tree: dict[str, Any], path: Path, value: Any) -> dict[str, Any]:
    """The tree with the value at the path; None takes away what stood there. The old tree stays as it was."""
    return dict(_with(tree, (), path, value))


def differences(old: Any, new: Any, at: Path = ()) -> Iterator[tuple[Path, Any, Any]]:
    """Path, old and new value of every field that differs, in the order of the new tree."""
    if _same(old, new):
        return
    if isinstance(old, dict) and isinstance(new, dict) and not is_reading(at):
        for key in [*new, *(k for k in old if k not in new)]:
            yield from differences(old.get(key), new.get(key), (*at, key))
    elif (
        at in NAMED_LISTS
        and isinstance(old, list)
        and isinstance(new, list)
        and _in_order(old, new, NAMED_LISTS[at])
    ):
        olds, news = _by_name(old, NAMED_LISTS[at]), _by_name(new, NAMED_LISTS[at])
        for key in [*news, *(k for k in olds if k not in news)]:
            yield from differences(olds.get(key), news.get(key), (*at, key))
    elif at not in NAMED_LISTS and _parts(old) and _parts(new) and len(old) == len(new):
        for number, (was, value) in enumerate(zip(old, new, strict=True)):
            yield from differences(was, value, (*at, str(number)))
    else:
        yield at, old, new


def _same(old: Any, new: Any) -> bool:
    return bool(old == new)


def _parts(items: Any) -> bool:
    """Whether it is a list of things with fields of their own, such as the parts of a layout."""
    return isinstance(items, list) and all(isinstance(item, dict) for item in items)


def _in_order(old: list[Any], new: list[Any], field: str) -> bool:
    """Whether the items that both have stand in one order: only then do their names tell all that differs."""
    olds, news = ([item[field] for item in items] for items in (old, new))
    return [name for name in olds if name in news] == [name for name in news if name in olds]


def _by_name(items: list[Any], field: str) -> dict[str, Any]:
    return {item[field]: item for item in items}


def _step(tree: Any, at: Path, key: str) -> Any:
    if isinstance(tree, list) and at in NAMED_LISTS:
        field = NAMED_LISTS[at]
        return next((item for item in tree if isinstance(item, dict) and item.get(field) == key), None)
    if isinstance(tree, list):
        return None if (number := _number(tree, at, key)) is None else tree[number]
    return tree.get(key) if isinstance(tree, dict) else None


def _number(items: list[Any], at: Path, key: str) -> int | None:
    """Which item of a plain list a key names; none of a reading's repeats, which is kept whole."""
    if is_reading(at) or not (key.isascii() and key.isdigit()) or (len(key) > 1 and key[0] == "0"):
        return None
    return int(key) if len(key) < 6 and int(key) < len(items) else None


def _with(tree: Any, at: Path, path: Path, value: Any) -> Any:
    """A copy of what stands at ``at``, changed further down; only the way to the value is copied."""
    key, depth = path[len(at)], len(at) + 1
    if depth < len(path):
        inner = _step(tree, at, key)
        if inner is None and at in NAMED_LISTS:
            raise BadInput.one(
                text(path),
                f"{cut(text(path))}: there is no `{cut(key)}`; it may have been taken away. Add it first.",
            )
        value = _with(_empty((*at, key)) if inner is None else inner, (*at, key), path, value)
    if isinstance(tree, list) and at in NAMED_LISTS:
        return _item_set(tree, NAMED_LISTS[at], key, value, path)
    if isinstance(tree, list) and not is_reading(at):
        return _numbered_set(tree, at, key, value, path)
    if not isinstance(tree, dict):
        raise BadInput.one(text(path), f"{cut(text(path))}: `{cut(key)}` can't be inside a single value.")
    if value is None:
        return {name: kept for name, kept in tree.items() if name != key}
    return {**tree, key: value}


def _numbered_set(items: list[Any], at: Path, key: str, value: Any, path: Path) -> list[Any]:
    """An item in place of another: a plain list grows and shrinks only as a whole."""
    number = _number(items, at, key)
    if number is None or value is None:
        raise BadInput.one(
            text(path),
            f"{cut(text(path))}: `{cut(key)}` is not there, or can't be taken out of its list; change the whole list.",
        )
    return [*items[:number], value, *items[number + 1 :]]


def _empty(path: Path) -> Any:
    return [] if path in NAMED_LISTS else {}


def _item_set(items: list[Any], field: str, key: str, value: Any, path: Path) -> list[Any]:
    if value is not None and (not isinstance(value, dict) or value.get(field) != key):
        raise BadInput.one(text(path), f"{cut(text(path))}: its `{field}` must be `{cut(key)}`.")
    index = next((i for i, item in enumerate(items) if item.get(field) == key), len(items))
    return [*items[:index], *([] if value is None else [value]), *items[index + 1 :]]
