"""How a frame is held in its wall: the face its screws stand nearest to, its head under a lintel, its threshold.

Edge distance: an anchor's edge is any face of what it bites into (EN 1992-4, ETAG 020). Lintels are not drilled unless
their maker allows it, and a door threshold is packed at most 300 mm apart: common practice, no published source.
"""

import json
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jambwright import job
from jambwright.frame.frame import choose
from jambwright.paper.fit_sheet import fit_sheets
from jambwright.plan.fitting import ground_of
from jambwright.plan.house import HousePlan
from jambwright.readings.survey import Opening, Survey
from jambwright.readings.survey_file import read_survey
from jambwright.readings.usual import Defaults, Wall
from jambwright.record import read_record
from made_up_houses import readings

UNSEEN = {"outer_mm": 102.5, "cavity_mm": 50, "inner_leaf": "dense_block", "inner_mm": 100}
CAVITY = UNSEEN | {"closer": "none"}


def ground(wall: dict[str, object], *, set_back_mm: float, behind_nibs: bool = False):
    """Of a frame 70 mm deep, so that the screw stands 35 mm behind its front."""
    opening = Opening.model_validate(
        {"id": "W1", "room": "a", "outside": readings(900, 900, 0, 0, 0, 0), "set_back_mm": set_back_mm}
    )
    chosen = choose(opening, Defaults())
    return ground_of(Wall.model_validate(wall), chosen, substrate=None, behind_nibs=behind_nibs)


BY_HAND = [
    # a half-brick leaf of 102.5 mm, screw 65 mm in: 37.5 mm are left to the cavity
    (CAVITY, 30, False, "brick", 37.5, "cavity"),
    (UNSEEN, 30, False, "brick", 37.5, "unseen cavity"),
    (CAVITY | {"closer": "insulated"}, 30, False, "brick", 37.5, "cavity"),
    (CAVITY | {"closer": "none"}, 5, False, "brick", 40, "outer"),
    # a brick return closes the cavity: the screw bites into one wall from face to face
    (CAVITY | {"closer": "brick_return"}, 30, False, "brick", 65, "outer"),
    (CAVITY | {"closer": "brick_return"}, 190, False, "dense_block", 27.5, "room"),
    # in the cavity, and in the inner leaf
    (CAVITY, 90, False, "brick", 0, "cavity"),
    (CAVITY, 140, False, "dense_block", 22.5, "inner cavity"),
    (CAVITY, 190, False, "dense_block", 27.5, "room"),
    # solid walls
    ({"outer_mm": 102.5, "cavity_mm": 0, "inner_leaf": "brick", "inner_mm": 102.5}, 30, False, "brick", 65, "outer"),
    ({"outer_mm": 102.5, "cavity_mm": 0, "inner_leaf": "brick", "inner_mm": 102.5}, 130, False, "brick", 40, "room"),
    ({"outer_mm": 140, "cavity_mm": 0, "inner_leaf": "none", "inner_mm": 0}, 60, False, "brick", 45, "room"),
    # behind nibs of 102.5 mm: the inner leaf, its cavity face and its room face
    (CAVITY, 125, True, "dense_block", 7.5, "inner cavity"),
    (CAVITY, 180, True, "dense_block", 37.5, "room"),
    (CAVITY | {"closer": "brick_return"}, 102.5, True, "dense_block", 115, "room"),
]  # fmt: skip


@pytest.mark.parametrize(("wall", "set_back", "nibs", "substrate", "edge_mm", "face"), BY_HAND)
def test_the_nearest_face_of_what_the_screw_bites_into_governs(
    wall, set_back, nibs, substrate, edge_mm, face
) -> None:
    found = ground(wall, set_back_mm=set_back, behind_nibs=nibs)
    assert (found.substrate, found.face) == (substrate, face)
    assert found.edge_mm == pytest.approx(edge_mm)


def house(*size: float, **more: object) -> HousePlan:
    """Planned."""
    return job.plan_house(survey(*size, **more))


def survey(width: float = 1200, height: float = 1100, *, kind: str = "window", **more: object) -> Survey:
    """One opening 1200 wide unless said otherwise, the wind known. Invented."""
    opening = {
        "id": "W1",
        "room": "room",
        "outside": readings(width, height, lean=2, level=1, taper=-1, bow=1),
        "wanted": {"kind": kind, "profile": "plain_door_70" if kind == "door" else "plain_70"},
    } | more
    tree = {
        "jambwright": 1,
        "site": {"label": "Invented", "distance_to_sea_km": 40, "wind_map_speed_ms": 22},
        "house": {"breadth_m": 6, "depth_m": 8, "height_m": 7, "rooms": [{"name": "room", "use": "living"}]},
        "openings": [opening],
    }
    return read_survey(json.dumps(tree))


