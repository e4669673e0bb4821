"""Whatever the house: one record is decided, and every paper, screen and answer says what stands in it.

Figures are looked up where a person would act on them, never worked out again here. A fault that swaps, doubles or
drops one on its way to a single output fails here.
"""

import csv
import io
import json
import os
from collections import Counter
from itertools import chain

import ezdxf
import icalendar
import openpyxl
import pypdfium2
import pytest
from hypothesis import HealthCheck, assume, given, settings

from half_known_houses import houses
from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import read_text
from jambwright.basis.units import show_mm
from jambwright.paper import printed
from jambwright.paper.check_words import check_words, findings_json
from jambwright.paper.findings import findings_csv
from jambwright.paper.fit_views import elevation_view, fitting_view
from jambwright.paper.fit_words import sill_note, words
from jambwright.paper.gate_words import ORDERED, SHUT
from jambwright.paper.order_book import HEADERS, order_csv, order_xlsx
from jambwright.paper.summary import summary
from jambwright.plan.prices import read_prices
from jambwright.readings.specified import Specified
from jambwright.readings.survey_file import survey_from_tree
from jambwright.record import OpeningRecord, read_record
from jambwright.web.plan_view import plan_view

MANY = bool(os.environ.get("JAMBWRIGHT_MANY"))
"""Twenty times as many houses, for a night's run."""
CHECKED, WHOLE = (300, 60) if MANY else (15, 3)
GATES = ("ordering", "work")
PRICES = read_prices(read_text("demo_prices.yaml"))

slow = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]


def flat(text):
    """Letters alone: lines are broken at spaces and hyphens, and some begin with a mark."""
    return "".join(text.replace("! ", "").split())


def squeezed(text):
    """Lettering of a PDF without the spaces and hyphens a reader may put anywhere."""
    return "".join(text.split()).replace("-", "").replace("\ufffe", "").replace("\u00ad", "")


def checked(tree):
    survey = survey_from_tree(tree)
    try:
        return survey, job.check(survey)
    except BadInput:
        with pytest.raises(BadInput):
            job.decide(survey)
        assume(False)


def plain(value):
    """A cell as text: whole numbers without a point, nothing as nothing."""
    return "" if value is None else str(value).removesuffix(".0")


def of_csv(content):
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"))))


def order_rows(content):
    """The order's rows by opening, without the line under them."""
    found = {}
    for row in of_csv(content):
        if row["room"] or row["light"]:
            found.setdefault(row["opening"], []).append(row)
    return found


def book_rows(content):
    sheet = openpyxl.load_workbook(io.BytesIO(content))["Order"]
    return [[plain(cell) for cell in row] for row in sheet.iter_rows(min_row=3, values_only=True)]


# (b) ------------------------------------------------------------------------------------------------


@settings(max_examples=CHECKED, deadline=None, suppress_health_check=slow)
@given(houses())
def test_a_record_written_and_read_is_the_same_and_each_output_holds_its_figures_and_gates(tree):
    _, record = checked(tree)
    again = read_record(record.model_dump_json())
    assert again == record
    assert again.model_dump_json() == record.model_dump_json()
    for opening in record.openings:
        holds_what_was_decided(opening)
    figures_are_those_of_the_record(record)
    gates_are_those_of_the_record(record)
    verdicts_are_those_of_the_record(record)


