"""The plan of a house: what was decided for every opening and over all of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from jambwright.basis.problems import Problem
from jambwright.checks.access import Note
from jambwright.checks.cautions import Caution
from jambwright.checks.opening_heat import HouseHeat, OpeningHeat
from jambwright.checks.rules_on_house import HouseRules, OpeningRules
from jambwright.checks.verdict import Verdict
from jambwright.checks.wind_on_house import OpeningWind
from jambwright.frame.faces import Lapped
from jambwright.frame.frame import Frame
from jambwright.frame.glazing_unit import GlazingUnit
from jambwright.frame.reveals import HoleRead
from jambwright.opening import Advice, Findings, Outline
from jambwright.plan.fitting import Fitting
from jambwright.readings.survey import Opening, Survey


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningPlan:
    """Everything decided for one opening, from its readings to the order of work."""

    opening: Opening
    outline: Outline
    findings: Findings
    advice: Advice
    """What the readings want of the fitter."""
    weakened: tuple[str, ...]
    """What can no longer be checked, or less well, because a reading was not taken."""
    read: HoleRead
    """The hole the frame is sized in: both faces where the reveal is rebated."""
    lapped: Lapped | None
    """How the frame stands behind the nibs of a rebated reveal; it goes in from inside."""
    frame: Frame
    wind: OpeningWind | None
    heat: OpeningHeat
    fitting: Fitting
    stronger_glass: Mapping[str, GlazingUnit]
    """By light mark, where the glass asked for does not hold: what would, keeping all that was asked."""
    cautions: tuple[Caution, ...]
    access: tuple[Note, ...]
    """Lifting aids, cups, wind limits, ladder or tower, with their figures."""
    verdicts: tuple[Verdict, ...]
    remarks: tuple[Problem, ...]
    """What the fitter should look at; the plan stands all the same."""

    @property
    def name(self) -> str:
        """Mark and room, as on every paper."""
        return self.opening.name


@dataclass(frozen=True, slots=True, kw_only=True)
class HousePlan:
    """The plan of a whole house."""

    survey: Survey
    openings: tuple[OpeningPlan, ...]
    heat: HouseHeat | None
    """``None`` where no opening can be planned yet."""
    rules: HouseRules

    def rules_on(self, plan: OpeningPlan) -> OpeningRules:
        """What the rules say of one opening."""
        return self.rules.openings[plan.opening.id]
