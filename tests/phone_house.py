"""A house made on a phone, change by change, and the days and papers planned of it by HTTP. It is invented."""

import json

from jambwright.store import add_house, new_id, new_tree
from survey_trees import FULL_OPENING, TREE

DAY = "2026-03-02"
OUTSIDE = FULL_OPENING["outside"]
WORKABLE = {
    "/house/built_year": 2012, "/house/listed": False, "/house/conservation_area": False, "/house/children": False,
    "/registered_installer": True, "/date_of_work": DAY, "/site/nation": "wales",
}  # fmt: skip
"""Without these nothing may be worked at, so that no day is planned."""


def phone_house(client, store, marks=("K1", "K2", "K3"), facts=WORKABLE):
    """The id of a house whose openings were read one figure at a time."""
    house = add_house(store, new_tree("4 Sample Lane (invented)"))
    sent = [("/tools/red tape", TREE["tools"][0]), *facts.items()]
    for mark in marks:
        sent.append((f"/openings/{mark}", {"id": mark, "room": f"Room {mark}", "outside": {}}))
        sent += [
            (f"/openings/{mark}/outside/{kind}/{at}", read)
            for kind, places in OUTSIDE.items()
            for at, read in places.items()
        ]
        sent.append((f"/openings/{mark}/lintel", {"kind": "steel"}))
    changes = [
        {"id": new_id(), "path": path, "was": None, "value": value, "at": "2026-02-20T10:00:00Z"}
        for path, value in sent
    ]
    answer = client.post(f"/api/houses/{house}/changes", json={"device": "phone", "changes": changes}).json()
    assert [outcome for outcome in answer["outcomes"] if outcome["outcome"] != "taken"] == []
    return house


def ended(client, path, body=None):
    """Long work, started and watched to its end: its result. Fails where it ended with problems."""
    number = client.post(path, json=body).json()["work"]
    with client.stream("GET", f"/api/work/{number}") as answer:
        lines = [line for line in answer.iter_lines() if line.startswith("data: ")]
    told = json.loads(lines[-1].removeprefix("data: "))
    assert told["problems"] == [], told
    return told["result"]["plan"]
