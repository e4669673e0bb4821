"""What is cut over the whole house: every piece once, no more bars than plain cutting takes, joints named."""

from collections import Counter

import pytest

from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.paper.cutting_sheet import cutting_pdf, quality_words
from jambwright.plan.cutting import recount
from jambwright.plan.cutting_list import bars_taken, cutting_lists
from jambwright.plan.quantities import quantities
from jambwright.readings.survey_file import read_survey

HOUSE = job.plan_house(read_survey(read_text("demo_house.yaml")))
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
    assert cutting_pdf("house", LISTS).startswith(b"%PDF")
