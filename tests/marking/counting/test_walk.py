"""An educator's way through due dates, late hand-ins and choices, by the command alone."""

import contextlib
import csv
import io
import json
import re
import shlex
import shutil
import stat
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from cubital.cli import main
from cubital.marking.cohort import collecting
from cubital.marking.cohort.course import Course

SHEET, RELEASE = "light-and-depth", "spring-2027"
LEFT = 3  # the exit status, as the README has it
NUMBER = "light-penetration"
LEARNERS = ("ann", "ben", "cy", "di")
NOW = datetime.now(UTC).replace(microsecond=0)
DUE = NOW - timedelta(minutes=10)
EARLY, LATE = NOW - timedelta(minutes=20), NOW - timedelta(minutes=5)


class Walk(NamedTuple):
    """A cohort's folder, made and released by the command, and its command."""

    workspace: Path
    desk: Callable[[str], Any]
    run: Callable[..., tuple[int, str]]

    @property
    def course(self) -> Course:
        return Course(self.workspace)

    def marks(self) -> dict[str, dict[str, str]]:
        """The rows of the marks table by learner, as a spreadsheet reads them."""
        path = self.workspace / "report" / SHEET / "marks.csv"
        with path.open(encoding="utf-8-sig", newline="") as file:
            return {row["learner"]: row for row in csv.DictReader(file)}

    def listed(self, learner: str) -> list[str]:
        """The ids of a learner's hand-ins as they are listed, in their order."""
        _, said = self.run("hand-ins", SHEET, "--learner", learner)
        rows = [line for line in said.splitlines() if "; arrived " in line]
        return [line.split(";")[0].split()[-1] for line in rows]


