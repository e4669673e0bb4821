import pytest

from jambwright.basis import BadInput
from jambwright.checks.access import Piece, cups_needed, handling, pane_wind_n

FRAME = Piece(name="frame", mass_kg=10.8, kind="frame")
PANE = Piece(name="pane", mass_kg=23.3, kind="glass", area_m2=1.17)


def says(found, *words):
    return any(all(word in note.say for word in words) for note in found.notes)


def test_fixed_light_just_over_two_people_is_fitted_unglazed():
    """1200 x 1200 with 4-16-4: glass 23.3 kg, frame and steel 10.8, together about 34, unglazed 11."""
    found = handling([FRAME, PANE], storey=0)
    assert found.whole.mass_kg == pytest.approx(34.1)
    assert found.fit_unglazed
    assert all(lift.word == "meets" for _, lift in found.lifts)
    assert says(found, "Fit the frame unglazed", "34 kg")
    assert found.heaviest[0] is PANE


def test_light_frame_goes_in_glazed():
    found = handling(
        [Piece(name="frame", mass_kg=6, kind="frame"), Piece(name="pane", mass_kg=9, kind="glass")], storey=0
    )
    assert not found.fit_unglazed
    assert not says(found, "unglazed")


def test_heavy_pane_names_its_team_its_cups_and_the_wind():
    pane = Piece(name="living room pane", mass_kg=50.4, kind="glass", area_m2=1.68)
    found = handling([pane], storey=0)
    assert says(found, "living room pane", "lifting aid")
    assert says(found, "3 suction cups")
    assert says(found, "17 mph")


@pytest.mark.parametrize(("storey", "told"), [(0, False), (1, True), (2, True)])
def test_upper_storeys_ask_for_a_platform_and_a_barrier(storey, told):
    found = handling([FRAME, PANE], storey=storey)
    assert says(found, "tower") == told
    assert says(found, "edge to fall from") == told


def test_nothing_heavy_from_a_ladder():
    assert says(handling([FRAME], storey=0), "ladder", "10 kg")
    assert not says(handling([Piece(name="vent", mass_kg=4, kind="sash")], storey=0), "ladder")


def test_every_note_has_a_source():
    assert all(str(note.source) for note in handling([FRAME, PANE], storey=1).notes)


@pytest.mark.parametrize(("mass", "cups"), [(10, 2), (50, 2), (50.4, 3), (80, 4)])
def test_cups_count_half_their_mark_and_come_in_twos_at_least(mass, cups):
    assert cups_needed(mass) == cups


def test_breeze_on_a_pane_matches_the_reference():
    """0.613 * 100 * 1.2 * 1.5 = 110 N."""
    assert pane_wind_n(area_m2=1.5, speed_ms=10) == pytest.approx(110.3, abs=0.06)


def test_all_faults_are_told_at_once():
    with pytest.raises(BadInput) as refused:
        handling([Piece(name="pane", mass_kg=0, kind="glass")], storey=-1)
    assert [p.field for p in refused.value.problems] == ["mass_kg", "storey"]
