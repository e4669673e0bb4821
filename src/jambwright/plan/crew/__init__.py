"""The crew's days: tasks with waits and windows, a plan with its bound, and an independent recount of it."""

from jambwright.plan.crew.project import After, Calendar, Project, Task, checked
from jambwright.plan.crew.recount import Placed, broken
from jambwright.plan.crew.solve import CrewPlan, plan_crew

__all__ = ["After", "Calendar", "CrewPlan", "Placed", "Project", "Task", "broken", "checked", "plan_crew"]
