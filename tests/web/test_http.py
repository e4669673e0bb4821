import gzip
import json

import pytest
import yaml

from jambwright import calc
from jambwright.basis.tree import parse_tree
from jambwright.readings.survey_file import survey_from_tree
from jambwright.store import add_house, audit_lines, read_house
from survey_trees import TREE, tree

ROWS = {"id": "0" * 32, "at": "2026-03-02T10:00:00+00:00"}


def change(path, was, value, **more):
    return {**ROWS, "path": path, "was": was, "value": value, **more}


def test_every_calculation_answers_by_http_as_in_the_program(client):
    listed = client.get("/api/calc").json()
    for line in listed:
        about = client.get(f"/api/calc/{line['name']}").json()
        answer = client.post(f"/api/calc/{line['name']}", json=about["example"]).json()
        here = json.loads(json.dumps(calc.answer(line["name"], about["example"])))
        for each in (answer, here):
            each.pop("seconds", None)  # how long a solver took is never twice the same
        assert answer == here
    assert "opening-outline" in [line["name"] for line in listed]


def test_a_calculation_shows_its_working_when_asked(client):
    given = client.get("/api/calc/lifting").json()["example"]
    working = client.post("/api/calc/lifting?working=true", json=given).json()["working"]
    assert {"symbol", "formula", "value", "unit", "source"} <= set(working[0])


@pytest.mark.parametrize(
    ("name", "body", "status", "field"),
    [
        pytest.param("opening-outline", {"readings": []}, 422, "readings", id="empty list"),
        pytest.param("opening-outline", {"reading": 1}, 422, "reading", id="unknown field"),
        pytest.param("no-such", {}, 422, "name", id="unknown name"),
        pytest.param("lifting", [1, 2], 422, "lifting", id="no mapping"),
    ],
)
def test_bad_input_of_a_calculation_is_told_as_problems(client, name, body, status, field):
    answer = client.post(f"/api/calc/{name}", json=body)
    assert answer.status_code == status
    problems = answer.json()["problems"]
    assert all(set(p) == {"field", "say", "kind"} for p in problems)
    assert field in [p["field"] for p in problems] or field == "lifting"


def test_every_refusal_has_the_one_shape(stranger, client, client_for, house):
    answers = {
        401: stranger.get("/api/houses"),
        403: client_for("read_only").post("/api/houses", json={"label": "x"}),
        404: client.get("/api/houses/0123456789abcdef"),
        405: client.put("/api/calc"),
        412: client.put(f"/api/houses/{house}", json=TREE, headers={"If-Match": '"7"'}),
        413: client.post(
            "/api/houses", content=b"x" * 1_100_000, headers={"Content-Type": "application/json"}
        ),
        422: client.post("/api/houses", json={"label": 7}),
        428: client.put(f"/api/houses/{house}", json=TREE),
    }
    for status, answer in answers.items():
        assert answer.status_code == status
        assert all(p["say"] and p["kind"] == "bad" for p in answer.json()["problems"])


def test_a_house_is_made_read_changed_and_removed_by_version(client):
    made = client.post("/api/houses", json={"survey": TREE})
    assert made.status_code == 201
    where = made.headers["Location"]
    assert client.get(where).json()["survey"] == TREE
    tag = client.get(where).headers["ETag"]
    assert client.get(where, headers={"If-None-Match": tag}).status_code == 304

    changed = client.put(where, json=tree(note="new"), headers={"If-Match": tag})
    assert changed.headers["ETag"] != tag
    assert client.put(where, json=TREE, headers={"If-Match": tag}).status_code == 412
    assert client.get(where).json()["survey"]["note"] == "new"

    assert client.delete(where, headers={"If-Match": changed.headers["ETag"]}).status_code == 204
    assert client.get(where).status_code == 404
    assert client.post(f"{where}/restore").status_code == 204
    assert client.get(where).json()["survey"]["note"] == "new"


def test_a_house_named_by_a_device_is_made_once(client):
    sent = {"id": "00112233aabbccdd", "label": "3 Example Row (invented)"}
    assert client.post("/api/houses", json=sent).status_code == 201
    assert client.post("/api/houses", json=sent).json()["id"] == sent["id"]
    assert len(client.get("/api/houses").json()) == 1


