"""Every text a person reads in the browser, from one file that can be translated."""

from __future__ import annotations

import functools
import json
from collections.abc import Mapping
from importlib import resources


@functools.cache
def texts() -> Mapping[str, str]:
    """Texts by key, UK English."""
    file = resources.files("jambwright.web") / "static" / "texts.json"
    found: Mapping[str, str] = json.loads(file.read_text(encoding="utf-8"))
    return found


def say(key: str, **values: object) -> str:
    """One text with its values filled in. A text that counts has a form for one: ``KEY.one``."""
    counted = f"{key}.one" if values.get("n") == 1 and f"{key}.one" in texts() else key
    return texts()[counted].format(**values)
