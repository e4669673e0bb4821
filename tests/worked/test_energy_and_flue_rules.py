"""Energy limits and flues.

Approved Document L volume 1, 2021 edition, Table 4.2 (U 1.4 or band B; doors over 60 % glazed
band C; fire doors 1.8); Approved Document L volume 1 2022 (Wales); Technical Handbook Domestic 6.2,
February 2023; Technical Booklet F1 2022 (not confirmed); Technical Guidance Document L Dwellings.
Approved Document J, Diagrams 34 and 41.
"""

from __future__ import annotations

from datetime import date

import pytest

from jambwright.checks import gravest
from jambwright.checks.regulations import (
    EnergyFacts,
    FlueFacts,
    check_daylight,
    check_energy,
    check_flue,
    rules_in_force,
)
from jambwright.checks.regulations.flues import check_combustion_vent

DAY = date(2026, 5, 1)


@pytest.mark.parametrize(
    ("facts", "word"),
    [
        pytest.param(EnergyFacts(kind="window", u_w_m2k=1.4), "meets", id="4.2: window U 1.4"),
        pytest.param(EnergyFacts(kind="window", u_w_m2k=1.5), "fails", id="4.2: window U 1.5"),
        pytest.param(EnergyFacts(kind="window", band="B"), "meets", id="4.2: window band B"),
        pytest.param(EnergyFacts(kind="window", band="A++"), "meets", id="4.2: window band A++"),
        pytest.param(EnergyFacts(kind="window", band="C"), "fails", id="4.2: window band C"),
        pytest.param(EnergyFacts(kind="window", u_w_m2k=1.6, band="B"), "meets", id="4.2: either route"),
        pytest.param(EnergyFacts(kind="window", u_w_m2k=1.3, band="E"), "meets", id="4.2: U alone complies"),
        pytest.param(EnergyFacts(kind="window"), "unknown", id="nothing declared"),
        pytest.param(EnergyFacts(u_w_m2k=1.3), "unknown", id="kind not said"),
        pytest.param(EnergyFacts(kind="door", glazed_share=0.7, band="C"), "meets", id="4.2: glazed door C"),
        pytest.param(
            EnergyFacts(kind="door", glazed_share=0.6, band="C"), "fails", id="4.2: 60 % is not over"
        ),
        pytest.param(EnergyFacts(kind="door", glazed_share=0.3, band="B"), "meets", id="4.2: other door B"),
        pytest.param(EnergyFacts(kind="door", band="C"), "unknown", id="share decides and is not said"),
        pytest.param(EnergyFacts(kind="door", band="D"), "fails", id="share makes no difference"),
        pytest.param(EnergyFacts(kind="door", u_w_m2k=1.4), "meets", id="4.2: door U 1.4"),
        pytest.param(EnergyFacts(kind="fire_door", u_w_m2k=1.8), "meets", id="4.2: fire door 1.8"),
        pytest.param(EnergyFacts(kind="rooflight", u_w_m2k=2.3), "fails", id="4.2: flat rooflight 2.2"),
        pytest.param(
            EnergyFacts(kind="window", u_w_m2k=2.0, protected_look=True),
            "refer",
            id="regulation 21: protected look",
        ),
        pytest.param(
            EnergyFacts(kind="window", u_w_m2k=2.0, protected_look=True, centre_pane_u_w_m2k=1.2),
            "advise",
            id="section 4: centre pane 1.2",
        ),
    ],
)
def test_energy_limits_in_england(facts: EnergyFacts, word: str) -> None:
    assert check_energy(facts, rules_in_force("england", DAY))[0].word == word


