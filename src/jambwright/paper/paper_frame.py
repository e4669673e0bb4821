"""What stands round every paper: whose house, which issue, which plan, what its gates stop, and who decides."""

from __future__ import annotations

from datetime import date

from jambwright import __version__
from jambwright.paper.gate_words import SHUT
from jambwright.record import Gate, PlanRecord

CAUTION = (
    "These figures support a competent person. Local codes, building control and licensed people decide."
)
NOTHING_STOPS = "Nothing stops the order or the work"


def paper_frame(record: PlanRecord) -> dict[str, str]:
    """The words of head and foot, the same on every paper of a plan."""
    site = record.site
    return {
        "house": site.label,
        "note": site.note,
        "issue": issue_words(record),
        "gates": gates_words(record),
        "made": f"{record.made_with} · plan {record.plan_id}",
        "author": author_of(record),
        "caution": CAUTION,
    }


def blank_frame() -> dict[str, str]:
    """The same of a house of which nothing is known yet: no gates, and no plan."""
    made = f"jambwright {__version__}"
    return {
        "house": "House not named yet",
        "note": "",
        "issue": "",
        "gates": "",
        "made": f"{made} · blank, of no plan",
        "author": made,
        "caution": CAUTION,
    }


def author_of(record: PlanRecord) -> str:
    """The firm where the order names it, else the house; prices must not change papers that hold none."""
    head = record.order.head if record.order else None
    return (head.purchaser if head else None) or record.site.label


def issue_words(record: PlanRecord) -> str:
    """Issue of the order and day of the work, as far as they were said."""
    issue = [f"issue {record.order.head.issue}"] if record.order else []
    on = record.site.date_of_work
    return ", ".join([*issue, f"work dated {day(on)}" if on else "day of the work not given"])


def gates_words(record: PlanRecord) -> str:
    """What the gates stop, in a line however many openings there are."""
    said = "; ".join(filter(None, (_stopped(record, name) for name in SHUT)))
    return (said[:1].upper() + said[1:]) or NOTHING_STOPS


def _stopped(record: PlanRecord, name: str) -> str:
    house: Gate = getattr(record.gates, name)
    if house.state == "shut":
        return f"{SHUT[name]}: the whole house"
    every = record.every_opening
    shut = sum(getattr(each.gates, name).state == "shut" for each in every)
    return f"{SHUT[name]}: {shut} of {len(every)} openings" if shut else ""


def day(when: date) -> str:
    """A day as written in a letter.

    >>> day(date(2026, 12, 7))
    '7 December 2026'
    """
    return f"{when.day} {when:%B %Y}"
