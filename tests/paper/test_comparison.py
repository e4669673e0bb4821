"""The comparison: a chart that reads well, and tables that agree with the plan."""

import functools
import re
from dataclasses import replace

import pypdfium2
import pytest

from demo_house import SURVEY, papers, record
from jambwright import job
from jambwright.basis.units import two_figures
from jambwright.paper.comparison import comparison
from jambwright.paper.comparison_chart import comparison_chart
from jambwright.paper.drawings import house_drawings
from jambwright.paper.scene import Area
from scene_checks import overlapping_words, struck_words

TEXT_MM = 186.0
"""Width of the page between its margins."""


def text_of(content: bytes) -> list[str]:
    document = pypdfium2.PdfDocument(content)
    return [" ".join(page.get_textpage().get_text_range().split()) for page in document]


@functools.cache
def pages() -> list[str]:
    return text_of(papers()["comparison.pdf"])


def whole():
    return record().options.whole


@functools.cache
def chart():
    return comparison_chart(whole())


def test_no_lettering_of_the_chart_touches_other_lettering_or_a_bar():
    assert overlapping_words(chart()) == []
    assert struck_words(chart()) == []


def test_the_chart_fits_its_page_and_is_black_for_what_is_ordered_alone():
    assert chart().paper_size().width_mm <= TEXT_MM
    black = [item for item in chart().items if isinstance(item, Area) and item.fill == "black"]
    assert len(black) == 3
    assert len({round(item.points[0][1], 3) for item in black}) == 1


def test_bars_are_as_long_as_their_figures_say():
    options = whole()
    bars = [item for item in chart().items if isinstance(item, Area)][: len(options)]
    lengths = [max(p[0] for p in bar.points) - min(p[0] for p in bar.points) for bar in bars]
    for option, length in zip(options, lengths, strict=True):
        assert length / lengths[0] == pytest.approx(option.u_w_m2k / options[0].u_w_m2k)


def test_an_index_above_nothing_runs_to_the_right_and_stays_clear():
    better = [replace(option, index_kwh_m2=-option.index_kwh_m2) for option in whole()]
    mixed = [*better[:3], *whole()[3:]]
    for options in (better, mixed):
        scene = comparison_chart(options)
        assert overlapping_words(scene) == []
        assert struck_words(scene) == []
        assert scene.paper_size().width_mm <= TEXT_MM


def test_the_chart_is_a_drawing_too():
    drawn = house_drawings(record().options)["comparison.svg"].decode()
    for option in whole():
        assert option.title in drawn


def test_the_house_row_is_that_of_the_record():
    heat = record().heat
    row = f"as ordered 11 {heat.u_w_m2k:.2f} {heat.index_kwh_m2:+.0f} "
    assert row in pages()[0]


def test_the_row_of_each_opening_is_that_of_the_record():
    text = " ".join(pages()[1:])
    for opening in record().openings:
        after = text.split(opening.name, 1)[1]
        found = re.search(r"as ordered \S+ low-e [\d.]+ ([\d.]+) ([+-]\d+|–) (\w|–)", after)
        heat = opening.heat.unit
        rated = ("–", "–") if heat.band is None else (f"{heat.index_kwh_m2:+.0f}", heat.band.band)
        assert found.groups() == (f"{heat.real.u_w_m2k:.2f}", *rated)


def test_the_saving_is_the_records_as_a_range_with_its_payback_at_the_estimate():
    saving = record().saving
    assert saving.cost == float(record().estimate.total)
    for line, name in ((saving.heat_kwh, "heat, kWh"), (saving.co2_kg, "carbon dioxide, kg")):
        row = " ".join((name, *map(two_figures, (line.low, line.likely, line.high))))
        assert row in pages()[0]
    text = " ".join(pages()).replace("\ufffe", "")
    assert saving.payback in text
    assert [said for said in saving.assumptions if said not in text] == []


def test_what_is_missing_for_money_is_said_on_the_page():
    bare = SURVEY.house.model_copy(update={"heating": None, "quotes": {}})
    survey = SURVEY.model_copy(update={"house": bare, "openings": SURVEY.openings[:2], "date_of_work": None})
    text = text_of(comparison(job.decide(survey)))[0]
    assert "Fuel, carbon and money: say how the house is heated" in text
    assert "price" not in text.split("as ordered")[0], "no column of prices where none are given"
