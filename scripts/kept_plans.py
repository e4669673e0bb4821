"""Plans of invented houses kept for the tests; run this where a figure or a word was changed on purpose."""

import csv
import io
import json
import lzma
import math
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.paper.buying import buying_csv
from jambwright.paper.order_book import HEADERS, order_csv
from jambwright.plan.prices import read_prices
from jambwright.readings.survey_file import read_survey, survey_from_tree
from jambwright.record import PlanRecord

KEPT = Path(__file__).parent.parent / "tests" / "data" / "kept"
HOUSES, PLANS = KEPT / "houses.json", KEPT / "plans.json.xz"
DEMO = "demo house, checked"
NOTHING: tuple[Any, ...] = (None, "", False, [], {})


def houses() -> dict[str, Any]:
    """Readings files by name of the house."""
    found: dict[str, Any] = json.loads(HOUSES.read_text(encoding="utf-8"))
    return found


def kept_plans() -> dict[str, Any]:
    """What was decided for each, by its name; that of the demo house too."""
    found: dict[str, Any] = json.loads(lzma.decompress(PLANS.read_bytes()))
    return found


def decided(name: str) -> dict[str, Any]:
    """The plan of one of them as it is made now, with the lists made from it."""
    if name == DEMO:
        record = job.check(read_survey(read_text("demo_house.yaml")))
    else:
        prices = read_prices(read_text("demo_prices.yaml"))
        record = job.decide(survey_from_tree(houses()[name]), job.Choices(prices=prices))
    told: dict[str, Any] = json.loads(json.dumps(_told(record)))
    return told


def _told(record: PlanRecord) -> dict[str, Any]:
    # which of two plans of the crew that are as good is found depends on the version of the solver
    by_the_hour = {"plan": True, "stays": True}
    whole = record.model_dump(mode="json", exclude={"plan_id": True, "made_with": True, "days": by_the_hour})
    order = order_csv(record.model_copy(update={"plan_id": "…"})).decode("utf-8-sig")
    lists = {"order": list(csv.DictReader(io.StringIO(order), HEADERS))}
    if record.buying:
        buying = buying_csv(record, record.buying.to_buy).decode("utf-8-sig")
        lists["buying"] = list(csv.DictReader(io.StringIO(buying)))
    return {"record": whole, **lists}


def differences(kept: Any, now: Any, where: str = "") -> Iterator[str]:
    """Places where two trees differ; numbers may by what another processor's rounding makes.

    A field that there was not yet and that says nothing is no difference, nor is the heading of its column.
    """
    if isinstance(kept, dict) and isinstance(now, dict):
        for key in [
            *kept,
            *(key for key, value in now.items() if key not in kept and value not in (*NOTHING, key)),
        ]:
            yield from differences(kept.get(key, "not there"), now.get(key, "not there"), f"{where}/{key}")
    elif isinstance(kept, list) and isinstance(now, list) and len(kept) == len(now):
        for at, (one, other) in enumerate(zip(kept, now, strict=True)):
            yield from differences(one, other, f"{where}/{at}")
    elif isinstance(kept, float) and isinstance(now, float):
        if not math.isclose(kept, now, rel_tol=1e-9, abs_tol=1e-9):
            yield f"{where}: {kept} became {now}"
    elif kept != now:
        yield f"{where}: {kept!r} became {now!r}"


if __name__ == "__main__":
    plans = {name: decided(name) for name in (DEMO, *houses())}
    PLANS.write_bytes(lzma.compress(json.dumps(plans).encode()))
