"""The handling filter: HSE L23 4th ed. 2016, INDG143 rev 4; team rule L23 para 120 (read)."""

import pytest

from jambwright.checks.lifting import allowed_kg, lift, share_left

# zone: men close / out, women close / out (figures from memory, high; 25 kg read)
ZONES = {
    "shoulder_head": (10, 5, 7, 3), "elbow_shoulder": (20, 10, 13, 7), "knuckle_elbow": (25, 15, 16, 10),
    "lower_leg_knuckle": (20, 10, 13, 7), "floor_lower_leg": (10, 5, 7, 3),
}  # fmt: skip


@pytest.mark.parametrize("zone", ZONES)
def test_filter_of_one_person_by_zone_and_reach(zone):
    found = tuple(
        allowed_kg(people=1, zone=zone, reach=reach, women=women)
        for women in (0, 1)
        for reach in ("close", "out")
    )
    assert found == ZONES[zone]


@pytest.mark.parametrize(
    ("people", "women", "kg"), [(1, 0, 25), (2, 0, 33.3), (3, 0, 37.5), (2, 2, 21.3), (4, 0, 37.5)]
)
def test_teams_lift_two_thirds_and_half_of_the_sum(people, women, kg):
    """None is published above three people: four are given no more than three."""
    assert allowed_kg(people=people, women=women) == pytest.approx(kg, abs=0.05)


@pytest.mark.parametrize(
    ("people", "thickness_mm", "area_m2"),
    [(1, 8, 1.25), (1, 10, 1.00), (1, 12, 0.83), (2, 8, 1.67), (2, 10, 1.33), (2, 12, 1.11), (3, 8, 1.88)],
)
def test_largest_pane_of_a_team_matches_the_reference(people, thickness_mm, area_m2):
    """Glass at 2.5 kg/m² a mm: 4/x/4, 6/x/4 and 4/4/4."""
    assert allowed_kg(people=people) / (2.5 * thickness_mm) == pytest.approx(area_m2, abs=0.0051)


def test_triple_pane_of_50_kg_is_too_much_for_two_and_for_any_team():
    """4/4/4, 1200 x 1400: 50.4 kg against 33.3, ratio 1.51."""
    mass = 2.5 * 12 * 1.2 * 1.4
    found = lift(mass_kg=mass, people=2)
    assert mass / found.allowed_kg == pytest.approx(1.51, abs=0.005)
    assert (found.word, found.people_needed) == ("refer", None)
    assert "lifting aid" in found.what_to_do


def test_fixed_light_of_34_kg_is_just_over_two_people():
    found = lift(mass_kg=34, people=2)
    assert (found.word, found.people_needed) == ("advise", 3)


@pytest.mark.parametrize(
    ("twist", "pace", "share"),
    [
        (0, 0, 1),
        (45, 0.5, 1),
        (46, 0, 0.9),
        (91, 0, 0.8),
        (0, 1, 0.7),
        (0, 6, 0.5),
        (0, 13, 0.2),
        (91, 2, 0.56),
    ],
)
def test_twist_and_pace_take_their_share(twist, pace, share):
    """-10 % over 45 degrees, -20 % over 90; -30 % at 1 to 2 a minute, -50 % at 5 to 8, -80 % over 12."""
    assert share_left(twist_deg=twist, lifts_per_minute=pace) == pytest.approx(share)
