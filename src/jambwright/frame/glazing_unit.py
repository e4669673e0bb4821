"""What a glazing unit is made of, outside first, and its make-up as the trade writes it.

``4T-16Ar-6.4L low-e`` reads: 4 mm toughened outside, a 16 mm argon cavity, 6.4 mm laminated inside,
coated. Faces are counted from outside, so face 1 meets the weather and the last face the room.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal, get_args

from jambwright.basis import BadInput, table

PaneKind = Literal["annealed", "toughened", "laminated", "heat_strengthened"]
Gas = Literal["air", "argon", "krypton", "xenon"]

_KIND_MARK: dict[str, PaneKind] = {
    "": "annealed", "T": "toughened", "L": "laminated", "H": "heat_strengthened",
}  # fmt: skip
_GAS_MARK: dict[str, Gas] = {"": "air", "air": "air", "ar": "argon", "kr": "krypton", "xe": "xenon"}
USUAL_FILL = 0.9
"""Share of the cavity that a gas filling reaches (EN 673 declared values, from memory, high)."""

_PANE = re.compile(r"(\d+(?:\.\d+)?)([A-Za-z]?)")
_CAVITY = re.compile(r"(\d+(?:\.\d+)?)([A-Za-z]*)")
_COATED = re.compile(r"low-?e(?:\s+(\d+(?:\s*,\s*\d+)*))?", re.IGNORECASE)
HOW_TO = "Write it like 4-16Ar-4 low-e: panes and cavities in mm from outside, T, L or H after a pane."


def make_up_pattern() -> str:
    r"""What a make-up looks like, in any capitals, for a screen that can't ask ``parse_glazing``.

    Nothing that can be read is left out; which faces a coating may be on is not told by it.

    >>> bool(re.fullmatch(make_up_pattern(), "4t-16ar-6.4l low-e 3", re.IGNORECASE))
    True
    """
    number, not_none = r"\d+(?:\.\d+)?", r"(?!0+(?:\.0+)?(?![.\d]))"
    laminated = "|".join(re.escape(f"{mm:g}") for mm in sorted(_laminated_mm()))
    plain = "".join(mark for mark, kind in _KIND_MARK.items() if kind != "laminated")
    pane = rf"(?:(?:{laminated})0*L|{not_none}{number}[{plain}]?)"
    cavity = rf"{not_none}{number}(?:{'|'.join(filter(None, _GAS_MARK))})?"
    return rf"\s*{pane}(?:(?:[-/]{cavity}[-/]{pane})+(?:\s+{_COATED.pattern})?)?\s*"


def _laminated_mm() -> set[float]:
    rows = table("laminated_glass")
    exact = (row["outer_ply_mm"] + row["inner_ply_mm"] + row["interlayer_mm"] for row in rows)
    return {*rows.column("thickness_mm"), *(round(mm, 3) for mm in exact)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Pane:
    """One pane; ``thickness_mm`` is the nominal thickness, interlayer included."""

    thickness_mm: float
    kind: PaneKind = "annealed"

    def __post_init__(self) -> None:
        if not self.thickness_mm > 0:
            raise BadInput.one(
                "thickness_mm",
                f"thickness_mm: a pane can't be {self.thickness_mm:g} mm thick; "
                "give the glass thickness, such as 4.",
            )
        if self.kind not in get_args(PaneKind):
            known = ", ".join(get_args(PaneKind))
            raise BadInput.one("kind", f"kind: {self.kind!r} is not a kind of glass; known are {known}.")

    @property
    def layers_mm(self) -> tuple[tuple[float, ...], float]:
        """Thickness of the glass plies, and of the interlayer between them (0 for a single ply)."""
        if self.kind != "laminated":
            return (self.thickness_mm,), 0.0
        laminates = table("laminated_glass")
        for row in laminates:
            plies = (row["outer_ply_mm"], row["inner_ply_mm"])
            exact_mm = sum(plies) + row["interlayer_mm"]
            if min(abs(self.thickness_mm - t) for t in (row["thickness_mm"], exact_mm)) < 0.005:
                return plies, row["interlayer_mm"]
        known = ", ".join(f"{t:g}" for t in laminates.column("thickness_mm"))
        raise BadInput.one(
            "thickness_mm",
            f"thickness_mm: laminated glass of {self.thickness_mm:g} mm is not in the table; "
            f"known are {known}. Give the nominal thickness with the interlayer.",
        )

    @property
    def mass_kg_m2(self) -> float:
        """Mass of glass and interlayer.

        >>> round(Pane(thickness_mm=6.4, kind="laminated").mass_kg_m2, 1)
        15.4
        """
        plies_mm, interlayer_mm = self.layers_mm
        constants = table("glass_constants")
        glass = constants.find(name="density")["value"]
        interlayer = constants.find(name="interlayer_density")["value"]
        return float((sum(plies_mm) * glass + interlayer_mm * interlayer) / 1000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cavity:
    """The sealed space between two panes; ``fill`` is the gas's share, the rest is air."""

    gap_mm: float
    gas: Gas = "air"
    fill: float = 1.0

    def __post_init__(self) -> None:
        if not self.gap_mm > 0:
            raise BadInput.one(
                "gap_mm", f"gap_mm: a cavity can't be {self.gap_mm:g} mm wide; give its width, such as 16."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class GlazingUnit:
    """Panes and cavities from outside, and the coated faces. One pane and no cavity is single glass."""

    panes: tuple[Pane, ...]
    cavities: tuple[Cavity, ...] = ()
    low_e: tuple[int, ...] = ()
    """Numbers of the coated faces, counted from outside: 3 is the cavity face of the inner of two panes."""

    def __post_init__(self) -> None:
        if len(self.cavities) != len(self.panes) - 1:
            raise BadInput.one(
                "cavities",
                f"cavities: {len(self.panes)} pane(s) need {len(self.panes) - 1} cavities between them, "
                f"{len(self.cavities)} given.",
            )
        inside = range(2, 2 * len(self.panes))
        bare = [face for face in self.low_e if face not in inside]
        if bare:
            raise BadInput.one(
                "low_e",
                f"low_e: face {bare[0]} does not face a cavity, so a soft coating can't last there; "
                f"faces are counted from outside{_faces_of(inside)}.",
            )

    @property
    def mass_kg_m2(self) -> float:
        """Mass of all panes.

        >>> parse_glazing("4-16Ar-4 low-e").mass_kg_m2
        20.0
        """
        return sum(pane.mass_kg_m2 for pane in self.panes)

    @property
    def thickness_mm(self) -> float:
        """Overall thickness, nominal.

        >>> parse_glazing("6.4L-14Ar-4 low-e").thickness_mm
        24.4
        """
        return sum(p.thickness_mm for p in self.panes) + sum(c.gap_mm for c in self.cavities)

    def __str__(self) -> str:
        """The make-up as the trade writes it; ``parse_glazing`` reads it back."""
        kinds = {kind: mark for mark, kind in _KIND_MARK.items()}
        gases = {"air": "", "argon": "Ar", "krypton": "Kr", "xenon": "Xe"}
        parts = [f"{self.panes[0].thickness_mm:g}{kinds[self.panes[0].kind]}"]
        for cavity, pane in zip(self.cavities, self.panes[1:], strict=True):
            parts += [f"{cavity.gap_mm:g}{gases[cavity.gas]}", f"{pane.thickness_mm:g}{kinds[pane.kind]}"]
        if not self.low_e:
            return "-".join(parts)
        usual = self.low_e == usual_coated_faces(len(self.panes))
        faces = "" if usual else " " + ",".join(str(face) for face in self.low_e)
        return "-".join(parts) + " low-e" + faces


def usual_coated_faces(panes: int) -> tuple[int, ...]:
    """Faces coated when a make-up only says low-e: one a cavity (common practice, no published source).

    The innermost cavity is coated on its room side, the others on their outer side.

    >>> usual_coated_faces(2), usual_coated_faces(3)
    ((3,), (2, 5))
    """
    if panes < 2:
        return ()
    return (*(2 * cavity for cavity in range(1, panes - 1)), 2 * panes - 1)


def parse_glazing(text: str) -> GlazingUnit:
    """Read a make-up such as ``4-16Ar-4 low-e``; ``/`` does for ``-``.

    A pane is its thickness and T (toughened), L (laminated), H (heat-strengthened) or nothing (annealed); a
    cavity is its width and Ar, Kr, Xe or nothing (air). ``low-e`` may be followed by the coated faces:
    ``low-e 2,5``. A gas filling counts as ``USUAL_FILL``.

    Raises ``BadInput`` that quotes the part it can't read.

    >>> unit = parse_glazing("4T-12Ar-4-12Kr-6.4L low-e")
    >>> [pane.kind for pane in unit.panes], unit.low_e
    (['toughened', 'annealed', 'laminated'], (2, 5))
    """
    build, _, rest = text.strip().partition(" ")
    parts = re.split(r"[-/]", build)
    if not build or len(parts) % 2 == 0:
        raise _unreadable(text, "panes and cavities must take turns and end with a pane")
    panes = tuple(_pane(part, text) for part in parts[::2])
    cavities = tuple(_cavity(part, text) for part in parts[1::2])
    try:
        return GlazingUnit(panes=panes, cavities=cavities, low_e=_coated(rest, text, len(panes)))
    except BadInput as bad:
        raise _unreadable(text, "; ".join(p.say.rstrip(".") for p in bad.problems)) from None


def _pane(part: str, text: str) -> Pane:
    match = _PANE.fullmatch(part)
    if not match:
        raise _unreadable(text, f"`{part}` is not a pane")
    thickness, mark = float(match[1]), match[2].upper()
    if mark not in _KIND_MARK:
        raise _unreadable(text, f"`{part}`: the letter after a pane is T, L or H")
    try:
        pane = Pane(thickness_mm=thickness, kind=_KIND_MARK[mark])
        _ = pane.layers_mm
    except BadInput as bad:
        raise _unreadable(text, "; ".join(p.say.rstrip(".") for p in bad.problems)) from None
    return pane


def _cavity(part: str, text: str) -> Cavity:
    match = _CAVITY.fullmatch(part)
    if not match:
        raise _unreadable(text, f"`{part}` is not a cavity")
    gas = _GAS_MARK.get(match[2].lower())
    if gas is None:
        raise _unreadable(
            text, f"`{part}`: unknown gas `{match[2]}`; known are Ar, Kr, Xe, or nothing for air"
        )
    if float(match[1]) == 0:
        raise _unreadable(text, f"`{part}`: a cavity can't be 0 mm wide")
    return Cavity(gap_mm=float(match[1]), gas=gas, fill=1.0 if gas == "air" else USUAL_FILL)


def _coated(words: str, text: str, panes: int) -> tuple[int, ...]:
    if not words.strip():
        return ()
    match = _COATED.fullmatch(words.strip())
    if not match:
        raise _unreadable(text, f"`{words.strip()}` is not known; after the panes only low-e may follow")
    if panes == 1:
        raise _unreadable(text, "single glass has no cavity to hold a low-e coating")
    if match[1]:
        return tuple(sorted({int(face) for face in match[1].split(",")}))
    return usual_coated_faces(panes)


def _unreadable(text: str, why: str) -> BadInput:
    return BadInput.one("glass", f"glass: `{text}` can't be read: {why}. {HOW_TO}")


def _faces_of(inside: range) -> str:
    return f", {inside[0]} to {inside[-1]} here" if inside else "; single glass has none"
