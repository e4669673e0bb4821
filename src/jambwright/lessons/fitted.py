"""Frames that stand in their openings, with what was read there before and the gaps that were left."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

import numpy as np

from jambwright.basis.problems import BadInput
from jambwright.frame.frame import choose
from jambwright.frame.joint import least_joint_of_mm
from jambwright.frame.order_size import STATIONS
from jambwright.frame.sill import sill_height_mm
from jambwright.frame.sizing import size_alone
from jambwright.lessons.bias import Compared
from jambwright.lessons.statistics import Brier, brier, exact_share, sd_interval, student
from jambwright.readings import Opening, Survey
from jambwright.readings.correction import with_tools
from jambwright.readings.fitted import AsFitted
from jambwright.readings.survey_file import unread
from jambwright.record import PlanRecord, Side

NOT_NAMED = "not named"
ACROSS: tuple[tuple[str, Side, Side], ...] = (("width", "left", "right"), ("height", "head", "bottom"))
CLASSES = (0.0, 0.5, 0.8, 0.9, 0.95, 0.98, 0.99, 0.995, 1.0)
"""Ends of the classes that stated chances are told in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameIn:
    """One frame as it was left in its opening, mm."""

    survey: Survey
    opening: Opening
    fitted: AsFitted
    profile: str
    size_mm: Mapping[str, float]
    """Width, and height with the sill, as ordered."""
    bare_height_mm: float
    """Without the sill."""
    planned: float | None
    """Chance of its plan that it goes in with the least joint kept all round."""
    least_mm: float
    """That joint."""

    @property
    def name(self) -> str:
        """House, mark and room."""
        return f"{self.survey.site.label}, {self.opening.name}"

    @property
    def chance(self) -> float | None:
        """As its plan stated it; without a plan what this program says, a tenth of a second's work."""
        return _chance_now(self.survey, self.opening) if self.planned is None else self.planned

    def gap_pairs(self, one: Side, other: Side) -> Iterator[tuple[str, float, float]]:
        """Place and both gaps wherever both were read."""
        near, far = getattr(self.fitted.gaps_mm, one), getattr(self.fitted.gaps_mm, other)
        for at in STATIONS[one]:
            gaps = getattr(near, at), getattr(far, at)
            if None not in gaps:
                yield at, *gaps

    @property
    def went_in(self) -> bool | None:
        """Whether the least joint could be kept all round, moved sideways or up as need be; ``None`` if not read."""
        spare = []
        for _, one, other in ACROSS:
            sides = [
                [
                    mm
                    for at in STATIONS[side]
                    if (mm := getattr(getattr(self.fitted.gaps_mm, side), at)) is not None
                ]
                for side in (one, other)
            ]
            if min(map(len, sides)) < 2:
                return None
            spare.append(sum(map(min, sides)) - 2 * self.least_mm)
        return bool(min(spare) >= 0)


def frames_in(
    survey: Survey, fitted: Mapping[str, AsFitted], plans: Mapping[str, PlanRecord]
) -> tuple[list[FrameIn], list[str]]:
    """The fitted frames of a house whose size is known, and why others can't be used.

    Size and stated chance are those of the plan it was fitted by, in ``plans`` by mark; without one the size is
    `ordered` of the readings file, and the chance what this program says of that size.
    """
    found, left = [], []
    for opening in survey.openings:
        kept = fitted.get(opening.id)
        if kept is None:
            continue
        name = f"{survey.site.label}, {opening.name}"
        plan = plans.get(opening.id)
        record = next((each for each in plan.openings if each.id == opening.id), None) if plan else None
        if record is None and opening.ordered is None:
            left.append(f"{name}: the size that was ordered is not known; give the ordered width and height.")
        elif _behind_nibs(survey, opening):
            left.append(f"{name}: it stands behind nibs, so its gaps are not those of what was read outside.")
        else:
            chosen = choose(opening, survey.defaults, nib_back_mm=None)
            if record:
                size = record.frame.size
                planned_chance: float | None = size.probability_fits
                width, height, sill = size.width_mm, size.height_mm, size.sill_height_mm
            else:
                assert opening.ordered is not None
                width, height = opening.ordered.width_mm, opening.ordered.height_mm
                sill = sill_height_mm() if chosen.sill else 0.0
                planned_chance = None
            found.append(
                FrameIn(
                    survey=survey, opening=opening, fitted=kept, profile=chosen.profile.title,
                    size_mm={"width": width, "height": height + sill}, bare_height_mm=height, planned=planned_chance,
                    least_mm=least_joint_of_mm(chosen, max(width, height)),
                )
            )  # fmt: skip
    return found, left


def _behind_nibs(survey: Survey, opening: Opening) -> bool:
    usual = survey.wall_of(opening).reveal_rebate_mm
    own = opening.nibs
    return any((usual if mm is None else mm) > 0 for mm in (own.left, own.right, own.head, own.sill))


