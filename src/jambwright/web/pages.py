"""Pages: templates filled with what the store and the plan say. No markup is made anywhere else in Python."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from datetime import date
from typing import Any

from fastapi import APIRouter
from fastapi.responses import HTMLResponse
from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape

from jambwright.readings.asked import every_word, pictures
from jambwright.web.shell import shell
from jambwright.web.texts import say

router = APIRouter(include_in_schema=False)


@functools.cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("jambwright.web"),
        autoescape=select_autoescape(),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["day"] = day_in_words
    environment.filters["day_of_year"] = day_of_year
    environment.globals.update(say=say, base=shell().base, why=None, word_for=word_for, pictures=pictures())
    return environment


def day_in_words(iso: str) -> str:
    """A day as it is spoken.

    >>> day_in_words("2026-12-07")
    'Monday 7 December'
    """
    day = date.fromisoformat(iso)
    return f"{day:%A} {day.day} {day:%B}"


def day_of_year(iso: str) -> str:
    """A day of any year.

    >>> day_of_year("2026-12-07")
    'Monday 7 December 2026'
    """
    return f"{day_in_words(iso)} {iso[:4]}"


def word_for(value: str) -> str:
    """A word of the readings file as it is shown."""
    return every_word().get(value, value)


def page(
    template: str, *, status: int = 200, headers: Mapping[str, str] | None = None, **values: Any
) -> HTMLResponse:
    """One page."""
    text = _environment().get_template(template).render(values)
    return HTMLResponse(text, status, headers=dict(headers or {}))


@router.get("/site")
@router.get("/site/{rest:path}")
def site(rest: str = "") -> HTMLResponse:
    """The app for the phone: one page, whatever its address; it finds its data itself."""
    del rest
    return page("site.html")