@pytest.fixture(scope="module")
def released(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder with its worksheet released, to be copied: that takes a while."""
    where = tmp_path_factory.mktemp("released")
    roster, workspace = where / "roster.csv", where / "spring"
    roster.write_text("id,first_name,last_name\n" + "".join(f"{x},{x},M\n" for x in LEARNERS))
    due = ("--due", f"{DUE:%Y-%m-%d %H:%M:%S}", "--time-zone", "UTC")
    for words in (
        ("create", "--roster", str(roster)),
        ("release", SHEET, "--name", RELEASE, *due),
    ):
        with contextlib.redirect_stdout(io.StringIO()) as told:
            assert main(["cohort", *words, "--workspace", str(workspace)]) == 0
    assert f"is due {DUE:%Y-%m-%d %H:%M} UTC" in told.getvalue()
    return workspace


@pytest.fixture
def walk(released: Path, desk: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Walk:
    class Here(desk):
        WORKSHEET = SHEET

    workspace = Path(shutil.copytree(released, tmp_path / "spring"))

    def run(*words: str) -> tuple[int, str]:
        capsys.readouterr()
        code = main(["cohort", *words, "--workspace", str(workspace)])
        told = capsys.readouterr()
        return code, told.out if code != 1 else told.err

    return Walk(workspace, lambda who: Here(Course(workspace), who, tmp_path / "homes"), run)


def answered(walk: Walk, learner: str, number: str, at: datetime) -> Path:
    return walk.desk(learner).answer({NUMBER: number}).hand_in(at)


def saved(walk: Walk, learner: str, folder: str) -> str:
    """What was typed in the answer that lies in a folder of the workspace."""
    path = walk.workspace / folder / learner / SHEET / "answers.json"
    return json.loads(path.read_text())["items"][NUMBER][-1]["answer"]["typed"]


def test_late_is_kept_listed_and_counts_by_extension_or_by_choice_alone(walk: Walk) -> None:
    answered(walk, "ann", "11 mm", EARLY)
    answered(walk, "ann", "22 mm", LATE)
    answered(walk, "ben", "33 mm", LATE)
    answered(walk, "cy", "44 mm", LATE)
    code, said = walk.run("collect", SHEET)
    assert (code, "1 of 4 learners have handed in." in said) == (LEFT, True)
    for step in ("collect", "mark", "report", "feedback"):
        code, said = walk.run(step, SHEET)
        assert code == LEFT
        for who in ("ben", "cy"):
            (told,) = (line for line in said.splitlines() if line.startswith(f"Not counted: {who}"))
            assert f"late: the only hand-in is of {LATE:%Y-%m-%d %H:%M} UTC" in told
            assert f"was due {DUE:%Y-%m-%d %H:%M} UTC" in told
            assert f"cubital cohort due {SHEET} --release {RELEASE} --learner {who}" in told
            assert f"cubital cohort choose {SHEET} {who} {walk.listed(who)[0]}" in told
    marks = walk.marks()
    assert [marks[who]["state"] for who in LEARNERS] == ["marked", "late", "late", "missing"]
    assert marks["ann"]["which_counts"].startswith("the last in time of 2; due ")
    assert (marks["ann"]["attempt"], marks["ann"]["hand_ins"]) == ("1", "2")
    assert marks["ben"]["reason"].startswith("late: the only hand-in is of ")
    assert (marks["ben"]["total"], marks["ben"][NUMBER]) == ("", ""), "no zero"
    assert "late-accepted" in marks["ben"]["what_to_do"]
    page = (walk.workspace / "report" / SHEET / "index.html").read_text()
    assert page.count("Late: the only hand-in is of") == 2, "among who needs attention"
    assert page.count("Nothing checks it afterwards.") == 1
    assert "nothing about competence" in page
    assert saved(walk, "ann", "submitted") == "11 mm"

    soon = f"{NOW + timedelta(minutes=5):%Y-%m-%d %H:%M}"
    words = ("--at", soon, "--time-zone", "UTC", "--learner", "ben")
    code, said = walk.run("due", SHEET, *words)
    assert (code, f"ben has until {soon} UTC." in said) == (0, True)
    (late,) = walk.listed("cy")
    code, said = walk.run("choose", SHEET, "cy", late, "--reason", "late-accepted", "--by", "Kate")
    assert (code, f"cy: {late} counts: Kate chose on" in said) == (0, True)
    assert walk.run("mark", SHEET)[0] == 0
    assert walk.run("report", SHEET)[0] == 0
    marks = walk.marks()
    assert [marks[who]["state"] for who in LEARNERS] == ["marked", "marked", "marked", "missing"]
    assert f"due by extension {soon} UTC" in marks["ben"]["which_counts"]
    assert "late-accepted: it came late for a reason that is" in marks["cy"]["which_counts"]
    assert [saved(walk, who, "autograded") for who in ("ben", "cy")] == ["33 mm", "44 mm"]
    _, said = walk.run("hand-ins", SHEET, "--learner", "cy")
    assert f"* {late}" in said
    assert "late: it was due" in said, "a choice takes no flag away"


def test_another_hand_in_is_marked_from_the_files_that_were_kept_and_back(walk: Walk) -> None:
    answered(walk, "ann", "11 mm", EARLY - timedelta(minutes=5))
    answered(walk, "ann", "22 mm", EARLY)
    assert walk.run("collect", SHEET)[0] == 0
    assert walk.run("mark", SHEET)[0] == 0
    shutil.rmtree(walk.workspace / "inbox")
    (walk.workspace / "inbox").mkdir()
    first, second = walk.listed("ann")
    assert saved(walk, "ann", "autograded") == "22 mm"
    words = ("--reason", "wrong-file", "--note", "She sent a friend's page.", "--by", "Kate")
    assert walk.run("choose", SHEET, "ann", first, *words)[0] == 0
    assert walk.run("report", SHEET)[0] == LEFT
    assert "marked before that; now Kate chose" in walk.marks()["ann"]["which_counts"]
    assert walk.run("mark", SHEET)[0] == 0
    assert saved(walk, "ann", "autograded") == saved(walk, "ann", "submitted") == "11 mm"
    record = json.loads((walk.workspace / "choices.json").read_text())["choices"]
    assert [(row["by"], row["reason"], row["note"]) for row in record] == [
        ("Kate", "wrong-file", "She sent a friend's page.")
    ]
    assert datetime.fromisoformat(record[0]["at"]).tzinfo is not None
    assert walk.run("choose", SHEET, "ann", "rule", "--reason", "taken-back")[0] == 0
    assert walk.run("mark", SHEET)[0] == 0
    assert saved(walk, "ann", "autograded") == "22 mm"
    assert walk.run("choose", SHEET, "ann", "none", "--reason", "not-theirs")[0] == 0
    code, said = walk.run("mark", SHEET)
    assert (code, "Not marked: ann: held: " in said) == (LEFT, True)
    assert "that none counts (not-theirs" in said
    assert not walk.course.submitted("ann", SHEET).exists()
    assert walk.listed("ann") == [first, second], "nothing is lost"
    record = json.loads((walk.workspace / "choices.json").read_text())["choices"]
    assert len(record) == 3, "earlier choices stay on record"


def test_what_cannot_be_chosen_is_refused_with_what_to_do(walk: Walk) -> None:
    answered(walk, "ann", "11 mm", EARLY)
    walk.run("collect", SHEET)
    (only,) = walk.listed("ann")
    for words, told in (
        (("ann", "ffffffff", "--reason", "wrong-file"), "no hand-in of “ann” begins with"),
        (("ann", only, "--reason", "because"), "is no reason: choose one of late-accepted"),
        (("ann", only, "--reason", "other"), "needs a note"),
        (("ben", "rule", "--reason", "taken-back"), "“ben” has no hand-in"),
    ):
        code, said = walk.run("choose", SHEET, *words)
        assert (code, told in said) == (1, True), said
    (kept,) = (walk.workspace / "hand-ins" / SHEET / "ann").glob("*.zip")
    kept.unlink()
    shutil.rmtree(walk.course.submitted("ann", SHEET))
    code, said = walk.run("choose", SHEET, "ann", only, "--reason", "wrong-file")
    assert (code, "put the file into the inbox again" in said) == (1, True)
    assert not (walk.workspace / "choices.json").exists()


def test_a_due_date_is_changed_and_taken_back(walk: Walk) -> None:
    answered(walk, "ann", "11 mm", LATE)
    assert walk.run("collect", SHEET)[0] == LEFT
    assert f"is due {DUE:%Y-%m-%d %H:%M} UTC." in walk.run("due", SHEET)[1]
    code, said = walk.run("due", SHEET, "--none")
    assert (code, "has no due date: the last hand-in of each" in said) == (0, True)
    assert walk.run("collect", SHEET)[0] == 0
    for words, told in (
        (("--learner", "ann", "--at", "2027-03-05 17:00"), "set its date first"),
        (("--at", "2027-03-05"), "has no hour"),
        (("--release", "other", "--at", "2027-03-05 17:00"), f"there are: {RELEASE}"),
    ):
        code, said = walk.run("due", SHEET, *words)
        assert (code, told in said) == (1, True), said
    assert walk.run("due", SHEET, "--at", "2027-03-05 17:00")[0] == 0
    code, said = walk.run("due", SHEET, "--learner", "zed", "--at", "2027-03-05 17:00")
    assert (code, "“zed” is not on the roster" in said) == (1, True)
    due = walk.workspace / "due.toml"
    due.write_text(
        due.read_text() + f'["{SHEET}"."{RELEASE}".extensions]\nzed = 2027-03-06T17:00Z\n'
    )
    assert walk.run("collect", SHEET)[0] == 1, "TOML wants the seconds"
    due.write_text(due.read_text().replace("17:00Z", "17:00:00Z"))
    code, said = walk.run("collect", SHEET)
    assert (code, "Look at: due.toml: zed: “zed” has an extension" in said) == (LEFT, True)


def test_a_note_that_names_another_release_moves_no_due_date(walk: Walk, tampered: Any) -> None:
    path = answered(walk, "ann", "11 mm", LATE)
    soon = f"{NOW + timedelta(hours=1):%Y-%m-%dT%H:%M}"
    words = ("--name", "autumn-2027", "--due", soon, "--time-zone", "UTC")
    assert walk.run("release", SHEET, *words)[0] == 0
    tampered(path, release="autumn-2027")
    code, said = walk.run("collect", SHEET)
    assert (code, "Not counted: ann: late" in said) == (LEFT, True)


def test_answers_that_name_an_unknown_release_are_due_with_the_one_given_out(
    walk: Walk, tampered: Any
) -> None:
    for who, at in (("ann", LATE), ("ben", EARLY)):
        path = answered(walk, who, "11 mm", at)
        with zipfile.ZipFile(path) as archive:
            told = json.loads(archive.read("answers.json")) | {"release": "never-made"}
        tampered(path, {"answers.json": json.dumps(told).encode()})
    code, said = walk.run("collect", SHEET)
    (told,) = (line for line in said.splitlines() if line.startswith("Not counted: "))
    assert (code, told.startswith("Not counted: ann: late: the only hand-in is of")) == (LEFT, True)
    assert f"cubital cohort due {SHEET} --release {RELEASE} --learner ann --at DATE" in told
    soon = f"{NOW + timedelta(minutes=5):%Y-%m-%d %H:%M}"
    words = ("--at", soon, "--time-zone", "UTC", "--learner", "ann")
    assert walk.run("due", SHEET, *words)[0] == 0
    _, said = walk.run("mark", SHEET)
    for who in ("ann", "ben"):
        assert f"Not marked: {who}: held: it answers release 'never-made'" in said


def test_what_was_put_there_or_changed_by_hand_is_kept_as_a_hand_in_too(walk: Walk) -> None:
    answered(walk, "ann", "11 mm", EARLY)
    collecting.collect(walk.course, SHEET, now=EARLY)
    folder = walk.course.submitted("ann", SHEET)
    answers = folder / "answers.json"
    answers.write_text(answers.read_text().replace("11 mm", "12 mm"))
    for step in ("mark", "collect", "mark"):
        assert walk.run(step, SHEET)[0] == 0
        assert saved(walk, "ann", "submitted") == "12 mm"
    assert len(walk.listed("ann")) == 2
    shutil.rmtree(folder)
    walk.run("mark", SHEET)
    assert saved(walk, "ann", "submitted") == "12 mm", "what was kept is put back"


def test_one_dated_back_is_named_after_a_collecting_to_which_nothing_new_came(walk: Walk) -> None:
    answered(walk, "ann", "11 mm", EARLY)
    for at in (EARLY + timedelta(minutes=1), LATE):
        collecting.collect(walk.course, SHEET, now=at)
    answered(walk, "ben", "22 mm", DUE - timedelta(minutes=1))
    code, said = walk.run("collect", SHEET)
    (told,) = (line for line in said.splitlines() if line.startswith("Look at: ben"))
    when = f"not there yet when hand-ins were collected, {LATE:%Y-%m-%d %H:%M} UTC"
    assert (code, when in told) == (LEFT, True)
    assert "Look at: ann" not in said
    noted = walk.workspace / "results" / f"{SHEET}.collectings.json"
    assert len(json.loads(noted.read_text())["at"]) == 3
    noted.write_text("[")
    code, said = walk.run("hand-ins", SHEET)
    assert (code, f"{noted} cannot be used: " in said, "or delete it" in said) == (1, True, True)


def test_a_collecting_of_an_inbox_without_a_hand_in_to_the_worksheet_accuses_nobody(
    walk: Walk,
) -> None:
    answered(walk, "ann", "11 mm", EARLY)
    collecting.collect(walk.course, SHEET, now=EARLY + timedelta(minutes=1))
    away = walk.workspace.parent / "away"
    (walk.workspace / "inbox").rename(away)
    (walk.workspace / "inbox").mkdir()
    (walk.workspace / "inbox" / "list.txt").write_text("of the platform")
    collecting.collect(walk.course, SHEET, now=LATE)
    answered(walk, "ben", "22 mm", DUE - timedelta(minutes=1))
    code, said = walk.run("collect", SHEET)
    assert (code, "not there yet" in said) == (0, False)


def test_what_a_computer_adds_to_a_submitted_folder_is_no_other_hand_in(walk: Walk) -> None:
    answered(walk, "ann", "11 mm", EARLY)
    collecting.collect(walk.course, SHEET, now=LATE)
    listed = walk.listed("ann")
    folder = walk.course.submitted("ann", SHEET)
    (folder / ".DS_Store").write_bytes(b"Bud1")
    (folder / ".ipynb_checkpoints").mkdir()
    shutil.copy(folder / f"{SHEET}.ipynb", folder / ".ipynb_checkpoints")
    for step in ("mark", "collect", "mark"):
        code, said = walk.run(step, SHEET)
        assert (code, "not there yet" in said) == (0, False), said
        assert walk.listed("ann") == listed
    (kept,) = (walk.workspace / "hand-ins" / SHEET / "ann").glob("*.zip")
    kept.unlink()
    assert walk.run("mark", SHEET)[0] == 0
    with zipfile.ZipFile(kept) as archive:
        assert not [name for name in archive.namelist() if name.startswith(".")]


def test_hand_ins_are_kept_closed_to_others_once_and_as_they_were(walk: Walk) -> None:
    answered(walk, "ann", "11 mm", EARLY)
    walk.run("collect", SHEET)
    (kept,) = (walk.workspace / "hand-ins" / SHEET / "ann").iterdir()
    before = kept.read_bytes(), kept.stat().st_mtime_ns
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600
    for folder in kept.parents[:3]:
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    walk.run("collect", SHEET)
    walk.run("mark", SHEET)
    assert (kept.read_bytes(), kept.stat().st_mtime_ns) == before
    kept.write_bytes(before[0].replace(b"PK\x01\x02", b"PK\x01\x03", 1))
    shutil.rmtree(walk.course.submitted("ann", SHEET))
    code, said = walk.run("mark", SHEET)
    assert (code, "ann: system_error: " in said) == (LEFT, True)
    assert walk.run("collect", SHEET)[0] == 0, "it lies in the inbox still"
    assert kept.read_bytes() == before[0]
    assert walk.run("mark", SHEET)[0] == 0


@pytest.mark.parametrize("name", ["LARGEST", "MOST"])
def test_more_than_is_kept_of_a_learner_is_told_and_counts_not(
    walk: Walk, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    monkeypatch.setattr(f"cubital.marking.counting.kept.{name}", 10)
    answered(walk, "ann", "11 mm", EARLY)
    code, said = walk.run("collect", SHEET)
    assert (code, "ann" in said, " MB" in said) == (LEFT, True, True)
    assert "Take out of “inbox”, “submitted” and “hand-ins” what is not" in said
    assert not walk.course.submitted("ann", SHEET).exists()
    assert "its files are not kept" in walk.run("hand-ins", SHEET)[1]


def test_a_second_run_changes_nothing(walk: Walk) -> None:
    answered(walk, "ann", "11 mm", EARLY)
    answered(walk, "ann", "22 mm", LATE)
    answered(walk, "ben", "33 mm", LATE)
    for step in ("collect", "mark"):
        walk.run(step, SHEET)
    before = walk.run("hand-ins", SHEET)
    files = {path: path.read_bytes() for path in walk.workspace.rglob("*") if path.is_file()}
    for step in ("collect", "mark"):
        walk.run(step, SHEET)
    assert walk.run("hand-ins", SHEET) == before
    after = {path: path.read_bytes() for path in walk.workspace.rglob("*") if path.is_file()}
    changed = {
        path.name for path in files.keys() | after.keys() if files.get(path) != after.get(path)
    }
    assert changed <= {"gradebook.db", "results.db", f"{SHEET}.collectings.json"}


def test_what_was_kept_and_changed_since_is_marked_by_nobody(walk: Walk) -> None:
    answered(walk, "ann", "11 mm", EARLY - timedelta(minutes=5))
    answered(walk, "ann", "22 mm", EARLY)
    walk.run("collect", SHEET)
    first, second = walk.listed("ann")
    kept = {path.name[:8]: path for path in walk.workspace.glob("hand-ins/*/ann/*.zip")}
    kept[first].write_bytes(kept[second].read_bytes())
    walk.run("choose", SHEET, "ann", first, "--reason", "wrong-file")
    code, said = walk.run("mark", SHEET)
    assert (code, "Not marked: ann: system_error: " in said) == (LEFT, True)
    assert "is not what was handed in" in said


def test_the_command_that_a_message_names_works_wherever_it_is_pasted(
    walk: Walk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    answered(walk, "ann", "11 mm", LATE)
    _, said = walk.run("collect", SHEET)
    (told,) = re.findall("“cubital (cohort choose [^”]*)”", said)
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)
    assert main(shlex.split(told)) == 0
    assert walk.run("mark", SHEET)[0] == 0
    assert saved(walk, "ann", "autograded") == "11 mm"


def test_who_was_marked_and_is_late_now_is_told_where_the_marks_still_stand(walk: Walk) -> None:
    walk.run("due", SHEET, "--none")
    answered(walk, "ann", "11 mm", LATE)
    for step in ("collect", "mark", "feedback"):
        assert walk.run(step, SHEET)[0] == 0
    walk.run("due", SHEET, "--at", f"{DUE:%Y-%m-%d %H:%M:%S}", "--time-zone", "UTC")
    for step in ("mark", "report"):
        code, said = walk.run(step, SHEET)
        assert (code, "marks of an earlier marking stay in the gradebook" in said) == (LEFT, True)
    assert "stay in the gradebook" in walk.marks()["ann"]["what_to_do"]
    page, kept = (
        walk.workspace / folder / "ann" / SHEET / f"{SHEET}.html"
        for folder in ("feedback", "feedback-before")
    )
    before = page.read_bytes()
    code, said = walk.run("feedback", SHEET)
    assert (code, "into the folder “feedback-before”" in said) == (LEFT, True)
    assert (page.exists(), kept.read_bytes()) == (False, before)
    walk.run("due", SHEET, "--none")
    for step in ("mark", "feedback"):
        assert walk.run(step, SHEET)[0] == 0
    assert page.exists()


def test_whose_result_is_not_of_what_counts_now_is_told_until_it_is_marked_again(
    walk: Walk,
) -> None:
    walk.run("due", SHEET, "--none")
    answered(walk, "ann", "11 mm", EARLY)
    answered(walk, "ben", "22 mm", LATE)
    for step in ("collect", "mark"):
        assert walk.run(step, SHEET)[0] == 0
    walk.run("due", SHEET, "--at", f"{DUE:%Y-%m-%d %H:%M:%S}", "--time-zone", "UTC")
    for step in ("report", "feedback"):
        code, said = walk.run(step, SHEET)
        (told,) = (line for line in said.splitlines() if line.startswith("Look at: "))
        assert (code, told.startswith("Look at: ben: what is shown was marked before")) == (
            LEFT,
            True,
        )
        assert f"was due {DUE:%Y-%m-%d %H:%M} UTC" in told
        assert f"Mark again: “cubital cohort mark {SHEET} --workspace " in told
    page = (walk.workspace / "report" / SHEET / "index.html").read_text()
    assert page.count("is not of the hand-in that counts now") == 1
    for step in ("mark", "report"):
        assert "marked before" not in walk.run(step, SHEET)[1]
    walk.run("due", SHEET, "--none")
    code, said = walk.run("report", SHEET)
    assert (code, "Not marked: ben: held: handed in, not marked yet" in said) == (LEFT, True)
    assert "Look at" not in said
    assert walk.run("mark", SHEET)[0] == walk.run("report", SHEET)[0] == 0


def test_what_is_marked_and_could_not_be_kept_is_told(
    walk: Walk, monkeypatch: pytest.MonkeyPatch
) -> None:
    answered(walk, "ann", "11 mm", EARLY)
    assert walk.run("collect", SHEET)[0] == 0
    answers = walk.course.submitted("ann", SHEET) / "answers.json"
    answers.write_text(answers.read_text().replace("11 mm", "12 mm"))
    monkeypatch.setattr("cubital.marking.counting.settling.LARGEST", 10)
    code, said = walk.run("mark", SHEET)
    assert (code, "it cannot be kept: its files have more than" in said) == (LEFT, True)
