"""Clear opening by name: what a kind of window or door leaves clear when open, and whether it is a way out."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Annotated, Any, Literal, cast

from pydantic import AliasChoices, Field

from jambwright.basis import Working
from jambwright.basis.border import NotNegative, Positive, Strict, names_of
from jambwright.basis.problems import BadInput
from jambwright.calc.calculation import Answer, Calculation
from jambwright.checks import regulations
from jambwright.checks.clear_opening import Kind, Sizes, clear_of, way_out
from jambwright.readings.survey import Nation

Code = Literal[
    "FX", "SH", "EG", "BH", "TH", "TT", "RV", "VS", "FC", "DR", "DD", "ST", "SL", "BF", "SG"
]  # fmt: skip
CODES: Mapping[Code, Kind] = {
    "FX": "fixed", "SH": "side_hung", "EG": "easy_clean", "BH": "butt_hinged", "TH": "top_hung",
    "TT": "tilt_turn", "RV": "reversible", "VS": "vertical_slider", "FC": "french_window", "DR": "door",
    "DD": "door_pair", "ST": "stable_door", "SL": "slider", "BF": "bi_fold", "SG": "secondary",
}  # fmt: skip
"""Short codes of the kinds. ``EG`` stands for the escape or easy-clean stay that leaves less clear."""


def _named(name: str, *symbols: str) -> Any:
    """A field that may be left out, by its name or by its symbol on a drawing."""
    return Field(None, validation_alias=AliasChoices(name, *symbols))


Size = Positive | None
Loss = NotNegative | None


class ClearOpeningInput(Strict):
    """One unit by its kind, as far as the kind needs its sizes; symbols as on a section drawing."""

    kind: Kind | Code
    """In words, or by its short code."""
    frame_clear_width_mm: Size = _named("frame_clear_width_mm", "Wi")
    """Daylight of the outer frame with the sash away; frame width less two faces when left out."""
    frame_clear_height_mm: Size = _named("frame_clear_height_mm", "Hi")
    frame_mm: Size = _named("frame_mm", "W")
    """Outer width of the frame."""
    frame_height_mm: Size = _named("frame_height_mm", "H")
    frame_face_mm: Size = _named("frame_face_mm", "F")
    """Outer edge of the frame to its daylight."""
    sash_width_mm: Size = _named("sash_width_mm", "S")
    sash_height_mm: Size = _named("sash_height_mm", "S")
    open_angle_deg: Annotated[float, Field(gt=0, le=180)] | None = _named("open_angle_deg", "th")
    travel_mm: Loss = _named("travel_mm")
    """How far the free edge of a hung sash, or a sliding sash or pane, moves from shut."""
    stay_in: Size = _named("stay_in")
    """Length of a friction stay of a top-hung sash, inches."""
    obstruction_mm: Loss = _named("obstruction_mm", "o")
    """What stay, hinge and sash still block."""
    lower_sash_mm: Size = _named("lower_sash_mm", "hb")
    upper_sash_mm: Size = _named("upper_sash_mm", "ht")
    meeting_rail_mm: Size = _named("meeting_rail_mm", "m")
    bottom_rail_mm: Size = _named("bottom_rail_mm", "b")
    top_rail_mm: Size = _named("top_rail_mm", "t")
    stop_loss_mm: Loss = _named("stop_loss_mm", "a")
    """What stop and finger lift take of the travel."""
    horn_mm: Loss = _named("horn_mm", "horn")
    guide_mm: Loss = _named("guide_mm")
    """What the guide at each side takes of the width."""
    leaf_thickness_mm: Size = _named("leaf_thickness_mm", "t")
    pin_outside_mm: Loss = _named("pin_outside_mm", "b")
    """Hinge pin outside the face of the leaf."""
    pin_to_daylight_mm: Loss = _named("pin_to_daylight_mm", "c'", "c")
    mullion: Literal["floating", "fixed"] | None = None
    """Of a pair; `fixed` where a mullion face is given, else `floating`."""
    mullion_mm: Size = _named("mullion_mm", "T")
    """Face of the fixed mullion of a pair."""
    slave_left_mm: Loss = _named("slave_left_mm", "A'")
    """Meeting stile of a slave leaf that stays shut."""
    mode: Literal["OX", "XO", "OXO", "OXX", "XXO", "OXXO"] | None = None
    """Which panes of a slider slide (X), from the left as seen from outside."""
    jamb_mm: Size = _named("jamb_mm", "J")
    interlock_mm: Size = _named("interlock_mm", "I")
    handle_standoff_mm: Loss = _named("handle_standoff_mm", "x")
    meeting_mm: Loss = _named("meeting_mm", "am")
    """Meeting gap or profile where two panes of a slider part."""
    pane_mm: Size = _named("pane_mm", "p")
    track_mm: Size = _named("track_mm", "L")
    """Clear width of the track of a folding set."""
    leaves: Annotated[int, Field(ge=2, le=12)] | None = _named("leaves", "N")
    stack_gap_mm: Loss = _named("stack_gap_mm", "g")
    nation: Nation = "england"
    """Whose rules say how large a way out must be."""
    date: datetime.date | None = None
    """Day of the work; the newest rules held when left out."""


class Escape(Answer):
    """Whether the sizes make a way out."""

    meets: bool | None
    """`null` where the sizes alone do not tell: `why` says whom to ask."""
    why: str


class Taken(Answer):
    """A usual size taken for one that was not given."""

    field: str
    value: float
    source: str


class ClearOpeningAnswer(Answer):
    """What is left clear; `null` where only the maker's sheet tells."""

    clear_width_mm: float | None
    """Of a side-hung sash square to the opened sash; of a pair with both leaves open."""
    clear_height_mm: float | None
    clear_area_m2: float | None
    free_area_m2: float | None
    """For air."""
    square_to_wall_mm: float | None = None
    """The clear width of a side-hung sash measured square to the wall."""
    master_width_mm: float | None = None
    """The clear width with the master leaf of a pair alone; of one leaf beside a fixed mullion."""
    escape: Escape
    taken: list[Taken]
    not_used: list[str]
    """Sizes given that this kind does not need."""


