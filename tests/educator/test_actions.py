"""What an educator does comes back as data, and in the command's words, to the letter."""

import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from cubital.cli import main
from cubital.educator.begin_item import begin_item
from cubital.educator.collect import Collected, collect
from cubital.educator.create import create
from cubital.educator.describe import describe
from cubital.educator.feedback import write_feedback
from cubital.educator.give_points import give_points
from cubital.educator.mark import Marked, mark
from cubital.educator.release import release
from cubital.educator.report import report
from cubital.marking.cohort.course import Course, CourseError
from cubital.marking.marks import gradebook

WORKSHEET = "catheter-sizing"
LEARNERS = ("ann", "ben", "cy", "di", "eve", "gus")
AGAIN = "Ask the learner to open the worksheet, save it and hand in again."
POINTS = "[items.sizing-french]\npoints = 3\n"


class Played(NamedTuple):
    """A cohort with one of each trouble, and what the actions returned."""

    course: Course
    collected: Collected
    marked: Marked
    shown: str
    ran: list[tuple[int, int, str]]
    written: list[tuple[int, int, str]]


def put(path: Path, item: str, answer: Any) -> None:
    told = json.loads(path.read_text(encoding="utf-8"))
    told["items"][item][-1]["answer"] = answer
    path.write_text(json.dumps(told), encoding="utf-8")


@pytest.fixture(scope="module")
def played(
    copy_course: Any,
    desk: Any,
    tampered: Callable[..., Path],
    moment: Any,
    tmp_path_factory: pytest.TempPathFactory,
) -> Played:
    """Ann is marked and her text waits; Ben's answers are of another form; Cy's zip is torn.

    Di handed in Ann's answers, Eve nothing, Gus in the far future; and Zed is not on the roster.
    """
    where = tmp_path_factory.mktemp("played")
    course = copy_course(where / "w", LEARNERS)
    at = {name: desk(course, name, where / "homes") for name in (*LEARNERS, "zed")}
    for one in at.values():
        one.answer()
    put(at["ben"].folder / "answers.json", "sizing-french", {"number": "3"})
    for name in ("ann", "ben", "zed"):
        at[name].hand_in(moment(8))
    torn = at["cy"].hand_in(moment(8))
    torn.write_bytes(torn.read_bytes()[:900])
    anns = (at["ann"].folder / "answers.json").read_bytes()
    tampered(at["di"].hand_in(moment(8)), {"answers.json": anns})
    at["gus"].hand_in(moment(8).replace(year=2999))
    (course.inbox / "letter.txt").write_text("dear")
    ran: list[tuple[int, int, str]] = []
    written: list[tuple[int, int, str]] = []
    with pytest.MonkeyPatch.context() as patch:
        said: list[str] = []
        patch.setattr("builtins.print", lambda *words, **_: said.append(str(words)))
        collected = collect(course.workspace, WORKSHEET)
        marked = mark(
            course.workspace,
            WORKSHEET,
            ran=lambda *told: ran.append(told),
            progress=lambda *told: written.append(told),
        )
    return Played(course, collected, marked, "".join(said), ran, written)


def of_gus(played: Played) -> str:
    """The beginning of the id of Gus's only hand-in."""
    (kept,) = (played.course.workspace / "hand-ins" / WORKSHEET / "gus").glob("*.zip")
    return kept.name[:8]


def said(capsys: pytest.CaptureFixture[str], *words: object) -> tuple[int, list[str]]:
    capsys.readouterr()
    code = main(["cohort", *map(str, words)])
    return code, capsys.readouterr().out.splitlines()


def test_collecting_tells_who_handed_in_and_what_was_not_taken(played: Played) -> None:
    collected = played.collected
    assert (collected.learners, collected.handed_in) == (6, ("ann", "ben", "di", "gus"))
    (letter,) = collected.passed_over
    assert letter.reason.endswith("is not a hand-in: inbox/letter.txt")
    assert {(row.who, row.state, row.to_look_at) for row in collected.left} == {
        ("inbox/catheter-sizing_cy_20210304-080000.zip", "unreadable", False),
        ("inbox/catheter-sizing_zed_20210304-080000.zip", "held", False),
        (f"gus, hand-in {of_gus(played)}", "to be looked at", True),
    }


