"""An answer asked for with its working is searched for once, so that both tell of the same plan."""

import pytest

from jambwright import calc
from jambwright.calc import crew, cutting


@pytest.mark.parametrize(
    ("name", "module", "search"), [("stock-cutting", cutting, "plan_cuts"), ("crew-plan", crew, "plan_crew")]
)
def test_the_search_behind_answer_and_working_is_made_once(name, module, search, monkeypatch):
    found = []
    real = getattr(module, search)
    monkeypatch.setattr(module, search, lambda *a, **k: found.append(real(*a, **k)) or found[-1])
    given = calc.calculation(name).example
    answer = calc.answer(name, given, working=True)
    assert len(found) == 1
    assert answer.pop("working") == calc.working(name, given)
    assert answer.keys() == calc.answer(name, given).keys()