def holds_what_was_decided(opening):
    """The figures to order are those of the frame that was checked and drawn."""
    frame, order = opening.frame, opening.order
    assert (order.width.value, order.height.value) == (frame.width_mm, frame.height_mm)
    assert order.overall_height.value == frame.size.overall_height_mm
    assert (order.sill_length is None) == (frame.sill is None)
    if frame.sill:
        assert (order.sill_length.value, order.sill_depth.value) == (
            frame.sill.length_mm,
            frame.sill.depth_mm,
        )
    assert set(opening.glass) == {light.mark for light in frame.layout.lights}
    masses = {p.light: p.mass_kg for p in frame.pieces if p.kind in ("glass", "panel")}
    for light in frame.layout.lights:
        glass, unit = opening.glass[light.mark], frame.glazing[light.mark]
        assert (glass.width.value, glass.height.value) == (light.glass.width_mm, light.glass.height_mm)
        assert glass.width.value == int(glass.width.value), "whole millimetres"
        assert glass.height.value == int(glass.height.value)
        assert light.daylight.width_mm < glass.width.value < light.sight.width_mm + 60
        assert light.daylight.height_mm < glass.height.value < light.sight.height_mm + 60
        assert (glass.make_up, glass.obscure) == (str(unit) if unit else None, light.wanted.obscure)
        assert glass.mass_kg == masses[light.mark]
    made = [piece.mass_kg for piece in frame.pieces if piece.kind != "sill"]
    assert order.whole_kg.value == pytest.approx(sum(made))


# (c) ------------------------------------------------------------------------------------------------


def figures_are_those_of_the_record(record):
    csv_bytes = order_csv(record)
    on_order, seen = order_rows(csv_bytes), plan_view(record)
    rows = [[plain(cell) for cell in row] for row in csv.reader(io.StringIO(csv_bytes.decode("utf-8-sig")))]
    assert book_rows(order_xlsx(record)) == rows[:-1]
    assert list(on_order) == [o.id for o in record.every_opening]
    kept = {each["id"]: each for each in json.loads(record.model_dump_json())["openings"]}
    screen = {each["id"]: each for each in seen["openings"]}
    assert list(kept) == list(screen) == [o.id for o in record.openings]
    said = summary(record)
    for opening in record.openings:
        order_line(opening, on_order[opening.id])
        plan_file(opening, kept[opening.id])
        fit_sheet(opening)
        desk(opening, screen[opening.id])
        summary_line(opening, said)


def order_line(opening, rows):
    order, [first, *others] = opening.order, rows
    told = {
        "width mm": order.width, "height mm": order.height, "overall height with sill mm": order.overall_height,
        "sill length mm": order.sill_length, "sill depth mm": order.sill_depth,
    }  # fmt: skip
    for header, figure in told.items():
        assert plain(first[header]) == (plain(figure.value) if figure else "")
        assert all(row[header] == "" for row in others), "said once, on the first light's row"
    said = opening.frame.chosen.specified if opening.frame.chosen.kind == "door" else Specified()
    for header, value in (
        ("letter plate mm", said.letter_plate_mm),
        ("floor build up mm", said.floor_build_up_mm),
    ):
        assert plain(first[header]) == plain(value)
    assert float(first["unit kg"]) == pytest.approx(order.whole_kg.value, abs=0.0501)
    assert [row["light"] for row in rows] == list(opening.glass)
    for row in rows:
        glass = opening.glass[row["light"]]
        assert float(row["glass width mm"]) == glass.width.value
        assert float(row["glass height mm"]) == glass.height.value
        assert (row["make-up"], row["obscure"]) == (glass.make_up or "panel", "yes" if glass.obscure else "")
    leaves = {
        light.mark: light
        for light in opening.frame.layout.lights
        if light.sash and (light.made == "slab" or (light.leaf and not light.is_paired))
    }
    for row in rows:
        sash = leaves[row["light"]].sash if row["light"] in leaves else None
        said = [sash.width_mm, sash.height_mm] if sash else []
        assert [
            float(row[name]) for name in ("sash width mm", "sash height mm") if row[name]
        ] == pytest.approx(said, abs=0.051)
        if row["sashes meet at mm"]:
            sight = leaves[row["light"]].sight
            assert float(row["sashes meet at mm"]) in (round(sight.y_mm, 1), round(sight.right_mm, 1))


