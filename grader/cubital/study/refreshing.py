"""A session to refresh: the chosen items with values of their own, in a notebook of its own."""

import secrets
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from cubital import tables
from cubital.handin.ids import canonical_id
from cubital.handin.released.release import (
    AT_ONCE,
    Release,
    new_release,
    read_release,
    write_release,
)
from cubital.items import Item
from cubital.refresh.choosing import choose, last_asked
from cubital.refresh.critical import local_days
from cubital.refresh.due import standings_of
from cubital.refresh.reviews import (
    WORKSHEET,
    ReviewLog,
    merge_file,
    objective_of,
    read_reviews,
    review_id,
)
from cubital.refresh.schedule import Standing, sensible_times
from cubital.study import folders
from cubital.study.edition import keep_as_given
from cubital.study.notebooks import code_cell, text_cell, write_notebook
from cubital.study.practice_pictures import few_pictures
from cubital.tables.course import lessons

MINUTES = 15
_INTRODUCTION = """\
# Refresh

> For training. Local policy, the device's instructions for use and licensed practice decide.

{questions}, about {minutes:.0f} minutes: first those that must be right to pass, then, in turn, \
what you have not begun and what is due. The numbers are new each time. Type each answer with \
its unit, as you would write it in the notes: `2.5 mm` and `0.25 cm` are the same.

Answer from memory, say how sure you are if you like, then press *This is my answer*: your **first \
answer** counts for what is due when. After that, try as often as you like."""


def check_minutes(minutes: float) -> None:
    """Raise ValueError for a session that takes no time."""
    if not minutes > 0:
        raise ValueError(
            f"a session takes more than 0 minutes, not {minutes:g}: give another --minutes"
        )


def lay_out_refresh(
    workspace: Path, learner: str, *, minutes: float = MINUTES, now: datetime | None = None
) -> folders.Opened | None:
    """Lay out a session of what is due, or return today's that is not finished.

    Parameters
    ----------
    minutes
        How long the session shall take.
    now
        The time in the learner's zone; by default that of this computer.

    Returns
    -------
    Opened or None
        The notebook with the lessons that it is on; None if nothing is due.

    Raises
    ------
    ValueError
        The log of reviews cannot be read; it says what to do.
    """
    check_minutes(minutes)
    now = now or datetime.now(UTC).astimezone()
    folder = folders.learner_folder(workspace, learner)
    log = read_reviews(folder, folder.name)
    target = folder / WORKSHEET
    day = f"{now.astimezone(UTC):%Y%m%d}"
    release = _unfinished(target, log, day)
    if release is None:
        asked = last_asked(log.reviews, sensible_times(log.reviews, now))
        found = standings_of(log, now, local_days(folder))
        chosen = choose(found, asked, minutes=minutes, now=now)
        if not chosen:
            return None
        folders.keep_aside(folder, target)
        name = f"{WORKSHEET}-{day}-{secrets.token_hex(4)}"
        release = new_release(name, WORKSHEET, feedback=AT_ONCE, listed=chosen)
        release = replace(release, pictures=few_pictures(release))
        write_notebook(_notebook(target), session_cells(chosen))
        keep_as_given(_notebook(target), target)
        write_release(target, release)
    names = dict.fromkeys(_objective(item).lesson for item in release.listed())
    others = tuple(folders.lay_out_lesson(folder, name) for name in names)
    return folders.Opened(folder, _notebook(target), others=others)


def merge(workspace: Path, learner: str, path: Path) -> int:
    """Merge a log from another computer into a learner's; return how many reviews were new."""
    learner = canonical_id(learner)
    return merge_file(workspace.resolve() / learner, learner, path.expanduser())


def learners_standings(workspace: Path, learner: str, now: datetime) -> tuple[Standing, ...]:
    """Return how a learner stands in every objective, in teaching order; makes no folder."""
    learner = canonical_id(learner)
    folder = workspace.resolve() / learner
    return standings_of(read_reviews(folder, learner), now, local_days(folder))


def session_cells(chosen: Sequence[Item]) -> list[dict[str, Any]]:
    """Return the cells of a notebook that asks these items."""
    number = len(chosen)
    text = _INTRODUCTION.format(
        questions="One question" if number == 1 else f"{number} questions",
        minutes=sum(item.minutes for item in chosen),
    )
    cells = [
        text_cell("title", text),
        code_cell(
            "setup",
            "from cubital.refresh.session import session\nfrom cubital.worksheet import ask",
        ),
    ]
    titles = {lesson.name: lesson.title for lesson in lessons()}
    for place, item in enumerate(chosen, 1):
        lesson = _objective(item).lesson  # its section or objective would give the answer away
        heading = (
            f"## {place}. {item.title}\n\n"
            f"Lesson: [{titles[lesson]}](../{folders.LESSONS}/{lesson}.ipynb)."
        )
        cells.append(text_cell(f"{item.id}-heading", heading))
        cells.append(code_cell(item.id, f'ask("{item.id}")'))
    cells.append(code_cell("session", "session()"))
    return cells


def _objective(item: Item) -> tables.Objective:
    return tables.curriculum().objective(objective_of(item.id) or "")


def _notebook(target: Path) -> Path:
    return target / f"{WORKSHEET}.ipynb"


def _unfinished(target: Path, log: ReviewLog, day: str) -> Release | None:
    """Return the session of this day that lies there, if something in it is not yet answered."""
    try:
        release = read_release(target)
        release.listed()
    except ValueError:
        return None  # none yet, or not of this edition of the course
    today = release.name.startswith(f"{WORKSHEET}-{day}-") and _notebook(target).is_file()
    answered = all(log.has(review_id(release.name, item)) for item in release.items)
    return release if today and not answered else None
