"""What a person reads is in words: no name of a field of the readings file stands in a sentence or on a paper."""

import csv
import io
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.paper.every_paper import printed
from jambwright.plan.prices import Prices, read_prices
from jambwright.readings.survey_file import read_survey, survey_from_tree
from jambwright.record import PlanRecord

sys.path.insert(0, str(Path(__file__).parent.parent.parent / "scripts"))
from kept_plans import houses

NAME = re.compile(r"`|\b[A-Za-z]\w*_\w+|\b(?:site|house|defaults|wanted|opening|openings|room|now|flue)\.\w+")
"""A name with an underscore, a name marked as code, or a path of fields."""
NOT_SAID = {"symbol", "formula", "inputs", "place", "id"}
"""Letters of a working, which stand beside their meaning; the clause of a standard; what tells things apart."""
LETTER = re.compile(r"\b[A-Za-zΨ][\w*/,′]{0,3}(?:_[\w,*]{1,6})+(?![\w.])")
"""A letter with its index in a formula: c_pe,10, U_w, A_gross."""

BARE: dict[str, Any] = {
    "jambwright": 1,
    "date_of_work": "2026-12-07",
    "site": {"label": "Invented house", "nation": "england"},
    "house": {"rooms": [{"name": "Room", "use": "bedroom"}]},
    "openings": [
        {
            "id": "W1",
            "room": "Room",
            "outside": {
                "width": {at: {"mm": 1210} for at in ("bottom", "middle", "top")},
                "height": {at: {"mm": 1210} for at in ("left", "centre", "right")},
            },
        }
    ],
}
"""One room and one opening, and nothing else said."""


def sentences(tree: Any, at: tuple[str, ...] = ()) -> Iterator[tuple[str, str]]:
    """Every text of more than one word, with where it stands."""
    if isinstance(tree, dict):
        for key, value in tree.items():
            if key not in NOT_SAID:
                yield from sentences(value, (*at, key))
    elif isinstance(tree, list | tuple):
        for value in tree:
            yield from sentences(value, at)
    elif isinstance(tree, str) and " " in tree.strip():
        yield ".".join(at), tree


def named(record: PlanRecord) -> dict[str, str]:
    return {at: text for at, text in sentences(record.model_dump(mode="json")) if NAME.search(text)}


def test_the_record_of_the_demo_house_speaks_in_words() -> None:
    record = job.decide(
        read_survey(read_text("demo_house.yaml")),
        job.Choices(prices=read_prices(read_text("demo_prices.yaml"))),
    )
    assert not named(record)


@pytest.mark.parametrize("name", [*houses()])
def test_the_record_of_a_kept_house_speaks_in_words(name: str) -> None:
    assert not named(job.check(survey_from_tree(houses()[name])))


def test_a_house_of_one_opening_of_which_nothing_is_said_is_asked_in_words() -> None:
    record = job.check(survey_from_tree(BARE))
    assert not named(record)
    assert sum(bool(verdict.missing) for verdict in record.openings[0].rules) >= 3, (
        "there is something to ask"
    )


def test_a_price_that_is_missing_is_named_in_words() -> None:
    prices = parse_tree(read_text("demo_prices.yaml")) | {"frames": [], "glass": [], "materials": []}
    prices["labour"]["per_hour"] = None
    survey = survey_from_tree(next(iter(houses().values())))
    missing = job.decide(survey, job.Choices(prices=Prices.model_validate(prices))).price_missing
    assert len(missing) > 5
    assert not [each for each in missing if NAME.search(each.say)]


def words_of(name: str, content: bytes) -> str:
    if name.endswith(".pdf"):
        return "\n".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(content))
    if name == "findings.csv":
        rows = csv.DictReader(io.StringIO(content.decode("utf-8-sig")))
        return "\n".join(text for row in rows for key, text in row.items() if key != "rule")
    return content.decode("utf-8-sig") if name.endswith((".txt", ".csv", ".svg")) else ""


@pytest.mark.parametrize(
    "house", [BARE, *list(houses().values())[::6]], ids=lambda tree: tree["site"]["label"]
)
def test_no_paper_names_a_field(house: dict[str, Any]) -> None:
    record = job.decide(
        survey_from_tree(house), job.Choices(prices=read_prices(read_text("demo_prices.yaml")))
    )
    papers = printed(record)
    said = {
        name: sorted(
            {line for line in words_of(name, content).splitlines() if NAME.search(LETTER.sub("", line))}
        )
        for name, content in papers.items()
    }
    assert not {name: lines[:5] for name, lines in said.items() if lines}