def plan_file(opening, kept):
    order = opening.order
    for name in ("width", "height", "overall_height", "sill_length", "sill_depth", "whole_kg"):
        figure = getattr(order, name)
        assert (kept["order"][name] and kept["order"][name]["value"]) == (figure and figure.value)
    assert {
        mark: (g["width"]["value"], g["height"]["value"], g["mass_kg"]) for mark, g in kept["glass"].items()
    } == {mark: (g.width.value, g.height.value, g.mass_kg) for mark, g in opening.glass.items()}


def fit_sheet(opening):
    order, told = opening.order, words(opening)
    size = f"{show_mm(order.width.value)} × {show_mm(order.height.value)}"
    assert told["size"] == fitting_view(opening).size == size
    view = elevation_view(opening)
    assert (view.outer.width_mm, view.outer.height_mm) == (order.width.value, order.height.value)
    whole = fitting_view(opening).whole
    assert (whole.width_mm, whole.height_mm) == (order.width.value, order.overall_height.value)
    if order.sill_length:
        assert f"; {show_mm(order.overall_height.value)} high with its sill" in told["size_means"]
        cut = f"Cut {show_mm(order.sill_length.value)} from {show_mm(order.sill_depth.value)} deep stock"
        assert sill_note(opening.frame.sill).startswith(cut)
        assert view.sill_length_mm == order.sill_length.value
    listed = {}
    for marks, _, make_up, pane, kg, _ in told["lights"]:
        listed |= dict.fromkeys(marks.split(", "), (make_up, pane, kg))
    assert set(listed) == set(opening.glass)
    for mark, glass in opening.glass.items():
        make_up = (glass.make_up or "panel") + (", obscure" if glass.obscure else "")
        pane = f"{show_mm(glass.width.value)} × {show_mm(glass.height.value)}"
        assert listed[mark] == (make_up, pane, f"{glass.mass_kg:.0f}")
    carried = {(c.called, c.light): c.lift.mass_kg for c in opening.fitting.lifts.carried}
    for mark, glass in opening.glass.items():
        assert carried.get(("glass", mark), glass.mass_kg) == glass.mass_kg


def desk(opening, shown):
    figures = {each["key"]: each["text"] for each in shown["figures"]}
    order = opening.order
    wanted = {
        "order_width": order.width, "order_height": order.height, "overall_height": order.overall_height,
        "sill_length": order.sill_length, "sill_depth": order.sill_depth,
    }  # fmt: skip
    for key, figure in wanted.items():
        assert figures.get(key) == (f"{figure.value:.0f}" if figure else None)
    assert figures["whole_kg"] == f"{order.whole_kg.value:.1f}"
    assert {light["mark"]: (light["glass"], light["glazing"]) for light in shown["lights"]} == {
        mark: (f"{show_mm(g.width.value)} × {show_mm(g.height.value)}", g.make_up or "")
        for mark, g in opening.glass.items()
    }
    assert Counter(p["name"] for p in shown["pieces"]) == Counter(p.name for p in opening.frame.pieces)


def summary_line(opening, said):
    order = opening.order
    block = said.split(f"\n{opening.name}: ")[-1].split("\n\n")[0]
    size = f"  {show_mm(order.width.value)} x {show_mm(order.height.value)} {opening.frame.chosen.kind}"
    assert size in block
    if order.sill_length:
        sill = f"; sill {show_mm(order.sill_length.value)} long, {show_mm(order.sill_depth.value)} deep"
        assert flat(sill) in flat(block)


# (d) ------------------------------------------------------------------------------------------------


