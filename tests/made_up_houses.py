"""Surveys drawn by chance: openings of honest variety, with readings taken off a crooked outline."""

import math
import random

from hypothesis import strategies as st

from jambwright.readings.ways import ordered_kinds, way_of

SASH = tuple(way for way in ordered_kinds() if way != "fixed" and not way_of(way).only_in_doors)
QUIET = ("", "", "", "", "asleep until 12:00", "", "", "calls until 10:30", "", "")
LINTELS = ("steel", "concrete", "timber", "none", "unknown")


def readings(width, height, lean, level, taper, bow):
    """What a faultless tape would read in an opening with these faults."""
    bl, br = (0.0, 0.0), (width, level)
    tl, tr = (lean, height), (width + lean + taper, height + level / 2)

    def apart(a, b):
        return round(math.dist(a, b), 1)

    def middle(a, b):
        return ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)

    left, right = middle(bl, tl), middle(br, tr)
    return {
        "width": {
            "bottom": apart(bl, br),
            "middle": round(math.dist(left, right) - bow, 1),
            "top": apart(tl, tr),
        },
        "height": {
            "left": apart(bl, tl),
            "centre": apart(middle(bl, br), middle(tl, tr)),
            "right": apart(br, tr),
        },
        "diagonal": {"rising": apart(bl, tr), "falling": apart(tl, br)},
        "level": {"sill": round(level, 1), "head": round(level / 2, 1)},
        "plumb": {"left": round(lean, 1), "right": round(lean + taper, 1)},
        "bow": {"left": round(bow, 1), "right": 0},
    }


def rebated_house(**changes):
    """A stone-fronted house, invented, whose one window stands behind nibs: 26 left, 24 right, 28 at the head.

    ``changes`` are fields of its opening.
    """
    across = [{"opens": "side_hung_left", "handle_height_mm": 400, "open_angle_deg": 65}, {"opens": "fixed"}]
    opening = {
        "id": "W1",
        "room": "parlour",
        "note": "Rebated reveal, frame in from inside",
        "lintel": {"kind": "stone"},
        "wall": {
            "outer_leaf": "brick", "outer_mm": 102.5, "cavity_mm": 0, "inner_leaf": "brick", "inner_mm": 225,
            "closer": "none", "face": "stone",
        },
        "outside": readings(1200, 1050, lean=4, level=2, taper=-3, bow=2),
        "inside": readings(1250, 1090, lean=5, level=2, taper=-2, bow=1),
        "nibs": {"left": 26, "right": 24, "head": 28},
        "reveal_depth_mm": 105,
        "old_sill": "stone",
        "wanted": {"layout": {"across": across}},
    }  # fmt: skip
    return {
        "jambwright": 1,
        "note": "Invented house",
        "date_of_work": "2026-12-07",
        "site": {
            "label": "Invented house with nibs", "distance_to_sea_km": 40, "wind_map_speed_ms": 22,
        },
        "house": {
            "built_year": 1890, "breadth_m": 6, "depth_m": 8, "height_m": 7,
            "rooms": [{"name": "parlour", "use": "living", "way_out": "hall", "floor_area_m2": 14}],
        },
        "openings": [opening | changes],
    }  # fmt: skip


LEAF_MM, FRAME_MM = 300, 140
"""A leaf of several shows glass and has room for its mark from here on, and what the frame takes of the hole."""


def has_room(way, width, height):
    """Whether each leaf of a light of several leaves shows glass in a part of that size."""
    leaves = len(way_of(way).leaves)
    across, up = (1, leaves) if way_of(way).clear == "slide_up" else (leaves, 1)
    return not leaves or (width >= FRAME_MM + LEAF_MM * across and height >= FRAME_MM + LEAF_MM * up)


@st.composite
def lights(draw, width, height):
    room = [way for way in SASH if has_room(way, width, height)]
    opens = draw(st.sampled_from((*room, "fixed", "fixed")))
    light = {"opens": opens, "vent_mm2": draw(st.sampled_from((0, 4000)))}
    if opens != "fixed":
        light |= {
            "swing": draw(st.sampled_from(("out", "in"))),
            "handle_height_mm": draw(st.integers(60, 500)),
        }
    return light | {"obscure": draw(st.booleans())}