@pytest.mark.parametrize(
    ("nation", "facts", "word"),
    [
        pytest.param("wales", EnergyFacts(kind="window", band="B"), "meets", id="Wales band B"),
        pytest.param("wales", EnergyFacts(kind="window", u_w_m2k=1.5), "fails", id="Wales U 1.4"),
        pytest.param("scotland", EnergyFacts(kind="window", u_w_m2k=1.4), "advise", id="Scotland, one page"),
        pytest.param("scotland", EnergyFacts(kind="window", u_w_m2k=1.5), "refer", id="Annex 6.A: the mean"),
        pytest.param(
            "scotland",
            EnergyFacts(kind="rooflight", u_w_m2k=2.3),
            "refer",
            id="Scotland rooflight not confirmed",
        ),
        pytest.param(
            "wales", EnergyFacts(kind="window", u_w_m2k=1.8, glass_only=True), "advise", id="reg 3: glass"
        ),
        pytest.param(
            "ireland", EnergyFacts(kind="window", u_w_m2k=1.1, glass_only=True), "refer", id="glass, not held"
        ),
        pytest.param(
            "england",
            EnergyFacts(kind="window", u_w_m2k=1.3, old_u_w_m2k=1.4),
            "meets",
            id="section 4: no worse",
        ),
        pytest.param(
            "northern_ireland", EnergyFacts(kind="window", u_w_m2k=1.4), "advise", id="F1 not confirmed"
        ),
        pytest.param(
            "northern_ireland", EnergyFacts(kind="window", u_w_m2k=1.7), "refer", id="F1 over the older"
        ),
        pytest.param("ireland", EnergyFacts(kind="window", u_w_m2k=1.5), "fails", id="TGD L 1.4"),
        pytest.param(
            "ireland", EnergyFacts(kind="window", band="A"), "unknown", id="TGD L has no band route"
        ),
    ],
)
def test_energy_limits_differ_by_nation(nation: str, facts: EnergyFacts, word: str) -> None:
    assert check_energy(facts, rules_in_force(nation, DAY))[0].word == word


@pytest.mark.parametrize(
    ("on", "word"),
    [(date(2027, 3, 23), "meets"), (date(2027, 3, 24), "refer")],
    ids=["last day", "first day"],
)
def test_the_day_of_the_work_decides_the_edition(on: date, word: str) -> None:
    [finding] = check_energy(EnergyFacts(kind="window", u_w_m2k=1.3), rules_in_force("england", on))
    assert finding.word == word
    assert ("2026 edition" in str(finding.source)) is (word == "refer")


@pytest.mark.parametrize(
    ("nation", "on", "u", "word"),
    [
        ("england", date(2023, 6, 14), 1.6, "meets"),
        ("england", date(2023, 6, 15), 1.6, "fails"),
        ("england", date(2023, 6, 14), 1.7, "fails"),
        ("wales", date(2023, 11, 22), 1.6, "advise"),
        ("wales", date(2023, 11, 23), 1.6, "fails"),
    ],
)
def test_the_relief_for_timber_ended(nation: str, on: date, u: float, word: str) -> None:
    # Approved Document L volume 1 2021, note to Table 4.2, to 14 June 2023; Wales 2022, to 22 November 2023
    timber = EnergyFacts(kind="window", u_w_m2k=u, timber=True)
    assert check_energy(timber, rules_in_force(nation, on))[0].word == word
    plastic = EnergyFacts(kind="window", u_w_m2k=1.6)
    assert check_energy(plastic, rules_in_force(nation, on))[0].word == "fails"


def test_a_unit_worse_than_the_one_taken_out_is_referred() -> None:
    # Approved Document L volume 1 2021, section 4 (one page of others)
    facts = EnergyFacts(kind="window", u_w_m2k=1.3, old_u_w_m2k=0.9)
    found = {v.rule: v.word for v in check_energy(facts, rules_in_force("england", DAY))}
    assert found == {"energy.window.u": "meets", "energy.kept": "refer"}


def test_scotland_asks_for_daylight_in_living_and_sleeping_rooms() -> None:
    # Technical Handbook Domestic 3.16: a fifteenth of the floor (second hand)
    scotland = rules_in_force("scotland", DAY)
    words = [check_daylight("bedroom", 15.0, glass, scotland)[0].word for glass in (1.1, 0.9, None)]
    assert words == ["advise", "refer", "unknown"]
    assert check_daylight("kitchen", 15.0, 0.0, scotland) == []
    assert check_daylight("bedroom", 15.0, 0.0, rules_in_force("england", DAY)) == []