def gates_are_those_of_the_record(record):
    on_order, seen = order_rows(order_csv(record)), plan_view(record)
    marks = {each["id"]: each for each in (*seen["openings"], *seen["unread"])}
    found, told = of_csv(findings_csv(record)), findings_json(record)
    said, checks = flat(summary(record)), flat(" ".join(check_words(record)))
    house_reasons = [*record.gates.ordering.reasons, *record.gates.work.reasons]
    assert not any(r.house for r in house_reasons), "of the house itself they need no saying whose"
    for name in GATES:
        shut = getattr(record.gates, name)
        assert (shut.state == "shut") == bool(shut.reasons)
        gate_in_words(told["gates"]["house"][name], shut)
        for reason in shut.reasons:
            assert flat(reason.say) in said
            assert flat(reason.opens) in said
            assert any(r["opening"] == "house" and name in r["stops"].split() for r in found if of(r, reason))
            stopped = next(each for each in seen["stops"][name] if each["id"] == "")
            assert (reason.say, reason.opens) in [(r["say"], r["opens"]) for r in stopped["reasons"]]
    for opening in record.every_opening:
        for name in GATES:
            gate = getattr(opening.gates, name)
            assert (gate.state == "shut") == bool(gate.reasons)
            own = [r for r in gate.reasons if not r.house]
            of_house = [r for r in gate.reasons if r.house]
            assert [(r.rule, r.say) for r in of_house] == [
                (r.rule, r.say) for r in getattr(record.gates, name).reasons
            ], "what stops the house stops each opening"
            gate_in_words(told["gates"][opening.id][name], gate)
            screen = marks[opening.id]["stops"][name]
            assert [(r["say"], r["opens"]) for r in screen] == [(r.say, r.opens) for r in gate.reasons]
            for reason in own:
                assert flat(reason.say) in stopped_by(said, opening.name, name)
                assert flat(reason.opens) in stopped_by(said, opening.name, name)
                assert any(
                    r["opening"] == opening.id and name in r["stops"].split() for r in found if of(r, reason)
                )
                assert told_by_check(reason, opening, record, checks)
        held = on_order[opening.id][0]["hold"]
        reasons = opening.gates.ordering.reasons
        if getattr(opening, "ordered", False):
            assert held == ORDERED
        else:
            assert bool(held) == bool(reasons)
            assert all(r.say in held and r.opens in held for r in reasons)
        if isinstance(opening, OpeningRecord):
            gate_on_fit_sheet(opening)
    shut = any(o.gates.shut for o in record.every_opening) or bool(record.gates.shut)
    assert record.needs_someone == shut
    for text in (said, checks):
        assert (flat("Nothing stops the order or the work.") in text) == (not shut)


def stopped_by(said, name, gate):
    """What the summary says after the name of an opening and the gate that is shut."""
    heading = flat(f"{name}: {SHUT[gate]}.")
    assert said.count(heading) == 1
    return said.split(heading)[1]


def of(row, reason):
    """Whether a row of the findings is that reason's: by its rule and what opens it."""
    return (
        row["rule"] == reason.rule and row["what opens it"] == reason.opens and row["verdict"] == reason.word
    )


def gate_in_words(told, gate):
    assert told["state"] == gate.state
    assert [(r["rule"], r["word"], r["say"], r["opens"]) for r in told["reasons"]] == [
        (r.rule, r.word, r.say, r.opens) for r in gate.reasons
    ]


def told_by_check(reason, opening, record, checks):
    """In its own words; as the inputs that are wanted; or as the readings that are missing."""
    if flat(f"{reason.say} {reason.opens}") in checks:
        return True
    if reason.rule == "readings.unread":
        return all(flat(name) in checks for name in opening.missing)
    return any(v.missing for v in opening.rules if v.rule == reason.rule) and bool(record.wants)


def gate_on_fit_sheet(opening):
    told = words(opening)
    assert told["ready"] == (not opening.gates.shut)
    for name in GATES:
        gate = getattr(opening.gates, name)
        skipped = name == "ordering" and opening.ordered
        assert (SHUT[name] in told["order"]) == (gate.state == "shut" and not skipped)
        for reason in () if skipped else gate.reasons:
            said = [line for line in told["remarks"] if reason.opens in line]
            assert any(reason.house or reason.say in line for line in said)


