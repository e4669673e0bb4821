"""What was delivered, fitted and handed over, beside what was ordered and planned, and judged against it."""

from jambwright.handover.acknowledged import Acknowledged, acknowledged, answer_json, answer_lines
from jambwright.handover.as_fitted import Beside, Ordered, beside, judged
from jambwright.handover.square_up import AsRead, Moved, Packer, SquareUp, square_up
from jambwright.handover.square_words import square_words

__all__ = [
    "Acknowledged",
    "AsRead",
    "Beside",
    "Moved",
    "Ordered",
    "Packer",
    "SquareUp",
    "acknowledged",
    "answer_json",
    "answer_lines",
    "beside",
    "judged",
    "square_up",
    "square_words",
]
