"""The demo house, planned once for the tests of the papers, and as it would be ordered after the findings."""

import functools
import json

from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.paper import printed
from jambwright.plan.buying import Buying, plan_buying
from jambwright.plan.house import HousePlan, OpeningPlan
from jambwright.plan.prices import read_prices
from jambwright.readings.survey_file import read_survey
from jambwright.record import OpeningRecord, PlanRecord

DECLARED = {"by": "invented declaration", "u_w_m2k": 1.3}
"""With less declared the generic frame is a hair over the limit of U."""

SURVEY = read_survey(read_text("demo_house.yaml"))


@functools.cache
def house() -> HousePlan:
    return job.plan_house(SURVEY)


@functools.cache
def record() -> PlanRecord:
    """The whole plan with an estimate."""
    return job.decide(SURVEY, job.Choices(prices=read_prices(read_text("demo_prices.yaml"))))


@functools.cache
def papers() -> dict[str, bytes]:
    """Every paper of it."""
    return printed(record())


def recorded(mark: str) -> OpeningRecord:
    return next(each for each in record().openings if each.id == mark)


@functools.cache
def buying() -> Buying:
    return plan_buying(house().openings)


def opening(mark: str) -> OpeningPlan:
    return next(plan for plan in house().openings if plan.opening.id == mark)


def readings_tree():
    """The readings file as it stands."""
    return parse_tree(read_text("demo_house.yaml"))


def changed(**by_mark):
    """The demo house as text, with fields of its openings changed: ``changed(W3={"by_bath": True})``."""
    tree = readings_tree()
    for each in tree["openings"]:
        each.update(by_mark.get(each["id"], {}))
    return json.dumps(tree, default=str)


def without_failures():
    """The first remedy of every failing window ordered, and an old back door no wider than the new one."""
    wider = {"opens": "side_hung_left", "handle_height_mm": 450, "open_angle_deg": 90, "vent_mm2": 4000}
    fixed = {"opens": "fixed", "vent_mm2": 4000}
    front = {"across": [wider | {"mm": 636}, fixed]}
    back = {"across": [fixed, wider | {"mm": 633, "opens": "side_hung_right"}]}
    return changed(
        W3={"wanted": {"declared": DECLARED, "layout": front}},
        W4={"wanted": {"declared": DECLARED, "layout": back}},
        D2={"now": {"clear_width_mm": 690, "clear_height_mm": 1970, "openers": 1, "vents_mm2": 0}},
    )


MARKS = tuple(opening.id for opening in SURVEY.openings)
