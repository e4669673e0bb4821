"""The rules of the nation on every opening of a surveyed house, and on the house and the work as a whole."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from jambwright.basis.tables import table
from jambwright.checks.light_facts import angle_deg, beside_slave_mm, blocked_mm, both_mm, usual_blocked
from jambwright.checks.regulations import Remedies, check_house, check_opening, remedies
from jambwright.checks.regulations.escape_opening import straight_clear_mm
from jambwright.checks.slid_clear import clear_leaf, usual_loss
from jambwright.checks.survey_facts import Framed, house_facts, opening_facts
from jambwright.checks.verdict import AGAINST, Verdict
from jambwright.frame.frame import Frame
from jambwright.frame.kinds import bi_fold
from jambwright.frame.layout import PlacedLight
from jambwright.readings.survey import Survey
from jambwright.readings.ways import way_of

DATE_WANTED = Verdict(
    rule="date_of_work",
    word="unknown",
    why="The day of the work is missing, and it decides which edition of every rule applies: nothing was "
    "checked. Give it.",
    missing=("date_of_work",),
)
"""All that is found while the day of the work is not known."""

_RESTS_ON_CLEAR_SIZE = ("escape.area", "escape.width", "escape.height", "access.width", "access.width_kept")


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningRules:
    """What the rules say of one opening, and the changes of the order that mend what fails."""

    verdicts: tuple[Verdict, ...]
    remedies: Remedies = field(default_factory=Remedies)
    assumed: tuple[str, ...] = ()
    """What the findings rest on that was not said or measured."""
    air_told_at: str | None = None
    """The opening of the same room under which the room's air is told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseRules:
    """What the rules say of the house and the work, and of every opening by its mark."""

    house: tuple[Verdict, ...]
    openings: Mapping[str, OpeningRules]


def rules_on_house(survey: Survey, framed: Sequence[Framed]) -> HouseRules:
    """Check every opening that has a frame, and the house. Without a day of work nothing is checked."""
    on = survey.date_of_work
    if on is None:
        nothing = OpeningRules(verdicts=(DATE_WANTED,))
        return HouseRules(house=(DATE_WANTED,), openings={each.opening.id: nothing for each in framed})
    rooms = _by_room(framed)
    found = {}
    for each in framed:
        facts = opening_facts(survey, on, each, rooms[each.opening.room])
        verdicts = tuple(check_opening(facts))
        failing = any(verdict.word in AGAINST for verdict in verdicts)
        found[each.opening.id] = OpeningRules(
            verdicts=verdicts,
            remedies=remedies(facts) if failing else Remedies(),
            assumed=_assumed(each.frame, verdicts),
            air_told_at=facts.air_told_at,
        )
    return HouseRules(house=tuple(check_house(house_facts(survey, on, framed))), openings=found)


def _by_room(framed: Sequence[Framed]) -> dict[str, list[Framed]]:
    """The openings of each room, windows first: the room's air is told at the first."""
    rooms: dict[str, list[Framed]] = defaultdict(list)
    for each in sorted(framed, key=lambda one: one.frame.chosen.kind == "door"):
        rooms[each.opening.room].append(each)
    return rooms


def _assumed(frame: Frame, verdicts: Sequence[Verdict]) -> tuple[str, ...]:
    """The usual obstruction of openers whose clear size is judged."""
    if not any(verdict.rule in _RESTS_ON_CLEAR_SIZE for verdict in verdicts):
        return ()
    said = [*_pairs_clear(frame)]
    for light in frame.layout.lights:
        usual = usual_blocked(light)
        if usual and light.wanted.obstruction_mm is None:
            kind = light.way.family
            source = table("usual_obstructions").source(usual)
            said.append(
                f"light {light.mark}, {kind}: hinge and sash leave {usual['obstruction_mm']:g} mm blocked "
                f"({source}; {source.how}); the figure off the maker's sheet replaces it."
            )
        said += _loss_said(frame, light)
    return tuple(said)


def _loss_said(frame: Frame, light: PlacedLight) -> Iterator[str]:
    """What is taken off the travel of what slides, where it was not said."""
    lost = usual_loss(light)
    if lost and light.wanted.obstruction_mm is None and light == clear_leaf(frame, light):
        source = table("clear_usual").source(lost)
        if light.made == "bi_fold":
            section = bi_fold.sections(frame.chosen.profile)
            yield (
                f"light {light.mark}, {way_of(light.wanted.opens).words}: each folded leaf takes "
                f"{section['leaf_mm'] + section['stack_gap_mm']:g} mm of the width ({source.how}); the figure off the "
                "maker's sheet replaces it."
            )
            return
        yield (
            f"light {light.mark}, {light.moves.words}: {lost['source']} takes {lost['value']:g} mm of the travel "
            f"({source.how}); the figure off the maker's sheet replaces it."
        )


def _pairs_clear(frame: Frame) -> Iterator[str]:
    """What a pair leaves clear with one leaf and with both."""
    for master, slave in frame.layout.pairs:
        clear = [
            straight_clear_mm(frame_clear_mm=wide, open_angle_deg=angle, obstruction_mm=leaves * blocked)
            for wide, leaves in ((beside_slave_mm(master), 1), (both_mm(frame, master) or 0.0, 2))
            if (blocked := blocked_mm(master)) is not None and (angle := angle_deg(master)) is not None
        ]
        if len(clear) == 2:
            yield (
                f"leaves {master.mark} and {slave.mark}: {clear[0]:.0f} mm clear with the master leaf "
                f"{master.mark} alone, {clear[1]:.0f} mm with both."
            )
