"""What a hand-in says of its time and maker is not proved; what looks wrong in it is named."""

import shutil
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from cubital.cli import main
from cubital.cli.cohort import UNMARKED
from cubital.educator.choose import choose
from cubital.educator.hand_ins import hand_ins
from cubital.marking.cohort import collecting
from cubital.marking.cohort.course import Course
from cubital.marking.counting.looking import to_look_at

from ...recording import Recorder, Told

WORKSHEET = "catheter-sizing"
NOW = datetime(2026, 3, 4, 12, tzinfo=UTC)


def at(hour: int, *, minute: int = 0, year: int = 2026) -> datetime:
    return datetime(year, 3, 4, hour, minute, tzinfo=UTC)


@pytest.fixture
def course(copy_course: Any, tmp_path: Path) -> Course:
    return copy_course(tmp_path / "w", ["ann", "bob"])


def collected(course: Course, now: datetime = NOW) -> dict[str, str]:
    """What is named at collecting, by file or hand-in; each with something to do."""
    problems = collecting.collect(course, WORKSHEET, now=now)
    problems += to_look_at(course, WORKSHEET)
    assert all(row.action for row in problems)
    return {row.file: row.reason for row in problems}


def listed(course: Course) -> list[str]:
    """How Bob's hand-ins are named, in the order that the rule goes by."""
    (found,) = hand_ins(course.workspace, WORKSHEET, learner="bob").learners
    return [f"bob, hand-in {row.hand_in}" for row in found.hand_ins]


def test_what_is_dated_ahead_is_named_and_what_it_passes_over_too(
    course: Course, desk: Any, tmp_path: Path, recorder: Recorder
) -> None:
    desk(course, "bob", tmp_path).hand_in(at(8, year=2046))
    desk(course, "ann", tmp_path).hand_in(at(12, minute=50))  # a clock may be a little fast
    (told,) = collected(course).items()
    assert told[0] == listed(course)[0]
    assert "dated 2046-03-04 08:00 UTC, which is after it arrived, 2026-03-04 12:00" in told[1]
    desk(course, "bob", tmp_path).answer().hand_in(at(11))
    for hour in (14, 15):  # until somebody has seen to it
        told = collected(course, at(hour))
        late, ahead = listed(course)
        if hour == 14:
            recorder.saw(
                "hands in a blank sheet dated 20 years ahead, and the work afterwards",
                Told("both named", None),
                Told("both named" if len(told) == 2 else str([*told]), None, str([*told.values()])),
            )
        assert told.keys() == {ahead, late}
        assert "passed over" in told[late]
    chosen = late.rpartition(" ")[2]
    choose(course.workspace, WORKSHEET, "bob", chosen, reason="wrong-clock")
    assert collected(course, at(16)) == {}
    assert "2026-03-04 11:00" in (course.submitted("bob", WORKSHEET) / "timestamp.txt").read_text()


def test_one_dated_ahead_gives_way_to_one_made_after_it_was_collected(
    course: Course, desk: Any, tmp_path: Path
) -> None:
    desk(course, "bob", tmp_path).hand_in(at(8, year=2046))
    collected(course)
    desk(course, "bob", tmp_path).answer().hand_in(at(13))
    assert len(collected(course, at(14))) == 1, "the date ahead is named still"
    assert "2026-03-04 13:00" in (course.submitted("bob", WORKSHEET) / "timestamp.txt").read_text()


def test_two_in_their_order_or_collected_together_are_nothing_to_name(
    course: Course, desk: Any, tmp_path: Path
) -> None:
    for hour in (9, 8):
        desk(course, "bob", tmp_path).hand_in(at(hour))
    for hour in (10, 11):
        assert collected(course, at(hour)) == {}
        desk(course, "bob", tmp_path).hand_in(at(hour))


def test_hand_ins_of_one_learner_from_several_places_are_named(
    course: Course, desk: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for folder, hour in (("Ann_1", 10), ("Bob_2", 9), ("Bob_2", 8)):
        (course.inbox / folder).mkdir(exist_ok=True)
        desk(course, "bob", tmp_path).hand_in(at(hour)).rename(
            course.inbox / folder / f"{hour}.zip"
        )
    shutil.copytree(course.inbox / "Bob_2", course.inbox / "the same, unpacked again")
    (reason,) = collected(course).values()
    assert "“bob”" in reason
    assert "inbox/Ann_1/10.zip, inbox/Bob_2/9.zip" in reason
    assert "unpacked again" not in reason
    command = ["cohort", "collect", WORKSHEET, "--workspace", str(course.workspace)]
    assert main(command) == UNMARKED
    assert "Look at: inbox: several hand-ins of “bob”" in capsys.readouterr().out
