"""The comparison: a chart that reads well, and tables that agree with the plan."""

import functools
import re
from dataclasses import replace

import pypdfium2
import pytest
from jambwright.paper.plan_file import plan_file

from demo_house import house
from jambwright.checks.heat.payback import two_figures
from jambwright.paper.comparison import comparison
from jambwright.paper.comparison_chart import comparison_chart
from jambwright.paper.drawings import house_drawings
from jambwright.paper.scene import Area
from jambwright.plan.options import house_options, quoted_at
from jambwright.plan.saving import house_saving
from scene_checks import overlapping_words, struck_words

TEXT_MM = 186.0
"""Width of the page between its margins."""


def text_of(content: bytes) -> list[str]:
    document = pypdfium2.PdfDocument(content)
    return [" ".join(page.get_textpage().get_text_range().split()) for page in document]


def compared(plan) -> bytes:
    return comparison(plan, house_options(plan), house_saving(plan))


@functools.cache
def pages() -> list[str]:
    return text_of(compared(quoted_at(house(), 9000.0)))


@functools.cache
def chart():
    return comparison_chart(house_options(house()).whole)


def test_no_lettering_of_the_chart_touches_other_lettering_or_a_bar():
    assert overlapping_words(chart()) == []
    assert struck_words(chart()) == []


def test_the_chart_fits_its_page_and_is_black_for_what_is_ordered_alone():
    assert chart().paper_size().width_mm <= TEXT_MM
    black = [item for item in chart().items if isinstance(item, Area) and item.fill == "black"]
    assert len(black) == 3
    assert len({round(item.points[0][1], 3) for item in black}) == 1


def test_bars_are_as_long_as_their_figures_say():
    options = house_options(house()).whole
    bars = [item for item in chart().items if isinstance(item, Area)][: len(options)]
    lengths = [max(p[0] for p in bar.points) - min(p[0] for p in bar.points) for bar in bars]
    for option, length in zip(options, lengths, strict=True):
        assert length / lengths[0] == pytest.approx(option.u_w_m2k / options[0].u_w_m2k)


def test_an_index_above_nothing_runs_to_the_right_and_stays_clear():
    better = [replace(option, index_kwh_m2=-option.index_kwh_m2) for option in house_options(house()).whole]
    mixed = [*better[:3], *house_options(house()).whole[3:]]
    for options in (better, mixed):
        scene = comparison_chart(options)
        assert overlapping_words(scene) == []
        assert struck_words(scene) == []
        assert scene.paper_size().width_mm <= TEXT_MM


def test_the_chart_is_a_drawing_too():
    drawn = house_drawings(house_options(house()))["comparison.svg"].decode()
    for option in house_options(house()).whole:
        assert option.title in drawn


def test_the_house_row_is_that_of_the_plan_file():
    heat = plan_file(house(), None).heat
    row = f"as ordered 11 {heat.u_w_m2k:.2f} {heat.index_kwh_m2:+.0f} "
    assert row in pages()[0]


def test_the_row_of_each_opening_is_that_of_the_plan_file():
    text = " ".join(pages()[1:])
    for line in plan_file(house(), None).openings:
        after = text.split(f"{line.id} {line.room}", 1)[1]
        found = re.search(r"as ordered \S+ low-e [\d.]+ ([\d.]+) ([+-]\d+) (\w)", after)
        heat = line.heat
        assert found.groups() == (f"{heat.u_w_m2k:.2f}", f"{heat.index_kwh_m2:+.0f}", heat.band)


def test_the_saving_is_the_plan_files_as_a_range_with_its_payback():
    quoted = quoted_at(house(), 9000.0)
    saving = plan_file(quoted, house_saving(quoted)).saving
    for line, name in ((saving.heat_kwh, "heat, kWh"), (saving.co2_kg, "carbon dioxide, kg")):
        row = " ".join((name, *map(two_figures, (line.low, line.likely, line.high))))
        assert row in pages()[0]
    assert saving.payback in pages()[0]
    assert [said for said in saving.assumptions if said not in pages()[0]] == []


def test_what_is_missing_for_money_is_said_on_the_page():
    known = house().survey.house
    bare = known.model_copy(update={"heating": None, "quotes": {}})
    survey = house().survey.model_copy(update={"house": bare})
    text = text_of(compared(replace(house(), survey=survey)))[0]
    assert "Fuel, carbon and money: give house.heating" in text
    assert "price" not in text.split("as ordered")[0], "no column of prices where none are given"
