"""Refreshing: when what is due, and which items to ask in the minutes that there are."""

from cubital.refresh.due import what_is_due

__all__ = ["what_is_due"]
