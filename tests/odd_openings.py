"""Openings, as their readings stand in a readings file, in which no single reading is wrong."""

SQUARE = {
    "diagonal": {"rising": 1602, "falling": 1602},
    "level": {"sill": 0, "head": 0},
    "plumb": {"left": 0, "right": 0},
}

ARCHED = SQUARE | {
    "width": {"bottom": 1210, "middle": 1210, "top": 1210},
    "height": {"left": 1050, "centre": 1090, "right": 1050},
}
"""A head that rises 40 mm."""

BOWED_OUT = SQUARE | {
    "width": {"bottom": 1210, "middle": 1234, "top": 1210},
    "height": {"left": 1050, "centre": 1076, "right": 1050},
    "bow": {"left": 12, "right": 12, "sill": 13, "head": 13},
}
"""Bows that were all called the wrong way."""

RAKED = {
    "width": {"bottom": 668, "middle": 668, "top": 658},
    "height": {"left": 1053, "centre": 1085, "right": 1113},
    "diagonal": {"rising": 1290, "falling": 1250},
    "level": {"sill": -2},
    "plumb": {"left": 3, "right": -10},
    "bow": {"left": -1, "right": -6, "sill": 4, "head": -4},
}
"""A head that rises 56 mm to the right; its level was not read."""

STEPPED_IN = {
    "width": {"bottom": 1211, "middle": 1201, "top": 1201},
    "height": {"left": 1051, "centre": 1051, "right": 1051},
    "diagonal": {"rising": 1603, "falling": 1596},
    "level": {"sill": 0, "head": 0},
    "plumb": {"left": 10, "right": 0},
    "bow": {"left": 5, "right": 0, "sill": 0, "head": 0},
}
"""A left jamb that stands 10 mm in from a third of its height up; its quarter widths are not read yet."""
