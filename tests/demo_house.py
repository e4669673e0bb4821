"""The demo house, planned once for the tests of the papers."""

import functools

from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.plan.house import HousePlan, OpeningPlan
from jambwright.readings.survey_file import read_survey


@functools.cache
def house() -> HousePlan:
    return job.plan_house(read_survey(read_text("demo_house.yaml")))


def opening(mark: str) -> OpeningPlan:
    return next(plan for plan in house().openings if plan.opening.id == mark)


MARKS = tuple(plan.opening.id for plan in house().openings)
