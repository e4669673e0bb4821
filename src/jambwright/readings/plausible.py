"""What figures of a survey say of each other: what can't be, and what is unlikely and asked about."""

from __future__ import annotations

from collections.abc import Iterator

from jambwright.basis.problems import Problem
from jambwright.readings.survey import Opening, Survey
from jambwright.readings.systems import whole_sections

MOST_STOREYS_OF_A_HOUSE = 8
"""Of a house that is no flat; tall town houses have six. Common practice, no published source."""
MANY_STOREYS = 4
STOREY_MM = 4000.0
"""Floor to floor of a high old house. Common practice, no published source."""
SLOPE_MM = 3000.0
"""How far the ground may fall away from the house. Common practice, no published source."""
LARGE_ROOM_M2 = 80.0
DEAR_PER_KWH = 0.8
"""Above the dearest electricity that a household has paid so far. From memory, medium."""


def cannot_be(survey: Survey) -> Iterator[Problem]:
    """Figures that contradict each other."""
    house, day = survey.house, survey.date_of_work
    if house.built_year and day and house.built_year > day.year + 1:
        say = f"{house.built_year} is after the work in {day.year}; check the year."
        yield Problem("house.built_year", say, of="house.built_year")
    if house.kind != "flat" and house.storeys > MOST_STOREYS_OF_A_HOUSE:
        say = (
            f"{house.storeys} storeys; no house has more than {MOST_STOREYS_OF_A_HOUSE}. Check the figure, or write "
            "`kind: flat` for a home in a block."
        )
        yield Problem("house.storeys", say, of="house.storeys")


def unlikely_house(survey: Survey) -> Iterator[Problem]:
    """Figures of the house that may be true and are more often a slip."""
    house = survey.house
    if house.kind != "flat" and MANY_STOREYS < house.storeys <= MOST_STOREYS_OF_A_HOUSE:
        yield _asked("house.storeys", "house", f"{house.storeys} storeys is much; count again.")
    if house.heating and (house.heating.price_per_kwh or 0.0) > DEAR_PER_KWH:
        price = f"{house.heating.price_per_kwh:g} a kWh is dear; look at the bill, in pounds or euros."
        yield _asked("house.heating.price_per_kwh", "house", price)
    for index, room in enumerate(house.rooms):
        at = f"house.rooms.{index}"
        if room.storey > house.storeys:
            say = f"it is on storey {room.storey} of a house of {house.storeys}; 0 is the ground floor."
            yield _asked(f"{at}.storey", room.name, say)
        if room.floor_area_m2 and room.floor_area_m2 > LARGE_ROOM_M2:
            say = f"{room.floor_area_m2:g} m² is large for a room; measure it again."
            yield _asked(f"{at}.floor_area_m2", room.name, say)


def unlikely_opening(survey: Survey, opening: Opening) -> Iterator[Problem]:
    """Figures of one opening that may be true and are more often a slip."""
    room = survey.room(opening.room)
    storeys = max(survey.house.storeys, room.storey + 1 if room else 1)
    most_mm = storeys * STOREY_MM + SLOPE_MM
    if (drop := opening.drop_outside_mm) and drop > most_mm:
        say = f"a drop of {drop:g} mm is more than a house of {storeys} storeys has on a slope; measure it again."
        yield Problem("drop_outside_mm", say, "caution")
    made = survey.system_of(opening)
    if made.use != (kind := opening.wanted.kind):
        say = f"{made.title} is not made for a {kind}; choose a profile that is, or ask the maker."
        yield Problem("wanted.profile", say, "caution")
    frame_mm = whole_sections(made).frame_depth_mm
    assert frame_mm is not None
    set_back = survey.defaults.set_back_mm if opening.set_back_mm is None else opening.set_back_mm
    reveal, straight = opening.reveal_depth_mm, opening.inside is None
    if reveal is not None and straight and reveal < set_back + frame_mm / 2:
        say = (
            f"the reveal is {reveal:g} mm deep; a frame of {frame_mm:g} mm set back {set_back:g} mm stands with less "
            "than half its depth in it. Measure the reveal again, or set the frame back less."
        )
        yield Problem("reveal_depth_mm", say, "caution")


def _asked(field: str, of: str, say: str) -> Problem:
    return Problem(field, say, "caution", of=of)
