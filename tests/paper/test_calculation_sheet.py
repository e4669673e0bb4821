"""The calculation sheets as PDF: every opening from a new page, every verdict with sign, figures and source."""

import functools
import importlib
import inspect
import json
import pkgutil
import re

import pypdfium2
import pytest

import jambwright
from demo_house import MARKS, papers, record, recorded
from jambwright.basis.clause import Sourced
from jambwright.checks.verdict import GRAVITY
from jambwright.paper.calculation_sheet import TITLES, parts
from jambwright.paper.figures import show_input
from jambwright.paper.verdict_signs import SIDE_MM, verdict_sign


def squeezed(text: str) -> str:
    """Lettering read back without the spaces and line ends that a reader may put anywhere."""
    return re.sub(r"[\s￾\u00ad-]", "", text)


@functools.cache
def pages() -> tuple[str, ...]:
    document = pypdfium2.PdfDocument(papers()["calculations.pdf"])
    return tuple(page.get_textpage().get_text_range() for page in document)


@functools.cache
def sheet(mark: str) -> str:
    """All pages of one opening."""
    name = squeezed(recorded(mark).name)
    return squeezed("".join(page for page in pages() if f"Calculations·{name}" in squeezed(page)))


def test_every_page_names_the_house_its_opening_and_its_number():
    for number, page in enumerate(pages(), start=1):
        assert squeezed("7 Bramblecroft End (invented)") in squeezed(page)
        assert squeezed(f"page {number} of {len(pages())}") in squeezed(page)


@pytest.mark.parametrize("mark", MARKS)
def test_a_sheet_is_compact(mark):
    """Four pages an opening, one more where the law has much to say of it."""
    name = squeezed(recorded(mark).name)
    own = [page for page in pages() if f"Calculations·{name}" in squeezed(page)]
    said = sum(verdict.word != "meets" for verdict in recorded(mark).rules)
    assert 1 <= len(own) <= 4 + (said > 4)


def test_the_sources_take_one_page():
    assert len([page for page in pages() if "Calculations·Sources" in squeezed(page)]) == 1


@pytest.mark.parametrize("mark", MARKS)
def test_a_sheet_has_every_part_check_and_source(mark):
    text, opening = sheet(mark), recorded(mark)
    for verdict in opening.checks:
        assert squeezed(f"{verdict.word}: {verdict.sentence}") in text
        assert squeezed(f"{verdict.source} ({verdict.source.how})") in text
        title = next(name for start, name in TITLES.items() if f"{verdict.rule}.".startswith(f"{start}."))
        assert squeezed(title) in text
    for found in opening.found:
        for said in found.say:
            assert squeezed(said) in text
        for title in found.workings:
            assert squeezed(title) in text


@pytest.mark.parametrize("mark", MARKS)
def test_a_sheet_has_every_rule_of_law_that_is_not_met(mark):
    for verdict in recorded(mark).rules:
        if verdict.word != "meets":
            assert squeezed(f"{verdict.word}: {verdict.sentence}") in sheet(mark)


@pytest.mark.parametrize("mark", MARKS)
def test_the_heat_on_the_sheet_is_that_of_the_record(mark):
    heat = recorded(mark).heat.unit
    said = (
        f"U {heat.real.u_w_m2k:.2f} W/m²K at its own size, {heat.reference.u_w_m2k:.2f} at the reference size"
    )
    assert squeezed(said) in sheet(mark)
    if heat.band:
        assert squeezed(f"band {heat.band.band}") in sheet(mark)
    else:
        assert squeezed("energy index") not in sheet(mark)


@pytest.mark.parametrize("mark", MARKS)
def test_what_rests_on_a_low_figure_is_marked_where_it_stands(mark):
    low = [v for v in recorded(mark).checks if v.source and "low" in v.source.how]
    assert low, "the demo house is fixed by figures of low confidence"
    for verdict in low:
        assert squeezed(f"{verdict.source} ({verdict.source.how})low confidence") in sheet(mark)


def test_the_last_page_lists_each_source_once():
    numbers = re.findall(r"\[(\d+)\]", pages()[-1])
    assert [int(n) for n in numbers] == list(range(1, len(numbers) + 1))
    cited = {int(n) for page in pages()[:-1] for n in re.findall(r"\[(\d+)\]", page)}
    assert cited == set(range(1, len(numbers) + 1))


UNIT_WORDS = {"mm", "mm2", "mm3", "mm4", "m2", "m3", "pa", "kpa", "kg", "kwh", "km", "kn", "nmm"}


def test_no_input_of_any_formula_is_printed_with_a_piece_of_its_unit_in_its_name():
    for module in pkgutil.walk_packages(jambwright.__path__, "jambwright."):
        for function in vars(importlib.import_module(module.name)).values():
            if isinstance(function, Sourced):
                for name in inspect.signature(function).parameters:
                    said = show_input(name, 1.0)
                    assert not UNIT_WORDS & set(said.split(" 1")[0].split()), said


def test_a_volume_by_a_pressure_is_no_pressure():
    assert show_input("bulge_mm3_pa", 84.55) == "bulge 84.55 mm³/Pa"
    assert show_input("area_mm2", 320049.0) == "area 320049 mm²"


def test_the_twin_for_programs_holds_every_part_verdict_and_step_whole():
    tree = json.loads(papers()["calculations.json"])
    assert tree["plan_id"] == record().plan_id
    assert [each["opening"] for each in tree["openings"]] == list(MARKS)
    for each in tree["openings"]:
        opening, told = recorded(each["opening"]), list(parts(recorded(each["opening"])))
        assert [part["title"] for part in each["parts"]] == [title for title, _, _ in told]
        for part, (_, verdicts, _) in zip(each["parts"], told, strict=True):
            assert [(v["rule"], v["word"], v["say"]) for v in part["verdicts"]] == [
                (v.rule, v.word, v.sentence) for v in verdicts
            ]
            assert [v["steps"] for v in part["verdicts"]] == json.loads(
                json.dumps([v.working.as_json() for v in verdicts])
            )
        assert {name: figure["value"] for name, figure in each["figures"].items()} == {
            name: figure.value for name, figure in opening.figures.items()
        }


@pytest.mark.parametrize("mark", MARKS)
def test_every_part_of_an_opening_has_a_bookmark_under_it(mark):
    marks = [(each.level, each.get_title()) for each in document().get_toc()]
    start = marks.index((0, recorded(mark).name))
    under = []
    for level, title in marks[start + 1 :]:
        if level == 0:
            break
        under.append(title)
    assert under == [title for title, _, _ in parts(recorded(mark))]


def document():
    return pypdfium2.PdfDocument(papers()["calculations.pdf"])


def test_signs_differ_by_shape_and_stay_in_their_square():
    scenes = [verdict_sign(word) for word in GRAVITY]
    assert len({scene.items for scene in scenes}) == len(GRAVITY)
    for scene in scenes:
        left, bottom, right, top = scene.bounds()
        assert max(-left, -bottom, right, top) <= SIDE_MM / 2 + 1e-9