_OTHERS = {"kind", "mullion", "mode", "nation", "date"}


def _sizes(given: ClearOpeningInput, work: Working) -> Sizes:
    plain = given.model_dump(exclude_none=True, exclude=_OTHERS)
    kind = CODES.get(cast(Code, given.kind), cast(Kind, given.kind))
    sizes = Sizes(kind=kind, given=plain, work=work, mode=given.mode)
    for clear, outer in (("frame_clear_width_mm", "frame_mm"), ("frame_clear_height_mm", "frame_height_mm")):
        if clear not in plain and outer in plain and "frame_face_mm" in plain:
            plain[clear] = sizes.one(outer) - 2 * sizes.one("frame_face_mm")
            if plain[clear] <= 0:
                raise BadInput.one(outer, f"{outer}: two frame faces leave nothing of it; measure again.")
    if given.mullion == "fixed" and given.mullion_mm is None:
        raise BadInput.one(
            "mullion_mm", "mullion_mm: is missing; a fixed mullion takes its face of the opening."
        )
    if given.mullion == "floating" and given.mullion_mm is not None:
        say = "mullion_mm: a floating mullion leaves with its leaf and takes nothing; leave its face out."
        raise BadInput.one("mullion_mm", say)
    return sizes


def _run(given: ClearOpeningInput, work: Working) -> ClearOpeningAnswer:
    sizes = _sizes(given, work)
    found = clear_of(sizes)
    on = given.date or regulations.newest_day(given.nation, "escape.area")
    out = way_out(found, regulations.rules_in_force(given.nation, on))
    known = found.width_mm is not None and found.height_mm is not None
    told = {
        "clear_width_mm": found.width_mm,
        "clear_height_mm": found.height_mm,
        "clear_area_m2": (found.width_mm or 0.0) * (found.height_mm or 0.0) * 1e-6 if known else None,
        "free_area_m2": found.free_area_m2,
        "escape": Escape(meets=out.meets, why=out.why),
        "taken": [Taken(field=row["size"], value=row["value"], source=row["source"]) for row in sizes.taken],
        "not_used": _not_used(given, sizes),
    }
    more = {"square_to_wall_mm": found.square_to_wall_mm, "master_width_mm": found.master_width_mm}
    return ClearOpeningAnswer.model_validate(told | {name: mm for name, mm in more.items() if mm is not None})


def _not_used(given: ClearOpeningInput, sizes: Sizes) -> list[str]:
    """Names as given. One symbol may stand for a size of several kinds: it was used if any of them was."""
    names = {
        name: _symbols(name) for name in given.model_fields_set - _OTHERS if getattr(given, name) is not None
    }
    used = {symbol for name in sizes.used for symbol in _symbols(name)}
    idle = [name for name in names if name not in sizes.used]
    return sorted(name for name in idle if not (_symbols(name) & used))


def _symbols(name: str) -> set[str]:
    return set(names_of(name, ClearOpeningInput.model_fields[name])[1:])


CALCULATIONS = (
    Calculation(
        name="clear-opening",
        summary="What a kind of window or door leaves clear when open, and whether it is a way out.",
        asks=ClearOpeningInput,
        answers=ClearOpeningAnswer,
        run=_run,
        example={
            "kind": "SH",
            "frame_clear_width_mm": 560,
            "frame_clear_height_mm": 1100,
            "sash_width_mm": 576,
            "open_angle_deg": 58,
            "obstruction_mm": 20,
        },
    ),
)
