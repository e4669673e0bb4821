"""A scene keeps its true millimetres in SVG and DXF."""

import io
import math
import re
from xml.etree import ElementTree

import ezdxf
import pytest

from jambwright.paper.render import dxf, svg
from jambwright.paper.scene import PENS, Area, Box, Circle, Line, Scene, Words, rectangle

SCENE = Scene(
    title="A plain scene",
    items=(
        Line(points=rectangle(100, 50, 1200, 1000), ink="frame", closed=True),
        Line(points=((100, 50), (1300, 1050)), ink="opens_in"),
        Area(points=rectangle(100, 50, 60, 20), ink="packer"),
        Circle(centre=(700, 550), radius_mm=30, ink="fixing"),
        Words(at=(700, 550), text="1200 × 1000", size_mm=3.0),
        Words(at=(100, 550), text="tall & <thin>", size_mm=3.0, turn_deg=90, align="left"),
    ),
    scale=10,
)
NS = {"s": "http://www.w3.org/2000/svg"}


def test_svg_is_well_formed_and_sized_in_paper_millimetres():
    root = ElementTree.fromstring(svg(SCENE))
    needs = SCENE.paper_size()
    assert root.attrib["width"] == f"{round(needs.width_mm, 3)}mm"
    assert [float(v) for v in root.attrib["viewBox"].split()] == pytest.approx(
        [0, 0, needs.width_mm, needs.height_mm], abs=2e-3
    )
    assert [t.text for t in root.findall(".//s:text", NS)] == ["1200 × 1000", "tall & <thin>"]


def test_svg_puts_true_lengths_on_paper_at_the_scale():
    root = ElementTree.fromstring(svg(SCENE, Box(width_mm=160, height_mm=140)))
    path = root.findall(".//s:path", NS)[0].attrib["d"]
    numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", path)]
    xs, ys = numbers[::2], numbers[1::2]
    assert max(xs) - min(xs) == pytest.approx(120.0)
    assert max(ys) - min(ys) == pytest.approx(100.0)


def test_a_scene_is_never_squeezed_into_too_small_a_box():
    with pytest.raises(ValueError, match="A plain scene needs"):
        svg(SCENE, Box(width_mm=100, height_mm=140))


def test_lettering_in_another_typeface_is_held_to_its_room():
    text = ElementTree.fromstring(svg(SCENE)).findall(".//s:text", NS)[0]
    assert float(text.attrib["textLength"]) == pytest.approx(SCENE.words[0].width_mm, abs=1e-3)


def test_the_same_scene_gives_the_same_svg():
    assert svg(SCENE) == svg(SCENE)


def test_dxf_reads_back_with_true_lengths_layers_and_lettering():
    document = ezdxf.read(io.StringIO(dxf(SCENE).decode()))
    space = document.modelspace()
    assert document.units == ezdxf.units.MM
    frame = next(e for e in space.query("LWPOLYLINE") if e.dxf.layer == "FRAME")
    corners = list(frame.get_points("xy"))
    assert math.dist(corners[0], corners[1]) == pytest.approx(1200.0)
    assert math.dist(corners[1], corners[2]) == pytest.approx(1000.0)
    assert space.query("CIRCLE").first.dxf.radius == pytest.approx(30.0)
    words = space.query("TEXT").first
    # capitals of a 3 mm body at 1:10
    assert words.dxf.height == pytest.approx(3.0 * 0.65 * 10)
    assert document.layers.get("OPENS_IN").dxf.linetype == "OPENS_IN"
    assert not document.audit().errors


def test_every_ink_is_told_from_the_others_by_width_or_dashes_never_by_colour():
    assert 'stroke="black"' in svg(SCENE)
    colours = set(re.findall(r'(?:stroke|fill)="([^"]+)"', svg(SCENE)))
    assert colours <= {"black", "white", "none"}
    assert all(pen.width_mm in (0.13, 0.18, 0.25, 0.35, 0.5, 0.7) for pen in PENS.values())
