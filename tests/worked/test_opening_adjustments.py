"""Whole openings adjusted with straight edges, with and without an injected misread.

Source: tests/data/opening_adjustment.json (calculated with an independent Gauss-Newton and cross-checked with
a general least-squares routine). Tolerance: the three decimals of the file.
"""

import json
from pathlib import Path

import numpy as np
import pytest

from jambwright.readings import Trust
from openings import PLACES, outline

FILE = Path(__file__).parent.parent / "data" / "opening_adjustment.json"
CASES = {case["id"]: case for case in json.loads(FILE.read_text())["cases"]}
CORNERS = {"BR": "bottom_right", "TR": "top_right", "TL": "top_left"}


@pytest.mark.parametrize("name", CASES)
def test_corners_residuals_redundancy_and_w_agree(name: str) -> None:
    case, want = CASES[name], CASES[name]["expected"]
    marks = list(case["readings_mm"])
    sigmas = {PLACES[m][0]: s for m, s in case["sigma_mm"].items()}
    read = outline(case["readings_mm"], Trust(tape_mm=sigmas, bow_prior_mm=0))
    assert read.degrees_of_freedom == want["dof"]
    for mark, corner in CORNERS.items():
        assert read.corners_mm[corner] == pytest.approx(want["corners_mm"][mark], abs=6e-4)
    assert np.sqrt(np.diag(read.covariance)[:6]) == pytest.approx(want["corner_sd_mm"], abs=6e-4)
    rows = dict(zip(marks, read.readings, strict=True))
    for mark, row in rows.items():
        assert row.residual_mm == pytest.approx(want["residual_adj_minus_obs"][mark], abs=6e-4)
        assert row.redundancy == pytest.approx(want["redundancy"][mark], abs=1e-4)
        assert row.w == pytest.approx(want["w"][mark], abs=6e-4)
    assert read.fit.weighted_square_sum == pytest.approx(want["vPv"], abs=6e-4)
