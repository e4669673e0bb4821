"""Someone who may only look: every answer there is, searched for every figure of the firm's money."""

import io
import re
import zipfile
from decimal import Decimal

import pypdfium2
import pytest
from fastapi.routing import iter_route_contexts
from test_door import FILLED, every_route

from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.readings.survey_file import survey_from_tree
from jambwright.store import (
    Change,
    Photo,
    add_house,
    choose,
    keep_photo,
    keep_plan,
    new_id,
    paper_names,
    plain,
    read_house,
    take,
)
from jambwright.web.money import WITHOUT_MONEY

TYPED = {
    "margin_percent: 24": "23.71", "per_hour: 27.50": "31.37", "once: 85.00": "87.13",
    "waste_per_tonne: 185.00": "187.31", "quote": "12601.25", "quote before": "13457.75",
}  # fmt: skip
"""Figures that nothing else in the house has, typed into its price file and as quotes."""


@pytest.fixture(scope="module")
def priced():
    """A house with the prices above, its plan and papers."""
    prices = read_text("demo_prices.yaml")
    for line, figure in TYPED.items():
        prices = prices.replace(line, f"{line.split(':')[0]}: {figure}")
    tree = plain(parse_tree(read_text("demo_house.yaml")))
    tree["openings"] = [o for o in tree["openings"] if o["id"] in ("W2", "W9")]
    tree["house"]["quotes"] = {"triple": float(TYPED["quote"])}
    choices = job.Choices(prices=job.prices_from_tree(parse_tree(prices)))
    record, papers = job.plan_and_print(survey_from_tree(tree), choices)
    assert record.estimate
    return tree, parse_tree(prices), record, papers


@pytest.fixture
def kept(store, priced):
    """That house in the store, with one of everything: its number and those that its routes take."""
    tree, prices, record, papers = priced
    house = add_house(store, tree)
    choose(store, "prices", prices, who="Ada")
    for value, was in (
        (float(TYPED["quote before"]), float(TYPED["quote"])),
        (float(TYPED["quote"]), float(TYPED["quote before"])),
    ):
        change = Change(
            id=new_id(), path="/house/quotes/triple", was=was, value=value, who="Ada", at="", device="d"
        )
        assert take(store, house, [change])[1][0].outcome == "taken"
    odd = Change(
        id=new_id(),
        path="//house",
        was=None,
        value={"quotes": TYPED["quote before"]},
        who="Ada",
        at="",
        device="d",
    )
    whole = Change(id=new_id(), path="/house", was={}, value=tree["house"], who="Ada", at="", device="d")
    take(store, house, [odd, whole])
    photo = {"mark": "W2", "caption": "", "drawn": [], "who": "Ada", "at": "", "width_px": 1, "height_px": 1}
    keep_photo(store, Photo(id="p1", house=house, **photo), b"jpeg")
    line = keep_plan(store, read_house(store, house), "Ada", record.model_dump(mode="json"), papers)
    return house, line.id


def money_of(record):
    """Every figure of an estimate that is not its sum, long enough to be told from any other."""
    estimate = record.estimate
    found = [estimate.cost, estimate.earned, estimate.net, estimate.vat]
    for part in estimate.parts:
        found += [
            part.cost,
            part.price,
            *(line.amount for line in part.lines),
            *(line.each for line in part.lines),
        ]
    found += [amount for wrong in estimate.wrong_sizes for amount in (wrong.remake, wrong.visit, wrong.cost)]
    shown = {f"{amount.quantize(Decimal('0.01'))}" for amount in found if amount > 100}
    return {each for each in shown if not each.endswith("0")} - {f"{estimate.total}"}


def read(body):
    """The text of an answer: of each part of a workbook, each page of a PDF, or as it is."""
    if body.startswith(b"PK"):
        with zipfile.ZipFile(io.BytesIO(body)) as opened:
            return "\n".join(read(opened.read(name)) for name in opened.namelist())
    if body.startswith(b"%PDF"):
        return "\n".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(body))
    return body.decode("utf-8", "replace")


def figures_in(text):
    """Every figure of a text, without signs between thousands and zeros after the point."""
    figures = re.findall(r"\d+\.?\d*", re.sub(r"(?<=\d),(?=\d{3})", "", text))
    return {figure.rstrip("0").rstrip(".") if "." in figure else figure for figure in figures}


NEVER_ENDS = "/watch"


