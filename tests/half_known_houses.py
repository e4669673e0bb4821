"""Houses drawn by chance as they come from site: some things settled, some unknown, some not read. All invented."""

import copy

from hypothesis import strategies as st

from made_up_houses import openings, readings

NATIONS = ("england", "wales", "scotland", "northern_ireland", "ireland")
BY = {"by": "Report 7 (invented)", "on": "2026-11-02"}


@st.composite
def windows(draw, mark):
    """A window of honest variety, its surroundings known or not."""
    opening = draw(openings(mark))
    opening |= draw(
        st.sampled_from(
            (
                {},
                {"sill_above_floor_mm": 900, "drop_outside_mm": 1100},
                {
                    "flue": {
                        "appliance": "gas_fanned",
                        "direction": "beside",
                        "to_opener_mm": 150,
                        "to_frame_mm": 400,
                    }
                },
                {"cleared": [{"what": "lintel"} | BY]},
                {"done": ["ordered"], "ordered": {"width_mm": 500, "height_mm": 600}},
            )
        )
    )
    return _half_read(opening) if draw(st.integers(0, 4)) == 0 else opening


@st.composite
def doors(draw, mark):
    """A panelled or glazed door."""
    infill = draw(st.sampled_from(("panel", "glass")))
    return {
        "id": mark,
        "room": "room",
        "lintel": {"kind": draw(st.sampled_from(("steel", "none")))},
        "outside": readings(draw(st.integers(880, 1000)), 2080, lean=3, level=1, taper=-2, bow=1),
        "sill_above_floor_mm": 0,
        "wanted": {
            "kind": "door", "profile": "plain_door_70", "glass": "4T-16Ar-4T low-e",
            "layout": {"opens": "side_hung_left", "infill": infill},
        },
    }  # fmt: skip


def _half_read(opening):
    """Without two of its readings, as a fitter leaves it who is called away."""
    left = copy.deepcopy(opening)
    del left["outside"]["width"]["middle"]
    del left["outside"]["height"]["right"]
    return left


@st.composite
def houses(draw, most=2):
    """A house of one opening or two."""
    count = draw(st.integers(1, most))
    kinds = [draw(st.sampled_from((windows, windows, windows, doors))) for _ in range(count)]
    marks = [f"{'D' if kind is doors else 'W'}{n + 1}" for n, kind in enumerate(kinds)]
    wind = draw(st.sampled_from(({}, {"wind_map_speed_ms": 22, "distance_to_sea_km": 40, "terrain": "II"})))
    return {
        "jambwright": 1,
        "site": {"label": "Invented house, half known", "nation": draw(st.sampled_from(NATIONS))} | wind,
        "house": {
            "built_year": draw(st.sampled_from((1934, 1998, 2010, None))),
            "breadth_m": 6, "depth_m": 8, "height_m": 7,
            "listed": draw(st.sampled_from((False, False, True, None))),
            "conservation_area": False,
            "children": draw(st.booleans()),
            "rooms": [{
                "name": "room", "use": draw(st.sampled_from(("living", "bedroom", "kitchen"))),
                "storey": draw(st.integers(0, 2)), "floor_area_m2": 12, "way_out": "hall",
                "floor_above_ground_mm": 2700,
            }],
        },
        "registered_installer": draw(st.booleans()),
        "cleared": draw(st.sampled_from(([], [{"what": "asbestos"} | BY, {"what": "lead"} | BY]))),
        "openings": [draw(kind(mark)) for kind, mark in zip(kinds, marks, strict=True)],
    } | draw(st.sampled_from(({}, {"date_of_work": "2026-12-07"}, {"date_of_work": "2026-12-07"})))  # fmt: skip
