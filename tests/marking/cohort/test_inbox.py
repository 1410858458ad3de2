"""The inbox takes what a learning platform gives out; the hand-in itself says whose it is."""

import hashlib
import io
import json
import os
import tracemalloc
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from cubital.marking.cohort import collecting, receiving
from cubital.marking.cohort.course import Course
from cubital.marking.marks import marker

WORKSHEET = "catheter-sizing"
LEARNERS = ("ann", "ben", "cy", "di", "eve", "fay", "gus")


def zipped(files: Mapping[str, bytes]) -> bytes:
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return content.getvalue()


@pytest.fixture
def course(copy_course: Any, tmp_path: Path) -> Course:
    return copy_course(tmp_path / "w", LEARNERS)


@pytest.fixture
def handed_in(course: Course, desk: Any, tmp_path: Path) -> Callable[[str], tuple[str, bytes]]:
    """Make a learner's zip and take it out of the inbox again: its name and its bytes."""

    def make(learner: str) -> tuple[str, bytes]:
        path = desk(course, learner, tmp_path / "homes").hand_in()
        data = path.read_bytes()
        path.unlink()
        return path.name, data

    return make


def put(path: Path, data: bytes) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return path


def test_folders_and_zips_of_a_learning_platform_are_read(
    course: Course, handed_in: Callable
) -> None:
    zips = {learner: handed_in(learner) for learner in LEARNERS}
    made = [{name: data} for name, data in zips.values()]
    inbox = course.inbox
    # A folder for each, named by the platform; what it adds; what a computer adds.
    long = "Moss Ann Aurelia_1048576_assignsubmission_file_2031-03-04-08-00"
    put(inbox / "Sizing" / long / zips["ann"][0], zips["ann"][1])
    put(inbox / "Sizing" / long / "receipt.html", b"<p>Received.</p>")
    put(inbox / "Sizing" / "__MACOSX" / f"._{zips['ann'][0]}", b"\0\5\26\7")
    put(inbox / "Sizing" / ".DS_Store", b"\0\0\0\1Bud1")
    # All in one zip, a prefix before each name; a folder in it named after somebody else.
    platform = {f"gus/benmoss_77_4711_{zips['ben'][0]}": zips["ben"][1]}
    platform |= {"benmoss_77_4711_text.html": b"<p></p>", "__MACOSX/._x.zip": b"\0"}
    put(inbox / "gradebook_download.zip", zipped(platform))
    # Unpacked by a browser, and packed again by a learner with a Mac.
    with zipfile.ZipFile(io.BytesIO(zips["cy"][1])) as archive:
        archive.extractall(inbox / "Sizing" / "cy moss" / Path(zips["cy"][0]).stem)
    with zipfile.ZipFile(io.BytesIO(zips["di"][1])) as archive:
        again = {f"di/{name}": archive.read(name) for name in archive.namelist()}
    put(inbox / "archive.zip", zipped(again | {"__MACOSX/di/._handin.json": b"\0"}))
    # A zip in a zip in a zip; and one whose name has lost its ending.
    put(inbox / "eve.zip", zipped({"inner.zip": zipped({"more.zip": zipped(made[4])})}))
    put(inbox / "fay" / "upload", zips["fay"][1])
    (problem,) = collecting.collect(course, WORKSHEET)
    for learner in (*LEARNERS[:4], "fay"):
        there = course.submitted(learner, WORKSHEET) / f"{WORKSHEET}.ipynb"
        with zipfile.ZipFile(io.BytesIO(zips[learner][1])) as archive:
            assert there.read_bytes() == archive.read(f"{WORKSHEET}.ipynb"), learner
    assert (problem.file, problem.learner, problem.state) == ("inbox", None, "no hand-in")
    for name in ("receipt.html", "benmoss_77_4711_text.html"):
        assert problem.reason.count(name) == 1
    assert "MACOSX" not in problem.reason
    assert not course.submitted("gus", WORKSHEET).exists(), "a folder's name decides nothing"
    assert {path.name for path in (course.workspace / "submitted").iterdir()} == {*LEARNERS} - {
        "gus"
    }


