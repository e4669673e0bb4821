"""The arithmetic on the phone against the engine's: the same limits, and sums that close where they should."""

import math
import random
from statistics import NormalDist

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jambwright.basis.envelope import most
from jambwright.readings import PLACES
from jambwright.readings.survey_file import LONGEST_MM, OFFSET_LARGEST_MM, SHORTEST_MM
from jambwright.readings.tools import USUAL


@pytest.fixture(scope="module")
def phone(with_scripts):
    return with_scripts("check.js")


def look(phone, taken):
    return phone.evaluate(
        "(taken) => all.look(taken)", {p: v if isinstance(v, list) else [v] for p, v in taken.items()}
    )


def exact(width=1200.0, height=1050.0, lean=0.0, taper=0.0, slope=0.0):
    """Readings of a four-cornered opening known exactly."""
    bl, br = (0.0, 0.0), (width, slope)
    tl, tr = (lean, height), (lean + width + taper, height + slope)
    return {
        "width bottom": math.dist(bl, br), "width top": math.dist(tl, tr),
        "width middle": (math.dist(bl, br) + math.dist(tl, tr)) / 2,
        "height left": math.dist(bl, tl), "height right": math.dist(br, tr),
        "height centre": (math.dist(bl, tl) + math.dist(br, tr)) / 2,
        "diagonal rising": math.dist(bl, tr), "diagonal falling": math.dist(tl, br),
        "plumb left": lean, "plumb right": lean + taper, "level sill": slope, "level head": slope,
    }  # fmt: skip


def test_the_limits_are_the_engines_own(phone):
    limits = phone.evaluate("() => all.limits")
    assert (limits["shortest_mm"], limits["longest_mm"]) == (SHORTEST_MM, LONGEST_MM)
    assert limits["offset_largest_mm"] == OFFSET_LARGEST_MM
    assert limits["places"] == {kind: list(places) for kind, places in PLACES.items()}
    assert limits["bow_prior_mm"] == USUAL.bow_prior_mm
    assert limits["most_repeats"] == most("repeats")
    assert limits["ranges"]["reveal_depth_mm"][:2] == [20, 900]
    # two-sided test at 0.001 (Baarda's usual level; from memory, high): 3.2905
    assert limits["critical"] == pytest.approx(NormalDist().inv_cdf(0.9995), abs=1e-4)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    width=st.floats(450, 3000), height=st.floats(450, 3000), lean=st.floats(-20, 20), taper=st.floats(-12, 12),
    slope=st.floats(-12, 12),
)  # fmt: skip
def test_exact_readings_of_any_crooked_opening_are_never_doubted(phone, width, height, lean, taper, slope):
    assert look(phone, exact(width, height, lean, taper, slope))["state"] == "good"


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    width=st.floats(450, 3000), height=st.floats(450, 3000), lean=st.floats(-20, 20),
    place=st.sampled_from(["width bottom", "width top", "height left", "height right", "diagonal rising"]),
    slip=st.sampled_from([-100, -50, 50, 100]),
)  # fmt: skip
def test_a_reading_fifty_or_a_hundred_off_is_always_doubted_and_among_those_named(
    phone, width, height, lean, place, slip
):
    taken = exact(width, height, lean)
    taken[place] += slip
    found = look(phone, taken)
    assert found["state"] == "doubt"
    assert place in [suspect["place"] for suspect in found["suspects"]]


def test_honest_readings_are_seldom_doubted(phone):
    chance = random.Random(7)
    sets = []
    for _ in range(400):
        true = exact(chance.uniform(500, 2400), chance.uniform(500, 2200), chance.uniform(-12, 12))
        sets.append({place: [mm + chance.gauss(0, 1)] for place, mm in true.items()})
    doubted = phone.evaluate(
        "(sets) => sets.filter((taken) => all.look(taken).state === 'doubt').length", sets
    )
    assert doubted <= 8  # six sums at one false alarm in a thousand each would give 2 or 3


def test_two_digits_swapped_are_named_with_what_was_likely_there(phone):
    taken = exact(1210, 1052)
    taken["width bottom"] = 1120
    [suspect] = look(phone, taken)["suspects"]
    assert suspect == {"place": "width bottom", "read": 1120, "likely": pytest.approx(1210)}


def test_too_few_readings_to_tell_are_called_so(phone):
    taken = exact()
    few = {place: taken[place] for place in ("width bottom", "height left", "diagonal rising")}
    assert look(phone, few) == {"state": "few", "suspects": []}


@pytest.mark.parametrize(
    ("place", "mm", "key"),
    [
        pytest.param("width top", SHORTEST_MM, None, id="shortest"),
        pytest.param("width top", SHORTEST_MM - 0.1, "check.out_of_range", id="shorter"),
        pytest.param("height left", LONGEST_MM + 1, "check.out_of_range", id="longer"),
        pytest.param("plumb left", -OFFSET_LARGEST_MM, None, id="largest lean"),
        pytest.param("plumb left", -OFFSET_LARGEST_MM - 1, "check.offset_too_big", id="more than that"),
    ],
)
def test_figures_at_the_limits(phone, place, mm, key):
    found = phone.evaluate("([place, mm]) => all.impossible(place, mm)", [place, mm])
    assert (found and found["key"]) == key
