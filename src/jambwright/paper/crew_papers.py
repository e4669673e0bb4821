"""The crew's days on paper: a chart by person, a table by room, a calendar file and a note to the household."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, time, timedelta
from itertools import groupby

from jambwright.paper.crew_chart import day_chart
from jambwright.paper.crew_words import block_of, step_words
from jambwright.paper.gate_words import hold, reason_words, reason_words_only, unsure
from jambwright.paper.pdf import typeset
from jambwright.paper.render import svg
from jambwright.paper.scene import Box, Scene
from jambwright.record import DAY, NOISY, OPEN, Days, Placed, PlanRecord, Stay


def crew_pdf(record: PlanRecord, days: Days) -> bytes:
    """The chart, the rooms and the note to the household as PDF."""
    return typeset(
        "crew.typ",
        record,
        {
            "before": [reason_words(reason) for reason in days.before],
            "says": quality_words(days),
            "left_out": [problem.say for problem in days.left_out],
            "days": [
                {
                    "title": show_day(on),
                    "svg": svg(chart, Box(width_mm=184.0, height_mm=chart.paper_size().height_mm)),
                    "height": chart.paper_size().height_mm,
                    "sheet": [*_day_sheet(days, on)],
                }
                for on, chart in charts(days)
            ],
            "rooms": [
                [
                    stay.room,
                    show_day(stay.on),
                    _slots(stay),
                    stay.opening_id,
                ]
                for stay in sorted(days.stays, key=lambda stay: (stay.room, stay.on))
            ],
            "note": household_note(record, days).splitlines(),
        },
        gate="work",
    )


def quality_words(days: Days) -> str:
    """How good the plan is, and how much better one could be."""
    plan = days.plan
    if not days.stays:
        return "No work fits in any day yet."
    visits = "1 visit" if plan.visits == 1 else f"{plan.visits} visits"
    least = "1 day" if plan.least_days == 1 else f"{plan.least_days} days"
    sure = "no better plan exists" if plan.proven_optimal else "the best found in the search given"
    if plan.stopped_by_clock:
        sure = "the search was stopped by the clock: other days may come out next time"
    if days.stayed:
        sure += f" while {', '.join(days.stayed)} keep their days"
    return (
        f"{visits}, {plan.days} days, walls open {plan.open_minutes / 60:.1f} hours in all, "
        f"{plan.room_days} room days: {sure}. No plan takes fewer than {least} or ends before "
        f"{_moment(days, plan.lower_bound)}; this one ends {_moment(days, plan.makespan)}."
        f"{_places(days)}{_sureness(days)}"
    )


def _sureness(days: Days) -> str:
    """How sure the hours are; nothing where a plan of an earlier version does not tell."""
    if not days.hours or not days.hours.mean:
        return ""
    return (
        f" The openings take a pair {days.hours.mean:.1f} hours on average, and {days.hours.four_in_five:.1f} are "
        "enough in four of five cases; the days are planned by the usual hours."
    )


def _places(days: Days) -> str:
    """How often somebody goes to another opening; nothing where a plan of an earlier version does not tell."""
    term = next((term for term in days.plan.terms if term.name == "changes"), None)
    people = {who for placed in days.plan.tasks for who in placed.who}
    if term is None or not people:
        return ""
    each = term.value / len(people) / days.plan.days
    return (
        f" Each fitter goes to another opening {each:.1f} times a day, {term.value} times over all; "
        f"no plan of as few days does with fewer than {term.bound}."
    )


def charts(days: Days) -> Iterator[tuple[date, Scene]]:
    """One chart a day."""
    people = sorted({who for placed in days.plan.tasks for who in placed.who})
    by_day = sorted(days.plan.tasks, key=lambda placed: placed.start)
    for day, placed in groupby(by_day, key=lambda each: each.start // DAY):
        yield days.first_day + timedelta(days=day), day_chart(list(placed), people)


def crew_ics(record: PlanRecord, days: Days) -> bytes:
    """One event for every stay at an opening, in the house's own time; tentative while something is to be settled."""
    from icalendar import Calendar, Event

    stops = [reason_words(reason) for reason in days.before]
    held = {o.id: hold(o, brief=True) for o in record.openings if not o.ordered}
    book = Calendar()
    book.add("prodid", f"-//{record.made_with}//")
    book.add("version", "2.0")
    for stay in days.stays:
        event = Event()
        event.add("uid", f"{stay.on.isoformat()}-{stay.opening_id}@jambwright.invalid")
        event.add("dtstamp", datetime.combine(days.first_day, time(), tzinfo=UTC))
        event.add("dtstart", _at(stay.on, stay.start))
        event.add("dtend", _at(stay.on, stay.end))
        event.add("summary", f"{stay.name}: {_steps(stay)}")
        event.add("location", record.site.label)
        if said := list(filter(None, [*stops, held.get(stay.opening_id)])):
            event.add("description", " ".join(said))
            event.add("status", "TENTATIVE")
        book.add_component(event)
    return bytes(book.to_ical())


