"""A day of work that is a slip of the pen is refused by name, wherever it is given."""

import pytest
from typer.testing import CliRunner

from jambwright import job
from jambwright.basis.border import accept
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import read_text
from jambwright.cli import app
from jambwright.plan.crew.days import plan_days
from jambwright.plan.crew.work import Crew
from jambwright.plan.solving import Grant
from jambwright.readings.survey_file import read_survey
from jambwright.web.crew_days import CrewChosen

DEMO = read_text("demo_house.yaml")


def on(day: str) -> str:
    return DEMO.replace("date_of_work: 2026-12-07", f"date_of_work: {day}")


@pytest.mark.parametrize("day", ["9999-12-31", "2100-01-01", "1999-12-31", "0001-01-01"])
def test_a_day_of_work_out_of_this_century_is_refused(day: str) -> None:
    with pytest.raises(BadInput, match=r"date_of_work: .*Check the figure") as refused:
        read_survey(on(day))
    assert [problem.field for problem in refused.value.problems] == ["date_of_work"]
    told = CliRunner().invoke(app, ["check", "-", "--date", day], input=DEMO)
    assert told.exit_code == 2
    assert "date_of_work" in told.output
    with pytest.raises(BadInput, match="first_day"):
        accept(CrewChosen, {"first_day": day})


@pytest.mark.parametrize("day", ["2000-01-03", "2099-12-31"])
def test_the_first_and_the_last_day_are_planned_with_the_crew(day: str) -> None:
    survey = read_survey(on(day))
    small = survey.model_copy(update={"openings": survey.openings[:1]})
    assert small.date_of_work is not None
    days = plan_days(job.plan_house(small), Crew(first_day=small.date_of_work), grant=Grant(units=1))
    assert days.stays[0].on.isoformat() >= day
