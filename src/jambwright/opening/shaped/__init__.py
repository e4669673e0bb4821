"""Openings that are no rectangles: arched and raked heads, bays and bows, from readings by name to an adjusted figure.

The places that know a shape's name are its module and the list here; adjustment, test and words treat all alike.
"""

from jambwright.opening.shaped.arched import ARCHED, Arched
from jambwright.opening.shaped.bays import bay
from jambwright.opening.shaped.figure import Figure, Read
from jambwright.opening.shaped.fitting import Shaped, SuspectReading, adjust_shape
from jambwright.opening.shaped.raked import RAKED
from jambwright.opening.shaped.telling import curves_that_fit, next_reading, shape_words

__all__ = [
    "ARCHED",
    "RAKED",
    "Arched",
    "Figure",
    "Read",
    "Shaped",
    "SuspectReading",
    "adjust_shape",
    "bay",
    "curves_that_fit",
    "next_reading",
    "shape_words",
]
