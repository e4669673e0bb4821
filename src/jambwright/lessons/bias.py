"""Bias and scatter of measuring tools and people, from readings whose true length a fitted frame tells.

At one place: true = frame + gaps; difference = reading - true = tool + person + scale x length + noise. The rows that
share a frame share its error, so each frame counts once. What can't be told apart is said, not guessed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy import special

from jambwright.basis.working import Working
from jambwright.lessons.effects import LEAST_SQUARES, Effects, Estimate, Ints, fit_effects
from jambwright.lessons.statistics import SATTERTHWAITE, Floats, sd_interval, student

Key = str | int

LEAST_OPENINGS = 10
"""Fewer never make a figure worth using: a bias of 1 mm needs 14 to be seen. House rule."""
OWN_SCALE_OPENINGS = 50
"""Under so many openings all tools share one scale; a scale for each needs more. House rule."""
SPREAD_MM = 600.0
"""Lengths must differ so much before a scale can be told from an offset. House rule."""
SPARE_DOF = 8
"""Degrees of freedom that must be left for a scale to be fitted. House rule."""
FALSE_ALARM = 0.001
"""Chance that an honest row is left out, over all rows together."""
MOST_LEFT_OUT = 0.1
"""Share of the rows that may be left out as misread."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """One reading beside what the fitted frame says of the same place, mm."""

    opening: Key
    tool: Key
    person: Key
    reading_mm: float
    frame_mm: float
    gaps_mm: tuple[float, ...]

    @property
    def true_mm(self) -> float:
        """Frame and gaps."""
        return self.frame_mm + sum(self.gaps_mm)

    @property
    def difference_mm(self) -> float:
        """Reading minus true: positive when it reads long."""
        return self.reading_mm - self.true_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """What was found of a tool, a person, or a person with a tool; ``None`` what can't be told."""

    tool: Key | None = None
    person: Key | None = None
    openings: int
    bias_mm: float | None
    """Positive when it reads long; of a person beside the mean of all people."""
    interval_mm: tuple[float, float] | None
    error_mm: float | None
    """Standard error of the bias."""
    sd_mm: float | None
    """Scatter of one reading; holds that of the gaps, and of the frame where its part can't be told."""
    interval_sd_mm: tuple[float, float] | None
    scale_ppm: float | None = None
    interval_ppm: tuple[float, float] | None = None
    adopt: bool
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """Everything that was found."""

    tools: tuple[Line, ...]
    people: tuple[Line, ...]
    pairs: tuple[Line, ...]
    """Each person with each tool, alone: the plain mean of what was read."""
    left_out: tuple[Compared, ...]
    """Rows so far off that they are misread, or their gaps are."""
    say: tuple[str, ...]
    """What could not be told, and why."""
    working: Working = field(default_factory=Working, compare=False)


