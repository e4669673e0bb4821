"""Openings on the faces of a house: where they were put, else in the order of the list."""

from jambwright.web.facade import faces


def house(*openings, **of_house):
    return {"house": {"storeys": 1, **of_house}, "openings": [{"room": "Hall", **each} for each in openings]}


READ = {"outside": {"width": {"bottom": 1000}, "height": {"left": 1000}}}


def test_an_opening_stands_where_it_was_put_and_the_others_stay():
    free = [{"id": "W1", **READ}, {"id": "W2", **READ}]
    [before] = faces(house(*free, breadth_m=8))
    [face] = faces(house({**free[0], "along_mm": 5500}, free[1], breadth_m=8))
    assert [(h.id, h.x_m, h.placed) for h in face.holes] == [
        ("W1", 5.5, True),
        ("W2", before.holes[1].x_m, False),
    ]
    assert face.width_m == 8


def test_places_that_can_not_be_are_told():
    [face] = faces(
        house({"id": "W1", "along_mm": 7500, **READ}, {"id": "W2", "along_mm": 7000, **READ}, breadth_m=8)
    )
    assert face.overlaps == [("W1", "W2")]
    assert face.beyond == ["W1"]
    assert face.width_m == 8.5
    [unknown] = faces(house({"id": "W1", "along_mm": 30000, **READ}))
    assert (unknown.beyond, unknown.width_m) == ([], 31)