def flue(
    appliance: str, direction: str, to_opener: float, to_frame: float, kw: float | None = None
) -> FlueFacts:
    return FlueFacts(
        appliance=appliance,  # type: ignore[arg-type]
        direction=direction,  # type: ignore[arg-type]
        to_opener_mm=to_opener,
        to_frame_mm=to_frame,
        input_kw=kw,
    )


@pytest.mark.parametrize(
    ("facts", "word"),
    [
        pytest.param(flue("gas_fanned", "below", 300, 150), "meets", id="34: fanned 300 and 150"),
        pytest.param(flue("gas_fanned", "below", 299, 150), "fails", id="34: fanned 299"),
        pytest.param(flue("gas_fanned", "beside", 300, 140), "fails", id="34: fanned 140 to the frame"),
        pytest.param(flue("gas_natural", "above", 300, 300), "advise", id="34: natural above 300, recalled"),
        pytest.param(flue("gas_natural", "above", 300, 200), "fails", id="34: natural 200 to the frame"),
        pytest.param(flue("gas_natural", "below", 300, 300, 7), "advise", id="34: natural below, 7 kW, 300"),
        pytest.param(
            flue("gas_natural", "below", 500, 300, 7.1), "fails", id="34: natural below, 7.1 kW, 600"
        ),
        pytest.param(
            flue("gas_natural", "below", 1500, 300, 32), "advise", id="34: natural below, 32 kW, 1500"
        ),
        pytest.param(
            flue("gas_natural", "below", 1900, 300, 33), "fails", id="34: natural below, 33 kW, 2000"
        ),
        pytest.param(
            flue("gas_natural", "beside", 400, 300, 14), "advise", id="34: natural beside, 14 kW, 400"
        ),
        pytest.param(
            flue("gas_natural", "beside", 500, 300, 20), "fails", id="34: natural beside, 20 kW, 600"
        ),
        pytest.param(flue("gas_natural", "below", 300, 300), "unknown", id="34: heat input not read"),
        pytest.param(flue("oil", "beside", 600, 0), "advise", id="41: oil 600, recalled"),
        pytest.param(flue("oil", "below", 500, 0), "fails", id="41: oil 500"),
        pytest.param(flue("oil", "above", 500, 0), "refer", id="41: oil above, not held"),
        pytest.param(FlueFacts(appliance="gas_fanned"), "unknown", id="direction not said"),
        pytest.param(FlueFacts(appliance="gas_fanned", direction="below"), "unknown", id="not measured"),
        pytest.param(
            FlueFacts(
                appliance="gas_fanned",
                direction="below",
                to_opener_mm=200,
                to_frame_mm=200,
                old_to_opener_mm=200,
            ),
            "refer",
            id="4(3): no closer than before",
        ),
    ],
)
def test_flue_distances_in_england(facts: FlueFacts, word: str) -> None:
    assert gravest(check_flue(facts, rules_in_force("england", DAY))) == word


def test_a_flue_elsewhere_is_referred_where_figures_are_not_confirmed() -> None:
    short = flue("gas_fanned", "below", 200, 150)
    assert gravest(check_flue(short, rules_in_force("wales", DAY))) == "fails"
    for nation in ("scotland", "northern_ireland", "ireland"):
        assert gravest(check_flue(short, rules_in_force(nation, DAY))) == "refer"


@pytest.mark.parametrize(("vent", "word"), [(None, "fails"), (0.0, "fails"), (10000.0, "refer")])
def test_a_vent_that_feeds_an_appliance_stays_open(vent: float | None, word: str) -> None:
    # Approved Document J with BS 5440-2: a trickle vent does not count; sizes are for a registered engineer
    assert check_combustion_vent(vent, rules_in_force("england", DAY)).word == word
