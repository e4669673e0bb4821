"""How far a reading is trusted, by tool, kind and length."""

import pytest

from jambwright.readings import Reading, Tool, Trust, trust_of
from jambwright.readings.tools import tool_sigma_mm, unmeasured_mm

WIDTH = Reading(kind="width", at="bottom", values_mm=(1200.0,))
LEVEL = Reading(kind="level", at="sill", values_mm=(3.0,))


def test_plain_figures_by_kind() -> None:
    trust = Trust(tape_mm={"width": 2.0}, level_mm=0.5)
    assert trust.once_mm(WIDTH, 1200) == 2.0
    assert trust.once_mm(Reading(kind="height", at="left", values_mm=(900.0,)), 900) == 1.0
    assert trust.once_mm(LEVEL, 1200) == 0.5


@pytest.mark.parametrize(
    ("tool", "length", "sigma"),
    [
        (Tool(name="t", accuracy_class="II"), 1200, 0.946),
        (Tool(name="t", accuracy_class="I"), 1200, 0.824),
        (Tool(name="t", accuracy_class="III"), 2400, 1.447),
        (Tool(name="t", kind="laser"), 2400, 0.7),
        (Tool(name="t", kind="level"), 1200, 0.922),
        (Tool(name="t", kind="level"), 2400, 1.389),
        (Tool(name="t", kind="folding_rule"), 1200, 1.5),
        (Tool(name="t", kind="straight_edge"), 1200, 0.7),
        (Tool(name="t", sigma_mm=0.3), 1200, 0.3),
    ],
)
def test_sigma_of_each_tool(tool: Tool, length: float, sigma: float) -> None:
    """Levels: hypot(0.7, 0.5 mm/m), as in the reliability notes; tapes: their class, the eye, the spot."""
    assert tool_sigma_mm(tool, length) == pytest.approx(sigma, abs=5e-4)


def test_a_reading_takes_the_figure_of_the_tool_it_names() -> None:
    trust = trust_of([Tool(name="red", sigma_mm=0.4)])
    assert trust.once_mm(Reading(kind="width", at="top", values_mm=(900.0,), tool="red"), 900) == 0.4
    assert trust.once_mm(WIDTH, 1200) == 1.0
    by_default = trust_of([Tool(name="red", sigma_mm=0.4)], tape="red")
    assert by_default.once_mm(WIDTH, 1200) == 0.4
    assert by_default.once_mm(LEVEL, 1200) == 1.0


@pytest.mark.parametrize(("edge", "sigma"), [(450, 3.0), (1200, 4.8), (3000, 12.0)])
def test_what_stands_in_for_an_unmeasured_lean(edge: float, sigma: float) -> None:
    assert unmeasured_mm(edge) == pytest.approx(sigma)
