"""The store keeps each hand-in that was seen, and what was decided of it; a broken one is named."""

import shutil
import sqlite3
import stat
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from typing import Any

import pytest

from cubital import cli
from cubital.handin.files import entries
from cubital.handin.results import MARKED, MISSING, SYSTEM_ERROR, ItemResult, SubmissionResult
from cubital.marking.cohort import collecting
from cubital.marking.cohort.course import Course
from cubital.marking.errors import CourseError
from cubital.marking.marks import gradebook, marker
from cubital.marking.marks.attempts import Attempt, sum_of_files, sum_of_folder
from cubital.marking.marks.store import Store

WORKSHEET = "catheter-sizing"
LEFT = 3  # the exit status, as the README has it
LIST = f"results/{WORKSHEET}.problems.json"
NOON = datetime(2021, 3, 4, 12, tzinfo=UTC)
ITEMS = (
    ItemResult("a", "right", 2, 2, "Right."),
    ItemResult("b", "slip", 0.5, 2.0, "“Nearly”\n\0 <b>", "1 µm", "doubled", confidence=0.75),
    ItemResult("c", "waiting", None, 3, "Waits.", is_text=True, earlier=1.5, described=True),
)
ANN = SubmissionResult(
    "ann", WORKSHEET, "autumn-1", MARKED, submitted_at="2021-03-04T08:00:00+00:00", items=ITEMS
)


def attempt(result: SubmissionResult, files: str = "x") -> Attempt:
    return Attempt(result.worksheet, result.learner, result.release, result.submitted_at, files)


def attempts(workspace: Path, *columns: str) -> list[tuple[Any, ...]]:
    with closing(sqlite3.connect(workspace / "results.db")) as db:
        return sorted(db.execute(f"SELECT {', '.join(columns)} FROM attempt"))


# ------------------------------------------------------------------------------ what is kept


def test_a_result_is_read_as_it_was_put_in_and_only_the_last_counts(tmp_path: Path) -> None:
    store = Store(tmp_path)
    assert store.results(WORKSHEET) == {}
    assert not store.path.exists(), "reading makes no file"
    ben = replace(
        ANN, learner="ben", state="held", reason="it is of another", action="Ask.", items=()
    )
    store.put([(attempt(ANN), ANN), (attempt(ben), ben)], arrived=NOON)
    assert store.results(WORKSHEET) == {"ann": ANN, "ben": ben}
    assert store.results("light-and-depth") == {}
    assert stat.S_IMODE(store.path.stat().st_mode) == 0o600
    later = replace(ANN, submitted_at="2021-03-05T08:00:00+00:00", items=ITEMS[:1])
    store.put([(attempt(later), later)], arrived=NOON)
    assert store.results(WORKSHEET) == {"ann": later, "ben": ben}
    assert attempts(tmp_path, "learner", "said_at", "counts") == [
        ("ann", "2021-03-04T08:00:00+00:00", 0),
        ("ann", "2021-03-05T08:00:00+00:00", 1),
        ("ben", "2021-03-04T08:00:00+00:00", 1),
    ]
    store.put([(attempt(ANN), ANN)])
    assert store.results(WORKSHEET)["ann"] == ANN, "an earlier one can count again"
    store.count_none(WORKSHEET, ["ann"])
    assert store.results(WORKSHEET) == {"ben": ben}
    assert len(attempts(tmp_path, "id")) == 3