def household_note(record: PlanRecord, days: Days) -> str:
    """Plain words for the people who live there: which room, when, what to move, when it is noisy and cold."""
    disturb = record.site.disturb
    lines = ["What happens when, room by room.", ""]
    if days.before:
        lines += ["These days are not settled yet. Before we start:"]
        lines += [f"  - {reason_words_only(reason)}" for reason in days.before] + [""]
    if not_certain := unsure(record):
        lines += [not_certain, ""]
    if days.left_out:
        names = ", ".join(mark for each in days.left_out if (mark := each.opening))
        lines += [f"No day is set yet for {names}; we tell you when there is one."]
        lines += [f"  - {words}" for words in dict.fromkeys(each.say for each in days.left_out)] + [""]
    for on, stays in groupby(days.stays, key=lambda stay: stay.on):
        lines.append(show_day(on))
        for stay in stays:
            lines.append(f"  {stay.room} ({stay.opening_id}), {_slots(stay)}.")
            noisy, cold = stay.during(NOISY), stay.during(OPEN)
            if noisy and cold:
                lines.append(
                    f"    Noisy {_clock(noisy[0])} to {_clock(noisy[1])}; open and cold "
                    f"{_clock(cold[0])} to {_clock(cold[1])}. Please clear the sill, take curtains down and "
                    "move furniture two metres from the window before."
                )
            if any(step.step == "cover_joint" for step in stay.steps):
                lines.append("    It stays boarded or under a weather cover overnight; please leave that on.")
            if disturb.get(stay.room):
                lines.append(f"    We keep in mind: {disturb[stay.room]}.")
        lines.append("")
    lines.append("Keep children and pets out of the room and off the ground below while we work.")
    lines.append("Leave new windows shut and do not touch fresh seals until the next day.")
    return "\n".join(lines) + "\n"


def household_pdf(record: PlanRecord, days: Days) -> bytes:
    """The same note to be printed and handed over."""
    note = household_note(record, days).splitlines()
    return typeset("household_note.typ", record, {"note": note})


def _day_sheet(days: Days, on: date) -> Iterator[list[str]]:
    """What is done on a day in the order of the clock: from and to, place, who does what."""
    day = (on - days.first_day).days
    rooms = {stay.opening_id: stay.room for stay in days.stays}
    own = [placed for placed in days.plan.tasks if placed.start // DAY == day]
    runs: dict[tuple[str, int], list[Placed]] = {}
    for placed in sorted(own, key=lambda each: each.start):
        same = [key for key, run in runs.items() if key[0] == placed.opening and _follows(run, placed)]
        runs.setdefault(same[-1] if same else (placed.opening, placed.start), []).append(placed)
    for (mark, _), run in runs.items():
        start, end = min(each.start for each in run) % DAY, max(each.end for each in run) % DAY
        place = f"{mark} {rooms[mark]}" if mark else ""
        yield [f"{_clock(start)}–{_clock(end)}", place, "; ".join(_who_does_what(run))]


def _follows(run: Sequence[Placed], placed: Placed) -> bool:
    """Whether a task belongs to a stretch of work: at the same opening, in the same block of it."""
    if not placed.opening:
        return run[-1].step == placed.step and run[-1].start == placed.start
    return block_of(run[-1].step) == block_of(placed.step)


def _who_does_what(run: Sequence[Placed]) -> Iterator[str]:
    """In the order of the clock; what one does while the other does something else stays together."""
    words = step_words()
    told: list[tuple[tuple[str, ...], list[str]]] = []
    for placed in run:
        last = next((steps for who, steps in reversed(told) if set(who) & set(placed.who)), None)
        own = next((steps for who, steps in reversed(told) if who == placed.who), None)
        if own is None or own is not last:
            own = []
            told.append((placed.who, own))
        if own[-1:] != [words[placed.step]]:  # one that takes several pieces is told once
            own.append(words[placed.step])
    for who, steps in told:
        yield f"{' and '.join(who)}: {', '.join(steps)}"


def _slots(stay: Stay) -> str:
    return " and ".join(f"{_clock(start)} to {_clock(end)}" for start, end in stay.slots)


def _steps(stay: Stay) -> str:
    words = step_words()
    return ", ".join(dict.fromkeys(words[step.step] for step in stay.steps))


def _clock(minute: int) -> str:
    return f"{minute // 60}:{minute % 60:02d}"


def show_day(on: date) -> str:
    """A day in words."""
    return f"{on:%A} {on.day} {on:%B}"


def _moment(days: Days, minute: int) -> str:
    return f"{show_day(days.first_day + timedelta(days=minute // DAY))} {_clock(minute % DAY)}"


def _at(on: date, minute: int) -> datetime:
    return datetime.combine(on, time(minute // 60, minute % 60))
