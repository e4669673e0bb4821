"""Largest level-and-plumb rectangles with 5 mm all round.

Source: tests/data/inscribed_rectangle.json; each case computed by closed form and by brute-force grid
(calculated, no published source). Tolerance: the four decimals of the file.
"""

import json
from pathlib import Path

import pytest

from jambwright.opening import Gaps, largest_rectangle, space_of

FILE = Path(__file__).parent.parent / "data" / "inscribed_rectangle.json"
CASES = {case["id"]: case for case in json.loads(FILE.read_text())["cases"]}
BULGED = [(0, 0), (1200, 0), (1203, 600), (1200, 1200), (0, 1200), (4, 600)]
"""R6: left jamb bulges 4 mm in, right jamb is 3 mm hollow, both at mid height."""


@pytest.mark.parametrize("name", CASES)
def test_the_largest_rectangle_agrees_with_closed_form_and_brute_force(name: str) -> None:
    case = CASES[name]
    corners = BULGED if name.startswith("R6") else [case["corners_mm"][k] for k in ("BL", "BR", "TR", "TL")]
    gap = case["min_clearance_mm"]
    gaps = Gaps(left=gap["left"], right=gap["right"], head=gap["head"], bottom=gap["sill"])
    found = largest_rectangle(space_of(corners), gaps)
    assert (found.width, found.height) == pytest.approx(case["closed_form"], abs=1e-6)
    expected = case["max_w_plus_h"]
    assert (found.x, found.y) == pytest.approx((expected["x"], expected["y"]), abs=6e-5)
