"""One setting for all property tests: the same examples each run, and no clock."""

from hypothesis import settings

settings.register_profile("course", deadline=None, derandomize=True, database=None)
settings.load_profile("course")
