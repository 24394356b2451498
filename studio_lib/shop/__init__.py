"""In the workshop: the calendar of a job, the logs kept at the bench, cautions at their step."""

from studio_lib.shop.calendar import Dated, Days, Plan, Step, calendar_ics, plan, today_says, work_steps
from studio_lib.shop.cautions import Caution, cautions_for
from studio_lib.shop.logs import log_findings, still_open

__all__ = [
    "Caution", "Dated", "Days", "Plan", "Step", "calendar_ics", "cautions_for", "log_findings", "plan", "still_open",
    "today_says", "work_steps",
]
