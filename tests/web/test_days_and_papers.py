"""Days moved and papers looked at, on a house made on a phone: what is moved, what stays, what still holds."""

import io
import json
from dataclasses import replace
from datetime import date

import pypdfium2
import pytest
from openpyxl import Workbook
from starlette.testclient import TestClient
from test_desk_on_any_house import words

from conftest import session
from demo_house import record as demo_record
from jambwright.basis.problems import Problem
from jambwright.basis.tables import read_text
from jambwright.paper import printed
from jambwright.record import record_of_tree
from jambwright.store import (
    Change,
    PlanLine,
    chosen,
    keep_plan,
    new_id,
    open_store,
    paper,
    plan_result,
    read_house,
    take,
)
from jambwright.web import create_app
from jambwright.web.crew_days import CrewChosen, days_view
from jambwright.web.gist import Since, rests_on, since
from jambwright.web.paper_tables import tables_of
from jambwright.web.papers_view import (
    BY_ITSELF,
    ON_DAYS,
    ON_PRICES,
    PURPOSES,
    papers_view,
    purpose_of,
    stale_words,
)
from phone_house import DAY, ended, phone_house

LATER = "2026-03-09"


@pytest.fixture(scope="module")
def moved(tmp_path_factory):
    """A store, a client of the office, and a house planned, then with one opening put a week later."""
    store = open_store(tmp_path_factory.mktemp("days") / "houses.db")
    headers = {"Authorization": f"Bearer {session(store)}"}
    with TestClient(create_app(store), base_url="http://127.0.0.1", headers=headers) as client:
        house = phone_house(client, store)
        first = ended(client, f"/api/houses/{house}/days", {"first_day": DAY})
        asked = {"first_day": DAY, "held": {"K2": LATER}, "moves": "K2"}
        second = ended(client, f"/api/houses/{house}/days", asked)
        yield store, client, house, first, second
    store.close()


def steps_of(store, house, plan):
    days = plan_result(store, house, plan)["days"]
    return {(step["opening"], step["step"]): stay["on"] for stay in days["stays"] for step in stay["steps"]}


def pdf_words(body):
    return " ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(body))


def test_the_rest_stays_where_it_was_and_every_paper_of_the_days_follows(moved):
    store, _, house, first, second = moved
    before, after = steps_of(store, house, first), steps_of(store, house, second)
    assert {on for (mark, step), on in after.items() if (mark, step) == ("K2", "fit")} == {LATER}
    assert {of: on for of, on in after.items() if of[0] != "K2"} == {
        of: on for of, on in before.items() if of[0] != "K2"
    }
    kept = chosen(store, "days", house=house)["chosen"]
    assert kept["held"] == {"K2": LATER}
    assert set(kept["stay"]) == {"K1", "K3"}
    for name in ("crew.pdf", "household-note.pdf"):
        said = pdf_words(paper(store, house, second, name))
        assert "Monday 9 March" in said, name
        assert "Monday 9 March" not in pdf_words(paper(store, house, first, name)), name
    assert "Monday 9 March" in paper(store, house, second, "household-note.txt").decode()


def test_before_and_after_are_shown_and_that_the_others_stay(moved):
    store, client, house, first, _ = moved
    said = words(client.get(f"/houses/{house}/days"))
    assert "Other days than in the plan before" in said
    before = date.fromisoformat(steps_of(store, house, first)["K2", "fit"])
    assert f"K2 {before:%A} {before.day} March" in said
    assert "Monday 9 March" in said
    assert "The other 2 stay where they were." in said
    assert "while the others keep their days" in said or "Best found in the search given" in said


def test_planned_again_for_another_reason_the_days_stay_as_they_were(moved):
    """What was moved once does not come back when only the plan is made anew."""
    store, _, house, _, second = moved
    crew = chosen(store, "days", house=house)["chosen"]
    after = steps_of(store, house, second)
    assert {(m, s): on for m, steps in crew["stay"].items() for s, on in steps.items()} == {
        of: on for of, on in after.items() if of[0] != "K2"
    }


