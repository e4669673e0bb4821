"""What was delivered, fitted and handed over, beside what was ordered and planned, and judged against it."""

from jambwright.handover.as_fitted import Beside, Ordered, beside, judged

__all__ = ["Beside", "Ordered", "beside", "judged"]
