"""Access notes: cups, lifting aids, wind, ladder and tower, each with its figures and source."""

import pytest

from jambwright.checks.access import Kit, Load, access_notes, cups_needed, kit_of, pane_wind_n
from jambwright.checks.lifting import lift


def load(name, kg, **more):
    return Load(name=name, lift=lift(mass_kg=kg, people=2), **more)


FRAME = load("frame", 10.8)
PANE = load("glass A", 23.3, bare_glass=True, sail_m2=1.17)
HEAVY = load("glass B", 50.4, bare_glass=True, sail_m2=1.68)


def notes(*loads, storey=0):
    return {note.key: note for note in access_notes(loads, storey=storey)}


def test_a_heavy_pane_names_its_cups_its_aid_and_the_wind():
    found = notes(FRAME, HEAVY)
    assert found["lifting_aid"].short == "glass B: lifting aid"
    assert found["cups"].short == "glass B: 3 suction cups of 50 kg, clean dry faces only"
    # 0.613 v² 1.2 A: 123.6 N on 1.68 m² at 10 m/s
    assert "17 mph" in found["wind"].short
    assert "124 N" in found["wind"].short
    assert found["cups"].bring == (Kit("suction cup", 3),)


def test_a_unit_carried_whole_wants_no_cups_but_is_kept_out_of_the_wind():
    found = notes(load("whole unit, glazed", 24.0, sail_m2=1.6))
    assert "cups" not in found
    assert "whole unit, glazed" in found["wind"].say


def test_a_small_pane_is_not_warned_of_the_wind():
    assert "wind" not in notes(PANE)
    assert "lifting_aid" not in notes(PANE)


@pytest.mark.parametrize(("storey", "key"), [(0, "ladder"), (1, "tower"), (2, "tower")])
def test_a_platform_at_the_ground_and_a_tower_above(storey, key):
    assert {"ladder", "tower"} & set(notes(FRAME, PANE, storey=storey)) == {key}


def test_nothing_heavy_from_a_ladder():
    assert "10 kg" in notes(FRAME)["ladder"].say
    assert notes(load("sash", 4.0)) == {}


def test_every_note_has_a_source():
    assert all(str(note.source) for note in access_notes([FRAME, HEAVY], storey=1))


def test_a_load_of_the_van_brings_the_most_that_one_opening_wants():
    kit = kit_of([*access_notes([PANE], storey=1), *access_notes([HEAVY], storey=1)])
    assert Kit("suction cup", 3) in kit
    assert [each.what for each in kit].count("tower or scaffold") == 1


@pytest.mark.parametrize(("mass", "cups"), [(10, 2), (50, 2), (50.4, 3), (80, 4)])
def test_cups_count_half_their_mark_and_come_in_twos_at_least(mass, cups):
    assert cups_needed(mass) == cups


def test_breeze_on_a_pane_matches_the_reference():
    """0.613 * 100 * 1.2 * 1.5 = 110 N."""
    assert pane_wind_n(area_m2=1.5, speed_ms=10) == pytest.approx(110.3, abs=0.06)