def test_keeping_the_crew_on_the_form_forgets_no_day(moved):
    """It did: the form sends no held days."""
    store, client, house, *_ = moved
    before = chosen(store, "days", house=house)["chosen"]
    sent = {"first_day": DAY, "fitters": 3}
    assert client.put(f"/api/houses/{house}/crew", json=sent).status_code == 204
    after = chosen(store, "days", house=house)["chosen"]
    assert (after["held"], after["stay"], after["fitters"]) == (before["held"], before["stay"], 3)
    said = words(client.get(f"/houses/{house}/days"))
    assert "The crew was changed since these days were planned." in said
    papers = client.get(f"/houses/{house}/papers").text
    assert papers.count("Changed since: the crew or its days.") == len(ON_DAYS)
    client.put(f"/api/houses/{house}/crew", json=before)
    assert "Changed since" not in client.get(f"/houses/{house}/papers").text


def test_a_longer_day_and_a_weather_cover_reach_the_plan_and_can_be_chosen_where_they_would_help(moved):
    store, _, house, first, _ = moved
    chosen_now = CrewChosen(first_day=DAY, longer_minutes=30, covered=["K1"])
    crew = chosen_now.crew()
    assert (crew.longer_minutes, crew.covered) == (30, frozenset({"K1"}))
    days = record_of_tree(plan_result(store, house, first)).days
    out = Problem("tasks.K3", "K3: fits in no day.", opening="K3")
    shut = Problem("gates.work", "K2: not planned.", opening="K2")
    seen = days_view(days.model_copy(update={"left_out": (out, shut)}), chosen_now)
    assert seen["may_cover"] == ["K3", "K1"]


def test_a_paper_says_which_readings_and_that_prices_changed_and_no_more_once_undone(moved):
    store, client, house, *_ = moved
    width = "/openings/K1/outside/width/bottom"
    sent = Change(path=width, was=1210, value=1208, who="Ada", at="", device="p", id=new_id())
    take(store, house, [sent])
    page = client.get(f"/houses/{house}/papers").text
    assert "Changed since: the readings of K1." in page
    of_k3 = page[page.index("K3 fitting") :]
    assert "Changed since" not in of_k3[: of_k3.index("</li>")]
    assert client.post(f"/api/houses/{house}/changes/{sent.id}/undo").status_code == 200
    assert "Nothing these papers rest on has changed" in client.get(f"/houses/{house}/papers").text
    client.put(
        "/api/prices", content=read_text("demo_prices.yaml"), headers={"Content-Type": "application/yaml"}
    )
    page = words(client.get(f"/houses/{house}/papers"))
    assert page.count("Changed since: the firm's prices.") == len(
        [n for n in ON_PRICES if not n.startswith("estimate")]
    )


def test_each_purpose_has_its_papers_in_words_and_one_file_to_print(moved):
    store, client, house, _, plan = moved
    page = client.get(f"/houses/{house}/papers")
    said = words(page)
    for words_of in (
        "For the maker",
        "For the fitters",
        "For the owner",
        "For building control",
        "For the van",
    ):
        assert words_of in said
    for purpose, names in {"all": None, **PURPOSES}.items():
        own = names or [name for some in PURPOSES.values() for name in some]
        there = [n for n in own if n.endswith(".pdf") and n not in ("estimate.pdf", *BY_ITSELF)]
        answer = client.get(f"/houses/{house}/plans/{plan}/print/{purpose}")
        if not there:
            assert answer.status_code == 404
            continue
        pages = [len(pypdfium2.PdfDocument(paper(store, house, plan, name))) for name in there]
        assert len(pypdfium2.PdfDocument(answer.content)) == sum(pages)
        assert (f"/print/{purpose}" in page.text) == bool(there)


@pytest.mark.parametrize(
    ("name", "said"), [("order.csv", "K1"), ("order.xlsx", "K2"), ("crew.ics", "Monday 9 March 2026")]
)
def test_a_table_is_looked_at_in_the_page(moved, name, said):
    _, client, house, *_ = moved
    answer = client.get(f"/houses/{house}/papers/look?name={name}")
    assert answer.status_code == 200
    assert said in words(answer)
    assert "<table" in answer.text


def test_what_cannot_be_looked_at_is_not_there(moved):
    _, client, house, *_ = moved
    for name in ("plan.json", "moon.csv", "", "crew.pdf"):
        assert client.get(f"/houses/{house}/papers/look?name={name}").status_code == 404


