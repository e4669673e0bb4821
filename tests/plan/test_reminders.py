"""What hands forget at a step of the order of work."""

from jambwright.basis.tables import table
from jambwright.plan.order_of_work import order_of_work
from jambwright.plan.reminders import reminders


def test_every_reminder_belongs_to_a_step_and_a_condition_that_calls_for_it():
    steps = {row["step"]: row["when"] for row in table("order_of_work")}
    for row in table("step_reminders"):
        assert row["step"] in steps
        assert row["when"] in (steps[row["step"]], "always")


def test_a_step_carries_the_reminders_of_its_conditions_in_order():
    [glaze] = [step for step in order_of_work({"heavy"}) if step.step == "glaze"]
    assert glaze.remember == reminders("glaze", {"heavy"})
    assert [said.split(";")[0] for said in glaze.remember] == [
        "Rebate and drain slots cleared",
        "Bead that holds the glass first, then the one opposite, then the other two",
    ]
    assert reminders("glaze", set()) == ()
    assert reminders("sill", set()) == ()
