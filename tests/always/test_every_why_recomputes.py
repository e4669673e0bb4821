"""Every figure a person acts on leads back: its last step, worked out again from what went in, is the figure."""

import importlib
import json
import os
import pkgutil

import pytest
from hypothesis import HealthCheck, given, settings

import demo_house
import jambwright
from half_known_houses import houses
from jambwright import job
from jambwright.basis.clause import Sourced
from jambwright.basis.problems import BadInput
from jambwright.readings.survey_file import survey_from_tree
from jambwright.record import read_record


def sourced():
    """Every formula of the project by its source and how it is written."""
    for found in pkgutil.walk_packages(jambwright.__path__, "jambwright."):
        if not found.name.endswith("__main__"):
            for value in vars(importlib.import_module(found.name)).values():
                if isinstance(value, Sourced):
                    yield (str(value.source), value.formula), value


FORMULAS = dict(sourced())


def figures(record):
    for opening in record.openings:
        for name, figure in opening.figures.items():
            yield f"{opening.id} {name}", figure
        for mark, glass in opening.glass.items():
            yield f"{opening.id} glass {mark} width", glass.width
            yield f"{opening.id} glass {mark} height", glass.height
    for name, figure in record.figures.items():
        yield f"house {name}", figure


RECORD = read_record(json.dumps(json.loads(demo_house.record().model_dump_json())))
"""As it is read from a kept plan: what is shown is what was kept."""
FIGURES = dict(figures(RECORD))


def gives_itself_again(figure):
    last = figure.steps.steps[-1]
    if last.formula != "as ordered already; it stays so":  # a size that was ordered is given, not worked out
        formula = FORMULAS[str(last.source), last.formula]
        assert float(formula(**last.inputs)) == pytest.approx(figure.value, abs=1e-9)
    assert last.value == pytest.approx(figure.value, abs=1e-9)


def each_step_gives_its_value_again(figure):
    for step in figure.steps:
        formula = FORMULAS.get((str(step.source), step.formula))
        if formula:
            assert float(formula(**step.inputs)) == pytest.approx(step.value, abs=1e-9)


@pytest.mark.parametrize("name", FIGURES)
def test_the_last_step_of_a_figure_gives_it_again(name):
    gives_itself_again(FIGURES[name])


@pytest.mark.parametrize("name", FIGURES)
def test_every_step_that_is_a_formula_gives_its_value_again(name):
    each_step_gives_its_value_again(FIGURES[name])


@settings(
    max_examples=300 if os.environ.get("JAMBWRIGHT_MANY") else 15, deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much],
)  # fmt: skip
@given(houses())
def test_every_figure_of_any_house_is_what_its_steps_give(tree):
    try:
        record = job.check(survey_from_tree(tree))
    except BadInput:
        return
    for _, figure in figures(record):
        gives_itself_again(figure)
        each_step_gives_its_value_again(figure)


def test_the_joint_that_was_deducted_stands_in_the_why_of_the_order_width():
    for opening in RECORD.openings:
        steps = {step.symbol: step for step in opening.order.width.steps}
        assert {"joint left", "joint right", "with joint", "likely", "W"} <= set(steps)
        taken = steps["clear, left to right"].value - steps["with joint"].value
        assert taken == pytest.approx(steps["joint left"].value + steps["joint right"].value)


def test_the_mass_counts_what_is_named_and_leaves_out_the_sill():
    for opening in RECORD.openings:
        named = [step for step in opening.order.whole_kg.steps if step.symbol != "m"]
        assert sum(step.value for step in named) == pytest.approx(opening.order.whole_kg.value)
        assert not [step for step in named if step.symbol == "sill"]
