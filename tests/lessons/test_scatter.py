"""Scatter and differences of tools from surveys alone, on made-up openings whose truth is known."""

import numpy as np
import pytest

from jambwright.lessons.scatter import differences, faces_of, honest_faces, scatter_by, scatter_of_all
from jambwright.opening import RectangleShape
from jambwright.readings import PLACES
from jambwright.readings.reading import LENGTHS
from jambwright.readings.survey_file import survey_from_tree

READ = [
    (kind, at) for kind in ("width", "height", "diagonal", "level", "plumb", "bow") for at in PLACES[kind]
]


def house(rng, *, openings=10, sd_mm=1.0, tool_of=lambda *_: "tape A", offset=None, scale=None, repeats=1,
          who=lambda _: "one", misread=(), trust_mm=1.0):  # fmt: skip
    """A survey of crooked openings with every place read, levels good to 1 mm."""
    offset, scale = offset or {}, scale or {}
    listed = []
    for n in range(openings):
        w, h = rng.uniform(600, 1800), rng.uniform(900, 1400)
        lean = rng.normal(0, 4, 5)
        corners = [w, lean[0], w + lean[1], h + lean[2], lean[3], h + lean[4]]
        true, _ = RectangleShape().observe(READ, np.array([*corners, *rng.normal(0, 2, 4)]))
        outside = {}
        for (kind, at), mm in zip(READ, true, strict=True):
            tool = tool_of((kind, at), n) if kind in LENGTHS else "level"
            error = offset.get(tool, 0.0) + scale.get(tool, 0.0) * mm / 1e6
            spread, times = (sd_mm, repeats) if kind in LENGTHS else (1.0, 1)
            values = [float(mm + error + rng.normal(0, spread)) for _ in range(times)]
            if n in misread and (kind, at) == ("width", "top"):
                values[0] += 40.0
            outside.setdefault(kind, {})[at] = {"mm": values, "who": who(n)} | (
                {"tool": tool} if tool else {}
            )
        listed.append({"id": f"W{n}", "room": "room", "outside": outside})
    tools = [{"name": name, "sigma_mm": trust_mm} for name in ("tape A", "tape B")]
    tools.append({"name": "level", "kind": "level", "sigma_mm": trust_mm})
    return survey_from_tree({
        "jambwright": 1, "site": {"label": "made up"}, "tools": tools, "openings": listed,
    })  # fmt: skip


def by_tool(reading):
    return reading.tool or ""


@pytest.mark.parametrize("sd_mm", [1.0, 1.5, 2.5])
def test_scatter_is_found_with_its_interval(sd_mm):
    rng = np.random.default_rng(3)
    (found,) = scatter_by(faces_of(house(rng, openings=180, sd_mm=sd_mm)), by_tool)
    assert found.trusted_mm == pytest.approx(1.0)
    assert found.found_mm == pytest.approx(sd_mm, rel=0.15)
    assert found.interval_mm[0] < sd_mm < found.interval_mm[1]
    assert found.differs == (sd_mm > 1)


def test_the_interval_of_a_scatter_holds_about_as_often_as_it_says():
    rng = np.random.default_rng(4)
    found = [scatter_by(faces_of(house(rng, openings=15, sd_mm=1.5)), by_tool)[0] for _ in range(60)]
    held = np.mean([one.interval_mm[0] <= 1.5 <= one.interval_mm[1] for one in found])
    assert held >= 0.87


def test_the_pooled_factor_of_one_house_tells_that_all_scatter_more():
    """All readings 1.5 times worse than trusted: its interval holds that in 95 of 100 houses of six openings."""
    rng = np.random.default_rng(14)
    held = []
    for _ in range(100):
        found = scatter_of_all(faces_of(house(rng, openings=6, trust_mm=1 / 1.5)))
        assert found.trusted_mm == pytest.approx(1 / 1.5)
        held.append(found.interval_mm[0] <= 1.0 <= found.interval_mm[1])
    assert 0.89 <= np.mean(held) <= 0.995


def test_a_misread_is_no_scatter():
    rng = np.random.default_rng(5)
    faces = faces_of(house(rng, openings=40, misread=(3, 17)))
    assert [n for n, honest in enumerate(honest_faces(faces)) if not honest] == [3, 17]
    (found,) = scatter_by(faces, by_tool)
    assert found.found_mm == pytest.approx(1.0, rel=0.25)


def test_scatter_of_two_people_is_told_apart():
    rng = np.random.default_rng(6)
    fine = house(rng, openings=40, sd_mm=1.0, who=lambda _: "fine")
    rough = house(rng, openings=40, sd_mm=2.0, who=lambda _: "rough")
    found = {one.name: one for one in scatter_by([*faces_of(fine), *faces_of(rough)], lambda r: r.who or "")}
    assert found["fine"].found_mm == pytest.approx(1.0, rel=0.15)
    assert found["rough"].found_mm == pytest.approx(2.0, rel=0.15)


def test_repeats_tell_their_own_scatter():
    rng = np.random.default_rng(7)
    (found,) = scatter_by(faces_of(house(rng, openings=20, repeats=3, sd_mm=1.2)), by_tool)
    assert found.repeats_mm == pytest.approx(1.2, rel=0.1)
    assert found.interval_repeats_mm[0] < 1.2 < found.interval_repeats_mm[1]


def mixed(place, n):
    """Tops and right sides with the other tape, turn about."""
    return "tape B" if (place[1] in ("top", "right", "falling")) == (n % 2 == 0) else "tape A"


def test_two_tools_on_one_house_differ_by_what_was_put_in():
    rng = np.random.default_rng(8)
    (found,) = differences(faces_of(house(rng, openings=12, tool_of=mixed, offset={"tape B": -2.0})))
    way = 1 if found.tool == "tape B" else -1
    assert way * found.bias_mm == pytest.approx(-2.0, abs=0.6)
    assert found.interval_mm[0] < -2.0 * way < found.interval_mm[1]
    assert found.sure
    assert found.openings == 12


def test_the_interval_of_a_difference_holds_as_often_as_it_says():
    rng = np.random.default_rng(9)
    held = []
    for _ in range(200):
        for found in differences(faces_of(house(rng, openings=4, tool_of=mixed, offset={"tape B": -2.0}))):
            true = -2.0 if found.tool == "tape B" else 2.0
            held.append(found.interval_mm[0] <= true <= found.interval_mm[1])
    assert len(held) == 200
    assert 0.91 <= np.mean(held) <= 0.985


def test_a_scale_between_two_tools_is_told():
    rng = np.random.default_rng(10)
    (found,) = differences(faces_of(house(rng, openings=60, tool_of=mixed, scale={"tape B": 3000.0})))
    way = 1 if found.tool == "tape B" else -1
    assert found.scale_ppm == pytest.approx(3000 * way, abs=900)


def test_one_tool_alone_has_no_difference():
    assert differences(faces_of(house(np.random.default_rng(11), openings=3))) == ()
