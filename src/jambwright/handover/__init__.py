"""What was delivered, fitted and handed over, beside what was ordered and planned, and judged against it."""

from jambwright.handover.acknowledged import Acknowledged, acknowledged, answer_json, answer_lines
from jambwright.handover.as_fitted import Beside, Ordered, beside, judged

__all__ = [
    "Acknowledged",
    "Beside",
    "Ordered",
    "acknowledged",
    "answer_json",
    "answer_lines",
    "beside",
    "judged",
]
