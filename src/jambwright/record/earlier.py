"""Plans of earlier versions brought up to this one, as far as they tell.

Version 1 held sizes, glass and fitting, but neither gates nor workings: its sizes are shown as they were
issued, and both gates are shut until the house is planned again.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from typing import Any

from jambwright.checks.gates import gates_of, stopped
from jambwright.checks.verdict import Verdict
from jambwright.record.house import IssuedSize, PlanRecord, Site
from jambwright.record.make_house import ID_LETTERS

Tree = Mapping[str, Any]


def from_version_1(tree: Tree) -> PlanRecord:
    """What a plan of version 1 tells. Raises ``KeyError`` or ``TypeError`` where it is not one."""
    why = f"This plan was made by {tree['made_with']}, which kept no gates and no workings: its sizes stand."
    verdict = stopped(Verdict(rule="plan.version", word="unknown", why=why), ())
    body = json.dumps(tree, sort_keys=True).encode()
    return PlanRecord(
        plan_id=hashlib.sha256(body).hexdigest()[:ID_LETTERS],
        made_with=str(tree["made_with"]),
        site=Site(label=tree["house"], note=tree["note"], nation=None, date_of_work=None, disturb={}),
        gates=gates_of([verdict]),
        rules=(verdict,),
        figures={},
        issued=tuple(_issued(each) for each in tree["openings"]),
    )


def _issued(each: Tree) -> IssuedSize:
    sill = each["sill"] or {}
    return IssuedSize(
        id=each["id"],
        room=each["room"],
        kind=each["kind"],
        profile=each["profile"],
        colour=each["colour"],
        width_mm=each["order_width_mm"],
        height_mm=each["order_height_mm"],
        overall_height_mm=each["overall_height_mm"],
        sill_length_mm=sill.get("length_mm"),
        sill_depth_mm=sill.get("depth_mm"),
        glass={
            light["mark"]: (light["glass"]["width_mm"], light["glass"]["height_mm"], light["glazing"] or "")
            for light in each["lights"]
        },
    )


EARLIER: Mapping[int, Callable[[Tree], PlanRecord]] = {1: from_version_1}
"""How a plan of each earlier version is read."""
