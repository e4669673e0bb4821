"""A verdict is never a bool: what was found against which limit, from which source, and what it means."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

from jambwright.basis.clause import Clause
from jambwright.basis.working import Working

Word = Literal["meets", "advise", "refer", "worse", "fails", "unknown"]

GRAVITY: tuple[Word, ...] = ("meets", "advise", "refer", "unknown", "worse", "fails")
"""The words from harmless to grave."""

Stop = Literal["ordering", "work"]
"""What a finding may stop until it is settled."""

AGAINST: tuple[Word, ...] = ("fails", "worse")
"""Words of findings that keep work from passing."""


@dataclass(frozen=True, slots=True)
class PartOfOpening:
    """The light or pane of an opening that a finding speaks of."""

    kind: Literal["light", "pane"]
    mark: str

    def __str__(self) -> str:
        return f"{self.kind} {self.mark}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """The outcome of one check on one opening or on the house.

    ``unknown`` means an input is missing: ``why`` says which, and how to get it. ``refer`` means the tool
    must not decide: building control or a specialist does. ``worse`` is used where the law asks for no
    worse than before.
    """

    rule: str
    word: Word
    why: str
    """Without the name of opening, light or pane: those that print it know them."""
    part: PartOfOpening | None = None
    """Of the opening, where not all of it is meant."""
    found: Any = None
    limit: Any = None
    unit: str = ""
    source: Clause | None = None
    missing: tuple[str, ...] = ()
    """Inputs that an ``unknown`` finding lacks, where they are named."""
    asks: str = ""
    """What its rule asks, in few words."""
    write: str = ""
    """How to get what an ``unknown`` finding lacks, in the words of the readings file."""
    stops: tuple[Stop, ...] = ()
    """Gates it shuts; filled in by ``checks.gates``."""
    opens: str = ""
    """What opens them again."""
    cleared: str = ""
    """By whom and when it was settled, where it was."""
    working: Working = field(default_factory=Working, compare=False)

    @property
    def sentence(self) -> str:
        """``why`` with its light or pane in front."""
        return spoken_of(str(self.part or ""), self.why)


def spoken_of(of: str, sentence: str) -> str:
    """A sentence with what it speaks of in front.

    >>> spoken_of("light A", "A top hung light is no way out."), spoken_of("", "U 1.4 W/m²K.")
    ('Light A: a top hung light is no way out.', 'U 1.4 W/m²K.')
    >>> spoken_of("pane B", "U 1.4 W/m²K.")
    'Pane B: U 1.4 W/m²K.'
    """
    if not of:
        return sentence
    first, _, _ = sentence.partition(" ")
    symbol = len(first) == 1 and first != "A"
    rest = sentence if symbol else f"{sentence[:1].lower()}{sentence[1:]}"
    return f"{of[:1].upper()}{of[1:]}: {rest}"


def gravity(verdict: Verdict) -> int:
    """How grave a finding is; 0 is harmless."""
    return GRAVITY.index(verdict.word)


def gravest(verdicts: list[Verdict]) -> Word:
    """The gravest word among verdicts; ``meets`` when there are none."""
    return max((v.word for v in verdicts), key=GRAVITY.index, default="meets")