def verdict_on_fixings(plan: HousePlan):
    return next(v for v in plan.openings[0].verdicts if v.rule == "fixings.strength")


def test_a_screw_too_near_the_cavity_fails_and_says_which_way_to_move() -> None:
    near = verdict_on_fixings(house(set_back_mm=30, wall=CAVITY))
    assert near.word == "fails"
    assert "38 mm from the cavity face of the outer leaf where 50 mm is the least" in near.why
    assert "further out" in near.why
    middle = verdict_on_fixings(house(set_back_mm=16, wall=CAVITY))
    assert "51 mm from" in middle.why
    assert middle.word == "advise"


KINDS = ("steel", "concrete", "timber", "stone", "brick_arch", "none", "unknown")


def test_where_nobody_looked_how_the_cavity_is_closed_that_is_asked_for() -> None:
    unseen = verdict_on_fixings(house(set_back_mm=30, wall=UNSEEN))
    assert unseen.word == "unknown"
    assert "look how the cavity is closed at the jambs and say by what" in unseen.why
    assert (
        verdict_on_fixings(house(set_back_mm=30, wall=UNSEEN | {"closer": "brick_return"})).word == "advise"
    )


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("width", [700, 1200, 1900])
def test_no_lintel_is_drilled_unless_its_maker_allows_it(kind: str, width: float) -> None:
    plan = house(width, lintel={"kind": kind})
    head = plan.openings[0].fitting.fixings.head
    assert head.held_by != "screw"
    assert head.fixed_to in ("side reveals", "nothing")
    assert "head" not in (plan.openings[0].fitting.fixing_plan.lengths_mm)
    allowed = house(width, lintel={"kind": kind, "may_drill": True}).openings[0].fitting.fixings.head
    assert (allowed.held_by, allowed.fixed_to, allowed.ask_maker_mm) == ("screw", "lintel", ())


def test_a_head_that_wants_fixings_is_strapped_to_the_side_reveals_and_the_rest_asked_for() -> None:
    """Straps by the ends of the head; one fixing in the middle from 900 mm, two from 1800 (head_fixings)."""
    for width, asked in ((1200, 1), (1900, 2)):
        plan = house(width, lintel={"kind": "stone"})
        frame, head = plan.openings[0].frame, plan.openings[0].fitting.fixings.head
        assert head.positions_mm == (75, frame.width_mm - 75)
        assert (head.held_by, head.fixed_to, len(head.ask_maker_mm)) == ("lug", "side reveals", asked)
        kept = read_record(job.check(survey(width, lintel={"kind": "stone"})).model_dump_json())
        assert kept.openings[0].fitting.fixings.head == head
        assert any("ask its maker" in p.say for p in plan.openings[0].fitting.problems)


def test_the_fit_sheet_tells_how_a_head_is_held() -> None:
    import pypdfium2

    sheets = pypdfium2.PdfDocument(fit_sheets(job.check(survey(lintel={"kind": "stone"}))))
    text = " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in sheets)
    assert "2 straps bent back into the side reveals, lintel not drilled" in text
    assert "lug or strap into the reveal" in text


@settings(max_examples=25)
@given(st.integers(600, 3600), st.sampled_from(["low", "standard"]), st.integers(1, 4))
def test_every_threshold_is_packed_from_end_to_end_at_300_mm_or_less(
    width: int, threshold: str, parts: int
) -> None:
    lights = [{"opens": "side_hung_left", "infill": "panel"}, *[{"opens": "fixed"}] * 3][
        : min(parts, width // 500)
    ]
    wanted = {
        "kind": "door", "profile": "plain_door_70", "threshold": threshold,
        "layout": {"across": lights} if len(lights) > 1 else {"opens": "side_hung_left"},
    }  # fmt: skip
    plan = house(width, 2080, kind="door", wanted=wanted).openings[0]
    at = [0.0, *(p.at_mm for p in plan.fitting.packers if p.side == "bottom"), plan.frame.width_mm]
    assert max(b - a for a, b in pairwise(at)) <= 300 + 1e-6
    assert at[1] <= 100
    assert plan.frame.width_mm - at[-2] <= 100
    packed = [p for p in plan.fitting.packers if p.side == "bottom"]
    assert all(p.packers_mm for p in packed if p.gap_mm >= 1)


def test_a_window_is_not_packed_as_a_threshold() -> None:
    plan = house(3000)
    assert not any("threshold" in p.reasons for p in plan.openings[0].fitting.packers)
