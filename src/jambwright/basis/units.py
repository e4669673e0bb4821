"""Text to figures and figures to text. Inside the tool there is one system: mm, N, Pa, kg, degrees."""

from __future__ import annotations

import math


def round_down_mm(value_mm: float, step_mm: float = 1.0) -> float:
    """Round a length down to a step. A hair under a step counts as the step, so 1195 never turns 1194.

    >>> round_down_mm(1194.7)
    1194.0
    >>> round_down_mm(1194.9999999)
    1195.0
    """
    return math.floor(value_mm / step_mm + 1e-6) * step_mm


def show_mm(value_mm: float) -> str:
    """A length as printed on paper: whole millimetres, or one decimal where it is not whole.

    >>> show_mm(1195.0), show_mm(4.52)
    ('1195', '4.5')
    """
    return f"{value_mm:.0f}" if abs(value_mm - round(value_mm)) < 0.05 else f"{value_mm:.1f}"


def show_m2(area_m2: float) -> str:
    """An area as printed on paper: three figures, to the square centimetre.

    >>> show_m2(0.45123), show_m2(12.0), show_m2(0.0000227)
    ('0.451', '12', '0')
    """
    return f"{round(area_m2, 4):.3g}"


def two_figures(value: float) -> str:
    """A figure as people should read it: two figures, no more.

    >>> two_figures(3836.4), two_figures(0.0), two_figures(-27.6)
    ('3800', '0', '-28')
    """
    if value == 0:
        return "0"
    decimals = 1 - math.floor(math.log10(abs(value)))
    return f"{round(value, decimals):.{max(decimals, 0)}f}"
