"""When each objective is due again, and which questions `cubital refresh` asks in the minutes that
there are."""

from cubital.refresh.due import what_is_due

__all__ = ["what_is_due"]
