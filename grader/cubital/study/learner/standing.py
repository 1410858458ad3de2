"""How far a learner is: which page they were on last, and how each worksheet stands."""

import contextlib
from dataclasses import dataclass
from pathlib import Path

from cubital.handin.answers import read_answers
from cubital.handin.ids import answers_as
from cubital.handin.made import FOLDER as HANDED_IN
from cubital.handin.made import last_made
from cubital.handin.progress import Progress, keep_progress, read_progress
from cubital.handin.released.release import AT_ONCE, read_release
from cubital.study import folders
from cubital.tables import course


@dataclass(frozen=True)
class Sheet:
    """How a worksheet stands, in words; ``begun`` if something in it is open, ``practised`` if
    something was answered that nobody marks."""

    words: str
    begun: bool = False
    practised: bool = False


def note_page(notebook: Path) -> None:
    """Note which lesson or worksheet was opened last; where that fails nothing is lost."""
    taught = {lesson.name for lesson in course.lessons()}
    if notebook.stem in taught or notebook.stem in _worksheets():
        learner = notebook.resolve().parents[1]
        with contextlib.suppress(ValueError, OSError):
            keep_progress(learner / folders.LESSONS, page=f"{notebook.parent.name}/{notebook.name}")


def sheet(folder: Path, worksheet: str) -> Sheet:
    """Return how a worksheet of a learner stands."""
    there = folder / worksheet
    try:
        release, answers = read_release(there), read_answers(there)
        made = last_made(folder / HANDED_IN, answers_as(there), worksheet, release.name)
    except ValueError:
        return Sheet("open it to see what is wrong with it")
    number, of = len(answers.items) if answers else 0, len(release.items)
    if release.feedback == AT_ONCE:
        words = f"{number} of {of} practised" if number else "to practise, nobody marks it"
        return Sheet(words, begun=0 < number < of, practised=number > 0)
    if made is not None:
        at = made.at.astimezone()
        also = ", answers changed since" if answers and made.changed(answers) else ""
        return Sheet(f"file made on {at.day} {at:%B}{also}", begun=bool(also))
    return Sheet(f"from your educator: {number} of {of} answered", begun=True)


def goes_on(folder: Path, progress: Progress, following: str) -> tuple[str, str]:
    """Return the page to go on with, seen from a lesson, and its title.

    It is the one that was open last if it is not done with; else the lesson that follows; else the
    worksheet that joins the lessons.
    """
    titles = {lesson.name: lesson.title for lesson in course.lessons()}
    sheets = _worksheets()
    last = Path(progress.page).stem
    if last in titles and last not in progress.finished:
        return f"{last}.ipynb", titles[last]
    if last in sheets and sheet(folder, last).begun:
        return f"../{last}/{last}.ipynb", f"Worksheet: {sheets[last]}"
    if following:
        return f"{following}.ipynb", titles[following]
    name = course.closing().name
    return f"../{name}/{name}.ipynb", f"Worksheet: {course.closing().title}"


def _worksheets() -> dict[str, str]:
    """Return the titles of all worksheets by their names, without loading a question of them."""
    sheets = {lesson.worksheet: lesson.title for lesson in course.with_worksheets()}
    return sheets | {course.closing().name: course.closing().title}


def progress_of(folder: Path) -> Progress:
    """Return how far a learner is in the lessons."""
    return read_progress(folder / folders.LESSONS)
