"""The user's own price file: YAML or JSON, every price before VAT. A blank price is one still to be filled in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Annotated, Any, Literal, Self

from pydantic import Field, field_validator, model_validator

from jambwright.basis.border import Strict, accept
from jambwright.basis.problems import BadInput
from jambwright.basis.tree import parse_tree
from jambwright.frame.glazing_unit import parse_glazing
from jambwright.readings.ordering import OnEveryOrder
from jambwright.readings.system_sheet import SashKind
from jambwright.readings.wanted import Colour

Money = Annotated[Decimal, Field(ge=0, decimal_places=2, max_digits=12)]
Percent = Annotated[Decimal, Field(ge=0, max_digits=9)]


class FramePrice(Strict):
    """Frames of one profile, without glass."""

    profile: str
    colour: Colour | None = None
    """Left out: every colour without a row of its own."""
    kind: SashKind | None = None
    """Of a row that prices one kind of sash or leaf alone, by `per_sash`; left out in the row of the frame."""
    per_sash: Money | None = None
    """For each that opens of the row's kind, with its hardware, in place of opener or door leaf."""
    per_frame: Money | None = None
    per_m2: Money | None = None
    """Of frame, by its order size."""
    per_opener: Money | None = None
    """For each sash that opens, with its hardware."""
    per_door_leaf: Money | None = None


class GlassPrice(Strict):
    """Units of one make-up, as the readings file writes it."""

    make_up: str
    per_m2: Money | None = None
    obscure_more_per_m2: Money | None = None
    """On top where the glass is obscured."""

    @field_validator("make_up")
    @classmethod
    def _as_the_trade_writes_it(cls, make_up: str) -> str:
        return str(parse_glazing(make_up))


class MaterialPrice(Strict):
    """One pack, as the buying list counts packs."""

    item: str
    size: str = ""
    """Left out: every size without a row of its own."""
    per_pack: Money | None = None


class Labour(Strict):
    """What an hour of one person costs the firm."""

    per_hour: Money | None = None
    pace: Literal["low", "typical", "high"] = "typical"
    """Column of the table of hours."""


class AccessPrice(Strict):
    """Reaching the outside upstairs."""

    once: Money | None = None
    """Bringing and putting up a tower, where any opening is upstairs."""
    per_opening: Money | None = None
    """Each opening upstairs."""


class Vat(Strict):
    """Value added tax as the user has settled it; the tool does not judge which rate applies."""

    percent: Annotated[Decimal, Field(ge=0, le=100, max_digits=9)]
    per: Literal["total", "line"] = "total"
    """Worked out once on the total, or on each line and added up."""
    treatment: str
    """In words, as printed: `standard rate`."""


class Prices(Strict):
    """A whole price file. Amounts are in pounds and pence or the like, before VAT, what things cost the firm."""

    jambwright_prices: Literal[1]
    """Version of this layout."""
    note: str = ""
    firm: str
    """Name and address, as printed."""
    order: OnEveryOrder = OnEveryOrder()
    """What stands on every order to a maker that does not say otherwise."""
    sign: str = "£"
    dated: date
    valid_days: Annotated[int, Field(ge=1)] = 30
    frames: list[FramePrice] = []
    glass: list[GlassPrice] = []
    panel_per_m2: Money | None = None
    materials: list[MaterialPrice] = []
    labour: Labour = Labour()
    access: AccessPrice = AccessPrice()
    travel_per_visit: Money | None = None
    waste_per_tonne: Money | None = None
    margin_percent: Annotated[Decimal, Field(ge=0, lt=100, max_digits=9)] | None = None
    """Share of the price, before VAT. Give this or `mark_up_percent`."""
    mark_up_percent: Percent | None = None
    """Share of the cost, on top of it. Give this or `margin_percent`."""
    vat: Vat
    options: list[str] = []
    """What the owner may have besides, not in the total."""
    exclusions: list[str] = []
    """What the total does not hold."""

    @model_validator(mode="after")
    def _one_way_to_earn(self) -> Self:
        if (self.margin_percent is None) == (self.mark_up_percent is None):
            raise ValueError(
                "give margin_percent (share of the price) or mark_up_percent (share of the cost), one of the two."
            )
        return self

    @model_validator(mode="after")
    def _one_row_a_thing(self) -> Self:
        rows = [
            *(("frames", f"{row.profile} {row.colour or ''} {row.kind or ''}") for row in self.frames),
            *(("glass", row.make_up) for row in self.glass),
            *(("materials", f"{row.item} {row.size}") for row in self.materials),
        ]
        twice = [f"{what.strip()} in {field}" for (field, what), count in Counter(rows).items() if count > 1]
        if twice:
            raise ValueError(f"priced twice: {', '.join(twice)}; keep one row of each.")
        return self


def read_prices(text: str) -> Prices:
    """Read a price file. Raises ``BadInput`` with every problem found in it."""
    return prices_from_tree(parse_tree(text))


def prices_from_tree(tree: Any) -> Prices:
    """Check plain values against the model. Raises ``BadInput``."""
    if not isinstance(tree, Mapping):
        raise BadInput.one(
            "file", "The file holds no prices; `jambwright form --prices` writes invented ones."
        )
    return accept(Prices, tree)
