"""`head-offset`: the frame inside an opening with an arched, raked or gabled head."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AliasChoices, Field

from jambwright.basis.border import Strict
from jambwright.basis.problems import BadInput
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.frame.heads import Head, HeadKind, head_offset

GivenKind = Literal[
    "segmental", "semicircular", "semicircle", "two_centred", "three_centred", "ellipse", "quarter_circle", "circle",
    "raked", "gable",
]  # fmt: skip
KINDS: dict[str, HeadKind] = {"semicircle": "semicircular"}
Length = Annotated[float, Field(ge=0, le=20_000)]
Span = Annotated[float, Field(ge=50, le=20_000)]
Joint = Annotated[float, Field(ge=0, le=1000)]


def _named(*symbols: str) -> Any:
    """A field that may be left out, by its name or by its symbol."""
    return Field(None, validation_alias=AliasChoices(*symbols))


class HeadOffsetInput(Strict):
    """An opening and its joints, as far as the kind needs them."""

    kind: GivenKind
    span_mm: Span | None = _named("span_mm", "span")
    """Width at the springing; the diameter of a circle."""
    half_span_mm: Span | None = _named("half_span_mm", "a")
    rise_mm: Length | None = _named("rise_mm", "rise", "b")
    """Crown over springing; of a raked head the higher side over the lower. Half the span of a semicircle."""
    springing_mm: Length | None = _named("springing_mm", "Hs")
    """Over the opening's bottom; of a raked head the lower side, of a gable the eaves, 0 of a triangle."""
    radius_mm: Span | None = _named("radius_mm", "R")
    """Of a quarter circle; of a two-centred arch whose centres do not lie on the springing line."""
    small_radius_mm: Span | None = _named("small_radius_mm", "r")
    """Of a three-centred arch."""
    joint_mm: Joint | None = _named("joint_mm", "g")
    """At the sides and along the head alike."""
    sides_mm: Joint | None = _named("sides_mm", "gs")
    curve_mm: Joint | None = _named("curve_mm", "gc")
    """Square to the head; that of the sides when left out."""
    bottom_mm: Joint | None = _named("bottom_mm", "gb")
    """Joint and sill under the frame; that of the sides when left out."""


class HeadOffsetAnswer(Answer):
    """The frame's outer edge."""

    span_mm: float
    rise_mm: float
    jamb_mm: float
    """From the frame's bottom to where its head begins; the lower side of a raked frame; 0 where it has none."""
    overall_mm: float
    stays_arc: bool
    radius_mm: float | None = None
    """Where it stays an arc; of a three-centred arch over the crown."""
    small_radius_mm: float | None = None
    arc_mm: float
    """Along the whole head."""
    arc_each_mm: float | None = None
    """Of the two halves of a head with a point: arcs, or rafters."""
    springing_shift_mm: float
    """How far the frame's springing lies over the opening's."""
    stations_mm: list[tuple[float, float]]
    """From midspan outwards, and over the frame's springing; both halves are alike."""
    say: list[str]


NO_JAMB = ("quarter_circle", "circle")


def _head(given: HeadOffsetInput) -> Head:
    kind: HeadKind = KINDS.get(given.kind, given.kind)  # type: ignore[arg-type]  # the other name is in KINDS
    span = _span(given)
    rise = given.rise_mm
    if rise is None:
        rise = {"semicircular": span / 2, "quarter_circle": span, "circle": span}.get(kind)
    springing = 0.0 if given.springing_mm is None and kind in NO_JAMB else given.springing_mm
    if rise is None or springing is None:
        name = "rise_mm" if rise is None else "springing_mm"
        raise BadInput.one(name, f"{name}: is missing; a {kind} head needs it.")
    sides = _one("sides_mm", given.sides_mm, given.joint_mm)
    return Head(
        kind=kind,
        span_mm=span,
        rise_mm=rise,
        springing_mm=springing,
        sides_mm=sides,
        curve_mm=_one("curve_mm", given.curve_mm, given.joint_mm, sides),
        bottom_mm=_one("bottom_mm", given.bottom_mm, sides),
        radius_mm=given.radius_mm if kind == "two_centred" else None,
        small_radius_mm=given.small_radius_mm,
    )


def _span(given: HeadOffsetInput) -> float:
    told = {
        "span_mm": given.span_mm,
        "half_span_mm": None if given.half_span_mm is None else 2 * given.half_span_mm,
        "radius_mm": given.radius_mm if given.kind == "quarter_circle" else None,
    }
    known = {name: mm for name, mm in told.items() if mm is not None}
    if len(known) != 1:
        names = ", ".join(known) or "span_mm"
        lack = "is missing; the head needs its span" if not known else "say the same twice; give one of them"
        raise BadInput.one(names.split(", ", maxsplit=1)[0], f"{names}: {lack}.")
    return next(iter(known.values()))


def _one(name: str, *values: float | None) -> float:
    for value in values:
        if value is not None:
            return value
    raise BadInput.one(name, f"{name}: is missing; give the joint at the sides, or joint_mm for all.")


def _not_used(given: HeadOffsetInput, kind: str) -> str | None:
    """A size that this kind does not have."""
    if given.small_radius_mm is not None and kind != "three_centred":
        return "small_radius_mm"
    if given.radius_mm is not None and kind not in ("two_centred", "quarter_circle"):
        return "radius_mm"
    return "springing_mm" if given.springing_mm and kind in NO_JAMB else None


def _run(given: HeadOffsetInput, work: Working) -> HeadOffsetAnswer:
    if idle := _not_used(given, given.kind):
        raise BadInput.one(idle, f"{idle}: a {given.kind} head has none; leave it out.")
    found = head_offset(_head(given), work)
    names = ("span_mm", "rise_mm", "jamb_mm", "overall_mm", "stays_arc", "arc_mm")
    told = {name: getattr(found, name) for name in names}
    more = {name: getattr(found, name) for name in ("radius_mm", "small_radius_mm", "arc_each_mm")}
    return HeadOffsetAnswer(
        **told,
        **{name: mm for name, mm in more.items() if mm is not None},
        springing_shift_mm=found.shift_mm,
        stations_mm=list(found.stations_mm),
        say=list(found.say),
    )


CALCULATIONS = (
    Calculation(
        name="head-offset",
        summary="The frame inside an opening with an arched, raked or gabled head, an even joint along it.",
        asks=HeadOffsetInput,
        answers=HeadOffsetAnswer,
        run=_run,
        example={
            "kind": "segmental",
            "span_mm": 1200,
            "rise_mm": 200,
            "springing_mm": 900,
            "sides_mm": 5,
            "curve_mm": 5,
            "bottom_mm": 35,
        },
    ),
)