def test_marking_tells_states_what_is_open_and_who_is_left(played: Played) -> None:
    marked = played.marked
    assert marked.states == {"marked": 3, "unreadable": 1, "held": 1, "missing": 1}
    assert [(row.learner, row.item, row.state) for row in marked.open_items] == [
        ("ben", "sizing-french", "refused")
    ]
    assert marked.waiting == 3
    assert marked.described == {}
    assert [(row.who, row.state) for row in marked.left] == [
        ("cy", "unreadable"),
        ("di", "held"),
        ("inbox/catheter-sizing_zed_20210304-080000.zip", "held"),
        (f"gus, hand-in {of_gus(played)}", "to be looked at"),
    ]
    assert all(row.reason and row.action for row in marked.left)
    assert marked.changes.in_words() == ""


def test_an_action_prints_nothing_and_tells_how_far_it_is_by_a_callback(played: Played) -> None:
    assert played.shown == ""
    for told in (played.ran, played.written):
        assert [(done, total) for done, total, _ in told] == [(1, 3), (2, 3), (3, 3)]
        assert {whose for *_, whose in told} == {"ann", "ben", "gus"}


def test_the_commands_words_and_status_tell_the_same(
    played: Played, capsys: pytest.CaptureFixture[str]
) -> None:
    where = ("--workspace", played.course.workspace)
    here = f"--workspace {played.course.workspace.resolve()}"
    torn, zed = (f"inbox/catheter-sizing_{name}_20210304-080000.zip" for name in ("cy", "zed"))
    no_zip = f"{torn.removeprefix('inbox/')} is not a whole zip: File is not a zip file. {AGAIN}"
    not_on_roster = (
        "held: learner “zed” is not on the roster. Add the learner to roster.csv if the id is "
        "right; else ask them to hand in again under their own id."
    )
    with closing(sqlite3.connect(played.course.workspace / "results.db")) as db:
        ((arrived,),) = db.execute("SELECT DISTINCT arrived_at FROM attempt WHERE learner = 'gus'")
    ahead = (
        f"Look at: gus, hand-in {of_gus(played)}: dated 2999-03-04 08:00 UTC, which is after it "
        f"arrived, {arrived.replace('T', ' ')[:16]} UTC. Ask the learner which hand-in counts. "
        f"“cubital cohort hand-ins {WORKSHEET} --learner gus {here}” lists them, and “cubital "
        f"cohort choose {WORKSHEET} gus HAND-IN --reason looked-into {here}” settles it."
    )
    assert said(capsys, "collect", WORKSHEET, *where) == (
        3,
        [
            "4 of 6 learners have handed in.",
            "Passed over: what is there and is not a hand-in: inbox/letter.txt. A hand-in is the "
            "zip that “cubital hand-in” makes; nothing else is read.",
            f"Not taken: {torn}: unreadable: {no_zip}",
            f"Not taken: {zed}: {not_on_roster}",
            ahead,
        ],
    )
    left = [
        f"Not marked: cy: unreadable: {torn}: {no_zip}",
        "Not marked: di: held: the answers were saved by 'ann', and “di” handed them in. Ask both "
        "learners who answered; each hands in from their own folder.",
        f"Not marked: {zed}: {not_on_roster}",
        ahead,
    ]
    assert said(capsys, "mark", WORKSHEET, *where) == (
        3,
        [
            "3 marked",
            "1 unreadable",
            "1 held",
            "1 missing",
            "ben: “French size”: refused: The saved answer is not of this item's form: '3' is not "
            "a number Open the worksheet under your own id, answer again and hand in again.",
            "3 answers wait to be marked by hand, in nbgrader's form grader.",
            *left,
        ],
    )
    workspace = played.course.workspace
    told = f"3 pages are in {workspace / 'feedback'}, a folder for each learner."
    assert said(capsys, "feedback", WORKSHEET, *where) == (3, [told, *left])
    (workspace / "bank.toml").write_text(POINTS, encoding="utf-8")
    folder = workspace / "report"
    try:
        assert said(capsys, "report", WORKSHEET, *where) == (
            3,
            [
                f"The report is {folder / WORKSHEET / 'index.html'}",
                f"The marks are {folder / WORKSHEET / 'marks.csv'}",
                f"All worksheets on one page: {folder / 'index.html'}",
                f"Changed in {workspace} since release “autumn-1”, which stays as it was made: "
                "“sizing-french” has 3 points, not 2. Hand-ins are there already, so this release "
                "is marked to its end as it is. To ask it so the next time, make a new workspace, "
                "copy these files into it, and release there.",
                *left,
            ],
        )
    finally:
        (workspace / "bank.toml").unlink()


