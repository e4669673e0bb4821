"""A verdict is never a bool: what was found against which limit, from which source, and what it means."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, Literal

from jambwright.basis.clause import WEAK, Clause, How
from jambwright.basis.working import Working
from jambwright.checks.relation import Relation, relation_of

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
class Rest:
    """A value that a finding rests on: what it is by, how sure it is, and whom to ask for a better one."""

    what: str
    """In a sentence that begins with `By`: `a generic profile`."""
    how: How
    ask: str = ""
    """`ask the maker for the declared U-value`; empty for what is never weak."""
    of_product: bool = False
    """It stands for a figure of one maker's product, which common practice does not prove."""

    @property
    def weak(self) -> bool:
        """Whether it is too weak to prove anything alone."""
        return self.how in WEAK or (self.of_product and self.how.startswith("common practice"))

    def __str__(self) -> str:
        """What it is by, with its grade, as printed beside a verdict."""
        return f"{self.what} ({self.how})"


Rests = tuple[tuple[str, Rest], ...]
"""What the inputs of a check rest on, by their names; what is not listed was measured, ordered or said."""


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
    rests_on: tuple[Rest, ...] = ()
    """The inputs that decide it, each with its grade; what was measured or ordered is not listed."""
    asks: str = ""
    """What its rule asks, in few words."""
    write: str = ""
    """How to get what an ``unknown`` finding lacks, in the words of the readings file."""
    places: tuple[str, ...] = ()
    """Paths of the fields that mend it; where the check names none, ``checks.mended_at`` does."""
    stops: tuple[Stop, ...] = ()
    """Gates it shuts; filled in by ``checks.gates``."""
    opens: str = ""
    """What opens them again."""
    cleared: str = ""
    """By whom and when it was settled, where it was."""
    working: Working = field(default_factory=Working, compare=False)

    def __post_init__(self) -> None:
        """A weak input never proves anything: ``settled`` gives what it may say instead."""
        if self.word == "meets" and any(rest.weak for rest in self.rests_on):
            raise ValueError(f"{self.rule}: `meets` can't rest on {', '.join(map(str, self.rests_on))}.")

    @property
    def sentence(self) -> str:
        """``why`` with its light or pane in front."""
        return spoken_of(str(self.part or ""), self.why)

    @property
    def relation(self) -> Relation:
        """How the limit binds what was found, where figures are compared."""
        return relation_of(self.rule, self.word, self.found, self.limit)


def settled(
    *, rule: str, word: Word, why: str, rests_on: Iterable[Rest], source: Clause | None = None, **others: Any
) -> Verdict:
    """The verdict a check came to, or ``advise`` where ``meets`` rests on a weak input.

    What is weak is said, with what to ask whom, also where it speaks against the unit.

    >>> generic = Rest(what="a generic profile", how="invented", ask="ask the maker for the declared U-value")
    >>> found = settled(rule="energy.window.u", word="meets", why="U 1.32; limit 1.40.", rests_on=[generic])
    >>> found.word, found.why
    ('advise', 'U 1.32; limit 1.40. By a generic profile (invented): ask the maker for the declared U-value.')
    """
    rests = tuple(dict.fromkeys(rests_on))
    word, why = capped(word, why, rests)
    return Verdict(rule=rule, word=word, why=why, source=source, rests_on=rests, **others)


def capped(word: Word, why: str, rests: Iterable[Rest]) -> tuple[Word, str]:
    """Word and sentence as far as what they rest on goes."""
    weak = [rest for rest in rests if rest.weak]
    if not weak or word not in ("meets", *AGAINST):
        return word, why
    asks = "; ".join(dict.fromkeys(rest.ask for rest in weak))
    said = f"{why} By {' and '.join(map(str, weak))}: {asks}."
    return ("advise" if word == "meets" else word), said


def rests_of(rests: Rests, *names: str) -> tuple[Rest, ...]:
    """What the inputs of these names rest on, each once."""
    return tuple(dict.fromkeys(rest for name, rest in rests if name in names))


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
