"""The drawings of an opening say what was planned, at true sizes."""

import pytest
import shapely

from demo_house import MARKS, recorded
from jambwright.basis.tables import table
from jambwright.basis.units import show_mm
from jambwright.frame.layout import lay_out
from jambwright.frame.profiles import profile_system
from jambwright.frame.rect import Rect
from jambwright.frame.sill import plan_sill
from jambwright.paper.blocks_drawing import blocks_drawing, sign_place
from jambwright.paper.elevation import ElevationView, elevation
from jambwright.paper.fit_views import blocks_view, elevation_view, fitting_view, sill_view
from jambwright.paper.fitting_drawing import drawn_at, exaggerated, fitting_drawing
from jambwright.paper.scene import Area, Box, Line, Scene
from jambwright.paper.sill_drawing import SillView, cut_outline, plan_at, profile, section_at
from jambwright.paper.symbols import opening_triangle
from jambwright.readings.wanted import Light, SillWanted
from jambwright.readings.ways import ordered_kinds, way_of
from jambwright.record import VentSlots

SHEET = Box(width_mm=132, height_mm=140)


def texts(scene: Scene) -> list[str]:
    return [words.text for words in scene.words]


def size(line) -> tuple[float, float]:
    xs, ys = [p[0] for p in line.points], [p[1] for p in line.points]
    return max(xs) - min(xs), max(ys) - min(ys)


@pytest.mark.parametrize("mark", MARKS)
def test_the_frame_is_drawn_true_however_the_gaps_are_drawn(mark):
    plan = recorded(mark)
    for factor in (1, 10):
        scene = drawn_at(fitting_view(plan), 20, factor=factor)
        assert size(scene.lines("frame")[0]) == pytest.approx((plan.frame.width_mm, plan.frame.height_mm))


@pytest.mark.parametrize("mark", MARKS)
def test_drawn_gaps_are_the_true_ones_times_the_stated_factor(mark):
    view = fitting_view(recorded(mark))
    whole, middle = view.whole, view.whole.y_mm + view.whole.height_mm / 2
    for factor in (1, 5, 20):
        wall = shapely.LinearRing(exaggerated(view.boundary_mm, whole, factor))
        true = shapely.LinearRing(view.boundary_mm)
        for x, y, way in (
            (whole.x_mm, middle, (-1, 0)),
            (whole.right_mm, middle, (1, 0)),
            (whole.x_mm + whole.width_mm / 3, whole.top_mm, (0, 1)),
            (whole.x_mm + whole.width_mm / 3, whole.y_mm, (0, -1)),
        ):
            assert _reach(wall, x, y, way) == pytest.approx(factor * _reach(true, x, y, way), rel=1e-6)


def _reach(ring, x, y, way):
    far = shapely.LineString([(x, y), (x + 2000 * way[0], y + 2000 * way[1])])
    return shapely.Point(x, y).distance(ring.intersection(far))


def test_exaggeration_by_one_is_the_opening_as_adjusted():
    view = fitting_view(recorded("W4"))
    drawn = shapely.Polygon(exaggerated(view.boundary_mm, view.whole, 1))
    assert drawn.symmetric_difference(shapely.Polygon(view.boundary_mm)).area < 1e-6


@pytest.mark.parametrize("mark", MARKS)
def test_the_fitting_drawing_tells_size_gaps_packers_and_fixings(mark):
    plan = recorded(mark)
    told = texts(fitting_drawing(fitting_view(plan), SHEET))
    frame = plan.frame
    assert f"{show_mm(frame.width_mm)} × {show_mm(frame.height_mm)}" in told
    gaps = [show_mm(mm) for gaps in frame.size.gaps_mm.values() for mm in gaps.values()]
    arrows = [text for text in told if len(text) > 2 and (text[0] in "←↑↓" or text[-1] == "→")]
    assert sorted(text.strip("←↑→↓ ") for text in arrows) == sorted(gaps)
    stacks = ["+".join(show_mm(mm) for mm in point.packers_mm) for point in plan.fitting.packers]
    assert sorted(t for t in told if t in set(stacks) and t not in gaps) == sorted(
        s for s in stacks if s not in gaps
    )
    for held in plan.fitting.fixings:
        assert {f"{at:.0f}" for at in held.positions_mm} <= set(told)


def test_packers_are_drawn_in_the_gap_and_nowhere_else():
    view = fitting_view(recorded("W4"))
    scene = fitting_drawing(view, SHEET)
    whole = view.whole
    frame = shapely.box(whole.x_mm, whole.y_mm, whole.right_mm, whole.top_mm)
    wall = shapely.Polygon(scene.lines("wall")[0].points)
    packers = [shapely.Polygon(i.points) for i in scene.items if isinstance(i, Area) and i.ink == "packer"]
    assert len(packers) == len(recorded("W4").fitting.packers)
    for packer in packers:
        assert packer.intersection(frame).area == pytest.approx(0, abs=1e-3)
        assert packer.difference(wall).area == pytest.approx(0, abs=1e-3)
        assert packer.distance(frame) == pytest.approx(0, abs=1e-6)


