"""What carries a vertical sliding sash: spiral balances, or weights on cords, chosen by the mass of the sash."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from jambwright.basis.clause import clause
from jambwright.basis.problems import Problem
from jambwright.basis.tables import table
from jambwright.basis.working import Working
from jambwright.frame.layout import PlacedLight
from jambwright.readings.system_sheet import FrameMaterial
from jambwright.readings.wanted import BalanceKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """What one sash hangs on. Masses in kg."""

    light: str
    words: str
    part: str
    """What the mass is of: the pair of balances, or each of two weights."""
    sash_kg: float
    """The sash with its glass."""
    least_kg: float
    most_kg: float
    working: Working = field(default_factory=Working, compare=False)

    def __str__(self) -> str:
        """As it is ordered.

        >>> str(Balance(light="A", words="spiral balances", part="pair of balances", sash_kg=14.26, least_kg=13.76,
        ...     most_kg=14.76))
        'spiral balances, pair of balances 13.8 to 14.8 kg'
        """
        return f"{self.words}, {self.part} {self.least_kg:.1f} to {self.most_kg:.1f} kg"


@clause(
    "trade notes on balances and weights", "chosen by the finished sash", unit="kg", formula="m = s M + d",
    how="second hand, one page",
)  # fmt: skip
def carried_kg(*, sash_kg: float, share: float, more_kg: float) -> float:
    """Mass that a balance is marked with or a weight weighs: its share of the sash and so much more, kg.

    >>> carried_kg(sash_kg=16.0, share=0.5, more_kg=0.25)
    8.25
    """
    return sash_kg * share + more_kg


def usual_balance(material: FrameMaterial) -> BalanceKind:
    """Cords and weights in timber, spiral balances in all else. Common practice, no published source."""
    return "cords" if material == "timber" else "spiral"


def balances_of(
    lights: tuple[PlacedLight, ...], sash_kg: Mapping[str, float], material: FrameMaterial
) -> Iterator[Balance]:
    """What each sliding sash hangs on; ``sash_kg`` is of the sash with its glass, by light mark."""
    rows = {(row["balance"], row["leaf"]): row for row in table("balances")}
    for light in lights:
        row = rows.get((light.wanted.balance or usual_balance(material), light.leaf))
        if row:
            kg, working = sash_kg[light.mark], Working()
            given = {"sash_kg": kg, "share": row["share"]}
            yield Balance(
                light=light.mark, words=row["words"], part=row["part"], sash_kg=kg,
                least_kg=working.step("least", carried_kg, **given, more_kg=row["least_more_kg"]),
                most_kg=working.step("most", carried_kg, **given, more_kg=row["most_more_kg"]),
                working=working,
            )  # fmt: skip


def unusual(balances: tuple[Balance, ...]) -> Iterator[Problem]:
    """Sashes lighter or heavier than a pair of balances is usually made for."""
    usual = {row["words"]: row for row in table("balances") if row["most_sash_kg"]}
    for each in balances:
        row = usual.get(each.words)
        if row and not row["least_sash_kg"] <= each.sash_kg <= row["most_sash_kg"]:
            say = (
                f"Sash {each.light} weighs {each.sash_kg:.1f} kg; {each.words} are usually made for "
                f"{row['least_sash_kg']:g} to {row['most_sash_kg']:g} kg (from memory, low). Ask the maker before "
                "ordering, or choose lighter glass or a smaller sash."
            )
            yield Problem(f"wanted.layout.balance.{each.light}", say, "caution")
