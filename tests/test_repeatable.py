"""The same tests run alike each time, by themselves as well as beside all others."""

from hypothesis import settings


def test_property_tests_try_the_same_examples_each_run_and_heed_no_clock():
    chosen = settings()
    assert chosen.derandomize
    assert chosen.deadline is None
    assert chosen.database is None
