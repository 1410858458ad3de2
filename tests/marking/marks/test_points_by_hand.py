"""Points that a person gives: what they count as; and which folders count as handed in."""

from pathlib import Path
from typing import Any

import pytest

from cubital.marking.cohort import collecting, problems
from cubital.marking.cohort.course import Course
from cubital.marking.marks import gradebook, marker
from cubital.marking.notebooks import marks_of

WORKSHEET = "catheter-sizing"
TEXT = "sizing-reasons"  # 3 points
NUMBER = "sizing-french"  # 2 points
WRITTEN = "It is a shadow; measure by ultrasound."


@pytest.fixture(scope="module")
def course(copy_course: Any, desk: Any, tmp_path_factory: pytest.TempPathFactory) -> Course:
    """Ann answered everything right, Ben left everything blank, Cem wrote into the page alone."""
    where = tmp_path_factory.mktemp("by-hand")
    made = copy_course(where / "workspace", ["ann", "ben", "cem"])
    desk(made, "ann", where).answer().hand_in()
    desk(made, "ben", where).hand_in()
    desk(made, "cem", where).edit(write_into_the_page).hand_in()
    put_beside(made.workspace / "submitted")
    assert collecting.collect(made, WORKSHEET) == []
    marker.mark(made, WORKSHEET)
    return made


def write_into_the_page(notebook: dict[str, Any]) -> None:
    """Put a text into its cell, not into its field."""
    (cell,) = (c for c in notebook["cells"] if marks_of(c).get("grade_id") == TEXT)
    cell["source"] = WRITTEN


def put_beside(submitted: Path) -> None:
    """Lay out what stands among the submitted folders and what of it is a hand-in."""
    for folder in (".parked/catheter-sizing", "guest/catheter-sizing", "other/light-and-depth"):
        (submitted / folder).mkdir(parents=True)
    (submitted / "linked").mkdir()
    (submitted / "linked" / WORKSHEET).symlink_to(submitted / "nowhere")


def outcome(course: Course, learner: str, item: str) -> tuple[str, float | None]:
    results = {row.learner: row for row in gradebook.results(course, WORKSHEET)}
    row = next(row for row in results[learner].items if row.item == item)
    return row.outcome, row.points


@pytest.mark.parametrize(
    ("learner", "item", "points", "counts_as"),
    [
        ("ann", TEXT, 3, "right"),
        ("ann", TEXT, 2, "wrong"),
        ("ann", TEXT, 0, "wrong"),
        ("ben", TEXT, 3, "right"),
        ("ben", TEXT, 0, "blank"),
        ("ann", NUMBER, 2, "right"),
        ("ann", NUMBER, 1.5, "wrong"),
        ("ben", NUMBER, 2, "right"),
        ("ben", NUMBER, 1, "wrong"),
        ("ben", NUMBER, 0, "blank"),
    ],
)
def test_full_points_by_hand_are_right_fewer_wrong_and_none_of_a_blank_blank(
    course: Course, learner: str, item: str, points: float, counts_as: str
) -> None:
    gradebook.set_manual(course, WORKSHEET, learner, item, points)
    assert outcome(course, learner, item) == (counts_as, points)


def test_a_text_that_stands_in_the_page_alone_is_kept_and_waits_to_be_read(course: Course) -> None:
    assert outcome(course, "cem", TEXT) == ("waiting", None)
    (cem,) = (row for row in gradebook.results(course, WORKSHEET) if row.learner == "cem")
    assert [row.answer for row in cem.items if row.item == TEXT] == [WRITTEN]
    assert outcome(course, "cem", NUMBER) == ("blank", 0)


def test_a_folder_of_this_worksheet_is_a_hand_in_even_a_broken_link_but_not_a_hidden_one(
    course: Course,
) -> None:
    listed = [row.file for row in problems.read_problems(course, WORKSHEET)]
    assert listed == ["submitted/guest", "submitted/linked"]


def test_a_list_of_problems_is_read_as_it_was_written_and_another_format_is_told(
    tmp_path: Path,
) -> None:
    from cubital.marking.cohort import course as courses  # noqa: PLC0415 - slow, and only for this

    made = courses.create(tmp_path / "workspace")
    assert problems.read_problems(made, WORKSHEET) == []
    inbox, submitted = (
        problems.Problem(f"{part}/x.zip", None, "unreadable", "It is torn.", "Ask again.")
        for part in (problems.INBOX, problems.SUBMITTED)
    )
    problems.write_problems(made, WORKSHEET, problems.SUBMITTED, [submitted])
    problems.write_problems(made, WORKSHEET, problems.INBOX, [inbox])
    assert problems.read_problems(made, WORKSHEET) == [inbox, submitted]
    (path,) = made.results_folder.glob("*.problems.json")
    path.write_text(path.read_text("utf-8").replace(problems.FORMAT, "other"), encoding="utf-8")
    (told,) = problems.read_problems(made, WORKSHEET)
    assert told.file == f"results/{path.name}"
    assert "not a list of format" in told.reason
