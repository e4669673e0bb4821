"""Looks things up in a price file and remembers everything that has no price yet."""

from __future__ import annotations

from decimal import Decimal

from jambwright.basis.problems import Problem
from jambwright.frame.frame import Chosen
from jambwright.frame.glazing_unit import GlazingUnit
from jambwright.plan.materials import Material
from jambwright.plan.prices import FramePrice, GlassPrice, Prices

NOTHING = Decimal(0)


class PriceList:
    """Prices by what they are for. What is missing counts nothing and is noted once in ``missing``."""

    def __init__(self, prices: Prices) -> None:
        self.prices = prices
        self._missing: dict[str, Problem] = {}

    @property
    def missing(self) -> tuple[Problem, ...]:
        """Every price asked for and not found, with the field to fill."""
        return tuple(self._missing.values())

    def frame(self, chosen: Chosen, part: str) -> Decimal:
        """One of the prices of a frame: ``per_frame``, ``per_m2``, ``per_opener``, ``per_door_leaf``."""
        profile, colour = chosen.profile.name, chosen.colour
        what = f"frame {chosen.profile.title}, {colour}"
        index, row = self._frame_row(profile, colour)
        if row is None:
            return self._none(f"frames: {profile} {colour}", "frames", what, "add a row for it under Frames")
        return self.plain(getattr(row, part), f"frames.{index}.{part}", what)

    def sash(self, chosen: Chosen, kind: str) -> Decimal | None:
        """One sash or leaf of a kind, where a row prices that kind; ``None`` where it goes with the others."""
        index, row = self._frame_row(chosen.profile.name, chosen.colour, kind)
        if row is None:
            return None
        return self.plain(row.per_sash, f"frames.{index}.per_sash", f"{kind} of {chosen.profile.title}")

    def glass(self, unit: GlazingUnit, part: str = "per_m2") -> Decimal:
        """``per_m2`` of a make-up, or what obscured glass costs more."""
        make_up = str(unit)
        index, row = self._glass_row(make_up)
        if row is None:
            return self._none(
                f"glass: {make_up}", "glass", f"glass {make_up}", "add a row for it under Glass"
            )
        return self.plain(getattr(row, part), f"glass.{index}.{part}", f"glass {make_up}")

    def material(self, material: Material) -> Decimal:
        """A pack of one size, or of every size."""
        rows = enumerate(self.prices.materials)
        found = {row.size: (n, row) for n, row in rows if row.item == material.item}
        if not {material.size, ""} & set(found):
            what = f"{material.name} ({material.pack.name})"
            return self._none(
                f"materials: {material.name}", "materials", what, "add a row for it under Materials"
            )
        index, row = found.get(material.size) or found[""]
        return self.plain(
            row.per_pack, f"materials.{index}.per_pack", f"{material.name} ({material.pack.name})"
        )

    def plain(self, price: Decimal | None, field: str, what: str) -> Decimal:
        """A price that stands in one field of its own."""
        return self._none(field, field, what, "fill it in") if price is None else price

    def _frame_row(self, profile: str, colour: str, kind: str | None = None) -> tuple[int, FramePrice | None]:
        rows = enumerate(self.prices.frames)
        found = {row.colour: (n, row) for n, row in rows if (row.profile, row.kind) == (profile, kind)}
        return next((found[key] for key in (colour, None) if key in found), (0, None))

    def _glass_row(self, make_up: str) -> tuple[int, GlassPrice | None]:
        rows = enumerate(self.prices.glass)
        return next(((n, row) for n, row in rows if row.make_up == make_up), (0, None))

    def _none(self, key: str, field: str, what: str, do: str) -> Decimal:
        self._missing.setdefault(key, Problem(field, f"No price for {what}; {do}."))
        return NOTHING
