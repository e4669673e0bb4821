"""A scene as SVG or DXF. Nothing else knows either format."""

from __future__ import annotations

import io
import math
from typing import TYPE_CHECKING, assert_never

from jambwright.paper.lettering import CAPITAL, FAMILY, seat_shift_mm
from jambwright.paper.scene import PENS, Area, Box, Circle, Ink, Item, Line, Point, Scene, Words

if TYPE_CHECKING:
    import drawsvg
    from ezdxf.layouts.layout import Modelspace

_FALLBACK = f"'{FAMILY}', 'Source Sans 3', Arial, sans-serif"
_DIGITS = 3


def svg(scene: Scene, box: Box | None = None) -> str:
    """The scene as SVG at its scale, in the middle of ``box`` or on just the paper it needs.

    ``ValueError`` when it does not fit the box: a drawing is never squeezed, its scale would lie.
    """
    import drawsvg

    needs = scene.paper_size()
    paper = box or needs
    if needs.width_mm > paper.width_mm + 1e-6 or needs.height_mm > paper.height_mm + 1e-6:
        raise ValueError(
            f"{scene.title} needs {needs.width_mm:.1f} x {needs.height_mm:.1f} mm of paper, "
            f"the box is {paper.width_mm:.1f} x {paper.height_mm:.1f} mm"
        )
    sheet = _Sheet(scene, paper)
    drawing = drawsvg.Drawing(_round(paper.width_mm), _round(paper.height_mm))
    drawing.set_render_size(f"{_round(paper.width_mm)}mm", f"{_round(paper.height_mm)}mm")
    drawing.append_title(scene.title)
    # blank paper, for a phone that shows pictures on black
    drawing.append(drawsvg.Rectangle(0, 0, drawing.width, drawing.height, fill="white"))
    for item in scene.items:
        drawing.append(sheet.element(item))
    return str(drawing.as_svg())


def placed(scene: Scene, paper: Box) -> Point:
    """The true millimetres at the left and top edge of the paper that ``svg`` puts the scene on."""
    sheet = _Sheet(scene, paper)
    return sheet.x0, sheet.y1


class _Sheet:
    """Where true millimetres land on the paper, y downwards."""

    def __init__(self, scene: Scene, paper: Box) -> None:
        left, bottom, right, top = scene.bounds()
        self.scale = scene.scale
        self.x0 = (left + right) / 2 - paper.width_mm * scene.scale / 2
        self.y1 = (bottom + top) / 2 + paper.height_mm * scene.scale / 2

    def at(self, point: Point) -> tuple[float, float]:
        return (_round((point[0] - self.x0) / self.scale), _round((self.y1 - point[1]) / self.scale))

    def element(self, item: Item) -> drawsvg.DrawingElement:
        import drawsvg

        if isinstance(item, Words):
            return self._text(item)
        stroke = _stroke(item.ink)
        if isinstance(item, Circle):
            x, y = self.at(item.centre)
            return drawsvg.Circle(x, y, _round(item.radius_mm / self.scale), fill="white", **stroke)
        flat = [number for point in item.points for number in self.at(point)]
        if isinstance(item, Area):
            fill = "black" if item.fill == "black" else "white"
            return drawsvg.Lines(*flat, close=True, fill=fill, **stroke)
        if isinstance(item, Line):
            return drawsvg.Lines(*flat, close=item.closed, fill="none", **stroke)
        assert_never(item)

    def _text(self, words: Words) -> drawsvg.Text:
        import drawsvg

        x, y = self.at(words.at)
        turn = math.radians(words.turn_deg)
        shift = -seat_shift_mm(words.seat, words.size_mm)
        x, y = _round(x + shift * math.sin(turn)), _round(y + shift * math.cos(turn))
        more = {"transform": f"rotate({-words.turn_deg:g} {x} {y})"} if words.turn_deg else {}
        return drawsvg.Text(
            words.text, words.size_mm, x, y, fill="black", font_family=_FALLBACK,
            font_weight="bold" if words.bold else "normal",
            text_anchor={"left": "start", "middle": "middle", "right": "end"}[words.align],
            # another typeface is squeezed into the room this one was given
            textLength=_round(words.width_mm), lengthAdjust="spacingAndGlyphs", **more,
        )  # fmt: skip


def _stroke(ink: Ink) -> dict[str, object]:
    pen = PENS[ink]
    dashes = {"stroke_dasharray": " ".join(f"{d:g}" for d in pen.dash_mm)} if pen.dash_mm else {}
    return {"stroke": "black", "stroke_width": pen.width_mm, "stroke_linejoin": "round", **dashes}


def _round(value: float) -> float:
    return round(value, _DIGITS) + 0.0


def dxf(scene: Scene) -> bytes:
    """The scene as DXF in true millimetres, one layer an ink, lettering sized for the scene's scale."""
    from ezdxf.filemanagement import new
    from ezdxf.units import MM

    document = new("R2010", units=MM)
    for ink, pen in PENS.items():
        linetype = "CONTINUOUS"
        if pen.dash_mm:
            linetype = ink.upper()
            pattern = [d * scene.scale * (-1 if n % 2 else 1) for n, d in enumerate(pen.dash_mm)]
            document.linetypes.add(linetype, [sum(map(abs, pattern)), *pattern])
        document.layers.add(ink.upper(), linetype=linetype, lineweight=round(100 * pen.width_mm))
    space = document.modelspace()
    for item in scene.items:
        _draw(space, item, scene.scale)
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode(document.output_encoding)


def _draw(space: Modelspace, item: Item, scale: float) -> None:
    layer = {"layer": item.ink.upper()}
    if isinstance(item, Line):
        space.add_lwpolyline(item.points, close=item.closed, dxfattribs=layer)
    elif isinstance(item, Circle):
        space.add_circle(item.centre, item.radius_mm, dxfattribs=layer)
    elif isinstance(item, Area):
        space.add_lwpolyline(item.points, close=True, dxfattribs=layer)
        if item.fill == "black":
            space.add_hatch(dxfattribs=layer).paths.add_polyline_path(item.points, is_closed=True)
    elif isinstance(item, Words):
        _letter(space, item, scale)
    else:
        assert_never(item)


def _letter(space: Modelspace, words: Words, scale: float) -> None:
    from ezdxf.enums import TextEntityAlignment

    align = {
        "left": TextEntityAlignment.LEFT, "middle": TextEntityAlignment.CENTER, "right": TextEntityAlignment.RIGHT,
    }[words.align]  # fmt: skip
    shift, turn = seat_shift_mm(words.seat, words.size_mm) * scale, math.radians(words.turn_deg)
    at = (words.at[0] - shift * math.sin(turn), words.at[1] + shift * math.cos(turn))
    # DXF sizes lettering by its capitals
    text = space.add_text(
        words.text,
        height=words.size_mm * CAPITAL * scale,
        rotation=words.turn_deg,
        dxfattribs={"layer": words.ink.upper()},
    )
    text.set_placement(at, align=align)
