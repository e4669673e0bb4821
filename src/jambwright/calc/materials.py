"""Materials by name: what fills the joints."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, Field

from jambwright.basis.border import Positive, Strict
from jambwright.basis.envelope import MOST_ITEMS
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.plan.joints import FoamJoint, SealantJoint, fill


class SealantJointGiven(Strict):
    """A gunned joint."""

    length_m: Positive
    width_mm: Positive
    depth_mm: Positive


class FoamJointGiven(Strict):
    """A foamed gap."""

    length_m: Positive
    gap_mm: Positive
    depth_mm: Positive


class SealantAndFoam(Strict):
    """The joints of a frame, or of a whole house."""

    joints: Annotated[list[SealantJointGiven], Field(max_length=MOST_ITEMS)]
    foam: Annotated[list[FoamJointGiven], Field(max_length=MOST_ITEMS)]

    def sealant_joints(self) -> list[SealantJoint]:
        """The gunned joints as the plan takes them."""
        return [SealantJoint(**joint.model_dump()) for joint in self.joints]

    def foam_joints(self) -> list[FoamJoint]:
        """The foamed gaps as the plan takes them."""
        return [FoamJoint(**gap.model_dump()) for gap in self.foam]


class Rod(BaseModel):
    """Backing rod for the joints of one gap."""

    gap_mm: float
    rod_mm: float
    length_m: float


class SealantAndFoamAnswer(Answer):
    """Net volumes, and the packs to buy for them."""

    cartridges: int
    """310 ml cartridges, waste included."""
    sealant_ml: float
    """Width x depth x length, no waste."""
    foam_l: float
    """Gap x depth x length, no waste."""
    foam_cans: int
    """750 ml gun-foam cans by their yield in a gap."""
    backing_rod: list[Rod]
    """One line a gap that is gunned against backing; none under 6 mm."""
    cautions: list[str]


def _run(given: SealantAndFoam, work: Working) -> SealantAndFoamAnswer:
    filling = fill(given.sealant_joints(), given.foam_joints(), work)
    return SealantAndFoamAnswer(
        cartridges=filling.cartridges,
        sealant_ml=filling.sealant_ml,
        foam_l=filling.foam_l,
        foam_cans=filling.foam_cans,
        backing_rod=[
            Rod(gap_mm=rod.gap_mm, rod_mm=rod.rod_mm, length_m=rod.length_m) for rod in filling.backing_rod
        ],
        cautions=[caution.say for caution in filling.cautions],
    )


CALCULATIONS = (
    Calculation(
        name="sealant-and-foam",
        summary="Sealant, foam and backing rod for joints, and the packs to buy.",
        asks=SealantAndFoam,
        answers=SealantAndFoamAnswer,
        run=_run,
        example={
            "joints": [{"length_m": 4.8, "width_mm": 10, "depth_mm": 6}],
            "foam": [{"length_m": 4.8, "gap_mm": 10, "depth_mm": 50}],
        },
    ),
)
