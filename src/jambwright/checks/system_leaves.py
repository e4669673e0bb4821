"""Lights of several leaves made of more or fewer of them, so that each keeps within what its system takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from jambwright.checks.order_tree import Tree
from jambwright.checks.system_case import Case
from jambwright.frame.kinds.bi_fold import FEWEST, MOST
from jambwright.readings.ways import way_of

_MORE_PANES: Mapping[str, tuple[str, ...]] = {
    "slider_ox": ("slider_oxo_left", "slider_oxxo"),
    "slider_xo": ("slider_oxo_right", "slider_oxxo"),
    "slider_oxo_left": ("slider_oxxo",),
    "slider_oxo_right": ("slider_oxxo",),
    "slider_oxx": ("slider_oxxo",),
    "slider_xxo": ("slider_oxxo",),
}
_FEWER_PANES: Mapping[str, tuple[str, ...]] = {
    "slider_oxo_left": ("slider_ox",),
    "slider_oxo_right": ("slider_xo",),
    "slider_oxx": ("slider_ox",),
    "slider_xxo": ("slider_xo",),
    "slider_oxxo": ("slider_oxo_left", "slider_oxo_right", "slider_ox", "slider_xo"),
}
_OF_LEAF_SIZE = ("obstruction_mm",)


def other_panes(case: Case) -> Iterator[tuple[str, Tree]]:
    """A slider of more panes, and of fewer."""
    now = case.light.wanted.opens
    for other in (*_MORE_PANES.get(now, ()), *_FEWER_PANES.get(now, ())):
        yield way_of(other).words, case.without(_OF_LEAF_SIZE) | {"opens": other}


def other_folds(case: Case) -> Iterator[tuple[str, Tree]]:
    """A folding set with one leaf or two more, and with fewer, on the side where most fold."""
    if case.light.made != "bi_fold":
        return
    slides = [leaf.moves.slides for leaf in case.frame.layout.leaves_at(case.light.path)]
    left, right = slides.count("left"), slides.count("right")
    for more in (1, 2, -1, -2):
        to_left, to_right = (left + more, right) if left >= right else (left, right + more)
        if FEWEST <= to_left + to_right <= MOST and min(to_left, to_right) >= 0:
            say = f"a bi-fold set of {to_left + to_right}, {to_left} to the left and {to_right} to the right"
            yield say, case.node | {"fold_left": to_left, "fold_right": to_right}


def other_split(case: Case) -> Iterator[tuple[str, Tree]]:
    """A stable door with the lower leaf so high that either leaf is what its system takes, and one of equal leaves.

    Sliding sashes that show the same glass, where one was to be lower.
    """
    limits = case.limits
    if case.light.made == "vertical_sash" and "lower_sash_mm" in case.node:
        yield "both sashes show the same glass", case.without(("lower_sash_mm",))
    if case.light.made != "stable_door" or limits is None:
        return
    upper, lower = (leaf.sash for leaf in case.frame.layout.leaves_at(case.light.path))
    assert upper is not None
    assert lower is not None
    both = upper.height_mm + lower.height_mm
    for least in (limits.least_height_mm, limits.most_height_mm):
        for height in (least, both - least) if least is not None else ():
            if 0 < height < both:
                yield f"the lower leaf {height:.0f} mm high", case.node | {"lower_leaf_mm": round(height, 1)}
    yield f"both leaves {both / 2:.0f} mm high", case.node | {"lower_leaf_mm": round(both / 2, 1)}
