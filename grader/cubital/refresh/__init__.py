"""Refreshing: the log of what was answered, merged from two computers; when each objective is due
again, in words too, and which questions `cubital refresh` asks in the minutes that there are."""
