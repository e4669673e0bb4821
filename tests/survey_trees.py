"""Surveys to test with. The houses and people are invented."""

import copy

FULL_OPENING = {
    "id": "W1",
    "room": "Kitchen",
    "outside": {
        "width": {
            "bottom": 1210,
            "middle": [1209, 1210],
            "top": {"mm": 1211, "tool": "red tape", "who": "Ada"},
        },
        "height": {"left": 1052, "centre": 1051.5, "right": 1050},
        "diagonal": {"rising": 1603, "falling": {"mm": [1601, 1602], "when": "2026-03-02T09:30:00"}},
        "level": {"sill": -2},
        "plumb": {"left": 1},
    },
    "wanted": {"layout": {"across": [{"opens": "side_hung_left"}, {"share": 2}]}, "colour": "dark"},
}

TREE = {
    "jambwright": 1,
    "note": "Invented house for the tests",
    "site": {"nation": "wales", "label": "1 Example Row (invented)", "altitude_m": 80},
    "openings": [
        FULL_OPENING,
        {"room": "Hall/stairs", "id": "W2", "note": "låg bröstning ½", "outside": {}},
    ],
    "house": {
        "rooms": [{"name": "Kitchen", "use": "kitchen"}, {"name": "Hall/stairs", "use": "hall", "storey": 1}]
    },
    "tools": [{"name": "red tape", "kind": "tape", "accuracy_class": "II"}],
}

AS_FITTED = {
    "outside": {
        "level": {"sill": {"mm": 1, "who": "Ada"}},
        "plumb": {"left": -1},
        "diagonal": {"rising": 1590, "falling": 1592},
    },
    "gaps_mm": {"left": {"bottom": 6, "top": 7.5}, "head": {"centre": 2}},
    "fixings": 2,
    "fixing_used": "frame screws",
    "foam_used": "soft",
    "sealant_used": "neutral, white",
    "glass_marks": "EN 12150 1(C)2",
    "on": "2026-03-04",
    "by": "Ada",
    "note": "packed at the head",
}


def tree(**changed):
    return copy.deepcopy(TREE) | changed