def test_levels_and_plumbs_are_told_as_read():
    told = texts(fitting_drawing(fitting_view(recorded("W4")), SHEET))
    assert {"top leans → 15", "top leans → 12", "this end ↑ 6"} <= set(told)


@pytest.mark.parametrize("opens", ordered_kinds())
def test_the_triangle_points_to_the_hinges(opens):
    # ISO 7519 and EN 12519 annex A style, from memory, high
    corners = ((0.0, 0.0), (600.0, 0.0), (600.0, 900.0), (0.0, 900.0))
    middle = {"left": (0, 450), "right": (600, 450), "top": (300, 900), "bottom": (300, 0)}
    for hinges in way_of(opens).hinges:
        line = opening_triangle(corners, hinges, outwards=True)
        assert line.points[1] == middle[hinges]
        opposite = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}[hinges]
        assert {line.points[0], line.points[2]} == {c for c in corners if _on(c, opposite)}


def _on(corner, side):
    return {
        "left": corner[0] == 0,
        "right": corner[0] == 600,
        "bottom": corner[1] == 0,
        "top": corner[1] == 900,
    }[side]


def test_lights_that_open_towards_the_viewer_have_whole_lines_and_others_dashed():
    # EN 12519 annex A, read in trade notes: towards the viewer whole, away dashed
    out = elevation(elevation_view(recorded("W1")), SHEET)
    into = elevation(elevation_view(recorded("D1")), SHEET)
    assert out.lines("opens_out")
    assert not out.lines("opens_in")
    assert into.lines("opens_in")
    assert not into.lines("opens_out")


@pytest.mark.parametrize("mark", MARKS)
def test_the_elevation_marks_every_light_and_dimensions_the_frame(mark):
    plan = recorded(mark)
    scene = elevation(elevation_view(plan), Box(width_mm=94, height_mm=60))
    told = texts(scene)
    assert {light.mark for light in plan.frame.layout.lights} <= set(told)
    assert {show_mm(plan.frame.width_mm), show_mm(plan.frame.height_mm)} <= set(told)


def test_the_handle_is_on_the_lock_side_at_its_height():
    plan = recorded("W5")
    [light] = plan.frame.layout.lights
    scene = elevation(elevation_view(plan), SHEET)
    bar = next(item for item in scene.items if isinstance(item, Area) and item.ink == "sash")
    top = max(y for _, y in bar.points)
    assert top == pytest.approx(light.sash.y_mm + 430)
    assert light.daylight.right_mm < min(x for x, _ in bar.points) < light.sash.right_mm


def sill_of(ends: str) -> SillView:
    sill = plan_sill(
        SillWanted(ends=ends), opening_width_mm=1210, frame_width_mm=1200, seat_mm=70, set_back_mm=30
    )
    return SillView(title="W", sill=sill, set_back_mm=30)


def test_a_sill_with_horns_is_cut_as_the_trade_does():
    # common practice, no published source: about 100 mm longer than the opening, notch 2 mm short each side
    view = sill_of("horns")
    outline = shapely.Polygon(cut_outline(view.sill))
    assert view.sill.length_mm == 1210 + 100
    assert outline.bounds == pytest.approx((0, 0, 1310, view.sill.depth_mm))
    assert outline.area == pytest.approx(
        1310 * view.sill.depth_mm - 2 * view.sill.notch_along_mm * view.sill.notch_back_mm
    )
    behind = outline.intersection(shapely.box(-1, view.wall_mm + 1, 1400, 1000))
    assert behind.bounds[2] - behind.bounds[0] == pytest.approx(1210 - 2 * 2)


@pytest.mark.parametrize("mark", [mark for mark in MARKS if recorded(mark).frame.sill])
def test_the_sill_suits_the_width_that_was_read_at_the_bottom(mark):
    # common practice, no published source: about 100 mm longer than the opening, 2 mm short each side inside it
    plan = recorded(mark)
    read = next(r.mm for r in plan.readings.outside.readings if (r.kind, r.at) == ("width", "bottom"))
    assert plan.frame.sill.length_mm == pytest.approx(read + 100, abs=4)
    assert plan.frame.sill.reveal_length_mm == pytest.approx(read - 4, abs=4)


def test_a_flush_sill_is_a_plain_piece():
    view = sill_of("flush")
    assert shapely.Polygon(cut_outline(view.sill)).area == pytest.approx(1206 * view.sill.depth_mm)


def test_the_sill_plan_tells_length_notches_depth_and_screws():
    view = sill_of("horns")
    told = texts(plan_at(view, 10))
    sill = view.sill
    wanted = (sill.length_mm, sill.reveal_length_mm, sill.notch_along_mm, sill.depth_mm, sill.notch_back_mm)
    assert {show_mm(mm) for mm in wanted} <= set(told)
    assert {f"{at:.0f}" for at in sill.screws_mm} <= set(told)