def verdicts_are_those_of_the_record(record):
    """None is dropped, doubled or changed on the findings list and the screen."""
    found, seen = of_csv(findings_csv(record)), plan_view(record)
    told = [("house", v) for v in record.rules]
    told += [(o.id, v) for o in record.openings for v in o.verdicts]
    listed = [row for row in found if row["rule"] != "readings.unread"]
    assert [(r["opening"], r["rule"], r["verdict"], r["stops"], r["cleared"]) for r in listed] == [
        (mark, v.rule, v.word, " ".join(v.stops), v.cleared) for mark, v in told
    ]
    screen = {each["id"]: each["verdicts"] for each in seen["openings"]} | {"house": seen["verdicts"]}
    for mark, verdicts in screen.items():
        assert Counter((v["rule"], v["word"], v["why"]) for v in verdicts) == Counter(
            (v.rule, v.word, v.sentence) for owner, v in told if owner == mark
        )


# (a), and what only a whole plan has -----------------------------------------------------------------


@settings(max_examples=WHOLE, deadline=None, suppress_health_check=slow)
@given(houses())
def test_check_and_plan_decide_alike_and_a_kept_plan_prints_the_same_papers(tree):
    survey, told = checked(tree)
    record, papers = job.plan_and_print(survey, job.Choices(prices=PRICES))
    same = ("site", "gates", "openings", "unread", "rules", "heat", "figures", "wants")
    for name in same:
        assert getattr(told, name) == getattr(record, name), name
    same_papers(papers, printed(read_record(papers["plan.json"])))
    whole_plan_says_what_is_decided(record, papers)
    papers_name_the_sizes(record, papers)


def same_papers(made, again):
    assert list(made) == list(again)
    for name, content in made.items():
        if name.endswith(".xlsx"):
            assert book_rows(content) == book_rows(again[name])
        elif name.endswith(".dxf"):
            assert dxf_content(content) == dxf_content(again[name])
        else:
            assert content == again[name], name


def dxf_content(content):
    """What is drawn, without the marks and times of the file."""
    space = ezdxf.read(io.StringIO(content.decode())).modelspace()
    own = {"handle", "owner"}
    return [
        (
            entity.dxftype(),
            {key: str(value) for key, value in entity.dxfattribs().items() if key not in own},
            [tuple(point) for point in entity.get_points()] if entity.dxftype() == "LWPOLYLINE" else None,
        )
        for entity in space
    ]


def whole_plan_says_what_is_decided(record, papers):
    shut = {o.id for o in record.openings if o.gates.ordering.state == "shut"}
    bought = of_csv(papers["buying.csv"])
    for row in bought:
        if not row["item"]:
            continue  # why some must not be ordered
        held = [mark for mark in row["openings"].split() if mark in shut]
        assert row["hold"] == (f"{SHUT['ordering']}: {' '.join(held)}" if held else "")
    for item in ("frame", "glass", "panel"):
        assert made_to_size(bought, item) == to_be_made(record, item)
    cut = Counter(
        (c.label, c.length_mm)
        for each in record.buying.cuts
        if each.item == "sill"
        for bar in each.plan.bars
        for c in bar.cuts
    )
    joined = {mark for each in record.buying.cuts if each.item == "sill" for mark in each.joined}
    for opening in record.openings:
        if opening.order.sill_length and opening.id not in joined and "cut" not in opening.done:
            assert cut[opening.id, opening.order.sill_length.value] == 1
    crew_minds_the_gates(record, papers)
    if record.estimate:
        unsettled = [o.name for o in record.every_opening if o.gates.ordering.state == "shut"]
        assert list(record.estimate.unsettled) == unsettled
        assert plan_view(record)["price"]["wait"] == unsettled
        for part, opening in zip(record.estimate.openings, record.openings, strict=True):
            size = f"{show_mm(opening.order.width.value)} x {show_mm(opening.order.height.value)} mm"
            assert size in part.detail


def made_to_size(bought, item):
    rows = [row for row in bought if row["item"] == item]
    return Counter({row["size"]: int(float(row["needed"])) for row in rows})


