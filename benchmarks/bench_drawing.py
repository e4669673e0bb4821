"""One opening decided with every stroke of a drawing: what a stroke waits for, here and over HTTP on this machine."""

import pytest
from starlette.testclient import TestClient

from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.one_opening import look
from jambwright.readings.survey_file import survey_from_tree
from jambwright.store import add_house, invite, join, open_store
from jambwright.web import create_app

DEMO = parse_tree(read_text("demo_house.yaml"))
SURVEY = survey_from_tree(DEMO)


def family(count):
    """The demo house with so many windows that must match the one drawn."""
    like = next(o for o in SURVEY.openings if o.id == "W8")
    wanted = like.wanted.model_copy(update={"match": "family"})
    openings = [like.model_copy(update={"id": f"M{n}", "wanted": wanted}) for n in range(count)]
    return SURVEY.model_copy(update={"openings": openings})


@pytest.mark.parametrize(
    "mark", ["W2", "W3", "W7"], ids=["alone", "with another in its room", "three lights"]
)
def test_one_stroke(benchmark, mark):
    benchmark(look, SURVEY, mark)


@pytest.mark.parametrize("count", [4, 12])
def test_one_stroke_in_a_family(benchmark, count):
    benchmark(look, family(count), "M0")


def test_one_stroke_over_http(benchmark, tmp_path):
    store = open_store(tmp_path / "houses.db")
    house = add_house(store, DEMO)
    token = join(store, invite(store, name="Ada", role="fitter"), device="bench")[0]
    client = TestClient(
        create_app(store), base_url="http://127.0.0.1", headers={"Authorization": f"Bearer {token}"}
    )
    wanted = next(o for o in DEMO["openings"] if o["id"] == "W3")["wanted"]
    answer = benchmark(client.post, f"/api/houses/{house}/openings/W3/look", json={"wanted": wanted})
    assert answer.status_code == 200
    store.close()
