"""Write the JSON Schemas that are shipped, from the models they describe."""

import json
from pathlib import Path

from jambwright.paper.plan_file import PlanFile
from jambwright.readings.survey import Survey

DATA = Path(__file__).parent.parent / "src" / "jambwright" / "basis" / "data"

SCHEMAS = {"survey.schema.json": Survey, "plan.schema.json": PlanFile}


def text(name: str) -> str:
    """One schema as it stands in the package."""
    return json.dumps(SCHEMAS[name].model_json_schema(), indent=1) + "\n"


if __name__ == "__main__":
    for name in SCHEMAS:
        (DATA / name).write_text(text(name), encoding="utf-8")
