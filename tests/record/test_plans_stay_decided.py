"""Plans of invented houses, most drawn by chance, stay as they were decided, figure by figure and word by word.

What is right is told by the other tests; this one tells that nothing else changed on the way to the paper. Where a
change is meant, ``scripts/kept_plans.py`` keeps the plans anew.
"""

import functools
import itertools

import pytest

from kept_plans import DEMO, decided, differences, houses
from kept_plans import kept_plans as read_kept

kept_plans = functools.cache(read_kept)


@pytest.mark.parametrize("name", [DEMO, *houses()])
def test_what_was_decided_stays_decided(name):
    assert not list(itertools.islice(differences(kept_plans()[name], decided(name)), 10))


def test_a_figure_that_changed_is_found():
    changed = decided(next(iter(houses())))
    changed["order"][1]["glass width mm"] = "1"
    kept = kept_plans()[next(iter(houses()))]
    assert list(differences(kept, changed)) == [
        f"/order/1/glass width mm: {kept['order'][1]['glass width mm']!r} became '1'"
    ]
