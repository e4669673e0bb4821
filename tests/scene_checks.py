"""What a drawing must never do, told as lists of faults."""

from itertools import combinations

import shapely

from jambwright.paper.scene import Area, Circle, Line, Scene, Words

HAIR_MM = 0.15
"""Boxes round lettering are this much larger than the strokes."""


def box(words: Words, scene: Scene) -> shapely.Polygon:
    return shapely.Polygon(words.corners(scene.scale)).buffer(-HAIR_MM * scene.scale, join_style="mitre")


def overlapping_words(scene: Scene) -> list[tuple[str, str]]:
    boxes = [(words.text, box(words, scene)) for words in scene.words]
    return [(a, b) for (a, one), (b, other) in combinations(boxes, 2) if one.intersects(other)]


def struck_words(scene: Scene) -> list[tuple[str, str]]:
    """Lettering that a line, a sign or a filled area runs through."""
    boxes = [(words.text, box(words, scene)) for words in scene.words]
    drawn = [(item.ink, _outline(item)) for item in scene.items if not isinstance(item, Words)]
    return [(text, ink) for text, one in boxes for ink, other in drawn if one.intersects(other)]


def _outline(item: Line | Area | Circle) -> shapely.Geometry:
    if isinstance(item, Circle):
        return shapely.Point(item.centre).buffer(item.radius_mm)
    if isinstance(item, Area):
        return shapely.Polygon(item.points)
    points = [*item.points, item.points[0]] if item.closed else item.points
    return shapely.LineString(points)