def test_points_by_hand_pages_and_report_come_back_with_where_they_are(played: Played) -> None:
    workspace = played.course.workspace
    given = give_points(workspace, WORKSHEET, "ann", "sizing-reasons", points=2.0, comment="Well.")
    assert (given.learner, given.item, given.points) == ("ann", "sizing-reasons", 2.0)
    (ann, *_) = gradebook.results(played.course, WORKSHEET)
    row = next(row for row in ann.items if row.item == "sizing-reasons")
    assert (row.points, row.message) == (2.0, "Well.")

    pages = write_feedback(workspace, WORKSHEET)
    assert pages.folder == workspace / "feedback"
    assert [page.parts[-3] for page in pages.pages] == ["ann", "ben", "gus"]
    told = "<strong>No decision: the pass mark of the course comes from invented judges, so"
    assert all(told in page.read_text(encoding="utf-8") for page in pages.pages)
    assert [row.who for row in pages.left][:2] == ["cy", "di"]

    (workspace / "bank.toml").write_text("[items.nothing]\noff = true\n", encoding="utf-8")
    try:
        marked_by = played.marked.changes
        with pytest.raises(ValueError, match="there is no item “nothing”"):
            report(workspace, WORKSHEET)
    finally:
        (workspace / "bank.toml").unlink()
    reported = report(workspace, WORKSHEET)
    assert reported.changes == marked_by
    assert all(path.is_file() for path in (reported.page, reported.marks, reported.overview))


def test_a_draft_of_the_bank_keeps_nobody_from_marking(copy_course: Any, tmp_path: Path) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    (course.workspace / "bank.toml").write_text("[items.nothing]\noff = true\n", encoding="utf-8")
    changes = mark(course.workspace, WORKSHEET).changes
    assert (changes.found, changes.next_step) == ((), "")
    assert "there is no item “nothing”" in changes.fault
    assert changes.in_words() == (
        f"What was changed since the release cannot be told: {changes.fault}"
    )


def test_before_the_first_hand_in_a_change_comes_by_another_release(
    copy_course: Any, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    (course.workspace / "bank.toml").write_text(POINTS, encoding="utf-8")
    changes = mark(course.workspace, WORKSHEET).changes
    assert changes.found == ("“sizing-french” has 3 points, not 2",)
    assert changes.next_step == "To have it asked so, release it again under another name."
    handout = release(course.workspace, WORKSHEET, "autumn-2").handout
    assert handout == course.handout(WORKSHEET)
    assert course.release(WORKSHEET).items["sizing-french"].points == 3
    assert report(course.workspace, WORKSHEET).changes.found == ()


def test_a_folder_is_laid_out_with_its_roster_and_what_was_guessed_of_it(tmp_path: Path) -> None:
    roster = tmp_path / "roster.csv"
    roster.write_bytes("id,first_name,last_name\nann,Ann,Möss\n".encode("cp1252"))
    made = create(tmp_path / "w", roster)
    assert (made.learners, made.workspace) == (1, tmp_path / "w")
    assert "read as Windows-1252" in made.note
    again = create(tmp_path / "w")
    assert (again.learners, again.note) == (1, "")
    other = tmp_path / "other.csv"
    other.write_text("id,first_name,last_name\nben,Ben,Moss\n", encoding="utf-8")
    with pytest.raises(CourseError, match="removed: ann"):
        create(tmp_path / "w", other)
    assert create(tmp_path / "w", other, replace_roster=True).learners == 1


def test_what_cannot_be_done_is_said_by_a_course_error(copy_course: Any, tmp_path: Path) -> None:
    with pytest.raises(CourseError, match="is not a cohort's workspace"):
        collect(tmp_path, WORKSHEET)
    course = copy_course(tmp_path / "w", ["ann"])
    with pytest.raises(CourseError, match="asks about no picture"):
        describe(course.workspace, WORKSHEET)
    with pytest.raises(CourseError, match="is not released yet"):
        mark(course.workspace, "readiness")


def test_an_own_item_is_begun_with_an_id_to_look_at_it_by(copy_course: Any, tmp_path: Path) -> None:
    course = copy_course(tmp_path / "w", [])
    begun = begin_item(course.workspace, "my_item")
    assert (begun.item, begun.workspace) == ("own-my-item", course.workspace)
    assert f'"{begun.item}"' in begun.path.read_text(encoding="utf-8")
    with pytest.raises(ValueError, match="there is no course folder"):
        begin_item(tmp_path / "nowhere", "my_item")
