"""How long the way from readings to plan takes, and how soon the command line answers.

Each figure is a ratio to a plain alternative run beside it: a bare Python start, and one general
nonlinear least-squares call an opening.
"""

import subprocess
import sys

import numpy as np
import pytest
from scipy.optimize import least_squares

from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.opening import RectangleShape
from jambwright.readings.survey_file import read_survey


@pytest.fixture(scope="module")
def twelve_openings():
    survey = read_survey(read_text("demo_house.yaml"))
    more = survey.openings[0].model_copy(update={"id": "W10"})
    return survey.model_copy(update={"openings": [*survey.openings, more]})


def plain_least_squares(survey):
    """The named plain alternative: scipy's general solver on every opening, and nothing else."""
    shape = RectangleShape()
    for opening in survey.openings:
        readings = list(opening.outside.readings())
        places, read = [(r.kind, r.at) for r in readings], np.array([r.mm for r in readings])
        least_squares(lambda p, a=places, b=read: shape.observe(a, p)[0] - b, shape.start(places, read))


def test_plan_of_twelve_openings(benchmark, twelve_openings):
    benchmark.group = "plan of 12 openings without papers"
    benchmark(job.plan_house, twelve_openings)


def test_plain_least_squares_of_twelve_openings(benchmark, twelve_openings):
    benchmark.group = "plan of 12 openings without papers"
    benchmark(plain_least_squares, twelve_openings)


@pytest.mark.parametrize("what", [["-c", "pass"], ["-m", "jambwright", "--help"]], ids=["empty", "help"])
def test_start_of_the_command_line(benchmark, what):
    benchmark.group = "jambwright --help against an empty Python start"
    benchmark(subprocess.run, [sys.executable, *what], check=True, capture_output=True)
