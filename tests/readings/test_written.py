"""Figures written to 5 or 10 mm: told in plain words, once for the house or by opening."""

import demo_house
from jambwright.job import check
from jambwright.readings import ReadingSet
from jambwright.readings.correction import told_of_writing
from jambwright.readings.survey import Survey
from jambwright.web.live import look
from jambwright.web.shapes import ReadingCheck


def rounded(taken: ReadingSet, step: float) -> ReadingSet:
    """The same lengths, each to the nearest step."""
    tree = taken.model_dump(exclude_none=True)
    for kind in ("width", "height", "diagonal"):
        for at, one in tree[kind].items():
            figures = one["mm"] if isinstance(one["mm"], list) else [one["mm"]]
            tree[kind][at] = [step * round(mm / step) for mm in figures]
    return ReadingSet.model_validate(tree)


def house(step: float, *, only: int | None = None) -> Survey:
    survey = demo_house.SURVEY
    openings = [
        opening.model_copy(update={"outside": rounded(opening.outside, step)})
        if only in (None, n)
        else opening
        for n, opening in enumerate(survey.openings)
    ]
    return survey.model_copy(update={"openings": openings})


def test_figures_to_the_millimetre_are_not_spoken_of():
    assert list(told_of_writing(demo_house.SURVEY)) == []


def test_a_house_written_to_10_mm_is_told_once():
    told = [problem.say for problem in told_of_writing(house(10.0))]
    assert sum("the lengths look written to the nearest 10 mm" in say for say in told) == 1
    assert told[0].startswith("Over the whole house")


def test_one_opening_written_to_5_mm_is_told_by_name_and_stands_in_check():
    survey = house(5.0, only=2)
    opening = survey.openings[2]
    (told,) = [p for p in check(survey).remarks if "written to the nearest" in p.say]
    assert told.opening == opening.id
    assert told.say.startswith(f"{opening.name}, outside: the lengths look written to the nearest 5 mm")


def test_the_look_while_measuring_tells_it_too():
    opening = house(5.0, only=2).openings[2]
    says = look(ReadingCheck(name=opening.name, outside=opening.outside))["says"]
    assert any("written to the nearest 5 mm" in say for say in says)
