"""Lines of a PDF as they lie on the paper, whatever forms they are nested in."""

import ctypes
from collections.abc import Iterator

import pypdfium2
from pypdfium2 import raw

MM = 72 / 25.4

Matrix = tuple[float, float, float, float, float, float]
Bounds = tuple[float, float, float, float]


def paths(page: pypdfium2.PdfPage) -> Iterator[Bounds]:
    """Left, bottom, right and top in millimetres of every path of a page, without the width of its line."""
    count = raw.FPDFPage_CountObjects(page.raw)
    for n in range(count):
        yield from _paths(raw.FPDFPage_GetObject(page.raw, n), (1, 0, 0, 1, 0, 0))


def _paths(item, outer: Matrix) -> Iterator[Bounds]:
    kind = raw.FPDFPageObj_GetType(item)
    matrix = _times(_matrix(item), outer)
    if kind == raw.FPDF_PAGEOBJ_FORM:
        for n in range(raw.FPDFFormObj_CountObjects(item)):
            yield from _paths(raw.FPDFFormObj_GetObject(item, n), matrix)
    elif kind == raw.FPDF_PAGEOBJ_PATH:
        points = [_at(matrix, *point) for point in _points(item)]
        xs, ys = [p[0] / MM for p in points], [p[1] / MM for p in points]
        yield min(xs), min(ys), max(xs), max(ys)


def _points(item) -> Iterator[tuple[float, float]]:
    for n in range(raw.FPDFPath_CountSegments(item)):
        x, y = ctypes.c_float(), ctypes.c_float()
        raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(item, n), x, y)
        yield x.value, y.value


def _matrix(item) -> Matrix:
    found = raw.FS_MATRIX()
    assert raw.FPDFPageObj_GetMatrix(item, found)
    return found.a, found.b, found.c, found.d, found.e, found.f


def _times(m: Matrix, n: Matrix) -> Matrix:
    """First m, then n."""
    a, b, c, d, e, f = m
    x, y = _at(n, e, f)
    return (
        a * n[0] + b * n[2], a * n[1] + b * n[3], c * n[0] + d * n[2], c * n[1] + d * n[3], x, y,
    )  # fmt: skip


def _at(m: Matrix, x: float, y: float) -> tuple[float, float]:
    return x * m[0] + y * m[2] + m[4], x * m[1] + y * m[3] + m[5]
