"""Decisions for a replacement, by nation and date: which verdict a plain case gets, and from which document.

The grade beside each row tells how the figure is known: "document read", "copy read" (a copy of the document),
"second hand" (pages of others; x2 = two independent ones), "inferred" (reasoned from what is second hand).
"""

from __future__ import annotations

from typing import Any

import pytest

from jambwright import calc

ENGLAND = {"nation": "england", "date": "2026-06-01"}
WALES = {"nation": "wales", "date": "2026-08-01"}
SCOTLAND = {"nation": "scotland", "date": "2026-06-01"}
NORTHERN_IRELAND = {"nation": "northern_ireland", "date": "2026-06-01"}
IRELAND = {"nation": "ireland", "date": "2026-10-01"}


def window(u: float, band: str | None = None, **more: Any) -> dict[str, Any]:
    return {"energy": [{"kind": "window", "u_w_m2k": u, "band": band} | more]}


def room(use: str, vents: list[float], mechanical: str = "none", **more: Any) -> dict[str, Any]:
    given = {"use": use, "vents": vents, "openers": [], "floor_area_m2": 12, "old_vent_mm2": 0} | more
    return {"ventilation": {"rooms": [given], "mechanical": mechanical}}


def escape(width: float, height: float, bottom: float, **more: Any) -> dict[str, Any]:
    size = {"clear_width_mm": width, "clear_height_mm": height, "bottom_above_floor_mm": bottom}
    return {"escape": {"room_needs": True, "hinge": "side_hung"} | size | more}


OLD_600_667 = {"clear_width_mm": 600, "clear_height_mm": 667, "bottom_above_floor_mm": 900}
HOUSE = {"listed": False, "conservation_area": False}


def row(name: str, where: dict[str, Any], given: dict[str, Any], rule: str, word: str, source: str) -> Any:
    """One decision: where and when, what is given, the finding and its verdict; ``source`` with its grade."""
    return pytest.param(where | given, rule, word, id=f"{name} {source}")


@pytest.mark.parametrize(
    ("given", "rule", "word"),
    [
        row("D01", ENGLAND, room("living", []), "ventilation.background.habitable", "worse",
            "AD F vol 1 2021 3.15a (second hand x2)"),
        row("D02", ENGLAND, room("bedroom", [4000], "extract"), "ventilation.background.with_extract", "meets",
            "AD F vol 1 2021 3.15b (second hand x2)"),
        row("D04", ENGLAND, window(1.8, glass_only=True), "energy.glass_only", "advise",
            "Building Regulations 2010 reg 3, AD K 0.2a (copy read)"),
        row("D05", ENGLAND | {"date": "2027-03-23"}, window(1.4), "energy.window.u", "meets",
            "AD L vol 1 2021 Table 4.2 (second hand x2)"),
        row("from 24 March 2027", ENGLAND | {"date": "2027-05-10", "notice_date": "2027-03-24"}, window(1.4),
            "energy.window.u", "refer", "SI 2026 335, Approved Document L 2026 not seen (second hand x3)"),
        row("D07", ENGLAND | {"date": "2027-05-10", "notice_date": "2027-03-01", "start_date": "2027-05-05"},
            window(1.5, "C"), "energy.window.u", "fails",
            "SI 2026 335 transition, AD L vol 1 2021 Table 4.2 (second hand x2)"),
        row("D08", ENGLAND, {"energy": [{"kind": "door", "glazed_share": 0.62, "u_w_m2k": 1.5, "band": "C"}]},
            "energy.glazed_door.band", "meets", "AD L vol 1 2021 Table 4.2 (second hand x2)"),
        row("D10", ENGLAND | {"date": "2023-06-01"}, window(1.6, timber=True), "energy.timber_window.u", "meets",
            "AD L vol 1 2021 Table 4.2 note (second hand x2)"),
        row("D11", ENGLAND, escape(500, 700, 900, old=OLD_600_667), "escape.area", "meets",
            "AD B vol 1 2019 2.10 (second hand x2)"),
        row("D13", ENGLAND, {"guarding": {"bottom_above_floor_mm": 950, "drop_outside_mm": 3000, "children": False}},
            "guarding.height", "meets", "AD O 2021 0.3, AD K 2013 K2 (copy read)"),
        row("D14", WALES | {"date": "2027-03-03"}, window(1.4), "energy.window.u", "meets",
            "AD L vol 1 2022 Wales (second hand)"),
        row("from 4 March 2027", WALES | {"date": "2027-03-04"}, window(1.4), "energy.window.u", "refer",
            "WSI 2026 60, Approved Document L 2026 Wales not seen (document read on the dates)"),
        row("D16", WALES, room("bedroom", []), "ventilation.background.habitable", "refer",
            "AD F vol 1 2022 Wales (second hand)"),
        row("D16b", WALES, room("bedroom", []), "ventilation.background.after_work", "refer",
            "Building Regulations 2010 reg 4(5) as amended for Wales (from memory, medium)"),
        row("D17", SCOTLAND, {"notify": {}}, "notify.route", "advise",
            "Building Scotland Regulations 2004 sch 3 type 20 (document read)"),
        row("D17b", SCOTLAND, {"heritage": HOUSE}, "heritage.area", "meets",
            "GPDO Scotland 1992 (second hand x2)"),
        row("D19", SCOTLAND, window(1.5, "C"), "energy.window.u", "refer",
            "Domestic Handbook Annex 6.A (copy read, 2019)"),
        row("D20", SCOTLAND, room("bedroom", [9000]), "ventilation.background.habitable", "refer",
            "Domestic Handbook 3.14.2 (second hand x2)"),
        row("D22", SCOTLAND, {"heritage": HOUSE | {"flat": True}}, "heritage.flat", "advise",
            "GPDO Scotland 1992 class 4A (second hand x2)"),
        row("D23", SCOTLAND, {"guarding": {"top_above_ground_mm": 5000, "cleaned_inside": False}},
            "guarding.cleaning", "refer", "Domestic Handbook 4.8.3 (second hand)"),
        row("D25", NORTHERN_IRELAND, {"notify": {"doors": False}}, "notify.route", "advise",
            "Building Regulations NI 2012, on applications (second hand x3)"),
        row("D26", NORTHERN_IRELAND, window(1.5, "C"), "energy.window.u", "refer",
            "Technical Booklet F1 2022 (inferred)"),
        row("D28", IRELAND, escape(600, 900, 900, restrictor="key"), "escape.key", "fails",
            "TGD B vol 2 2017 on hardware (second hand x3)"),
        row("D29", IRELAND, window(1.5), "energy.window.u", "fails", "TGD L 2022 2.1 (second hand x2)"),
    ],
)  # fmt: skip
def test_decision(given: dict[str, Any], rule: str, word: str) -> None:
    found = {f["rule"]: f["verdict"] for f in calc.answer("rules", given)["findings"]}
    assert found[rule] == word


def test_a_route_and_a_door_in_northern_ireland_are_told_apart() -> None:
    # councils' pages on the regulations of 2012 (second hand x3) on windows; a talk of 2006 on doors (second hand)
    found = calc.answer("rules", NORTHERN_IRELAND | {"notify": {"doors": True}})["findings"]
    assert {f["rule"]: f["verdict"] for f in found if f["rule"] in ("notify.route", "notify.door")} == {
        "notify.route": "advise",
        "notify.door": "refer",
    }