def test_a_known_id_with_another_house_is_refused_and_the_same_sent_again_is_not(client):
    sent = {"id": "00112233aabbccdd", "label": "3 Example Row (invented)"}
    client.post("/api/houses", json=sent)
    for other in (
        sent | {"label": "4 Example Row (invented)"},
        sent | {"practice": True},
        {"id": sent["id"], "survey": TREE},
    ):
        refused = client.post("/api/houses", json=other)
        assert refused.status_code == 409
        assert "another house under that number here: 3 Example Row" in refused.json()["problems"][0]["say"]
    assert (
        client.post("/api/houses", json={"id": sent["id"], "survey": {"openings": [{}]}}).status_code == 422
    )
    # renamed, filled and emptied meanwhile, it is still the house that was sent
    where = f"/api/houses/{sent['id']}"
    renamed = [change("/site/label", sent["label"], "5 Example Row")]
    client.post(f"{where}/changes", json={"device": "d", "changes": renamed})
    for mark in ("W1", "W2"):
        client.post(f"{where}/openings", json={"id": mark, "room": "Kitchen", "outside": {}})
    client.post(f"{where}/openings/W1/rename", json={"id": "W9"})
    client.delete(f"{where}/openings/W2", headers={"If-Match": "*"})
    again = client.post("/api/houses", json=sent)
    assert (again.status_code, again.json()["label"]) == (201, "5 Example Row")
    assert client.post("/api/houses", json=sent | {"label": "5 Example Row"}).status_code == 409
    assert list(client.get(where).json()["marks"]) == ["W9"]


def test_a_label_is_kept_on_one_line(client):
    made = client.post("/api/houses", json={"label": "3 Example  Row\n\n (invented)\r\n"}).json()
    assert made["label"] == made["survey"]["site"]["label"] == "3 Example Row, (invented)"
    tree = TREE | {"site": TREE["site"] | {"label": "4 Example Row\nSampleton (invented)"}}
    assert (
        client.post("/api/houses", json={"survey": tree}).json()["label"]
        == "4 Example Row, Sampleton (invented)"
    )
    assert survey_from_tree(tree).site.label == "4 Example Row, Sampleton (invented)"


def test_yaml_goes_in_and_comes_out_the_same(client):
    text = yaml.safe_dump(TREE, sort_keys=False, allow_unicode=True)
    made = client.post(
        "/api/houses/import", content=text.encode(), headers={"Content-Type": "application/yaml"}
    )
    out = client.get(f"{made.headers['Location']}/survey.yaml")
    assert json.dumps(parse_tree(out.text)) == json.dumps(TREE)
    assert out.headers["Content-Disposition"].endswith('.yaml"')


def test_openings_have_versions_of_their_own(client, house):
    at = f"/api/houses/{house}/openings"
    tag = client.get(f"{at}/W1").headers["ETag"]
    made = client.post(at, json={"id": "D1", "room": "Kitchen", "outside": {}})
    assert made.headers["Location"] == f"{at}/D1"
    assert client.post(at, json={"id": "D1", "room": "Kitchen", "outside": {}}).status_code == 422
    # a new neighbour does not outdate an opening
    moved = TREE["openings"][0] | {"note": "moved"}
    changed = client.put(f"{at}/W1", json=moved, headers={"If-Match": tag})
    assert client.get(f"{at}/W1").json() == moved
    assert client.put(f"{at}/W1", json=moved, headers={"If-Match": tag}).status_code == 412
    assert client.delete(f"{at}/W1", headers={"If-Match": changed.headers["ETag"]}).status_code == 204
    assert client.get(f"{at}/W1").status_code == 404


