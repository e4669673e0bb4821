"""`standard-sizes`: how few sizes serve many openings, and which so many lose least of the gap."""

from __future__ import annotations

import math
from typing import Annotated

from pydantic import Field

from jambwright.basis.border import NotNegative, Strict
from jambwright.basis.clause import Clause
from jambwright.basis.envelope import MOST_ITEMS
from jambwright.basis.problems import BadInput
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.plan.standard_sizes import Assortment, standard_lengths, standard_sizes

Length = Annotated[float, Field(gt=0, le=20_000)]
GROUPS = Clause("Least loss of groups of neighbours, by dynamic programming", "", "from memory, high")
MEDIAN = Clause("Sizes as a median problem, with prices for openings", "", "from memory, high")


class OpeningGiven(Strict):
    """The largest frame that fits."""

    width_mm: Length
    height_mm: Length


class StandardSizesInput(Strict):
    """Openings, by width and height or by one length."""

    openings: Annotated[list[OpeningGiven], Field(min_length=1, max_length=MOST_ITEMS)] | None = None
    """The largest frame that fits each, of one kind: hand, colour and glass alike."""
    lengths_mm: Annotated[list[Length], Field(min_length=1, max_length=MOST_ITEMS)] | None = None
    """In place of `openings`, where one length alone matters."""
    largest_loss_mm: NotNegative | None
    """How much smaller than what fits a size may be, each way; `null` for any."""
    sizes: Annotated[int, Field(ge=1, le=MOST_ITEMS)] | None = None
    """How many may be ordered; the fewest when left out."""
    seconds: Annotated[float, Field(gt=0, le=600)] = 10.0
    """Time to search in; lengths need none of it."""


class StandardSizesAnswer(Answer):
    """The sizes, and what they lose."""

    sizes: list[float] | list[tuple[float, float]]
    """Lengths, or width and height."""
    total_loss_mm: float
    """What fits less what is ordered, width and height added, over all openings."""
    of: list[int]
    """The size of each opening, counted from 0."""
    lower_bound: float
    """No choice of so many sizes loses less."""
    proven_optimal: bool
    """The bound meets the loss; without `sizes` also that no fewer do."""
    fewest_sizes_bound: int
    """Fewer sizes never serve all."""
    worst_loss_mm: float
    """The most that one opening loses one way."""


def _run(given: StandardSizesInput, work: Working) -> StandardSizesAnswer:
    if (given.openings is None) == (given.lengths_mm is None):
        raise BadInput.one("openings", "openings: give openings or lengths_mm, one of the two.")
    largest = math.inf if given.largest_loss_mm is None else given.largest_loss_mm
    fits: list[tuple[float, ...]]
    if given.lengths_mm is not None:
        fits, source = [(length,) for length in given.lengths_mm], GROUPS
        found = standard_lengths(given.lengths_mm, largest_loss=largest, most=given.sizes)
    else:
        both = [(o.width_mm, o.height_mm) for o in given.openings or ()]
        fits, source = [*both], MEDIAN
        found = standard_sizes(both, largest_loss=largest, most=given.sizes, seconds=given.seconds)
    _note(work, found, len(fits), source)
    worst = max(
        space - size for opening, n in zip(fits, found.of, strict=True)
        for space, size in zip(opening, found.sizes[n], strict=True)
    )  # fmt: skip
    plain = [tuple(map(float, size)) for size in found.sizes]
    return StandardSizesAnswer.model_validate(
        {
            "sizes": [size[0] for size in plain] if given.lengths_mm is not None else plain,
            "total_loss_mm": found.total_loss,
            "of": found.of.tolist(),
            "lower_bound": found.lower_bound,
            "proven_optimal": found.proven_optimal,
            "fewest_sizes_bound": found.sizes_bound,
            "worst_loss_mm": max(float(worst), 0.0),
        }
    )


def _note(work: Working, found: Assortment, openings: int, source: Clause) -> None:
    work.note("k", "sizes ordered", len(found.sizes), "", source, openings=openings, allowed=found.most)
    work.note("k_min", "fewer sizes never serve all", found.sizes_bound, "", source)
    work.note("loss", "Σ (fits − ordered)", found.total_loss, "mm", source)
    work.note("lower bound", "no choice of so many loses less", found.lower_bound, "mm", source)


CALCULATIONS = (
    Calculation(
        name="standard-sizes",
        summary="How few sizes serve many openings, and which so many lose least of the gap.",
        asks=StandardSizesInput,
        answers=StandardSizesAnswer,
        run=_run,
        example={
            "openings": [
                {"width_mm": width, "height_mm": height}
                for width, height in [
                    (906, 1047),
                    (1191, 1047),
                    (903, 1047),
                    (1196, 1054),
                    (912, 1054),
                    (1183, 1047),
                ]
            ],
            "largest_loss_mm": 15,
            "sizes": 3,
        },
    ),
)
