"""The tree of a layout as the drawing changes it, against the engine: nothing moves but what was moved."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jambwright.basis.border import accept
from jambwright.frame.layout import lay_out
from jambwright.frame.parts import splits_of
from jambwright.frame.profiles import profile_system
from jambwright.readings.wanted import Light, Wanted
from jambwright.readings.ways import ways

PLAIN = profile_system("plain_70")
FOR = {"window": PLAIN, "door": profile_system("plain_door_70")}
OF_WINDOWS = [way for way in ways().values() if way.ordered and not way.only_in_doors]
KINDS = [way.kind for way in OF_WINDOWS]
HUNG = [{"kind": way.kind, "hangs": way.hangs} for way in OF_WINDOWS if way.hangs]


@pytest.fixture(scope="module")
def page(with_scripts):
    """A page with the scripts of the drawing in it."""
    return with_scripts("layout.js", "layout_form.js", "common_shapes.js")


@pytest.fixture(scope="module")
def table(page):
    """Operations on the tree by name."""
    return lambda name, *given: page.evaluate("([name, given]) => all[name](...given)", [name, list(given)])


HELD = st.fixed_dictionaries(
    {},
    optional={
        "vent_mm2": st.sampled_from([2500, 4000]),
        "handle_height_mm": st.sampled_from([450, 900]),
        "open_angle_deg": st.sampled_from([60, 90]),
        "obscure": st.just(True),
        "glass": st.sampled_from(["4T-16Ar-4T low-e", "6-14Ar-4 low-e"]),
        "restrictor": st.sampled_from([True, "key"]),
    },
)
OF_SASHES = st.fixed_dictionaries(
    {},
    optional={
        "horns": st.sampled_from(["planted", "run_through"]),
        "balance": st.sampled_from(["spiral_tilt", "cords"]),
        "lower_sash_mm": st.just(600),
    },
)
SASHES = st.builds(lambda held, own: {**held, **own, "opens": "vertical_slider"}, HELD, OF_SASHES)
FOLDS = st.builds(
    lambda held, left, right: {**held, "fold_left": left, "fold_right": right, "opens": "bi_fold"},
    HELD, st.integers(1, 3), st.integers(1, 3),
)  # fmt: skip
LIGHTS = st.builds(lambda held, kind: {**held, "opens": kind}, HELD, st.sampled_from(KINDS)) | SASHES | FOLDS
SIZED = st.builds(lambda light, share: {**light, "share": share}, LIGHTS, st.sampled_from([1, 1.5, 2]))
ROWS = st.builds(lambda parts: {"across": parts}, st.lists(SIZED, min_size=2, max_size=3))
TREES = LIGHTS | ROWS | st.builds(lambda top, low: {"down": [top, {**low, "share": 2}]}, SIZED, ROWS)
QUICK = settings(max_examples=40, deadline=None, database=None, suppress_health_check=list(HealthCheck))


def placed(layout, width=9000.0, height=6000.0):
    wanted = accept(Wanted, {"layout": layout})
    found = lay_out(wanted.layout, width_mm=width, height_mm=height, profile=PLAIN, door=False, low=False)
    return found, list(splits_of(wanted.layout, found))


def at(split, index):
    return sum(split.sizes_mm[: index + 1])


@QUICK
@given(layout=TREES, by=st.integers(-80, 80), data=st.data())
def test_a_bar_goes_where_it_is_put_and_no_other_bar_of_its_row_moves(table, layout, by, data):
    _, splits = placed(layout)
    if not splits:
        return
    split = data.draw(st.sampled_from(splits))
    index = data.draw(st.integers(0, len(split.sizes_mm) - 2))
    for times in (1, 2):  # what was moved once can be moved again
        sizes = next(s for s in placed(layout)[1] if s.path == split.path).sizes_mm
        layout = table("moveBar", layout, list(split.path), index, list(sizes), by)
        after = next(s for s in placed(layout)[1] if s.path == split.path)
        expected = [at(split, n) + (times * by if n == index else 0) for n in range(len(sizes))]
        assert [at(after, n) for n in range(len(sizes))] == pytest.approx(expected, abs=0.11)


@QUICK
@given(layout=TREES, way=st.sampled_from(["across", "down"]), data=st.data())
def test_a_light_in_two_keeps_what_it_held_and_its_row_stays(table, layout, way, data):
    before, _ = placed(layout)
    light = data.draw(st.sampled_from(before.lights))
    split = table("splitLight", layout, list(light.path), way)
    after, _ = placed(split)
    assert len(after.lights) == len(before.lights) + 1
    others = {
        place for place, each in zip(places(before), before.lights, strict=True) if each.path != light.path
    }
    assert others <= set(places(after))
    assert sum(each.part.area_m2 for each in after.lights) == pytest.approx(54.0)
    assert held(split) >= held(layout) - {("opens", "fixed")}
    # and taking the bar out again gives the light its room back
    bar = table("newBar", list(light.path), way)
    back = table("removeBar", split, bar["path"], bar["index"])
    assert places(placed(back["layout"])[0]) == places(before)


def places(layout):
    """Where every light is, to a tenth of a millimetre."""
    edges = ((e.part.x_mm, e.part.y_mm, e.part.right_mm, e.part.top_mm) for e in layout.lights)
    return [tuple(round(edge, 1) + 0.0 for edge in each) for each in edges]


def lights(node):
    for way in ("across", "down"):
        if way in node:
            return [light for part in node[way] for light in lights(part)]
    return [node]


def fields(light):
    usual = {"opens": "fixed", "swing": "out"}
    return [
        (name, value)
        for name, value in light.items()
        if name not in ("share", "mm") and value != usual.get(name)
    ]


def held(layout):
    return {field for light in lights(layout) for field in fields(light)}


@QUICK
@given(old=TREES, shape=TREES)
def test_another_shape_carries_or_names_everything_the_lights_held(table, old, shape):
    bare = table("bareShape", shape)
    found = table("shaped", old, bare)
    accept(Wanted, {"layout": found["layout"]})
    unsized = [{**light, "share": 1} for light in lights(table("bareShape", found["layout"]))]
    assert [light["opens"] for light in unsized] == [light["opens"] for light in lights(bare)]
    named = [(name, value) for each in found["lost"] for name, value in each["fields"]]
    kept = [field for light in lights(found["layout"]) for field in fields(light)]
    common = {f for f in fields(lights(old)[0]) if all(f in fields(light) for light in lights(old))}
    for field in {f for light in lights(old) for f in fields(light) if f[0] != "opens"}:
        before = sum(field in fields(light) for light in lights(old))
        after = kept.count(field) + named.count(field)
        # glass that every light had is every new light's, however many there are
        assert after >= before or (field in common and kept.count(field) == len(lights(found["layout"]))), (
            field
        )


def test_ventilators_handle_heights_and_angles_go_along_to_a_shape_like_it(table):
    old = {"across": [{"opens": "fixed", "vent_mm2": 4000, "mm": 500},
                      {"opens": "side_hung_right", "handle_height_mm": 450, "open_angle_deg": 90}]}  # fmt: skip
    found = table("shaped", old, {"across": [{"opens": "side_hung_left"}, {"opens": "fixed"}]})
    assert found["lost"] == []
    first, second = found["layout"]["across"]
    assert (first["opens"], first["handle_height_mm"], first["open_angle_deg"], first["mm"]) == (
        "side_hung_left",
        450,
        90,
        500,
    )
    assert second["vent_mm2"] == 4000
    gone = table("shaped", old, {"opens": "top_hung"})
    assert gone["layout"]["vent_mm2"] == 4000
    assert {tuple(field) for each in gone["lost"] for field in each["fields"]} == {
        ("handle_height_mm", 450),
        ("open_angle_deg", 90),
    }


def test_a_light_that_opens_otherwise_leaves_what_has_no_place_and_says_so(table):
    layout = {
        "opens": "side_hung_left",
        "handle_height_mm": 900,
        "open_angle_deg": 60,
        "vent_mm2": 4000,
        "restrictor": True,
    }
    fixed = table("openLight", layout, [], "fixed")
    assert fixed["layout"] == {"vent_mm2": 4000}
    assert {name for name, _ in fixed["lost"][0]["fields"]} == {
        "handle_height_mm",
        "open_angle_deg",
        "restrictor",
    }
    other = table("openLight", layout, [], "side_hung_right")
    assert (other["layout"], other["lost"]) == ({**layout, "opens": "side_hung_right"}, [])
    turned = table("openLight", layout, [], "tilt_turn_left")
    assert (turned["layout"]["swing"], turned["layout"]["handle_height_mm"]) == ("in", 900)


def test_a_side_touched_again_and_again_goes_through_every_way_of_hanging_there(table):
    seen, light = [], {"opens": "fixed"}
    for _ in range(4):
        light = {"opens": table("nextAt", light, "left", HUNG)}
        seen.append(light["opens"])
    assert seen == ["side_hung_left", "tilt_turn_left", "pair_left", "fixed"]
    assert table("nextAt", {"opens": "side_hung_left"}, "top", HUNG) == "top_hung"


def test_what_the_maker_declared_of_the_old_lights_goes_and_is_named(table):
    wanted = {
        "layout": {},
        "declared": {"by": "sheet", "u_w_m2k": 1.3, "lights": {"A": {}}, "glass_wind_pa": 1200},
    }
    same = table("wantedWith", wanted, {}, "standard")
    assert (same["wanted"], same["gone"]) == (wanted, [])
    other = table("wantedWith", wanted, {"across": [{}, {}]}, "low")
    assert other["gone"] == ["lights", "glass_wind_pa"]
    assert other["wanted"]["declared"] == {"by": "sheet", "u_w_m2k": 1.3}
    assert other["wanted"]["threshold"] == "low"


def test_every_field_of_a_light_can_be_set_on_the_form_and_is_carried(page, table):
    asked = page.evaluate("() => all.LIGHT_FIELDS.map((field) => field.name)")
    of_the_layout = {"opens", "share", "mm"}
    assert set(asked) == set(Light.model_fields) - of_the_layout
    carried = table("carried")
    assert set(carried) == set(asked)


def test_every_shape_to_start_from_can_be_made(page):
    shapes = page.evaluate("() => all.SHAPES")
    for kind, of_kind in shapes.items():
        for name, shape in of_kind.items():
            wanted = accept(Wanted, {"kind": kind, "layout": shape})
            found = lay_out(
                wanted.layout,
                width_mm=1500,
                height_mm=2000,
                profile=FOR[kind],
                door=kind == "door",
                low=False,
            )
            assert found.lights, name