def bias_of(rows: Sequence[Compared], *, sd_frame_mm: float = 0.0) -> Found:
    """Bias and scatter by tool and by person. ``sd_frame_mm`` is the scatter of frames as made, taken off ``sd_mm``.

    Source: ordinary least squares on tool, person and length (textbook theory, from memory, high).
    """
    kept, left = _without_misreads(rows)
    model = _model(kept)
    work, said = Working(), list(model.say)
    lines = [*_tool_lines(model, sd_frame_mm, work)]
    people = [*_people_lines(model, sd_frame_mm, work)]
    pairs = [_pair_line(model, tool, person, sd_frame_mm) for tool, person in model.pairs]
    said += [
        f"Opening {row.opening}: {row.reading_mm:g} mm was read where the fitted frame says {row.true_mm:g}; left out. "
        "Look at the reading and at the gaps."
        for row in left
    ]
    return Found(
        tools=tuple(lines), people=tuple(people), pairs=tuple(pairs), left_out=tuple(left), say=tuple(said),
        working=work,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frames:
    """Rows taken together by the frame they share: one of these each."""

    rows: tuple[tuple[Compared, ...], ...]
    tools: tuple[Key, ...]
    people: tuple[Key, ...]
    tool: Ints
    person: Ints
    difference: Floats
    length: Floats
    openings: tuple[Key, ...]

    def of(self, tool: Key | None, person: Key | None) -> Ints:
        """Numbers of those by a tool, a person or both."""
        wanted = np.ones(len(self.rows), bool)
        if tool is not None:
            wanted &= self.tool == self.tools.index(tool)
        if person is not None:
            wanted &= self.person == self.people.index(person)
        return np.flatnonzero(wanted)

    def opening_count(self, which: Ints) -> int:
        return len({self.openings[n] for n in which})


def _frames(rows: Sequence[Compared]) -> _Frames:
    together: dict[tuple[Key, Key, Key, float], list[Compared]] = {}
    for row in rows:
        together.setdefault((row.opening, row.tool, row.person, row.frame_mm), []).append(row)
    tools = tuple(dict.fromkeys(row.tool for row in rows))
    people = tuple(dict.fromkeys(row.person for row in rows))
    groups = list(together.values())
    return _Frames(
        rows=tuple(map(tuple, groups)),
        tools=tools,
        people=people,
        tool=np.array([tools.index(group[0].tool) for group in groups]),
        person=np.array([people.index(group[0].person) for group in groups]),
        difference=np.array([np.mean([row.difference_mm for row in group]) for group in groups]),
        length=np.array([np.mean([row.true_mm for row in group]) for group in groups]),
        openings=tuple(group[0].opening for group in groups),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Model:
    frames: _Frames
    fit: Effects | None
    people_told: bool
    scales: tuple[int | None, ...]
    """Column of the scale of each tool."""
    say: tuple[str, ...]

    @property
    def pairs(self) -> list[tuple[Key, Key]]:
        f = self.frames
        both = dict.fromkeys(zip(f.tool.tolist(), f.person.tolist(), strict=True))
        return [(f.tools[tool], f.people[person]) for tool, person in both]

    def estimate(self, columns: dict[int, float]) -> Estimate:
        assert self.fit is not None
        weights = np.zeros((1, self.fit.estimates.shape[-1]))
        for column, weight in columns.items():
            weights[0, column] = weight
        return self.fit.combined(weights)


def _model(rows: Sequence[Compared]) -> _Model:
    frames, say = _frames(rows), []
    tools, people = len(frames.tools), len(frames.people)
    linked = people > 1 and _linked(frames)
    if people == 1:
        say.append(
            "One person read everything: what is the person's and what the tool's can't be told apart."
        )
    elif not linked:
        say.append(
            "No tool was shared between the people: what is a person's and what the tool's can't be told apart. "
            "Let each read some openings with another's tool."
        )
    blocks = [np.eye(tools)[frames.tool]]
    if linked:  # sum of people's parts is 0
        coded = np.vstack([np.eye(people - 1), -np.ones(people - 1)])
        blocks.append(coded[frames.person])
    slopes, scales = _scales(frames, sum(block.shape[1] for block in blocks))
    design = np.hstack([*blocks, slopes])
    try:
        # the mean of three readings scatters less than one alone, so each number of them is a group
        many = [len(group) for group in frames.rows]
        groups = np.unique(np.stack([frames.tool, many]), axis=1, return_inverse=True)[1]
        fit = fit_effects(frames.difference, design, groups.ravel())
    except ValueError:
        fit = None
        say.append("Too few frames for what is asked of them: fit more, with more than one frame by each.")
    return _Model(
        frames=frames, fit=fit, people_told=linked and fit is not None, scales=scales, say=tuple(say)
    )


def _linked(frames: _Frames) -> bool:
    """Whether people and tools hang together, so that one part can be told from the other."""
    met = np.zeros((len(frames.tools), len(frames.people)), int)
    met[frames.tool, frames.person] = 1
    near, reached = met @ met.T, np.eye(len(frames.tools), dtype=int)[0]
    for _ in frames.tools:
        reached = np.minimum(near @ reached + reached, 1)
    return bool(reached.all())


def _scales(frames: _Frames, columns: int) -> tuple[Floats, tuple[int | None, ...]]:
    """Columns of length, m, about the mean: one of its own for a tool with many frames, one for the rest together."""
    about = (frames.length - frames.length.mean()) / 1000.0

    def told(which: Ints) -> bool:
        return len(which) > 2 and float(np.ptp(frames.length[which])) >= SPREAD_MM

    numbers = [frames.of(tool, None) for tool in frames.tools]
    own = [told(n) and frames.opening_count(n) >= OWN_SCALE_OPENINGS for n in numbers]
    shared = np.flatnonzero(~np.array(own)[frames.tool])
    sets = [n for n, alone in zip(numbers, own, strict=True) if alone] + ([shared] if told(shared) else [])
    if not sets or len(frames.rows) - columns - len(sets) < SPARE_DOF:
        return np.zeros((len(frames.rows), 0)), (None,) * len(own)
    slopes = np.zeros((len(frames.rows), len(sets)))
    for column, which in enumerate(sets):
        slopes[which, column] = about[which]
    at = iter(range(columns, columns + sum(own)))
    last = columns + sum(own) if told(shared) else None
    return slopes, tuple(next(at) if alone else last for alone in own)


def _without_misreads(rows: Sequence[Compared]) -> tuple[list[Compared], list[Compared]]:
    """The rows, and those of frames so far off the others that no honest reading is, the worst first."""
    kept = list(rows)
    left: list[Compared] = []
    while len(left) < MOST_LEFT_OUT * len(rows):
        model = _model(kept)
        if model.fit is None:
            break
        off = model.fit.outlying()
        worst = int(np.argmax(off))
        dof = model.fit.dof[model.fit.groups[worst]] - 1
        if dof < SPARE_DOF or 2 * special.stdtr(dof, -off[worst]) * len(off) > FALSE_ALARM:
            break
        out = model.frames.rows[worst]
        left += out
        kept = [row for row in kept if not any(row is each for each in out)]
    return kept, left


def _tool_lines(model: _Model, sd_frame_mm: float, work: Working) -> Iterator[Line]:
    for number, tool in enumerate(model.frames.tools):
        which = model.frames.of(tool, None)
        if model.fit is None:
            yield _told(model, which, None, sd_frame_mm, tool=tool)
            continue
        found = model.estimate({number: 1.0})
        spread = _spread_of(model, which)
        line = _told(model, which, found, sd_frame_mm, spread=spread, tool=tool, scale=_scale(model, number))
        work.note(
            f"bias {tool}", "mean of reading - frame - gaps, people and length allowed for", line.bias_mm, "mm",
            LEAST_SQUARES, frames=len(which), people=len(model.frames.people),
        )  # fmt: skip
        reach = work.step(f"t {tool}", student, dof=float(found.dof[0]))
        work.note(f"interval {tool}", "bias ± t · standard error", line.interval_mm, "mm", SATTERTHWAITE,
                  bias_mm=line.bias_mm, t=float(reach), error_mm=line.error_mm)  # fmt: skip
        if line.sd_mm and spread:
            work.note(f"sd {tool}", "√(square sum of residuals / degrees of freedom), less the frame's", line.sd_mm,
                      "mm", LEAST_SQUARES, degrees_of_freedom=spread[1], sd_frame_mm=sd_frame_mm)  # fmt: skip
        yield line


def _scale(model: _Model, number: int) -> tuple[float, tuple[float, float]] | None:
    column = model.scales[number]
    if column is None:
        return None
    found = model.estimate({column: 1.0})
    low, high = found.interval
    return 1000 * float(found.value[0]), (1000 * float(low[0]), 1000 * float(high[0]))


def _people_lines(model: _Model, sd_frame_mm: float, work: Working) -> Iterator[Line]:
    first, last = len(model.frames.tools), len(model.frames.people) - 1
    for number, person in enumerate(model.frames.people):
        which = model.frames.of(None, person)
        spread = _spread_of(model, which)
        if not model.people_told:
            yield _told(model, which, None, sd_frame_mm, spread=spread, person=person)
            continue
        own = {first + number: 1.0} if number < last else {first + n: -1.0 for n in range(last)}
        found = model.estimate(own)
        line = _told(model, which, found, sd_frame_mm, spread=spread, person=person)
        work.note(
            f"bias {person}", "part of the difference beside the mean of all people, tools allowed for", line.bias_mm,
            "mm", LEAST_SQUARES, frames=len(which), tools=len(model.frames.tools),
        )  # fmt: skip
        yield line


def _spread_of(model: _Model, which: Ints) -> tuple[float, float] | None:
    """Variance of one row among some, and its degrees of freedom."""
    if model.fit is None or (dof := float(model.fit.free[which].sum())) < 1:
        return None
    return float(np.sum(model.fit.residuals[which] ** 2) / dof), dof


def _pair_line(model: _Model, tool: Key, person: Key, sd_frame_mm: float) -> Line:
    which = model.frames.of(tool, person)
    if len(which) < 2:
        return _told(model, which, None, sd_frame_mm, tool=tool, person=person)
    alone = fit_effects(model.frames.difference[which], np.ones((len(which), 1)), np.zeros(len(which), int))
    spread = float(alone.variance[0]), float(alone.dof[0])
    found = alone.combined(np.ones((1, 1)))
    return _told(model, which, found, sd_frame_mm, spread=spread, tool=tool, person=person)


def _told(
    model: _Model, which: Ints, found: Estimate | None, sd_frame_mm: float, *,
    spread: tuple[float, float] | None = None, tool: Key | None = None, person: Key | None = None,
    scale: tuple[float, tuple[float, float]] | None = None,
) -> Line:  # fmt: skip
    openings = model.frames.opening_count(which)
    sd, sd_ends = _scatter(model.frames, which, spread, sd_frame_mm)
    bias = interval = error = None
    if found is not None:
        low, high = found.interval
        bias, error = float(found.value[0]), float(found.error[0])
        interval = float(low[0]), float(high[0])
    adopt, why = _worth(openings, bias, interval)
    return Line(
        tool=tool, person=person, openings=openings, bias_mm=bias, interval_mm=interval, error_mm=error, sd_mm=sd,
        interval_sd_mm=sd_ends, scale_ppm=scale and scale[0], interval_ppm=scale and scale[1], adopt=adopt, why=why,
    )  # fmt: skip


def _scatter(
    frames: _Frames, which: Ints, spread: tuple[float, float] | None, sd_frame_mm: float
) -> tuple[float | None, tuple[float, float] | None]:
    """Scatter of one reading with its gaps; several readings at one frame tell it without the frame's own error."""
    sets = [np.array([row.difference_mm for row in frames.rows[n]]) for n in which]
    within = sum(len(each) - 1 for each in sets)
    off, times = 0.0, 1.0
    if within > (spread[1] if spread else 0):
        variance, dof = sum(float(np.sum((s - s.mean()) ** 2)) for s in sets) / within, float(within)
    elif spread:
        # of m readings at a frame the mean was taken: their part is m times what is left without the frame's
        (variance, dof), off, times = spread, sd_frame_mm**2, len(sets) / sum(1 / len(each) for each in sets)
    else:
        return None, None
    low, high = sd_interval(sd=variance**0.5, dof=dof)
    sd, least, most = ((max(float(v) - off, 0.0) * times) ** 0.5 for v in (variance, low**2, high**2))
    return sd, (least, most)


def _worth(openings: int, bias: float | None, interval: tuple[float, float] | None) -> tuple[bool, str]:
    """Whether a bias is sure enough to be used, and why."""
    if bias is None or interval is None:
        return False, "It can't be told from these openings."
    low, high = interval
    way = "long" if bias > 0 else "short"
    ends = sorted((abs(low), abs(high)))
    if openings < LEAST_OPENINGS:
        return False, f"{openings} openings are too few; {LEAST_OPENINGS} at the least are wanted."
    if low <= 0 <= high:
        return False, f"0 lies within {low:+.1f} to {high:+.1f} mm: there is nothing to correct."
    return True, (
        f"Reads {abs(bias):.1f} mm {way} ({ends[0]:.1f} to {ends[1]:.1f} mm) in {openings} openings."
    )
