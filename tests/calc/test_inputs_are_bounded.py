"""No calculation can be asked for what no house holds: every list and figure has its most."""

import math
import time

import pytest

from jambwright import calc
from jambwright.basis.envelope import LARGEST, LONGEST_TEXT, MOST_ITEMS, beyond, endless
from jambwright.basis.problems import BadInput
from jambwright.calc.opening import EXAMPLE_READINGS

NAMES = [c.name for c in calc.calculations()]


def lists_without_most(schema, at=""):
    """Every list of a schema that has no most of its own."""
    if isinstance(schema, dict):
        if schema.get("type") == "array" and "maxItems" not in schema:
            yield at
        for name, inner in schema.items():
            yield from lists_without_most(inner, f"{at}.{name}")
    elif isinstance(schema, list):
        for inner in schema:
            yield from lists_without_most(inner, at)


@pytest.mark.parametrize("name", NAMES)
def test_every_list_that_a_calculation_takes_has_its_most(name):
    assert [*lists_without_most(calc.calculation(name).asks.model_json_schema())] == []


def bloated(value):
    """The same tree with every list far too long."""
    if isinstance(value, dict):
        return {name: bloated(inner) for name, inner in value.items()}
    return [bloated(value[0])] * 12_000 if isinstance(value, list) and value else value


@pytest.mark.parametrize(
    "name", [n for n in NAMES if bloated(calc.calculation(n).example) != dict(calc.calculation(n).example)]
)
def test_endless_lists_are_refused_at_once(name):
    start = time.perf_counter()
    with pytest.raises(BadInput, match="too many"):
        calc.answer(name, bloated(dict(calc.calculation(name).example)))
    assert time.perf_counter() - start < 2


def test_twelve_thousand_repeats_are_refused_and_twelve_are_answered():
    def asked(count):
        return {
            "readings": [
                line | {"mm": [line["mm"] + n % 2 for n in range(count)]} for line in EXAMPLE_READINGS
            ]
        }

    with pytest.raises(BadInput, match="12,000 are too many"):
        calc.answer("opening-outline", asked(12_000))
    with pytest.raises(BadInput, match="13 are too many; 12 at most"):
        calc.answer("opening-outline", asked(13))
    assert calc.answer("opening-outline", asked(12))["verdict"]


def figures(tree, at=()):
    for name, value in tree.items() if isinstance(tree, dict) else enumerate(tree):
        if isinstance(value, dict | list):
            yield from figures(value, (*at, name))
        elif isinstance(value, int | float) and not isinstance(value, bool):
            yield (*at, name)


def with_figure(tree, place, value):
    name, *rest = place
    copied = dict(tree) if isinstance(tree, dict) else list(tree)
    copied[name] = with_figure(copied[name], rest, value) if rest else value
    return copied


@pytest.mark.parametrize("name", NAMES)
def test_a_figure_beyond_all_sense_is_refused_whatever_it_is(name):
    example = dict(calc.calculation(name).example)
    for place in figures(example):
        for value in (1e30, -1e30, math.inf, math.nan):
            with pytest.raises(BadInput):
                calc.answer(name, with_figure(example, place, value))


def test_a_size_that_asks_for_a_million_fixings_is_refused():
    with pytest.raises(BadInput, match="at least 50"):
        calc.answer("fixing-layout", {"width_mm": 20_000, "height_mm": 20_000, "rules": {"centres": 0.001}})


def test_pieces_without_end_are_refused():
    pieces = [{"length_mm": 500 + n, "count": 100_000} for n in range(400)]
    with pytest.raises(BadInput, match="40,000,000 pieces are more than a house takes"):
        calc.answer("stock-cutting", {"stock_mm": [{"length": 6000}], "pieces": pieces})


@pytest.mark.parametrize(
    ("tree", "words"),
    [
        ({"height_mm": 2e9}, "nothing in a house is longer than 1000000 mm"),
        ({"a": {"share": LARGEST * 2}}, "no figure of a house is larger"),
        ({"note": "x" * (LONGEST_TEXT + 1)}, "20,001 letters are too many"),
        ({"mm": list(range(MOST_ITEMS + 1))}, "1,001 are too many; 1000 at most"),
        ({str(n): n for n in range(MOST_ITEMS + 1)}, "1,001 are too many"),
    ],
)
def test_what_is_beyond_all_houses_is_named(tree, words):
    ((_, say),) = [*endless(tree), *beyond(tree)]
    assert words in say


def test_what_a_house_holds_passes():
    assert [
        *beyond({"width_mm": 6000, "wind_pa": -900, "note": "low", "mm": [1, 2], "on": True, "of": None})
    ] == []