def contents(record):
    """What the papers of a record hold: without DXF, and of workbooks the cells, for both hold the hour."""
    made = {name: body for name, body in printed(record).items() if not name.endswith(".dxf")}
    return {name: tables_of(name, body) if name.endswith(".xlsx") else body for name, body in made.items()}


def test_every_paper_has_one_purpose_and_what_it_is_said_to_rest_on(moved):
    """The same plan printed with other money and with other days: the papers that differ are those that say so."""
    store, _, house, first, second = moved
    one, other = (record_of_tree(plan_result(store, house, plan)) for plan in (first, second))
    whole = demo_record()
    assert "others" not in {purpose_of(name) for name in printed(one)}
    files = contents(one)
    days = one.model_copy(update={"days": other.days, "buying": other.buying, "loads": other.loads})
    with_days = contents(days)
    differ = {name for name in files if with_days[name] != files[name]}
    assert differ <= set(ON_DAYS)
    assert {"crew.pdf", "crew.ics", "household-note.pdf", "household-note.txt"} <= differ
    quoted = replace(one.options, whole=tuple(replace(each, cost=5000.0) for each in one.options.whole))
    priced = one.model_copy(update={"estimate": whole.estimate, "options": quoted})
    differ = {name for name, body in contents(priced).items() if files.get(name) != body}
    assert differ <= set(ON_PRICES)
    assert "estimate.pdf" in differ


def test_a_plan_of_an_earlier_version_says_that_it_is_not_known(store, client, demo, demo_plan):
    line = keep_plan(store, read_house(store, demo), "Ada", *demo_plan)
    assert not since(line, rests_on(read_house(store, demo).tree, None, None, {})).known
    assert "can't be told" in words(client.get(f"/houses/{demo}/papers"))


def test_every_thing_a_plan_rests_on_is_marked_when_it_changes():
    tree = {"site": {"label": "x"}, "openings": [{"id": "W1", "room": "a"}, {"id": "W2", "room": "b"}]}
    was = rests_on(tree, {"vat": 20}, {"fitters": 2}, {})

    def changed(tree=tree, prices={"vat": 20}, crew={"fitters": 2}, tools=None):  # noqa: B006  # never written to
        line = PlanLine(
            id="p", house="h", version=1, made="", who="", engine="other", rules="", gist={"rests": was}
        )
        return since(line, rests_on(tree, prices, crew, tools or {}))

    assert changed() == Since(program=True)
    assert changed(tree=tree | {"openings": tree["openings"][:1]}).readings == ("", "W2")
    assert changed(tree=tree | {"site": {"label": "y"}}).readings == ("",)
    assert (changed(prices=None).prices, changed(crew=None).days, changed(tools={"t": 1}).tools) == (
        True,
    ) * 3
    every = Since(readings=("W1", ""), prices=True, days=True, tools=True, program=True)
    assert len(list(stale_words("plan.json", every))) == 5
    assert len(list(stale_words("fit-sheets.pdf", every))) == 3


def test_a_plan_with_papers_of_another_version_lists_them_apart():
    parts = papers_view(["moon.pdf", "order.csv"], Since())
    assert [part["purpose"] for part in parts] == ["maker", "others"]


def test_tables_of_every_kind_are_read_with_all_their_rows():
    book, out = Workbook(), io.BytesIO()
    book.active.append(["mark", "mm"])
    book.active.append(["W1", 1195])
    book.create_sheet("empty")
    book.save(out)
    sheets = tables_of("x.xlsx", out.getvalue())
    assert (sheets[0].head, sheets[0].rows, sheets[1].rows) == (("mark", "mm"), (("W1", "1195"),), ())
    [table] = tables_of("x.csv", "\ufeffa;b\n1;2\n3\n".encode())
    assert (table.head, table.rows, table.more) == (("a", "b"), (("1", "2"), ("3", "")), 0)
    [long] = tables_of("x.csv", "\n".join(["a,b", *["1,2"] * 2500]).encode())
    assert (len(long.rows), long.more) == (2000, 500)
    assert json.dumps(long.head)