def test_the_sill_falls_outwards_and_drips_clear_of_the_wall():
    view = sill_of("horns")
    outline = profile(view)
    back, seat, nose = outline[5], outline[6], outline[7]
    assert back[1] == seat[1] > nose[1]
    drip = outline[2]
    assert view.wall_mm - drip[0] == pytest.approx(view.sill.drip_clear_mm)
    assert "frame" in texts(section_at(view, 4))


def test_blocks_stand_where_the_plan_puts_them():
    # heel at the hinge side's bottom, toe at the lock side's top: practice reference C3, read
    plan = recorded("W5")
    scene = blocks_drawing(blocks_view(plan), SHEET)
    glass = plan.frame.layout.lights[0].glass
    black = [i for i in scene.items if isinstance(i, Area) and i.ink == "block" and i.fill == "black"]
    blank = [i for i in scene.items if isinstance(i, Area) and i.ink == "block" and i.fill == "blank"]
    roles = [b.role for b in plan.fitting.blocks["A"]]
    assert (len(black), len(blank)) == (roles.count("setting"), roles.count("location"))
    corners = {(_near(i, glass)) for i in black}
    assert corners == {("left", "bottom"), ("right", "top")}


def _near(area: Area, glass: Rect) -> tuple[str, str]:
    x = sum(p[0] for p in area.points) / len(area.points)
    y = sum(p[1] for p in area.points) / len(area.points)
    return (
        "left" if x < glass.x_mm + glass.width_mm / 2 else "right",
        "bottom" if y < glass.y_mm + glass.height_mm / 2 else "top",
    )


def test_a_block_sign_stands_at_its_distance_from_its_corner():
    glass = Rect(x_mm=100, y_mm=50, width_mm=600, height_mm=800)
    for block in recorded("W5").fitting.blocks["A"]:
        (x, y), upright = sign_place(glass, block, 10)
        along = (y - 50 if block.corner == "bottom" else 850 - y) if upright else (
            x - 100 if block.corner == "left" else 700 - x
        )  # fmt: skip
        assert along == pytest.approx(block.from_corner_mm)


def test_an_opening_without_a_sill_has_no_sill_drawing():
    assert sill_view(recorded("D1")) is None
    assert sill_view(recorded("W1")) is not None


def drawn(width=1400.0, height=1500.0, profile="box_sash_140", slots=None, **light):
    found = lay_out(
        Light.model_validate(light), width_mm=width, height_mm=height,
        profile=profile_system(profile), door=False, low=False,
    )  # fmt: skip
    outer = Rect(x_mm=0, y_mm=0, width_mm=width, height_mm=height)
    view = ElevationView(title="W1", outer=outer, layout=found, slots=slots or {})
    return found, elevation(view, Box(width_mm=100, height_mm=130))


@pytest.mark.parametrize(("horns", "count"), [("run_through", 2), ("planted", 2), ("none", 0)])
def test_horns_hang_below_the_upper_sash_at_both_stiles(horns, count):
    layout, scene = drawn(opens="vertical_slider", horns=horns)
    upper, _ = layout.lights
    depth = table("vertical_sashes").find(profile="box_sash_140")["horn_mm"]
    hung = [
        item for item in scene.items
        if isinstance(item, Line) and min(y for _, y in item.points) == pytest.approx(upper.sash.y_mm - depth)
    ]  # fmt: skip
    assert len(hung) == count
    assert {item.points[0][0] for item in hung} == (
        {upper.sash.x_mm, upper.sash.right_mm} if count else set()
    )


SLOTS = {"A": VentSlots(count=2, length_mm=300, in_sash=False)}


@pytest.mark.parametrize(
    ("slots", "spans"), [(SLOTS, [300, 300]), (None, None)], ids=["by the sheet", "of no known size"]
)
def test_ventilators_are_drawn_in_the_head_of_the_frame(slots, spans):
    layout, scene = drawn(opens="vertical_slider", vent_mm2=5000, slots=slots)
    areas = [item for item in scene.items if isinstance(item, Area)]
    face = 1500 - layout.lights[0].sight.top_mm
    for area in areas:
        middle = sum(y for _, y in area.points) / 4
        assert middle == pytest.approx(1500 - face / 2)
    wide = [size(area)[0] for area in areas]
    assert wide == pytest.approx(spans or [8 * scene.scale])
    assert sum(x for a in areas for x, _ in a.points) / (4 * len(areas)) == pytest.approx(700)


def test_ventilators_of_a_sash_are_drawn_in_its_head():
    slots = {"A": VentSlots(count=1, length_mm=300, in_sash=True)}
    layout, scene = drawn(profile="plain_70", opens="side_hung_left", vent_mm2=2500, width=700.0, slots=slots)
    sash = layout.lights[0].sash
    (area,) = [
        item for item in scene.items if isinstance(item, Area) and size(item)[0] == pytest.approx(300)
    ]  # fmt: skip
    middle = sum(y for _, y in area.points) / 4
    assert layout.lights[0].daylight.top_mm < middle < sash.top_mm
