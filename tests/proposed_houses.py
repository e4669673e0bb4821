"""Houses of one window or door, invented, each failing in one way that a change of the order can mend."""

from made_up_houses import readings

OPENER = {"opens": "side_hung_left", "handle_height_mm": 450, "open_angle_deg": 90, "vent_mm2": 4000}
FIXED = {"opens": "fixed", "vent_mm2": 4000}
CLOSED = {"opens": "fixed", "openers": 0, "vents_mm2": 0}


def house(
    layout, size=(1400, 1200), *, nation="england", glass="4-16Ar-4 low-e", area=10, use="bedroom", **opening
):
    """A first-floor room with one opening; ``opening`` holds further fields of it."""
    room = {
        "name": "room", "use": use, "storey": 1, "floor_area_m2": area, "way_out": "open_stair",
        "floor_above_ground_mm": 2700,
    }  # fmt: skip
    return {
        "jambwright": 1,
        "date_of_work": "2026-12-07",
        "site": {
            "label": "Invented house", "nation": nation, "distance_to_sea_km": 45, "wind_map_speed_ms": 22,
        },
        "house": {
            "built_year": 1934, "breadth_m": 6.2, "depth_m": 8.4, "height_m": 7.6, "listed": False,
            "conservation_area": False, "children": True, "rooms": [room],
        },
        "defaults": {"glass": glass, "set_back_mm": 15, "fixing": {"substrate": "brick"}},
        "openings": [
            {
                "id": "W1", "room": "room", "from_corner_m": 1.0, "lintel": {"kind": "steel"},
                "outside": readings(*size, lean=2, level=1, taper=1, bow=1), "sill_above_floor_mm": 900,
                "drop_outside_mm": 3600, "reveal_depth_mm": 100, "now": CLOSED, "wanted": {"layout": layout},
            }
            | opening
        ],
    }  # fmt: skip


def beside(*parts):
    return {"across": list(parts)}


TURNS = {"opens": "tilt_turn_left", "swing": "in", "handle_height_mm": 450}
"""An opener whose sash may be wider than one on stays."""

HOUSES = {
    "stay": house(beside(OPENER | {"open_angle_deg": 60}, FIXED)),
    "mullion": house(beside(OPENER, FIXED), (1200, 1200)),
    "mullion between three": house(
        beside(OPENER, {"share": 1.2, "opens": "fixed"}, OPENER | {"opens": "side_hung_right"}), (1700, 1200)
    ),
    "mullion beside a fixed size": house(beside(OPENER, FIXED | {"mm": 650}), (1200, 1200)),
    "hinge": house(
        {"opens": "top_hung", "open_angle_deg": 40, "handle_height_mm": 60, "vent_mm2": 8000}, (700, 1200)
    ),
    "move": house(beside(TURNS, FIXED | {"mm": 900, "vent_mm2": 8000})),
    "add": house(beside(OPENER, FIXED), (1500, 1200), area=15, now={"vents_mm2": 0}),
    "transom": house(OPENER | {"vent_mm2": 8000}, (700, 1700), sill_above_floor_mm=300),
    "transom beside glass": house(beside(OPENER, FIXED), (1400, 1700), sill_above_floor_mm=300),
    "restrictor": house(beside(OPENER, FIXED), (1400, 1500), sill_above_floor_mm=600, nation="ireland"),
    "vents": house(beside(OPENER | {"vent_mm2": 0}, {"opens": "fixed"})),
    "glass": house(
        {"down": [OPENER | {"vent_mm2": 8000}, {"opens": "fixed", "mm": 500}]}, (700, 1700),
        sill_above_floor_mm=500, glass="4T-16Ar-4 low-e",
    ),
    "weak glass": house(beside(OPENER | {"mm": 650}, FIXED), (2600, 2000)),
    "glass beside a door": house(
        beside({"mm": 985, "opens": "side_hung_left", "swing": "in", "infill": "panel"}, {"opens": "fixed"}),
        (1450, 2100), sill_above_floor_mm=0, drop_outside_mm=100, use="hall", glass="4-16Ar-4 low-e",
    ),
}  # fmt: skip
HOUSES["glass beside a door"]["openings"][0]["wanted"]["kind"] = "door"