def test_changes_come_back_with_outcome_and_house(client, client_for, house):
    path = "/openings/W1/outside/width/bottom"
    at = f"/api/houses/{house}/changes"
    first = client.post(at, json={"device": "a", "changes": [change(path, 1210, 1208)]}).json()
    assert first["outcomes"][0]["outcome"] == "taken"
    assert first["house"]["survey"]["openings"][0]["outside"]["width"]["bottom"] == 1208
    bo = client_for("fitter", "Bo")
    clash = bo.post(at, json={"device": "b", "changes": [change(path, 1210, 1218, id="b1")]}).json()
    assert clash["outcomes"][0]["outcome"] == "clash"
    told = client.get(at).json()
    assert [c["who"] for c in told["clashes"]] == ["Bo"]
    undone = client.post(f"{at}/{ROWS['id']}/undo").json()
    assert undone["house"]["survey"]["openings"][0]["outside"]["width"]["bottom"] == 1210


def test_who_typed_it_is_the_session_and_not_what_the_phone_says(client_for, house):
    sent = {"device": "a", "changes": [change("/note", TREE["note"], "x") | {"who": "Someone else"}]}
    bo = client_for("fitter", "Bo")
    assert bo.post(f"/api/houses/{house}/changes", json=sent).status_code == 422
    sent["changes"][0].pop("who")
    assert bo.post(f"/api/houses/{house}/changes", json=sent).json()["outcomes"][0]["who"] == "Bo"


def test_a_look_at_readings_names_the_next_one_and_keeps_nothing(client, house, store):
    taken = {"width": {"bottom": 1210, "top": 1210}, "height": {"left": 1050, "right": 1051}}
    found = client.post("/api/reading-check", json={"name": "W1 Kitchen", "outside": taken}).json()
    assert found["next"]["name"] == "level of the sill"
    assert found["corners_mm"]["bottom_right"][0] == pytest.approx(1210, abs=2)
    assert read_house(store, house).version == 1
    assert client.post("/api/reading-check", json={"outside": {}}).json()["next"]["name"] == "bottom width"


def test_removing_and_exporting_are_in_the_audit_log(client, house, store):
    client.get(f"/api/houses/{house}/survey.yaml")
    client.delete(f"/api/houses/{house}", headers={"If-Match": "*"})
    assert [line.action for line in audit_lines(store)][:2] == ["house removed", "house exported"]


def test_answers_are_small_on_the_wire(client, demo):
    answer = client.get(f"/api/houses/{demo}", headers={"Accept-Encoding": "gzip"})
    assert answer.headers["Content-Encoding"] == "gzip"
    assert len(gzip.compress(answer.content)) < 6000


def test_the_description_of_the_interface_is_served(client):
    described = client.get("/api/openapi.json").json()
    assert "/api/houses/{house}/openings/{mark}" in described["paths"]


def test_what_is_watched_must_be_there(client):
    for path in ("/api/houses/0123456789abcdef/watch", "/api/work/0123456789abcdef"):
        assert client.get(path).status_code == 404


def told(client, house):
    """Every event of planning a house."""
    number = client.post(f"/api/houses/{house}/plans").json()["work"]
    with client.stream("GET", f"/api/work/{number}") as answer:
        assert answer.headers["Content-Type"].startswith("text/event-stream")
        return [json.loads(line[6:]) for line in answer.iter_lines() if line.startswith("data: ")]


def test_long_work_is_told_step_by_step_with_how_it_ended(client, house):
    *steps, end = told(client, house)
    assert [step["done"] for step in steps] == list(range(1, len(steps) + 1))
    assert {step["of"] for step in steps} == {len(steps)}
    assert [step["step"] for step in steps][:3] == ["W1 Kitchen", "proposals", "materials, days and price"]
    assert end["problems"] == []
    kept = client.get(f"/api/houses/{house}/plans/{end['result']['plan']}").json()
    assert [each["id"] for each in kept["record"]["openings"]] == ["W1"]
    assert [each["id"] for each in kept["record"]["unread"]] == ["W2"]
    assert "order.csv" in kept["papers"]


def test_long_work_that_fails_is_told_with_its_problems(client, store):
    house = add_house(store, tree(openings=[{**TREE["openings"][1], "room": "Nowhere"}]))
    end = told(client, house)[-1]
    assert end["result"] is None
    assert any("W2 Nowhere" in p["say"] for p in end["problems"])
