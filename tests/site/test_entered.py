"""What is typed, what is due and what is carried come out the same in the browser's Python."""

from . import there
from .measured import carried, entered


def test_what_is_typed_is_read_alike(at_first):
    here = there.here(entered.read)
    assert [*there.differences(here, at_first(entered.read))] == []


def test_what_is_due_follows_alike_from_a_log(with_all):
    here = there.here(entered.due, 400)
    assert [*there.differences(here, with_all(entered.due, 400))] == []
    assert sum(due is not None for due, *_ in here.values()) > 20


def test_a_lock_leaves_no_file_behind(at_first):
    """Where the system's own locks are not to be had, files stand for them, and may stay."""
    assert at_first(entered.lock) == there.here(entered.lock) == "FileLock"


def test_a_file_is_taken_over_from_one_to_the_other(at_first):
    begun = there.here(carried.begun, "Ada Alder")
    here = there.here(carried.gone_on, begun, "10-light-and-depth", "34 %", 3)
    found = at_first(carried.gone_on, begun, "20-focal-geometry", "45 %", 4)
    one = there.here(carried.merged, here, found)
    assert one == at_first(carried.merged, here, found)
    assert "catheter-sizing/answers.json" in one
    assert carried.held(here) != carried.held(found)
