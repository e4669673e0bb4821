"""A kept plan read back: this version as it was written, an older one brought up step by step."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from jambwright.basis.problems import BadInput
from jambwright.basis.tree import parse_json
from jambwright.record.earlier import EARLIER
from jambwright.record.house import VERSION, PlanRecord


def read_record(text: str | bytes) -> PlanRecord:
    """The plan in a ``plan.json``. Raises ``BadInput`` where it is none, or one of a version not known here."""
    try:
        tree = parse_json(text)
    except ValueError:
        raise BadInput.one(
            "plan", "This is not a plan: it can't be read as JSON. Take the plan.json of a papers folder."
        ) from None
    return record_of_tree(tree)


def record_of_tree(tree: Any) -> PlanRecord:
    """The plan in its plain values. Raises ``BadInput`` as ``read_record`` does."""
    version = tree.get("jambwright_plan") if isinstance(tree, dict) else None
    if isinstance(version, int) and version in EARLIER:
        try:
            return EARLIER[version](tree)
        except (KeyError, TypeError, ValidationError):
            raise _damaged("") from None
    if version != VERSION:
        raise _not_known(version)
    try:
        return PlanRecord.model_validate(tree)
    except ValidationError as error:
        raise _damaged(".".join(map(str, error.errors()[0]["loc"]))) from None


def _damaged(where: str) -> BadInput:
    at = f" at {where}" if where else ""
    return BadInput.one(
        "plan", f"This plan was changed by hand or is damaged{at}. Make it again from the readings."
    )


def _not_known(version: Any) -> BadInput:
    if version is None:
        say = "This is not a plan: it has no `jambwright_plan`. Take the plan.json of a papers folder."
    else:
        say = f"This plan is of version {version}; this program knows {VERSION}. Plan the house again."
    return BadInput.one("plan", say)