def to_be_made(record, item):
    """What is still to be ordered of that kind, as the record's own figures say it."""
    wanted = Counter()
    for opening in record.openings:
        frame = opening.frame.chosen
        if opening.ordered or opening.done:
            continue
        if item == "frame":
            size = f"{show_mm(opening.order.width.value)} x {show_mm(opening.order.height.value)}"
            wanted[f"{size}, {frame.profile.title}, {frame.colour}"] += 1
            continue
        for glass in opening.glass.values():
            pane = f"{show_mm(glass.width.value)} x {show_mm(glass.height.value)}"
            obscure = ", obscure" if glass.obscure else ""
            if glass.make_up and item == "glass":
                wanted[f"{pane}, {glass.make_up}{obscure}"] += 1
            elif not glass.make_up and item == "panel":
                wanted[f"{pane}, {frame.colour}{obscure}"] += 1
    return wanted


def crew_minds_the_gates(record, papers):
    own = {
        o.id: [r for r in o.gates.work.reasons if not r.house]
        for o in record.every_opening
        if o.gates.work.state == "shut"
    }
    if record.days is None:
        assert "crew.ics" not in papers
        return
    days = record.days
    left = {problem.opening: problem.say for problem in days.left_out}
    visited = {stay.opening_id for stay in days.stays}
    assert {r.rule for r in days.before} == {r.rule for r in record.gates.work.reasons}
    note = flat(papers["household-note.txt"].decode())
    assert all(flat(r.opens) in note for r in days.before)
    held = {o.id: o.gates.ordering.reasons for o in record.openings if not o.ordered}
    for event in icalendar.Calendar.from_ical(papers["crew.ics"]).walk("VEVENT"):
        reasons = held.get(str(event["summary"]).split()[0], ())
        assert (event.get("status") == "TENTATIVE") == bool(days.before or reasons)
        assert all(flat(r.opens) in flat(str(event["description"])) for r in (*days.before, *reasons))
    for mark, reasons in own.items():
        if reasons:
            assert mark not in visited
            assert mark in left
            assert all(r.say in left[mark] for r in reasons)
            assert mark in note
    for opening in record.openings:
        assert opening.id in visited or opening.id in left
        if opening.gates.ordering.state == "shut" and not (opening.ordered or opening.gates.work.reasons):
            assert opening.id in note.split(flat("Not to be ordered yet, so not certain:"))[1]


def papers_name_the_sizes(record, papers):
    """On the PDFs, as a person reads them."""
    text = {name: lettering(papers[name]) for name in papers if name.endswith(".pdf")}
    for opening in record.openings:
        size = squeezed(f"{show_mm(opening.order.width.value)} × {show_mm(opening.order.height.value)}")
        for name in ("fit-sheets.pdf", "calculations.pdf", "findings.pdf"):
            assert size in text[name], name
        for reason in chain(opening.gates.ordering.reasons, opening.gates.work.reasons):
            assert squeezed(reason.say) in text["findings.pdf"]
            assert squeezed(reason.opens) in text["findings.pdf"]
            if not (opening.ordered and reason not in opening.gates.work.reasons):
                assert squeezed(reason.opens) in text["fit-sheets.pdf"]
    for name in ("fit-sheets.pdf", "calculations.pdf", "findings.pdf", "cutting.pdf", "picking.pdf"):
        if name in text:
            assert record.plan_id in text[name]


def lettering(content):
    document = pypdfium2.PdfDocument(content)
    return squeezed(" ".join(page.get_textpage().get_text_range() for page in document))


def test_every_column_of_the_order_is_looked_at_or_named_here():
    """A new column of sizes must be put to the test above."""
    sizes = {header for header in HEADERS if header.endswith((" mm", " kg"))}
    assert sizes == {
        "width mm", "height mm", "overall height with sill mm", "mullions from left mm", "transoms from bottom mm",
        "glass width mm", "glass height mm", "threshold height mm", "handle height mm", "sill length mm",
        "sill depth mm", "unit kg", "letter plate mm", "floor build up mm", "sash width mm", "sash height mm",
        "sashes meet at mm",
    }  # fmt: skip
