"""Whatever figure of the plan is asked why, its steps end in that figure and each names its source."""

import demo_house


def figures():
    record = demo_house.record()
    yield from ((f"house {name}", figure) for name, figure in record.figures.items())
    for opening in record.openings:
        yield from ((f"{opening.id} {name}", figure) for name, figure in opening.figures.items())


def test_the_steps_of_every_figure_end_in_it():
    found = dict(figures())
    assert len(found) > 100
    assert [name for name, figure in found.items() if [*figure.steps][-1:] == []] == []
    assert [name for name, figure in found.items() if [*figure.steps][-1].value != figure.value] == []
    assert [name for name, figure in found.items() if [*figure.steps][-1].unit != figure.unit] == []


def test_every_step_names_its_source():
    steps = [step for _, figure in figures() for step in figure.steps]
    assert len(steps) > 400
    assert all(str(step.source) and step.source.how for step in steps)


def test_a_size_says_the_readings_it_rests_on():
    width = demo_house.recorded("W1").order.width
    read = {step.symbol: step.inputs["read_mm"] for step in width.steps if "read_mm" in step.inputs}
    assert read == {"width bottom": 1770, "width middle": 1769.5, "width top": 1773}


def test_the_u_of_the_house_is_the_mean_of_its_units_by_area():
    record = demo_house.record()
    areas = [o.heat.area_m2 for o in record.openings]
    us = [o.figures["u"].value for o in record.openings]
    mean = sum(a * u for a, u in zip(areas, us, strict=True)) / sum(areas)
    assert abs(record.figures["u"].value - mean) < 1e-9
