"""What was measured: readings, the tools they were taken with, and the readings file that holds them."""

from jambwright.readings.accepted import Accepted
from jambwright.readings.doubts import doubts
from jambwright.readings.reading import (
    EVERY_PLACE,
    PLACES,
    QUARTERS,
    Reading,
    ReadingLine,
    ReadingSet,
    reading_name,
)
from jambwright.readings.survey import Opening, Room, Site, Survey
from jambwright.readings.tool import Tool
from jambwright.readings.tools import USUAL, Trust, trust_of
from jambwright.readings.usual import Wall
from jambwright.readings.wanted import Across, Down, Light, Wanted

__all__ = [
    "EVERY_PLACE",
    "PLACES",
    "QUARTERS",
    "USUAL",
    "Accepted",
    "Across",
    "Down",
    "Light",
    "Opening",
    "Reading",
    "ReadingLine",
    "ReadingSet",
    "Room",
    "Site",
    "Survey",
    "Tool",
    "Trust",
    "Wall",
    "Wanted",
    "doubts",
    "reading_name",
    "trust_of",
]
