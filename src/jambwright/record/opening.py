"""What was decided for one opening, from its readings to the order of work."""

from __future__ import annotations

from typing import Literal

from jambwright.basis.problems import Problem
from jambwright.checks.access import Note
from jambwright.checks.cautions import Caution
from jambwright.checks.delivery_list import DeliveryList
from jambwright.checks.gates import Gates
from jambwright.checks.opening_heat import OpeningHeat
from jambwright.checks.verdict import Verdict
from jambwright.checks.wind_on_house import OpeningWind
from jambwright.frame.faces import Lapped
from jambwright.frame.frame import Frame
from jambwright.opening import Point, Side
from jambwright.opening.misread import Suspect
from jambwright.opening.outline import Adjusted
from jambwright.plan.chain import Found
from jambwright.plan.fitting import Fitting
from jambwright.plan.quantities import Quantity
from jambwright.readings.accepted import Accepted
from jambwright.readings.delivered import Remake
from jambwright.readings.done import Done
from jambwright.readings.proposal import Proposal
from jambwright.readings.usual import Wall
from jambwright.readings.wanted import Wanted
from jambwright.record.plain import Figure, Plain


class Face(Plain):
    """One face of the opening as adjusted: bottom left at the origin, x right, y up, seen from outside."""

    corners_mm: dict[str, Point]
    mid_edges_mm: dict[str, Point]
    boundary_mm: tuple[Point, ...]
    """Vertices anticlockwise from the bottom left."""
    readings: tuple[Adjusted, ...]


class Readings(Plain):
    """What the readings say of each other."""

    word: Literal["agree", "measure again", "too few readings to tell"]
    say: tuple[str, ...]
    """What the readings want of the fitter."""
    held: tuple[str, ...]
    """What both faces of a rebated reveal lack, or have against each other."""
    weakened: tuple[str, ...]
    """What can no longer be checked, or less well, because a reading was not taken."""
    suspects: tuple[Suspect, ...]
    outside: Face
    inside: Face | None
    nibs: tuple[Side, ...]
    """Sides where the outer leaf laps in front of the frame."""
    nibs_mm: dict[str, float]
    """As read."""

    @property
    def agree(self) -> bool:
        """Whether they may be ordered by."""
        return self.word != "measure again" and not self.held

    @property
    def doubts(self) -> tuple[str, ...]:
        """Why they may not, and what to measure."""
        return (*(self.say if self.word == "measure again" else ()), *self.held)


class OrderFigures(Plain):
    """The sizes to order, rounded once as the trade orders: whole millimetres, down."""

    width: Figure
    height: Figure
    """Without the sill."""
    overall_height: Figure
    """With the sill."""
    sill_length: Figure | None
    sill_depth: Figure | None
    whole_kg: Figure
    """Frame, sashes and glass, without the sill."""
    perimeter: Figure | None = None
    area: Figure | None = None
    """Check figures of the frame without its sill; a plan kept before there were any has none."""
    check_kg: Figure | None = None
    """The mass as it is checked, to one place."""


class GlassOrder(Plain):
    """The glass or panel of one light."""

    width: Figure
    height: Figure
    make_up: str | None
    """As asked; none for a panel."""
    obscure: bool
    mass_kg: float


class VentSlots(Plain):
    """Ventilators side by side in one head."""

    count: int
    length_mm: float
    """Of each."""
    in_sash: bool
    """In the head of the sash; else in that of the frame."""


class BySheet(Plain):
    """What goes into the lights and the frame by the sheet of their system."""

    hinges: dict[str, str] = {}
    """Hinge or stay by light."""
    vents: dict[str, str] = {}
    """Ventilators by light: how many, how long and where."""
    slots: dict[str, VentSlots] = {}
    """The same to be drawn."""
    steel_in: tuple[str, ...] = ()
    """Members that get steel for their size."""


class OpeningRecord(Plain):
    """One opening."""

    id: str
    room: str
    note: str
    elevation: str
    storey: int
    before: str
    """How the old window or door opened; empty when it was not said."""
    done: tuple[Done, ...]
    ordered: bool
    """The frame is ordered already: not to be ordered again."""
    delivery: DeliveryList | None = None
    """What is looked at when it comes; None once it is fitted, and in a plan kept before there was a list."""
    remake: Remake | None = None
    """Why it is made again; None where it is not."""
    order: OrderFigures
    glass: dict[str, GlassOrder]
    """By light."""
    by_sheet: BySheet = BySheet()
    """A plan kept before there were system sheets has none."""
    told: dict[str, Figure]
    """Other figures a person acts on: heaviest lift, fixings, packing points, U and index."""
    gates: Gates
    asked: Wanted
    """What a person wants, before any proposal was accepted."""
    accepted: tuple[Accepted, ...]
    """Proposals that were accepted, the oldest first, each with what stood there before."""
    readings: Readings
    hole_mm: tuple[Point, ...]
    """Boundary of the hole that the frame stands in."""
    nib_edges_mm: tuple[tuple[Point, ...], ...]
    """Edges of the outer hole that stand in front of the frame."""
    lapped: Lapped | None
    """How the frame stands behind the nibs of a rebated reveal; it goes in from inside."""
    frame: Frame
    fitting: Fitting
    wind: OpeningWind | None
    heat: OpeningHeat
    found: tuple[Found, ...]
    quantities: tuple[Quantity, ...]
    checks: tuple[Verdict, ...]
    """Readings, size, structure, wind, glass, bars, fixings, joints, damp."""
    rules: tuple[Verdict, ...]
    """Rules of law."""
    not_mended: tuple[str, ...]
    """Rules that fail and that no proposal mends."""
    proposed: tuple[Proposal, ...]
    """Changes of what was asked that mend what fails, numbered from 1; each was planned again and holds."""
    assumed: tuple[str, ...]
    """What the findings rest on that was not said or measured."""
    air_told_at: str | None
    """The opening of the same room under which the room's air is told."""
    cautions: tuple[Caution, ...]
    access: tuple[Note, ...]
    """Lifting aids, cups, wind limits, ladder or tower, with their figures."""
    remarks: tuple[Problem, ...]
    """What the fitter should look at; the plan stands all the same."""
    wall: Wall | None = None
    """Build-up of the wall round it; a plan kept before it was held has none."""

    @property
    def name(self) -> str:
        """Mark and room, as on every paper."""
        return f"{self.id} {self.room}"

    @property
    def figures(self) -> dict[str, Figure]:
        """Every figure a person acts on, by name, in the order it is shown."""
        order = self.order
        sizes = {
            "order_width": order.width,
            "order_height": order.height,
            "overall_height": order.overall_height,
            "sill_length": order.sill_length,
            "sill_depth": order.sill_depth,
            "whole_kg": order.whole_kg,
        }
        return {name: figure for name, figure in sizes.items() if figure} | self.told

    @property
    def verdicts(self) -> tuple[Verdict, ...]:
        """Checks, then rules of law."""
        return (*self.checks, *self.rules)


class Unread(Plain):
    """An opening that can't be planned yet: its readings are not enough."""

    id: str
    room: str
    gates: Gates
    missing: tuple[str, ...]
    """Names of the readings it can't be planned without."""

    @property
    def name(self) -> str:
        """Mark and room, as on every paper."""
        return f"{self.id} {self.room}"