@st.composite
def layouts(draw, width, height):
    across = draw(st.integers(1, max(1, min(5, int(width // 450)))))
    columns = []
    for _ in range(across):
        down = draw(st.integers(1, max(1, min(3, int(height // 450)))))
        part = lights(width / across, height / down)
        columns.append(draw(part) if down == 1 else {"down": [draw(part) for _ in range(down)]})
    return columns[0] if across == 1 else {"across": columns}


@st.composite
def openings(draw, mark="W1"):
    width, height = draw(st.integers(380, 3600)), draw(st.integers(380, 2400))
    faults = {
        "lean": draw(st.floats(-20, 20)),
        "level": draw(st.floats(-12, 12)),
        "taper": draw(st.floats(-8, 8)),
        "bow": draw(st.floats(-4, 6)),
    }
    # behind nibs or in a straight reveal
    nib = draw(st.sampled_from((0, 0, 22, 45, 90)))
    inner = {"inside": readings(width + 2 * nib, height + 30, **faults)} if nib else {}
    sill = draw(st.sampled_from(({"kind": "none"}, {"ends": "horns"}, {"ends": "flush"})))
    return {
        "id": mark,
        "room": "room",
        "note": draw(st.sampled_from(("", "Old stone sill stays and the reveal is plastered outside"))),
        "lintel": {"kind": draw(st.sampled_from(LINTELS))},
        "outside": readings(width, height, **faults),
        "nibs": {"left": nib, "right": nib, "head": nib},
        **inner,
        "set_back_mm": draw(st.sampled_from((10, 30, 60))),
        "wanted": {
            "sill": sill,
            "layout": draw(layouts(width, height)),
            "dropped_sash_mm": draw(st.sampled_from((0, 0, 3))),
        },
    }


@st.composite
def surveys(draw, count=1):
    return {
        "jambwright": 1,
        "site": {"label": "Invented house"},
        "house": {
            "built_year": draw(st.sampled_from((1934, 1995, 2010))),
            "children": draw(st.booleans()),
            "rooms": [{"name": "room", "use": "living", "storey": draw(st.integers(0, 2))}],
        },
        "openings": [draw(openings(f"W{n + 1}")) for n in range(count)],
    }


def house_of_many(count, seed=1):
    """A made-up house of many openings on three storeys, some rooms with quiet hours, some doors."""
    chance = random.Random(seed)
    rooms = [
        {"name": f"room {n + 1}", "use": "study", "storey": n % 3, "disturb": QUIET[n % len(QUIET)]}
        for n in range(-(-count // 2))
    ]
    marks = [f"{'D' if n % 20 == 0 else 'W'}{n + 1}" for n in range(count)]
    return {
        "jambwright": 1,
        "date_of_work": "2026-03-02",
        "site": {"label": "Invented house of many openings"},
        "house": {"built_year": 1995, "rooms": rooms},
        "openings": [_one_of_many(mark, rooms[n // 2]["name"], chance) for n, mark in enumerate(marks)],
    }


def _one_of_many(mark, room, chance):
    door = mark.startswith("D")
    width, height = (950, 2100) if door else (chance.randint(500, 1500), chance.randint(500, 1400))
    faults = {name: chance.uniform(-3, 3) for name in ("lean", "level", "taper", "bow")}
    return {
        "id": mark,
        "room": room,
        "elevation": chance.choice(("front", "back", "left", "right")),
        "lintel": {"kind": "steel"},
        "outside": readings(width, height, **faults),
        "wanted": {"kind": "door", "profile": "plain_door_70", "glass": "4T-16Ar-4T low-e"} if door else {},
    }


def settled_house(house=(), site=(), room=(), **opening):
    """An invented house of one kitchen window, built in 2005, of which everything is read, answered and in order.

    ``house``, ``site`` and ``room`` are fields of theirs that differ, the rest fields of its opening.
    """
    lights = [
        {"opens": "side_hung_left", "handle_height_mm": 400, "open_angle_deg": 65, "vent_mm2": 4000},
        {"opens": "fixed", "vent_mm2": 4000},
    ]
    return {
        "jambwright": 1,
        "note": "Invented house",
        "date_of_work": "2026-12-07",
        "registered_installer": True,
        "site": {
            "label": "Invented house in order", "distance_to_sea_km": 45, "distance_in_town_km": 1,
            "wind_map_speed_ms": 22,
        } | dict(site),
        "house": {
            "built_year": 2005, "breadth_m": 6.2, "depth_m": 8.4, "height_m": 7.6, "listed": False,
            "conservation_area": False, "children": True,
            "rooms": [{
                "name": "kitchen", "use": "kitchen", "floor_area_m2": 9, "way_out": "hall", "extract_fan": True,
            } | dict(room)],
        } | dict(house),
        "defaults": {
            "set_back_mm": 15, "fixing": {"substrate": "brick"}, "wall": {"closer": "brick_return"},
        },
        "openings": [{
            "id": "W1", "room": "kitchen", "from_corner_m": 1.1, "lintel": {"kind": "steel"},
            "outside": readings(1500, 1150, lean=2, level=1, taper=1, bow=1), "reveal_depth_mm": 100,
            "sill_above_floor_mm": 1080, "drop_outside_mm": 1250,
            "now": {
                "opens": "side-hung casement", "openers": 1, "material": "pvcu", "glazing": "double",
                "clear_width_mm": 300, "clear_height_mm": 500, "bottom_above_floor_mm": 1150, "vents_mm2": 0,
                "safety_marks": False,
            },
            "wanted": {
                "layout": {"across": lights},
                "declared": {
                    "by": "invented declaration of performance", "u_w_m2k": 1.3, "glass_wind_pa": 1200,
                    "bar_ei_n_mm2": 9.0e9,
                },
            },
        } | opening],
    }  # fmt: skip
