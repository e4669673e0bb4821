"""An invented house of one ordered window, its unit as it came: right in everything, or with one thing wrong."""

import functools

from jambwright import job
from jambwright.readings.survey_file import survey_from_tree
from made_up_houses import settled_house

GLASS = "4T-16Ar-6.4L low-e"
"""Toughened outside, laminated inside, so that every mark is asked for."""
BY = {"on": "2026-11-30", "by": "A. Fitter (invented)"}
PROMISED = "2026-12-03"


def ordered_house(delivered=None, **opening):
    """Its tree: the window ordered at the size that was planned, with what was found of it when it came."""
    width, height = size()
    tree = settled_house(done=["ordered"], ordered={"width_mm": width, "height_mm": height}, **opening)
    tree["defaults"] = tree.get("defaults", {}) | {"glass": GLASS}
    if delivered is not None:
        tree["openings"][0]["delivered"] = delivered
    return tree


@functools.cache
def size():
    """Width and height as planned."""
    tree = settled_house()
    tree["defaults"] = tree.get("defaults", {}) | {"glass": GLASS}
    order = job.check(survey_from_tree(tree)).openings[0].order
    return order.width.value, order.height.value


def glass(**wrong):
    """The glass of both lights, right but for what is named of light A."""
    good = {"outside_mark": "toughened", "inside_mark": "laminated", "low_e": True, "thickness_mm": 26.5}
    return {"A": good | wrong, "B": good}


def right(**wrong):
    """A unit looked at in everything and right, but for what is named."""
    width, height = size()
    return {
        **BY, "width_mm": width + 1, "height_mm": height - 1, "rising_mm": 1853, "falling_mm": 1855,
        "hand": True, "way": True, "colour": True, "damaged": False, "lights": glass(),
        "parts": dict.fromkeys(("vents", "frame_sill", "keys", "hardware", "trims"), True),
    } | wrong  # fmt: skip


def checked(delivered=None, **opening):
    """The record of its opening, without days and papers."""
    return job.check(survey_from_tree(ordered_house(delivered, **opening))).openings[0]


def exchanged():
    """Width and height the wrong way round."""
    width, height = size()
    return right(width_mm=height, height_mm=width)


WRONG = {
    "size": (exchanged, "delivery.size", "Width and height are exchanged"),
    "hand": (lambda: right(hand=False), "delivery.hand", "Not as ordered: hinges (ordered A side hung, hinges left)"),
    "mark": (
        lambda: right(lights=glass(outside_mark="none")), "delivery.glass",
        "the outer pane is ordered toughened and bears no mark",
    ),
    "square": (lambda: right(falling_mm=1857), "delivery.square", "4 mm apart, 3 allowed"),
    "damage": (lambda: right(damaged=True, damage="sash dented"), "delivery.damage", "Damaged: sash dented"),
    "remake": (
        lambda: right(remake={"reason": "toughened mark missing", "promised_on": PROMISED}), "delivery.remake",
        "It is to be made again: toughened mark missing. A new one is promised for 3 December 2026",
    ),
}  # fmt: skip
"""One thing wrong each: what is written, the rule that finds it, and what is said of it."""
