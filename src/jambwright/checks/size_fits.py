"""Do the readings agree well enough to order by, and does the frame ordered go in with the chance wanted."""

from __future__ import annotations

from collections.abc import Iterator

from jambwright.basis.units import show_mm
from jambwright.basis.working import Working
from jambwright.checks.verdict import Verdict, Word
from jambwright.frame.faces import Lapped
from jambwright.frame.order_size import OrderSize
from jambwright.frame.size_steps import BEHIND, JOINT, note_size
from jambwright.opening import Advice, Outline
from jambwright.opening.outline_steps import LEAST_SQUARES, note_outline
from jambwright.readings.survey import Opening

WORDS: dict[str, Word] = {"agree": "meets", "too few readings to tell": "advise", "measure again": "fails"}
P_LEAST = 0.001
"""Readings less likely than this are not honest scatter: the level of the search for misreads."""


def readings_verdict(outline: Outline, advice: Advice, face: str = "") -> Verdict:
    """Whether the readings of one face agree; what to measure next where they do not."""
    why = " ".join(advice.say) or "The readings agree and check each other."
    if outline.p_value is not None:
        why += f" Honest readings scatter at least this much {100 * outline.p_value:.0f} times in 100."
    if advice.extra:
        why += f" {advice.extra_say}"
    if face:
        why = f"{face}: {why}"
    work = Working()
    note_outline(work, outline)
    return Verdict(
        rule="readings.agree", word=WORDS[advice.word], why=why, found=outline.p_value, limit=P_LEAST,
        source=LEAST_SQUARES, working=work,
    )  # fmt: skip


def held_verdict(held: str) -> Verdict:
    """What holds the order of a rebated reveal: a face not read, or two that disagree."""
    return Verdict(rule="readings.both_faces", word="unknown", why=held, source=BEHIND)


def size_verdict(size: OrderSize, laps: Lapped | None = None) -> Verdict:
    """Whether the frame goes in with every wanted gap kept, and what governs; behind nibs, what it laps."""
    enough = size.probability_fits >= size.confidence - 1e-9
    why = f"It goes in with every gap kept {100 * size.probability_fits:.1f} times in 100"
    why += f"; tightest is the {size.governs}." if size.governs not in ("", "none") else "."
    if not enough:
        why += " No size does better within the gaps wanted: allow other gaps, or mend the reveal first."
    if laps:
        why += (
            f" It stands behind the nibs and goes in from inside: {laps.larger}, its sill counted, than the hole "
            "seen from outside."
        )
    work = Working()
    note_size(work, size, laps)
    return Verdict(
        rule="size.chance", word="meets" if enough else "advise", why=" ".join((why, *size.rests_on)),
        found=size.probability_fits, limit=size.confidence, source=JOINT, working=work,
    )  # fmt: skip


def ordered_verdict(opening: Opening, size: OrderSize) -> Iterator[Verdict]:
    """What speaks against a frame that is ordered already and not yet fitted, by what is read now."""
    if not opening.is_done("ordered") or opening.is_done("fitted"):
        return
    if opening.ordered_mm is None:
        why = (
            "It is marked as ordered, but not at what size; give the ordered width and height off the "
            "order, or a changed reading changes its size here."
        )
        yield Verdict(rule="size.ordered", word="unknown", why=why, source=JOINT)
    elif size.probability_fits < size.confidence:
        why = (
            f"The frame ordered at {show_mm(size.width_mm)} x {show_mm(size.height_mm)} goes in with every gap "
            f"kept {100 * size.probability_fits:.0f} times in 100 by the readings now. Measure again before the "
            "old frame comes out; have the reveal cut back or the order changed."
        )
        yield Verdict(
            rule="size.ordered", word="fails", why=why, found=size.probability_fits, limit=size.confidence,
            source=JOINT,
        )  # fmt: skip
