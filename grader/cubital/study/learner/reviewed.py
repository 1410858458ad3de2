"""What stands at the top of every page: who has reviewed it, and what nobody has."""

from datetime import date
from pathlib import Path

from cubital.explore.course.navigation import chosen_path
from cubital.handin.progress import read_progress
from cubital.handin.released.department import Department, department_of
from cubital.study import folders
from cubital.tables import approving, course

_UNTIL = "Until your department has named a reviewer, hold each step against your own policy."


def notices(notebook: Path, today: date | None = None) -> list[str]:
    """Return what a page says of its review: of the page, then of the learner's path.

    A learner on a path with a page of its own reads on every page that nobody has reviewed that
    one, until a review of it stands. A page that is no part of the course says of the path alone.
    """
    today = today or date.today()
    learner = notebook.resolve().parents[1]
    department = department_of(learner)
    try:
        path = chosen_path(read_progress(learner / folders.LESSONS))
    except ValueError:  # a damaged file keeps nobody from reading
        path = course.paths()[0]
    page = notebook.stem
    told = []
    if page in approving.pages():
        told += filter(None, [_of_page(page, department, today)])
    waiting = [one for one in unreviewed(path, department, today) if one.name != page]
    if waiting:
        titles = " and ".join(f"“{one.title}”" for one in waiting)
        told.append(f"No clinician has reviewed your path's own page, {titles}, yet. {_UNTIL}")
    return told


def unreviewed(path: course.Path, department: Department, today: date) -> list[course.Lesson]:
    """Return the pages of a path's own, those without a worksheet, of which no review stands."""
    return [
        row
        for row in course.lessons()
        if row.name in path.lessons
        and not row.worksheet
        and not department.has_reviewed(row.name, today)
    ]


def _of_page(page: str, department: Department, today: date) -> str:
    words = approving.said(page, department.reviews.get(page), today)
    short = page in {row.name for row in course.lessons() if not row.worksheet}
    if short and not department.has_reviewed(page, today):
        return words.removeprefix(approving.NOT_REVIEWED).strip()  # its own text says the rest
    return words