def test_what_is_wrong_within_a_zip_stops_nothing_beside_it(
    course: Course, handed_in: Callable
) -> None:
    (ann, whole), (ben, other) = handed_in("ann"), handed_in("ben")
    deep = other
    for _ in range(9):
        deep = zipped({"deeper.zip": deep})
    bomb = io.BytesIO()
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("large.zip", bytes(100_000_001))
    parts = {
        ann: whole,
        ben: other[: len(other) // 2],
        "deep.zip": deep,
        "bomb.zip": bomb.getvalue(),
    }
    put(course.inbox / "all.zip", zipped(parts))
    put(course.inbox / "sheet.docx", zipped({"word/document.xml": b"<w/>"}))
    problems = {row.file: row for row in collecting.collect(course, WORKSHEET)}
    assert course.submitted("ann", WORKSHEET).is_dir()
    half = problems.pop(f"inbox/all.zip/{ben}")
    assert (half.learner, half.state) == ("ben", "unreadable")
    assert "is not a whole zip" in half.reason
    large = problems.pop("inbox/all.zip/bomb.zip/large.zip")
    assert "100000001 bytes, more than are taken" in large.reason
    assert "inbox/sheet.docx" in problems.pop("inbox").reason
    ((file, row),) = problems.items()
    assert file.startswith("inbox/all.zip/deep.zip/deeper.zip")
    assert "zips deep" in row.reason


def test_a_folder_that_leads_elsewhere_is_not_followed(course: Course, tmp_path: Path) -> None:
    put(tmp_path / "elsewhere" / "letter.html", b"mine")
    os.symlink(tmp_path / "elsewhere", course.inbox / "download")
    (problem,) = collecting.collect(course, WORKSHEET)
    assert (problem.file, problem.reason) == ("inbox/download", "it is not a plain file")


def test_a_stray_note_costs_itself_alone(course: Course, handed_in: Callable) -> None:
    zips = {learner: handed_in(learner) for learner in LEARNERS[:4]}
    put(course.inbox / "week" / "handin.json", b"{}")
    put(course.inbox / "week" / zips["ann"][0], zips["ann"][1])
    put(
        course.inbox / "root.zip",
        zipped({"handin.json": b"{}", "b.zip": zips["ben"][1], "read.txt": b"me"}),
    )
    with zipfile.ZipFile(io.BytesIO(zips["di"][1])) as archive:
        unpacked = {f"all/di/{name}": archive.read(name) for name in archive.namelist()}
    beside = {"all/handin.json": b"{}", "all/c.zip": zips["cy"][1]}
    put(course.inbox / "beside.zip", zipped(beside | unpacked))
    problems = {row.file: row for row in collecting.collect(course, WORKSHEET)}
    for learner in zips:
        assert course.submitted(learner, WORKSHEET).is_dir(), learner
    assert problems.keys() == {
        "inbox/week/handin.json",
        "inbox/root.zip/handin.json",
        "inbox/beside.zip/all/handin.json",
    }
    assert all("lacks format" in row.reason for row in problems.values())


def test_what_one_zip_unpacks_to_refuses_nobody_beside_it(
    course: Course, handed_in: Callable, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A tenth of the real sizes: eleven zips of 9 MB in one zip, where 10 MB are taken."""
    monkeypatch.setattr(receiving, "_MOST_BYTES", 10_000_000)
    large = io.BytesIO()
    with zipfile.ZipFile(large, "w", zipfile.ZIP_DEFLATED) as archive:
        for number in range(3):
            archive.writestr(f"{number}.zip", bytes(4_000_000))
    (name, whole), (_, other) = handed_in("ben"), handed_in("cy")
    put(course.inbox / "all.zip", zipped({"ann/a.zip": large.getvalue(), f"ben/{name}": whole}))
    # The same one zip deeper: two of them do not use up what is for all.
    week = zipped({"a.zip": large.getvalue(), "b.zip": large.getvalue(), "cy.zip": other})
    put(course.inbox / "weeks.zip", zipped({"one.zip": week}))
    problems = {row.file: row for row in collecting.collect(course, WORKSHEET)}
    assert course.submitted("ben", WORKSHEET).is_dir()
    assert course.submitted("cy", WORKSHEET).is_dir()
    assert "unpack to more than 10000000 bytes" in problems["inbox/all.zip/ann/a.zip/2.zip"].reason


def test_a_full_folder_costs_itself_alone(
    course: Course, handed_in: Callable, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(receiving, "_MOST_FILES", 20)
    (ann, whole), (ben, other) = handed_in("ann"), handed_in("ben")
    for number in range(21):
        put(course.inbox / "aaa" / str(number), b"")
    put(course.inbox / "bbb" / ann, whole)
    put(course.inbox / ben, other)
    (problem,) = collecting.collect(course, WORKSHEET)
    assert (problem.file, problem.state) == ("inbox/aaa", "unreadable")
    assert "it holds 21 files" in problem.reason
    assert course.submitted("ann", WORKSHEET).is_dir()
    assert course.submitted("ben", WORKSHEET).is_dir()
    # Nobody is said to have handed in nothing while it lies there.
    assert "Unpack it" in problem.action
    assert "the learner" not in problem.action
    cy = next(row for row in marker.mark(course, WORKSHEET) if row.learner == "cy")
    assert cy.state == "missing"
    assert "nothing was handed in" not in cy.reason
    assert "inbox/aaa" in cy.reason
    assert "the learner" not in cy.action


def of_zeros(number: int, large: int) -> bytes:
    """A small zip of hand-ins whose notebooks are as large as is taken, and hold nothing."""
    zeros = bytes(large)
    note = {"format": "cubital-handin/1", "learner": "ann", "worksheet": WORKSHEET, "release": "r"}
    note |= {"at": "2021-03-04T08:00:00+00:00"}
    note |= {"sha256": {f"{WORKSHEET}.ipynb": hashlib.sha256(zeros).hexdigest()}}
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as archive:
        for place in range(number):
            archive.writestr(f"{place}/handin.json", json.dumps(note))
            archive.writestr(f"{place}/{WORKSHEET}.ipynb", zeros)
    return content.getvalue()


def test_a_small_zip_that_unpacks_to_much_does_not_fill_the_memory(tmp_path: Path) -> None:
    put(tmp_path / "inbox" / "ann.zip", of_zeros(16, 4_000_000))
    tracemalloc.start()
    inbox = receiving.Inbox().read(tmp_path / "inbox")
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert [row.bundle.files for row in inbox.received if row.bundle] == [
        {f"{WORKSHEET}.ipynb": bytes(4_000_000)}
    ] * 16
    assert most < 32_000_000, "of 64 MB one hand-in at a time is unpacked"


def test_a_zip_whose_hand_ins_unpack_to_too_much_costs_itself_alone(
    course: Course, handed_in: Callable, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(receiving, "_MOST_BYTES", 2_000_000)
    (name, whole) = handed_in("ben")
    put(course.inbox / "ann.zip", of_zeros(3, 1_000_000))
    put(course.inbox / name, whole)
    (problem,) = collecting.collect(course, WORKSHEET)
    assert (problem.file, problem.state) == ("inbox/ann.zip", "unreadable")
    assert "the hand-ins in ann.zip unpack to more than 2000000 bytes" in problem.reason
    assert course.submitted("ben", WORKSHEET).is_dir()


def test_a_pipe_beside_an_unpacked_hand_in_is_told_and_not_waited_for(
    course: Course, handed_in: Callable
) -> None:
    zips = {learner: handed_in(learner) for learner in ("ann", "ben")}
    with zipfile.ZipFile(io.BytesIO(zips["ann"][1])) as archive:
        archive.extractall(course.inbox / "ann moss")
    os.mkfifo(course.inbox / "ann moss" / "notes.txt")
    put(course.inbox / zips["ben"][0], zips["ben"][1])
    (problem,) = collecting.collect(course, WORKSHEET)
    assert (problem.file, problem.state) == ("inbox/ann moss", "unreadable")
    assert problem.reason == "notes.txt in it is not a plain file"
    assert course.submitted("ben", WORKSHEET).is_dir()


def test_a_file_that_becomes_a_pipe_or_a_link_while_it_is_looked_at_is_not_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = put(tmp_path / "plain", b"kept").lstat()
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "link").symlink_to(tmp_path / "plain")
    monkeypatch.setattr(Path, "lstat", lambda _path: plain)  # as it was a moment before
    assert receiving._plain(tmp_path / "plain") == b"kept"
    with pytest.raises(ValueError, match="pipe in it is not a plain file"):
        receiving._plain(tmp_path / "pipe")
    with pytest.raises(OSError, match="symbolic links"):
        receiving._plain(tmp_path / "link")