def _chance_now(survey: Survey, opening: Opening) -> float | None:
    """What this program says of the size that was ordered, in the light of the whole house as its plan would."""
    if unread(opening):
        return None
    ordered = opening.model_copy(update={"done": [*opening.done, "ordered"]})
    openings = [ordered if each is opening else each for each in survey.openings]
    house = survey.model_copy(update={"openings": openings})
    return _chance_of(house.model_dump_json(), openings.index(ordered))


@functools.lru_cache(maxsize=4096)
def _chance_of(house: str, index: int) -> float | None:
    """Of one opening of a house, as JSON: it takes a tenth of a second, and the same houses are looked at again."""
    survey = Survey.model_validate_json(house)
    try:
        return size_alone(survey, survey.openings[index]).frame.size.probability_fits
    except BadInput:
        return None


def compared(frames: Sequence[FrameIn]) -> list[Compared]:
    """Each length that was read, beside what frame and gaps say of the same place."""
    return [
        Compared(
            opening=frame.name, tool=reading.tool or NOT_NAMED, person=reading.who or NOT_NAMED,
            reading_mm=reading.mm, frame_mm=frame.size_mm[kind], gaps_mm=(near, far),
        )
        for frame in frames
        for kind, one, other in ACROSS
        for reading in with_tools(frame.opening.outside, frame.survey.defaults.tape)
        if reading.kind == kind and reading.how == "measured"
        for at, near, far in frame.gap_pairs(one, other)
        if at == reading.at
    ]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class MakerLine:
    """How frames came beside what was ordered, as read on site: the tape's own error is in it."""

    profile: str
    frames: int
    bias_mm: float
    """Positive where they came larger."""
    interval_mm: tuple[float, float] | None
    sd_mm: float | None
    interval_sd_mm: tuple[float, float] | None


def makers(frames: Sequence[FrameIn]) -> tuple[MakerLine, ...]:
    """By profile system: each frame's width and height as read on it, less what was ordered."""
    off: dict[str, list[float]] = {}
    for frame in frames:
        for kind, ordered in (("width", frame.size_mm["width"]), ("height", frame.bare_height_mm)):
            read = [r.mm for r in frame.fitted.outside.readings() if r.kind == kind]
            if read:
                off.setdefault(frame.profile, []).append(fmean(read) - ordered)
    return tuple(_maker_line(profile, np.array(found)) for profile, found in off.items())


def _maker_line(profile: str, off: np.ndarray[tuple[int], np.dtype[np.float64]]) -> MakerLine:
    n, mean = len(off), float(off.mean())
    if n < 2:
        return MakerLine(
            profile=profile, frames=n, bias_mm=mean, interval_mm=None, sd_mm=None, interval_sd_mm=None
        )
    sd = float(off.std(ddof=1))
    reach = float(student(dof=n - 1)) * sd / n**0.5
    low, high = sd_interval(sd=sd, dof=n - 1)
    return MakerLine(
        profile=profile, frames=n, bias_mm=mean, interval_mm=(mean - reach, mean + reach), sd_mm=sd,
        interval_sd_mm=(float(low), float(high)),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class ChanceLine:
    """Frames whose stated chance lay between two figures, and how many went in."""

    least: float
    most: float
    stated: float
    """On the average."""
    frames: int
    went_in: int
    interval: tuple[float, float]
    """Of the share that goes in, at 95 % (Clopper and Pearson)."""

    @property
    def holds(self) -> bool:
        """Whether what was stated can be true."""
        return self.interval[0] <= self.stated <= self.interval[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chances:
    """Stated chances beside what came."""

    lines: tuple[ChanceLine, ...]
    score: Brier | None
    uncounted: int
    """Frames whose chance was not stated or whose gaps were not read all round."""


def chances(frames: Sequence[FrameIn]) -> Chances:
    """By class of stated chance: how many frames went in with the least joint kept all round."""
    seen = [(f.chance, f.went_in) for f in frames if f.went_in is not None]
    told = [(chance, went_in) for chance, went_in in seen if chance is not None]
    if not told:
        return Chances(lines=(), score=None, uncounted=len(frames))
    stated = np.array([chance for chance, _ in told])
    came = np.array([float(went) for _, went in told])
    of = np.clip(np.searchsorted(CLASSES, stated, side="right") - 1, 0, len(CLASSES) - 2)
    lines = []
    for number in np.unique(of):
        own = of == number
        good, n = int(came[own].sum()), int(own.sum())
        low, high = exact_share(good=good, of=n)
        lines.append(
            ChanceLine(
                least=CLASSES[number], most=CLASSES[number + 1], stated=float(stated[own].mean()), frames=n,
                went_in=good, interval=(float(low), float(high)),
            )
        )  # fmt: skip
    return Chances(lines=tuple(lines), score=brier(stated, came, of), uncounted=len(frames) - len(told))