def test_what_cannot_be_put_in_leaves_all_as_it_was(tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.put([(attempt(ANN), ANN)])
    odd = replace(ANN, learner="ben", items=(replace(ITEMS[0], message="\ud800"),))
    later = replace(ANN, submitted_at="2021-03-05T08:00:00+00:00")
    with pytest.raises(UnicodeEncodeError):
        store.put([(attempt(later), later), (attempt(odd), odd)])
    assert store.results(WORKSHEET) == {"ann": ANN}
    assert len(attempts(tmp_path, "id")) == 1


def test_a_store_from_before_answers_to_trials_were_counted_is_read_and_written(
    tmp_path: Path,
) -> None:
    store = Store(tmp_path)
    store.put([(attempt(ANN), ANN)], arrived=NOON)
    with closing(sqlite3.connect(store.path)) as db:
        db.executescript("ALTER TABLE item_result DROP COLUMN tally; PRAGMA user_version = 1;")
    assert store.results(WORKSHEET) == {"ann": ANN}
    assert attempts(tmp_path, "arrived_at") == [("2021-03-04T12:00:00.000000+00:00",)]
    counted = replace(ANN, items=(replace(ITEMS[0], tally='{"clear": [2, 0, 1, 1]}'),))
    store.put([(attempt(counted), counted)])
    assert store.results(WORKSHEET) == {"ann": counted}


def test_counts_that_are_none_are_named_and_the_learner_is_to_be_marked_again(
    tmp_path: Path,
) -> None:
    store = Store(tmp_path)
    odd = replace(ANN, items=(replace(ITEMS[0], tally='{"clear": "two"}'),))
    store.put([(attempt(odd), odd)])
    found = store.results(WORKSHEET)["ann"]
    assert found.state == SYSTEM_ERROR
    assert "holds no counts by band" in found.reason


def test_one_seen_again_keeps_the_time_of_its_arrival(tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.add([attempt(ANN)], arrived=NOON)
    store.add([attempt(ANN), attempt(ANN, "other")], arrived=NOON.replace(hour=13))
    store.put([(attempt(ANN), ANN)])
    assert attempts(tmp_path, "arrived_at", "counts") == [
        ("2021-03-04T12:00:00.000000+00:00", 1),
        ("2021-03-04T13:00:00.000000+00:00", 0),
    ]


def test_of_two_that_say_the_same_second_the_one_that_came_later_is_the_later(
    tmp_path: Path,
) -> None:
    """Their ids alone would tell, which is chance: so both orders are tried."""
    for number, sums in enumerate((("one", "other"), ("other", "one"))):
        (tmp_path / str(number)).mkdir()
        store = Store(tmp_path / str(number))
        for part, sha256 in enumerate(sums):
            store.add([attempt(ANN, sha256)], arrived=NOON.replace(microsecond=1 + part))
        rows = sorted(store.seen(WORKSHEET), key=lambda row: row.order)
        assert tuple(row.attempt.sha256 for row in rows) == sums


def test_each_hand_in_of_the_inbox_is_an_attempt_and_the_marked_one_counts(
    copy_course: Any, desk: Any, moment: Callable, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann", "ben"])
    at = desk(course, "ann", tmp_path)
    at.answer({"sizing-french": "3.33 Fr"}).hand_in(moment(8))
    at.answer().hand_in(moment(9))
    collecting.collect(course, WORKSHEET, now=NOON)
    seen = ("learner", "release", "said_at", "arrived_at", "number", "counts")
    first, second = "2021-03-04T08:00:00+00:00", "2021-03-04T09:00:00+00:00"
    arrived = "2021-03-04T12:00:00.000000+00:00"
    assert attempts(course.workspace, *seen) == [
        ("ann", "autumn-1", first, arrived, 1, 0),
        ("ann", "autumn-1", second, arrived, 1, 0),
    ]
    assert [row.state for row in gradebook.results(course, WORKSHEET)] == ["held", MISSING]
    marker.mark(course, WORKSHEET)
    assert attempts(course.workspace, *seen) == [
        ("ann", "autumn-1", first, arrived, 1, 0),
        ("ann", "autumn-1", second, arrived, 1, 1),
    ]
    marked = gradebook.results(course, WORKSHEET)
    at.answer().hand_in(moment(10))
    collecting.collect(course, WORKSHEET)
    ann, ben = gradebook.results(course, WORKSHEET)
    assert ann.counts.endswith("mark again"), "until it is marked the earlier counts"
    before = replace(ann, counts=marked[0].counts, hand_ins=marked[0].hand_ins)
    assert [before, ben] == marked
    assert len(attempts(course.workspace, "id")) == 3


def test_a_folder_has_the_check_sum_of_the_files_that_were_put_there(tmp_path: Path) -> None:
    files = {"a.ipynb": b"1", "answers.json": b"2"}
    for name, data in (files | {"timestamp.txt": b"whenever"}).items():
        (tmp_path / name).write_bytes(data)
    assert sum_of_folder(tmp_path) == sum_of_files(files | {"timestamp.txt": b"then"})
    for other in ({"a.ipynb": b"2", "answers.json": b"1"}, {"a.ipynb": b"1"}, files | {"b": b""}):
        assert sum_of_files(other) != sum_of_files(files)
    (tmp_path / "link").symlink_to("answers.json")
    assert sum_of_folder(tmp_path) == sum_of_folder(tmp_path / "answers.json") == ""


def test_a_link_put_in_a_files_place_after_it_was_listed_is_not_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, away = tmp_path / "folder", tmp_path / "away"
    folder.mkdir()
    (folder / "answers.json").write_bytes(b"1")
    away.write_bytes(b"of somebody else")

    def swapped(folder: Path):
        listed = [*entries(folder)]
        (folder / "answers.json").unlink()
        (folder / "answers.json").symlink_to(away)
        yield from listed

    monkeypatch.setattr("cubital.marking.marks.attempts.entries", swapped)
    assert sum_of_folder(folder) == ""


# ------------------------------------------------------------------------------ what is broken


@pytest.fixture(scope="module")
def marked(copy_course: Any, desk: Any, tmp_path_factory: pytest.TempPathFactory) -> Course:
    """Ann is marked; copy it, do not change it."""
    where = tmp_path_factory.mktemp("store")
    course = copy_course(where / "spring", ["ann", "ben"])
    desk(course, "ann", where).answer().hand_in()
    assert collecting.collect(course, WORKSHEET) == []
    marker.mark(course, WORKSHEET)
    return course


def half(path: Path) -> None:
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


def a_letter(path: Path) -> None:
    path.write_text("Dear all, " * 1000)


def another_edition(path: Path) -> None:
    with closing(sqlite3.connect(path)) as db:
        db.execute("PRAGMA user_version = 99")


def anothers(path: Path) -> None:
    path.unlink()
    with closing(sqlite3.connect(path)) as db:
        db.execute("CREATE TABLE notes (text)")


def another_column(path: Path) -> None:
    with closing(sqlite3.connect(path)) as db:
        db.execute("ALTER TABLE item_result ADD COLUMN grade TEXT")


def a_folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


BROKEN: dict[str, tuple[Callable[[Path], None], str]] = {
    "half": (half, "is damaged: database disk image is malformed"),
    "a letter": (a_letter, "is damaged: file is not a database"),
    "another edition's": (another_edition, "was not made by this edition of the course"),
    "another program's": (anothers, "was not made by this edition of the course"),
    "of other columns": (another_column, "was not made by this edition of the course"),
    "a folder": (a_folder, "cannot be used"),
}


@pytest.mark.parametrize("how", BROKEN)
def test_a_broken_store_is_named_with_what_to_do_and_moved_away_it_is_made_anew(
    marked: Course, tmp_path: Path, how: str, capsys: pytest.CaptureFixture
) -> None:
    course = copied(marked, tmp_path)
    before = gradebook.results(course, WORKSHEET)
    path = Store(course.workspace).path
    broken, words = BROKEN[how]
    broken(path)
    for step in ("report", "feedback", "mark", "collect"):
        assert cli.main(["cohort", step, WORKSHEET, "--workspace", str(course.workspace)]) == 1
        said = capsys.readouterr().err
        assert f"{path} {words}" in said
        assert "move it away, and mark each worksheet again" in said or how == "a folder"
    path.rename(tmp_path / "moved-away")
    assert marker.mark(course, WORKSHEET) == before


def copied(marked: Course, tmp_path: Path) -> Course:
    return Course(shutil.copytree(marked.workspace, tmp_path / "copy"))


def test_no_flipped_bytes_end_in_a_traceback(marked: Course, tmp_path: Path) -> None:
    """Each is found, or is in words that it changes."""
    whole = Store(marked.workspace).path.read_bytes()
    chance, damaged = Random(5), 0
    for _ in range(300):
        data = bytearray(whole)
        start = chance.randrange(len(data))
        for place in range(start, min(start + chance.randrange(1, 40), len(data))):
            data[place] = chance.randrange(256)
        (tmp_path / "results.db").write_bytes(data)
        try:
            found = Store(tmp_path).results(WORKSHEET)
        except CourseError as error:
            damaged += str(tmp_path / "results.db") in str(error)
            continue
        for result in found.values():
            assert result.state in {MARKED, SYSTEM_ERROR}
            assert result.points <= result.max_points
    assert damaged > 30


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (
            "UPDATE item_result SET points = 'two' WHERE place = 0",
            "points of “sizing-upper-diameter”",
        ),
        (
            "UPDATE item_result SET message = NULL WHERE place = 0",
            "message of “sizing-upper-diameter”",
        ),
        ("UPDATE item_result SET manual = 7 WHERE place = 0", "manual of “sizing-upper-diameter”"),
        ("UPDATE result SET state = 'done'", "its state is 'done'"),
    ],
)
def test_an_odd_value_is_its_learners_state_and_marking_again_mends_it(
    marked: Course, tmp_path: Path, change: str, words: str, capsys: pytest.CaptureFixture
) -> None:
    course = copied(marked, tmp_path)
    before = gradebook.results(course, WORKSHEET)
    path = Store(course.workspace).path
    with closing(sqlite3.connect(path)) as db:
        db.execute("PRAGMA writable_schema = ON")
        db.execute(
            "UPDATE sqlite_schema SET sql = replace(replace(sql, 'STRICT, ', ''), ' NOT NULL', '')"
            " WHERE name = 'item_result'"
        )
        db.commit()
    with closing(sqlite3.connect(path)) as db:
        db.execute(change)
        db.commit()
    row = gradebook.results(course, WORKSHEET)[0]
    assert (row.state, row.items) == (SYSTEM_ERROR, ())
    assert f"cannot be read from {path}: {words}" in row.reason
    assert row.action == f"Mark “{WORKSHEET}” again."
    assert cli.main(["cohort", "report", WORKSHEET, "--workspace", str(course.workspace)]) == LEFT
    assert "Not marked: ann: system_error: what marking decided" in capsys.readouterr().out
    assert marker.mark(course, WORKSHEET) == before


def test_a_store_that_another_program_holds_is_waited_for_and_then_named(
    marked: Course, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("cubital.marking.marks.store._WAIT_S", 0.1)
    course = copied(marked, tmp_path)
    with closing(sqlite3.connect(course.workspace / "results.db", isolation_level=None)) as db:
        db.execute("BEGIN EXCLUSIVE")
        with pytest.raises(CourseError, match="is held by another program"):
            gradebook.results(course, WORKSHEET)
        db.execute("ROLLBACK")
    assert [row.state for row in gradebook.results(course, WORKSHEET)] == [MARKED, MISSING]


def test_a_broken_list_of_what_was_not_taken_is_told_and_written_anew(
    marked: Course, tmp_path: Path, capsys: pytest.CaptureFixture
) -> None:
    course = copied(marked, tmp_path)
    given = [WORKSHEET, "--workspace", str(course.workspace)]
    for text in ("{", "[]", '{"format": "x"}', '{"format": "cubital-problems/1", "inbox": [1]}'):
        (course.workspace / LIST).write_text(text, encoding="utf-8")
        assert cli.main(["cohort", "report", *given]) == LEFT
        assert f"Not marked: {LIST}: system_error: what was not taken" in capsys.readouterr().out
    assert cli.main(["cohort", "collect", *given]) == 0
    cli.main(["cohort", "report", *given])
    assert LIST not in capsys.readouterr().out
