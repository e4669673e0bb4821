"""A finished plan of a crew's days counted again from its tasks alone: own rules, own figures, no code of the planner.

Rules are those a foreman would hold the crew to; figures of cures are from the table's data sheets.
"""

import math
import re
from collections import defaultdict
from itertools import pairwise

MIDNIGHT = 24 * 60
OPENING = ("protect", "prop", "take_out", "prepare", "fit", "glaze", "adjust", "foam", "cover_joint")
CLOSING = ("trim_foam", "seal_outside", "trim_inside", "seal_inside", "clean", "show")
DRY = ("take_out", "prepare", "fit", "seal_outside")
BEGINS, ENDS, LUNCH = 8 * 60, 16 * 60 + 30, 45


def clock(minute):
    return f"day {minute // MIDNIGHT}, {minute % MIDNIGHT // 60}:{minute % 60:02d}"


def hard_breaks(tasks, *, outside_c=8.0, quiet=None, rain=(), held=None, longer=0):
    """Every rule that a plan breaks, in words; none where it is sound.

    ``quiet``: the household's words by opening. ``rain``: wet spans. ``held``: day from the first, by opening.
    """
    found = [*_people(tasks), *_days(tasks, longer)]
    by_mark = defaultdict(list)
    for task in tasks:
        if task.opening:
            by_mark[task.opening].append(task)
    for mark, own in by_mark.items():
        own.sort(key=lambda task: (task.start, task.end))
        found += _opening(mark, own, outside_c)
        found += _disturbed(mark, own, (quiet or {}).get(mark, ""))
        for task in own:
            if task.step in DRY and any(task.start < end and task.end > start for start, end in rain):
                found.append(f"{mark}: {task.step} in the rain")
        if held and mark in held and {t.start // MIDNIGHT for t in own if t.step in OPENING} != {held[mark]}:
            found.append(f"{mark}: not on the day it is held to")
    found += _open_holes(by_mark)
    found += _comings(tasks)
    return found


def _people(tasks):
    """Nobody in two places, everybody by name."""
    work = defaultdict(list)
    for task in tasks:
        if not task.who:
            yield f"{task.id}: nobody does it"
        for who in task.who:
            work[who].append(task)
    for who, own in work.items():
        own.sort(key=lambda task: (task.start, task.end))
        for one, other in pairwise(own):
            if other.start < one.end:
                yield f"{who}: in two places, {one.id} and {other.id} at {clock(other.start)}"


def _days(tasks, longer):
    """Hours of the day, lunch and setting up for everyone who is there."""
    there = defaultdict(list)
    for task in tasks:
        if (
            not BEGINS
            <= task.start % MIDNIGHT
            < task.end - task.start // MIDNIGHT * MIDNIGHT
            <= ENDS + longer
        ):
            yield f"{task.id}: out of hours, {clock(task.start)} to {clock(task.end)}"
        for who in task.who:
            there[who, task.start // MIDNIGHT].append(task)
    for (who, day), own in there.items():
        steps = [task.step for task in own]
        if steps.count("set_up") != 1 or steps.count("clear_up") != 1:
            yield f"{who}: no setting up or clearing on day {day}"
        lunches = [task for task in own if task.step == "lunch"]
        late = max(task.end for task in own) % MIDNIGHT > 15 * 60
        if len(lunches) > 1 or (late and not lunches):
            yield f"{who}: {len(lunches)} lunches on day {day}"
        for lunch in lunches:
            if lunch.end - lunch.start != LUNCH or not 11 * 60 <= lunch.start % MIDNIGHT <= 14 * 60:
                yield f"{who}: lunch {clock(lunch.start)} to {clock(lunch.end)}"


def _opening(mark, own, outside_c):
    """One opening: in order, without a break, sealed outside on the day of its hole, shown last of all."""
    at = {task.step: task for task in own}
    if "cover_joint" in at:
        yield from _over_nights(mark, own)
        return
    if len(at) != len(own):
        yield f"{mark}: a task twice"
    opened = [task for task in own if task.step in OPENING]
    if [task.step for task in opened] != sorted((task.step for task in opened), key=OPENING.index):
        yield f"{mark}: opened out of order"
    if len({task.who for task in opened}) > 1 or any(len(task.who) != 2 for task in opened):
        yield f"{mark}: opened by {sorted({task.who for task in opened})}"
    gaps = [other.start - one.end for one, other in pairwise(opened)]
    if any(gap not in (0, LUNCH) for gap in gaps) or gaps.count(LUNCH) > 1:
        yield f"{mark}: broken off while it is open, {gaps}"
    on = {step: task.start // MIDNIGHT for step, task in at.items()}
    if {"seal_outside", "take_out"} <= set(on) and on["seal_outside"] != on["take_out"]:
        yield f"{mark}: not sealed outside on the day of its hole"
    if "take_out" in at and not {"foam", "fit"} <= set(at):
        yield f"{mark}: left without its frame or foam"
    if "foam" in at and "trim_foam" in at:
        cure = 25 * max(1.0, 2 ** ((18 - outside_c) / 10))
        if at["trim_foam"].start - at["foam"].end < math.floor(cure):
            yield f"{mark}: foam cut after {at['trim_foam'].start - at['foam'].end} min, it wants {cure:.0f}"
    for before, after in (("trim_foam", "seal_outside"), ("trim_foam", "trim_inside"), ("trim_inside", "seal_inside"),
                          ("seal_outside", "seal_inside"), ("seal_outside", "clean")):  # fmt: skip
        if before in at and after in at and at[after].start < at[before].end:
            yield f"{mark}: {after} before {before} is done"
    if "show" in at and any(task.end > at["show"].start for task in own if task.step != "show"):
        yield f"{mark}: shown before all is done"


def _over_nights(mark, own):
    """What is covered or boarded: so every night until it is sealed outside, and its tasks in order over the days."""
    order = [step for step in (*OPENING, *CLOSING) if step != "cover_joint"]
    steps = [
        order.index(task.step)
        for task in own
        if task.step in order and task.step not in ("clean", "seal_inside")
    ]
    if steps != sorted(steps):
        yield f"{mark}: out of order over the days"
    days = sorted({task.start // MIDNIGHT for task in own})
    sealed = next(task.start // MIDNIGHT for task in own if task.step == "seal_outside")
    for day in days:
        last = max((task for task in own if task.start // MIDNIGHT == day), key=lambda task: task.end)
        if day < sealed and last.step != "cover_joint":
            yield f"{mark}: left overnight without a cover"


def _disturbed(mark, own, words):
    times = [int(h) * 60 + int(m) for h, m in re.findall(r"(\d{1,2}):(\d{2})", words)]
    if len(times) == 1:
        for task in own:
            if task.start % MIDNIGHT < times[0]:
                yield f"{mark}: disturbed at {clock(task.start)}, {words}"


def _open_holes(by_mark):
    """At most one open hole a pair: from taking out to fitting and glazing nobody of it is at another opening."""
    for mark, own in by_mark.items():
        hole = [task for task in own if task.step in ("take_out", "prepare", "fit", "glaze")]
        if not hole:
            continue
        start, end = min(task.start for task in hole), max(task.end for task in hole)
        who = {name for task in hole for name in task.who}
        for other, theirs in by_mark.items():
            for task in theirs:
                if other != mark and who & set(task.who) and task.start < end and task.end > start:
                    yield f"{mark}: left open for {other} at {clock(task.start)}"


def visits_of(tasks):
    """By person and day, the openings in the order in which they are gone to."""
    found = defaultdict(list)
    for task in sorted(tasks, key=lambda task: (task.start, task.end)):
        for who in task.who:
            if task.opening:
                run = found[who, task.start // MIDNIGHT]
                if not run or run[-1] != task.opening:
                    run.append(task.opening)
    return found


def _comings(tasks):
    for (who, day), marks in visits_of(tasks).items():
        for mark in sorted(set(marks)):
            if marks.count(mark) > 2:
                yield f"{who}: goes to {mark} {marks.count(mark)} times on day {day}"


def idle_cures(tasks):
    """Openings whose foam a pair waits for without lunch though another opening is still to be done that day."""
    found = []
    for foam in (task for task in tasks if task.step == "foam"):
        cut = next(
            (t for t in tasks if (t.opening, t.step) == (foam.opening, "trim_foam") and t.who == foam.who),
            None,
        )
        if cut is None:
            continue
        between = [t for t in tasks if set(t.who) & set(foam.who) and foam.end <= t.start < cut.start]
        later = [t for t in tasks if set(t.who) & set(foam.who) and t.opening not in ("", foam.opening)
                 and cut.start < t.start < (cut.start // MIDNIGHT + 1) * MIDNIGHT]  # fmt: skip
        if not between and later:
            found.append(foam.opening)
    return found


def changes(tasks):
    """Changes of place, added up over people and days."""
    return sum(len(marks) - 1 for marks in visits_of(tasks).values())


def days_used(tasks):
    return len({task.start // MIDNIGHT for task in tasks})
