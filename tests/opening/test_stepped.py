"""Quarter widths: what a smooth jamb leaves there, what a step does, and when they are asked for."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import binom

from jambwright.opening import Findings, adjust, advise, search
from jambwright.opening.explain_together import STEPPED
from jambwright.opening.quartered import QUARTERED
from jambwright.opening.stepped import steps
from jambwright.readings import QUARTERS, USUAL, Reading
from jambwright.web.live import look
from jambwright.web.shapes import ReadingCheck
from worlds import EIGHTEEN, World, holes, read

MANY = 150
RARELY = 1e-4
CROOKED = np.array([1200.0, 2.0, 1203.0, 1400.0, 4.0, 1398.0, 6.0, -4.0, 1.0, 2.0])


def exact(share: float) -> list[Reading]:
    """Error-free readings of a crooked opening whose quarter points take so much of each jamb's bow."""
    plain, _ = QUARTERED.plain.observe([p for p in EIGHTEEN if p not in QUARTERS], CROOKED)
    quarters, _ = QUARTERED.smooth_widths(QUARTERS, CROOKED, [share])
    return [
        Reading(kind=kind, at=at, values_mm=(float(mm),))  # type: ignore[arg-type]  # known kinds
        for (kind, at), mm in zip(EIGHTEEN, [*plain, *quarters[0]], strict=True)
    ]


def changed(readings: list[Reading], at: str, *by_mm: float) -> list[Reading]:
    return [replace(r, values_mm=tuple(r.mm + mm for mm in by_mm)) if r.at == at else r for r in readings]


def found_in(readings: list[Reading]) -> Findings:
    return search(adjust(readings), readings, USUAL)


def test_gradients_are_those_of_the_figures():
    p = np.concatenate([CROOKED, [4.0, -1.0, 0.5, 2.0]])
    places = [*QUARTERED.lengths, *QUARTERED.upright, *QUARTERED.bows, *QUARTERED.steps]
    _, slopes = QUARTERED.observe(places, p)
    _, bends = QUARTERED.boundary(p)
    for n, by in enumerate(np.eye(len(p)) * 1e-4):
        up, down = (QUARTERED.observe(places, p + sign * by)[0] for sign in (1, -1))
        assert slopes[:, n] == pytest.approx((up - down) / 2e-4, abs=1e-6)
        high, low = (QUARTERED.boundary(p + sign * by)[0] for sign in (1, -1))
        assert bends[..., n] == pytest.approx((high - low) / 2e-4, abs=1e-6)


@pytest.mark.parametrize("share", [0.5, 0.625, 0.75], ids=["bent at the middle", "between", "a parabola"])
def test_smooth_jambs_are_no_steps(share):
    assert steps(exact(share), USUAL) == []
    assert not found_in(exact(share)).doubted


def test_a_step_is_told_with_its_size_and_held_in_the_outline():
    taken = changed(exact(0.625), "lower_quarter", -6.0)
    (place, off), = steps(taken, USUAL)  # fmt: skip
    assert place == ("width", "lower_quarter")
    # within 0.5 mm of 6: from 0.625 of the bow of 2 mm to the nearer smooth jamb
    assert off == pytest.approx(-6.0, abs=0.5)
    findings = found_in(taken)
    assert not findings.doubted
    assert any("lower quarter width is 6 mm less" in say for say in findings.remarks)
    adjusted = {(r.kind, r.at): r.adjusted_mm for r in adjust(taken).readings}
    assert adjusted[place] == pytest.approx(next(r.mm for r in taken if r.at == place[1]), abs=1.0)


def test_a_large_step_read_once_may_be_a_misread_and_read_twice_is_a_step():
    once = found_in(changed(exact(0.625), "upper_quarter", -40.0))
    assert once.doubted
    causes = {e.shape.kind if e.shape else e.changes[0].at for e in once.explanations}
    assert {STEPPED, "upper_quarter"} <= causes
    taken = changed(exact(0.625), "upper_quarter", -40.0)
    assert advise(adjust(taken), once, USUAL).measure_next == ("width", "upper_quarter")
    twice = found_in(changed(exact(0.625), "upper_quarter", -40.0, -41.0))
    assert not twice.doubted
    assert any("upper quarter width" in say for say in twice.remarks)


def test_quarter_widths_are_asked_for_where_the_middle_hints_and_not_else():
    plain = [r for r in exact(0.625) if (r.kind, r.at) not in QUARTERS]
    assert advise(adjust(plain), found_in(plain), USUAL).extra == QUARTERS
    assert advise(adjust(exact(0.625)), found_in(exact(0.625)), USUAL).extra == ()
    straight = [
        replace(r, values_mm=(1.0,))
        if r.kind == "bow"
        else replace(r, values_mm=(1201.0,))
        if r.kind == "width"
        else r
        for r in plain
    ]
    assert advise(adjust(straight), found_in(straight), USUAL).extra == ()


@pytest.mark.parametrize(
    ("world", "least"),
    [(World(step_mm=(8.0, 12.0)), 0.8), (World(step_mm=(8.0, 12.0), curved=True), 0.8)],
    ids=["on bent jambs", "on curved jambs"],
)
def test_steps_of_8_mm_and_more_are_noticed_in_four_openings_of_five(world, least):
    rng = np.random.default_rng(8)
    surveys = [read(replace(world, read=EIGHTEEN), hole, rng) for hole in holes(world, MANY, rng)]
    noticed = sum(bool(found_in(taken).steps) for taken in surveys)
    assert binom.cdf(noticed, MANY, least) > RARELY


@pytest.mark.parametrize("curved", [False, True])
def test_smooth_jambs_are_hardly_ever_called_stepped(curved):
    rng = np.random.default_rng(9)
    world = World(curved=curved, read=EIGHTEEN)
    called = sum(bool(found_in(read(world, hole, rng)).steps) for hole in holes(world, MANY, rng))
    assert binom.sf(called - 1, MANY, 0.04) > RARELY


def test_the_look_while_measuring_asks_for_a_quarter_width_once_all_else_is_read():
    outside: dict[str, dict[str, float]] = {}
    for r in exact(0.625):
        if (r.kind, r.at) not in QUARTERS:
            outside.setdefault(r.kind, {})[r.at] = r.mm
    told = look(ReadingCheck.model_validate({"outside": outside}))
    assert told["verdict"] == "agree"
    assert told["next"] == {"kind": "width", "at": "lower_quarter", "name": "lower quarter width"}
    assert any("a step would look so too" in say for say in told["says"])
