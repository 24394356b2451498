"""Handing over: care for this piece in this place, its ageing, delivery, warranty, reminders, the job folder."""

from studio_lib.handover.care import CareSheet, care_sheet
from studio_lib.handover.delivery import DeliveryNote, delivery_note
from studio_lib.handover.folder import job_folder, safe_name
from studio_lib.handover.reminders import reminders, reminders_ics

__all__ = [
    "CareSheet", "DeliveryNote", "care_sheet", "delivery_note", "job_folder", "reminders", "reminders_ics", "safe_name",
]
