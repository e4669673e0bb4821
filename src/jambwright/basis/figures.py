"""Types of the formulas: floats or NumPy arrays of one shape in, the same out."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]

Figures: TypeAlias = Any
"""A float or an array. "The same shape as went in" is beyond the type checker, so it is not told."""
