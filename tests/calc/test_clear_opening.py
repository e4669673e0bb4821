"""Clear opening by name: worked rows by closed form, usual sizes said, and what is refused."""

import pytest

from jambwright import calc
from jambwright.basis.problems import BadInput

ESCAPE = "Approved Document B volume 1, 2.10: at least 450 mm wide and high, 0.33 m²"

WORKED = [
    # geometry of the opened unit, by closed form
    ("SH", {"Wi": 560, "Hi": 1100, "S": 576, "th": 58, "o": 20},
     {"clear_width_mm": 454.9, "square_to_wall_mm": 234.8, "clear_area_m2": 0.5004}, None),
    ("SH", {"Wi": 660, "Hi": 1100, "S": 676, "th": 58, "o": 20},
     {"clear_width_mm": 539.7, "square_to_wall_mm": 281.8, "clear_area_m2": 0.5937}, None),
    ("SH", {"Wi": 554.3, "Hi": 1100, "th": 58, "o": 20}, {"clear_width_mm": 450.0}, None),
    ("EG", {"Wi": 500, "Hi": 900, "o": 70}, {"clear_width_mm": 430.0, "clear_area_m2": 0.387}, False),
    ("wide_opening", {"Wi": 500, "Hi": 900}, {"clear_width_mm": 475.0, "clear_area_m2": 0.4275}, True),
    ("TH", {"Wi": 1000, "Hi": 700, "th": 50, "o": 20},
     {"clear_height_mm": 516.2, "clear_area_m2": 0.5162}, None),
    ("TH", {"Wi": 1000, "Hi": 450, "stay_in": 12}, {"clear_height_mm": 387.8}, False),
    ("VS", {"Wi": 800, "Hi": 1400, "hb": 737.5, "a": 20}, {"clear_height_mm": 642.5, "free_area_m2": 0.514}, True),
    ("VS", {"Wi": 640, "Hi": 1090, "b": 50, "t": 50, "m": 40, "a": 20},
     {"clear_height_mm": 505.0, "clear_area_m2": 0.3232}, False),
    ("VS", {"Wi": 740, "Hi": 1015, "a": 20, "m": 40, "b": 85, "t": 50}, {"clear_height_mm": 450.0}, True),
    ("FC", {"Wi": 1094, "Hi": 1000, "o": 25}, {"clear_width_mm": 1044, "master_width_mm": 487}, True),
    ("FC", {"W": 1190, "F": 48, "Hi": 1000, "o": 25}, {"clear_width_mm": 1044}, True),
    ("FC", {"Wi": 1094, "Hi": 1000, "o": 25, "mullion": "fixed", "T": 68}, {"clear_width_mm": 488}, True),
    ("SL", {"mode": "OX", "W": 2100, "J": 60, "I": 50, "x": 40, "Hi": 2000}, {"clear_width_mm": 925.0}, True),
    ("SL", {"mode": "OXO", "W": 3000, "J": 60, "I": 50, "x": 40, "Hi": 2000}, {"clear_width_mm": 903.3}, True),
    ("SL", {"mode": "OXXO", "W": 4200, "J": 60, "I": 50, "x": 40, "am": 30, "Hi": 2000},
     {"clear_width_mm": 1925.0}, True),
    ("SL", {"mode": "OXX", "p": 1000, "I": 50, "x": 40, "Hi": 2000}, {"clear_width_mm": 1860.0}, True),
    ("BF", {"L": 2990, "N": 3, "t": 68, "g": 15, "Hi": 2100}, {"clear_width_mm": 2741}, True),
    ("DR", {"Wi": 840, "Hi": 2000, "t": 44, "b": 12, "c'": 20}, {"clear_width_mm": 804}, True),
    ("DR", {"Wi": 880, "Hi": 2000, "t": 70, "b": 10, "c": 25}, {"clear_width_mm": 825}, True),
    ("DD", {"Wi": 1600, "Hi": 2000, "t": 70, "b": 10, "c": 25},
     {"clear_width_mm": 1490, "master_width_mm": 710}, True),
    ("SH", {"Wi": 600, "Hi": 1100, "S": 600, "travel_mm": 100}, {"free_area_m2": 0.1698}, False),
    ("TH", {"Wi": 1000, "Hi": 600, "S": 600, "travel_mm": 100}, {"free_area_m2": 0.1598}, False),
    ("TT", {"Wi": 1000, "Hi": 1200, "S": 1200, "travel_mm": 150},
     {"free_area_m2": 0.3296, "clear_width_mm": 0}, False),
    ("TT", {"Wi": 600, "Hi": 1200}, {"clear_width_mm": 580, "clear_height_mm": 1200}, True),
    ("FX", {}, {"clear_width_mm": 0, "clear_height_mm": 0, "free_area_m2": 0}, False),
    ("RV", {"Wi": 600, "Hi": 1200}, {"clear_width_mm": None, "free_area_m2": None}, None),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "given", "wanted", "meets"), WORKED)
