"""What is cut over the whole house: every piece once, no more bars than plain cutting takes, joints named."""

from collections import Counter
from dataclasses import replace

import pytest

from demo_house import house, record
from jambwright.paper.cutting_sheet import cutting_pdf, quality_words
from jambwright.plan.cutting import recount
from jambwright.plan.cutting_list import bars_taken, cutting_lists
from jambwright.plan.quantities import quantities

HOUSE = house()
LISTS = cutting_lists((q for plan in HOUSE.openings for q in quantities(plan)), seconds=1)


def test_every_sill_is_cut_once_at_its_length():
    sills = [each for each in LISTS if each.item == "sill"]
    cut = Counter(c.label for each in sills for bar in each.plan.bars for c in bar.cuts)
    assert cut == Counter(p.opening.id for p in HOUSE.openings if p.frame.sill)


@pytest.mark.parametrize("each", LISTS, ids=lambda each: f"{each.item} {each.size}")
def test_a_recounted_plan_never_takes_more_bars_than_plain_cutting(each):
    assert recount(each.job, each.plan) == []
    assert each.plan.lower_bound <= len(each.plan.bars) <= each.plainly
    assert bars_taken(LISTS)[each.item, each.size] == len(each.plan.bars)
    assert str(len(each.plan.bars)) in quality_words(each)


def test_the_sheet_is_a_pdf():
    assert cutting_pdf(record(), LISTS).startswith(b"%PDF")


def test_a_run_longer_than_a_length_is_joined_of_equal_parts_with_a_gap_between():
    first, *_ = (p for p in HOUSE.openings if p.frame.sill)
    sill = replace(first.frame.sill, length_mm=6500.0)
    (each,) = (
        found
        for found in cutting_lists(
            quantities(replace(first, frame=replace(first.frame, sill=sill))), seconds=1
        )
        if found.item == "sill"
    )
    assert each.joined == (first.opening.id,)
    assert [cut.length_mm for bar in each.plan.bars for cut in bar.cuts] == [3246.0, 3246.0]