def every_answer(app, client, store, house, plan):
    """Path, status and text of every answer to GET, for all that its routes take."""
    named = {"house": [house], "mark": ["W2"], "plan": [plan], "photo": ["p1"], "number": ["0" * 16],
             "name": ["lifting"], "name:path": paper_names(store, plan), "secret": ["abcdefgh12345678"],
             "rest:path": [house], "part": ["findings", "order", "materials", "cutting", "price"],
             "purpose": ["all", "owner", "van", "office"], "sheet": ["8"]}  # fmt: skip
    for route in iter_route_contexts(app.routes):
        if "GET" not in (route.methods or {"GET"}) or route.path.endswith(NEVER_ENDS):
            continue
        paths = [route.path]
        for name, values in named.items():
            paths = [p.replace(f"{{{name}}}", value) for p in paths for value in values]
        if route.path.endswith("/papers/look"):
            paths += [f"{paths[0]}?name={name}" for name in paper_names(store, plan)]
        for path in dict.fromkeys(paths):
            assert "{" not in path, path
            answer = client.get(path)
            yield path, answer.status_code, read(answer.content)


def test_no_answer_holds_a_figure_of_the_firms_money(app, client_for, store, kept, priced):
    _, _, record, _ = priced
    secret = set(TYPED.values()) | money_of(record)
    assert len(secret) > 20
    found, status = {}, {}
    for path, status[path], text in every_answer(app, client_for("read_only"), store, *kept):
        if leaked := secret & figures_in(text):
            found[path] = leaked
    assert found == {}
    assert len(status) > 60
    assert {s for s in status.values() if s not in (200, 403)} <= {
        401,
        404,
    }  # the page "not joined", no such work


def test_the_office_finds_them_in_the_same_answers(app, client, store, kept, priced):
    """So the search above can find them."""
    _, _, record, _ = priced
    secret, found = set(TYPED.values()) | money_of(record), {}
    for path, _, text in every_answer(app, client, store, *kept):
        found[path] = secret & figures_in(text)
    assert set.union(*found.values()) == secret
    house, plan = kept
    for path in ("", "/survey.yaml", "/changes", f"/plans/{plan}", f"/plans/{plan}/papers/estimate.pdf",
                 f"/plans/{plan}/papers/summary.txt", f"/plans/{plan}/papers/plan.json"):  # fmt: skip
        assert found[f"/api/houses/{house}{path}"], path
    for path in ("/price", "/history", "/survey"):
        assert found[f"/houses/{house}{path}"], path


def test_the_sum_is_shown_and_nothing_beside_it(client_for, kept, priced):
    house, plan = kept
    looker = client_for("read_only")
    text = looker.get(f"/houses/{house}/price").text
    assert f"{priced[2].estimate.total}" in text
    assert "you see the sum" in text
    assert "Cost" not in text
    told = looker.get(f"/api/houses/{house}/plans/{plan}").json()
    assert told["record"]["estimate"] is None
    assert [each["id"] for each in told["record"]["openings"]] == ["W2", "W9"]


def test_papers_that_may_hold_prices_are_neither_listed_nor_given(client_for, store, kept):
    house, plan = kept
    looker = client_for("read_only")
    listed = looker.get(f"/api/houses/{house}/plans/{plan}").json()["papers"]
    held_back = set(paper_names(store, plan)) - set(listed)
    assert held_back == {"plan.json", "estimate.pdf", "estimate.csv", "summary.txt", "comparison.pdf"}
    assert set(WITHOUT_MONEY) <= set(listed)
    for name in held_back:
        answer = looker.get(f"/api/houses/{house}/plans/{plan}/papers/{name}")
        assert (answer.status_code, "holds prices" in answer.text) == (403, True)
    page = looker.get(f"/houses/{house}/papers").text
    assert "fit-sheets.pdf" in page
    assert "estimate.pdf" not in page


def test_a_plan_of_another_version_is_not_given_where_its_money_cannot_be_told(client_for, store, kept):
    house, _ = kept
    line = keep_plan(store, read_house(store, house), "Ada", {"of": "another version", "cost": 1234.56}, {})
    answer = client_for("read_only").get(f"/api/houses/{house}/plans/{line.id}")
    assert answer.status_code == 403
    assert "1234" not in answer.text
    assert (
        client_for("fitter").get(f"/api/houses/{house}/plans/{line.id}").json()["record"]["cost"] == 1234.56
    )


MAY = ("/api/me", "/api/calc/lifting", "/api/reading-check", "/api/houses/{house}/openings/W1/look")
"""What changes nothing though it is sent: a calculation, a look at readings or at a drawing; and leaving."""


def test_every_change_is_refused_to_those_who_may_only_look(app, client_for, house):
    looker = client_for("read_only")
    asked = [
        (method, path)
        for method, path in every_route(app)
        if method != "GET" and not path.startswith("/join")
    ]
    assert len(asked) > 25
    for method, path in asked:
        if path.replace(FILLED["house"], "{house}") in MAY:
            continue
        sent = {} if path.endswith(".yaml") or "/photos/" in path else {"json": {}}
        answer = looker.request(
            method, path.replace(FILLED["house"], house), headers={"If-Match": "*"}, **sent
        )
        assert answer.status_code == 403, (method, path)
