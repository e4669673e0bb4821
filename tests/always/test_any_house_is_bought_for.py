"""Whatever a house looks like: everything in it is packed, priced by the pack, and goes in some van."""

from hypothesis import assume, given, settings

from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.plan.materials import house_materials
from jambwright.plan.van_loads import van_loads
from jambwright.readings.survey_file import survey_from_tree
from made_up_houses import surveys


@settings(max_examples=25, deadline=None)
@given(surveys(count=2))
def test_a_drawn_house_is_bought_for_and_loaded(tree):
    try:
        house = job.plan_house(survey_from_tree(tree))
    except BadInput:
        assume(False)
    materials = house_materials(house.openings)
    assert {"frame", "sealant", "foam", "inside trim"} <= {material.item for material in materials}
    for material in materials:
        assert material.needed > 0
        assert material.packs * material.pack.size >= material.needed * (1 + material.pack.waste) * (1 - 1e-9)
        assert set(material.by_opening) <= {"W1", "W2"}
    loaded = [pick for load in van_loads(house.openings, materials) for pick in load.picks]
    assert sum(pick.packs for pick in loaded) == sum(material.packs for material in materials)
