"""Lifting: the national handling filter by where the hands pass, reach and team; people needed; what to do.

The filter is not a safe limit. Below it the risk is low; above it a detailed assessment is wanted. Large
panes and frames do not give the good grip it assumes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from jambwright.basis import Problem, Working, clause, table
from jambwright.basis.problems import raise_if_any
from jambwright.checks.verdict import Word

Zone = Literal["shoulder_head", "elbow_shoulder", "knuckle_elbow", "lower_leg_knuckle", "floor_lower_leg"]
Reach = Literal["close", "out"]
L23 = "HSE L23 4th ed. 2016"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """One lift checked: what the team may take, how many it needs, what to do."""

    mass_kg: float
    people: int
    allowed_kg: float
    word: Word
    people_needed: int | None
    """``None`` when no team of up to three stays within the filter."""
    what_to_do: str


@clause(L23, "lifting and lowering filter", unit="kg", formula="filter for one person by zone and reach")
def one_person_kg(*, zone: Zone, reach: Reach = "close", woman: bool = False) -> float:
    """Filter figure for one person.

    >>> one_person_kg(zone="knuckle_elbow"), one_person_kg(zone="floor_lower_leg", woman=True)
    (25.0, 7.0)
    """
    kg: float = table("lifting_filter").find(zone=zone)[f"{'women' if woman else 'men'}_{reach}_kg"]
    return kg


@clause(
    L23,
    "twisting and frequent lifts",
    unit="share",
    formula="share left by twist and by lifts a minute",
    how="read",
)
def share_left(*, twist_deg: float = 0.0, lifts_per_minute: float = 0.0) -> float:
    """What twisting and frequent lifting leave of the filter.

    >>> share_left(twist_deg=60), share_left(lifts_per_minute=1)
    (0.9, 0.7)
    """
    share = 1.0
    for kind, value in (("twist_deg", twist_deg), ("lifts_per_minute", lifts_per_minute)):
        rows = [r for r in table("lifting_reductions") if r["kind"] == kind and value > r["more_than"]]
        share *= min((row["share_left"] for row in rows), default=1.0)
    return share


@clause(L23, "para 120", unit="kg", formula="two people 2/3, three people 1/2 of the sum", how="read")
def team_kg(*, sum_kg: float, people: int) -> float:
    """What a team may lift, given the sum of its members' figures; none is published above three.

    >>> team_kg(sum_kg=50.0, people=2), team_kg(sum_kg=75.0, people=3)
    (33.3, 37.5)
    """
    known = {int(row["people"]): row["share_of_sum"] for row in table("lifting_team")}
    largest = max(known)
    if people > largest:
        return float(known[largest] * sum_kg * largest / people)
    return float(known[people] * sum_kg)


def allowed_kg(
    *, people: int, zone: Zone = "knuckle_elbow", reach: Reach = "close", women: int = 0, share: float = 1.0,
    work: Working | None = None,
) -> float:  # fmt: skip
    """Filter of a team with ``women`` among its ``people``; ``share`` is what twist and pace leave."""
    raise_if_any(_impossible(1.0, people, women))
    work = work or Working()
    man = work.step("m_1", one_person_kg, zone=zone, reach=reach)
    woman = work.step("f_1", one_person_kg, zone=zone, reach=reach, woman=True)
    total = share * ((people - women) * man + women * woman)
    return work.step("m", team_kg, sum_kg=total, people=people)


def lift(
    *,
    mass_kg: float,
    people: int = 2,
    zone: Zone = "knuckle_elbow",
    reach: Reach = "close",
    women: int = 0,
    twist_deg: float = 0.0,
    lifts_per_minute: float = 0.0,
    work: Working | None = None,
) -> Lift:
    """Check one lift against the filter; ``work`` takes the steps to what its team may take.

    >>> lift(mass_kg=34, people=2).people_needed
    3
    """
    raise_if_any(_impossible(mass_kg, people, women))
    work = work or Working()
    share = work.step("k", share_left, twist_deg=twist_deg, lifts_per_minute=lifts_per_minute)
    largest = max(int(row["people"]) for row in table("lifting_team"))

    def limit(team: int, work: Working | None = None) -> float:
        # a bigger team is made up to the same mix: all women stay all women, else men are added
        return allowed_kg(
            people=team,
            zone=zone,
            reach=reach,
            women=team if women == people else min(women, team),
            share=share,
            work=work,
        )

    allowed = limit(people, work)
    needed = next((n for n in range(1, largest + 1) if mass_kg <= limit(n) + 1e-9), None)
    return Lift(
        mass_kg=mass_kg, people=people, allowed_kg=allowed,
        word="meets" if mass_kg <= allowed + 1e-9 else "refer" if needed is None else "advise",
        people_needed=needed, what_to_do=_what_to_do(mass_kg, people, allowed, needed),
    )  # fmt: skip


def _impossible(mass_kg: float, people: int, women: int) -> Iterator[Problem]:
    if mass_kg <= 0:
        yield Problem("mass_kg", f"mass_kg: {mass_kg:g} can't be; weigh the piece or work it out.")
    if people < 1:
        yield Problem("people", f"people: {people} can't lift; give at least one person.")
    if not 0 <= women <= max(people, 1):
        yield Problem("women", f"women: {women} of {people} people can't be; give 0 to {people}.")


def _what_to_do(mass_kg: float, people: int, allowed: float, needed: int | None) -> str:
    who = "one person" if people == 1 else f"{people} people"
    if mass_kg <= allowed + 1e-9:
        return f"{mass_kg:.1f} kg is within the {allowed:.1f} kg filter for {who}; agree the route."
    over = f"{mass_kg:.1f} kg is over the {allowed:.1f} kg filter for {who}"
    if needed:
        return f"{over}: lift with {needed}, or use a lifting aid."
    return (
        f"{over} and for any team: use a lifting aid or fit it in lighter pieces, and assess the lift first."
    )
