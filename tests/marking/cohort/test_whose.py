"""What a hand-in says of its time and maker is not proved; what looks wrong in it is named."""

import shutil
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from cubital.cli import main
from cubital.cli.cohort import UNMARKED
from cubital.marking.cohort import collecting
from cubital.marking.cohort.course import Course

WORKSHEET = "catheter-sizing"
NOW = datetime(2026, 3, 4, 12, tzinfo=UTC)


def at(hour: int, *, minute: int = 0, year: int = 2026) -> datetime:
    return datetime(year, 3, 4, hour, minute, tzinfo=UTC)


@pytest.fixture
def course(copy_course: Any, tmp_path: Path) -> Course:
    return copy_course(tmp_path / "w", ["ann", "bob"])


def collected(course: Course) -> dict[str, str]:
    """What is named at collecting, by file; each with something to do."""
    problems = collecting.collect(course, WORKSHEET, now=NOW)
    assert all(row.action for row in problems)
    return {row.file: row.reason for row in problems}


def test_what_is_dated_ahead_is_named_and_what_it_passes_over_too(
    course: Course, desk: Any, tmp_path: Path
) -> None:
    ahead = desk(course, "bob", tmp_path).hand_in(at(8, year=2046))
    desk(course, "ann", tmp_path).hand_in(at(12, minute=50))  # a clock may be a little fast
    (told,) = collected(course).items()
    assert told[0] == f"inbox/{ahead.name}"
    assert "2046-03-04 08:00 UTC, which is yet to come" in told[1]
    late = desk(course, "bob", tmp_path).answer().hand_in(at(11))
    for _ in range(2):  # until somebody has seen to it
        told = collected(course)
        assert told.keys() == {f"inbox/{ahead.name}", f"inbox/{late.name}"}
        assert "is passed over" in told[f"inbox/{late.name}"]
    ahead.unlink()
    shutil.rmtree(course.submitted("bob", WORKSHEET))
    assert collected(course) == {}
    assert "2026-03-04 11:00" in (course.submitted("bob", WORKSHEET) / "timestamp.txt").read_text()


def test_two_in_their_order_or_collected_together_are_nothing_to_name(
    course: Course, desk: Any, tmp_path: Path
) -> None:
    for hour in (9, 8):
        desk(course, "bob", tmp_path).hand_in(at(hour))
    for hour in (10, 11):
        assert collected(course) == {}
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