def test_worked_rows(kind, given, wanted, meets):
    found = calc.answer("clear-opening", {"kind": kind, **given})
    for name, value in wanted.items():
        assert found[name] == (None if value is None else pytest.approx(value, rel=3e-4)), name
    assert found["escape"]["meets"] is meets, ESCAPE


@pytest.mark.parametrize(
    ("code", "word"), [("SH", "side_hung"), ("VS", "vertical_slider"), ("DD", "door_pair")]
)
def test_code_and_word_are_one_kind(code, word):
    sizes = {"Wi": 1200, "Hi": 1400, "t": 44, "b": 12, "c": 20}
    assert calc.answer("clear-opening", {"kind": code, **sizes}) == calc.answer(
        "clear-opening", {"kind": word, **sizes}
    )


def test_a_usual_size_taken_is_said_with_its_source():
    found = calc.answer("clear-opening", {"kind": "EG", "Wi": 500, "Hi": 900})
    assert {line["field"]: line["value"] for line in found["taken"]} == {
        "open_angle_deg": 90,
        "obstruction_mm": 70,
    }
    assert all(line["source"] for line in found["taken"])


def test_a_size_the_kind_does_not_need_is_said():
    found = calc.answer("clear-opening", {"kind": "EG", "Wi": 500, "Hi": 900, "T": 68, "o": 70, "th": 90})
    assert (found["not_used"], found["taken"]) == (["mullion_mm"], [])


def test_a_lower_sash_raised_part_way_leaves_what_it_was_raised():
    found = calc.answer("clear-opening", {"kind": "VS", "Wi": 800, "Hi": 1400, "travel_mm": 100})
    assert found["clear_height_mm"] == 100


def test_a_pair_wide_enough_with_both_leaves_only_is_asked_about():
    found = calc.answer("clear-opening", {"kind": "FC", "Wi": 900, "Hi": 1000})
    assert found["escape"]["meets"] is None
    assert "both leaves open" in found["escape"]["why"]


def test_why_names_every_measure_that_falls_short():
    why = calc.answer("clear-opening", {"kind": "EG", "Wi": 400, "Hi": 400})["escape"]["why"]
    assert all(word in why for word in ("width 330 mm", "height 400 mm", "area 0.132 m²"))


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"kind": "SH", "Wi": 500}, "frame_clear_height_mm"),
        ({"kind": "TH", "Wi": 500, "Hi": 500}, "open_angle_deg"),
        ({"kind": "TH", "Wi": 500, "Hi": 500, "stay_in": 13}, "stay_in"),
        ({"kind": "SL", "W": 2100, "J": 60, "Hi": 2000}, "mode"),
        ({"kind": "SL", "mode": "OX", "W": 100, "J": 90, "Hi": 2000}, "frame_mm"),
        ({"kind": "FC", "Wi": 1000, "Hi": 1000, "mullion": "fixed"}, "mullion_mm"),
        ({"kind": "FC", "Wi": 1000, "Hi": 1000, "mullion": "floating", "T": 68}, "mullion_mm"),
        ({"kind": "FC", "Wi": 1000, "Hi": 1000, "th": 45}, "open_angle_deg"),
        ({"kind": "SH", "Wi": 500, "Hi": 900, "travel_mm": 1200}, "travel_mm"),
        ({"kind": "SH", "W": 90, "F": 48, "Hi": 900}, "frame_mm"),
        ({"kind": "louvre"}, "kind"),
        ({"kind": "SH", "Wi": -5, "Hi": 900}, "Wi"),
        ({"kind": "SH", "Wi": True, "Hi": 900}, "Wi"),
        ({"kind": "SH", "Wi": 500, "Hi": 900, "colour": "white"}, "colour"),
        ({"kind": "SH", "Wi": 500, "frame_clear_width_mm": 510, "Hi": 900}, "Wi"),
    ],
)  # fmt: skip
def test_what_is_missing_or_can_not_be_is_refused_by_name(given, field):
    with pytest.raises(BadInput) as refused:
        calc.answer("clear-opening", given)
    assert field in [problem.field for problem in refused.value.problems]
