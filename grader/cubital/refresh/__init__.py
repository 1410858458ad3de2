"""Refreshing: the log of what was answered, merged from two computers; when each objective is due
again, in words too, and which questions `cubital refresh` asks in the minutes that there are: what
must be right to pass first, all else in turn."""
