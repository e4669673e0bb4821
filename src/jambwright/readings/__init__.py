"""What was measured: readings, the tools they were taken with, and the readings file that holds them."""

from jambwright.readings.reading import PLACES, Reading, ReadingLine, ReadingSet, reading_name
from jambwright.readings.survey import Opening, Room, Site, Survey, Tool, Wall
from jambwright.readings.tools import Trust
from jambwright.readings.wanted import Across, Down, Light, Wanted

__all__ = [
    "PLACES",
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
    "reading_name",
]
