"""Pages of results: a JSON file with the figures and a Markdown page drawn from it."""

import json
import os
from pathlib import Path

RESULTS = Path(__file__).parent / "results"


def write(name, part, figures, as_text):
    """Put one part's figures in place of the last ones, and draw the page again from all parts."""
    path = RESULTS / f"{name}.json"
    parts = json.loads(path.read_text()) if path.exists() else {}
    parts[part] = figures | {"load": round(os.getloadavg()[1], 1), "cores": os.cpu_count()}
    path.write_text(json.dumps(parts, indent=1) + "\n")
    (RESULTS / f"{name}.md").write_text(as_text(parts).rstrip() + "\n")


def load(figures):
    """How busy the machine was; timed answers suffer from it."""
    return [f"Load of the machine over five minutes: {figures['load']} on {figures['cores']} cores."]


def cells(figures, names):
    """Some of the figures as they stand in a table."""
    return [_word(figures[name]) for name in names.split()]


def table(heads, rows):
    """A Markdown table; the heads are parted by commas."""
    heads = heads.split(", ")
    return [f"| {' | '.join(row)} |" for row in (heads, ["---"] * len(heads), *rows)]


def _word(value):
    if value is None:
        return "none found"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)
