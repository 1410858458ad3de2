"""The folder of a parallel form, for learners whose points lie too near the pass mark.

It is a workspace of its own, so that values, hand-ins and marks of both forms stand beside each
other. Each of the two folders holds a file that says where the other is.
"""

import os
import shutil
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from cubital import items
from cubital.handin import passing
from cubital.handin.files import own_folder, read_json, write_json, write_text
from cubital.handin.released.bank import FILE as BANK_FILE
from cubital.handin.released.bank import read_bank
from cubital.handin.released.own import FOLDER as OWN_FOLDER
from cubital.marking.cohort.course import Course, create
from cubital.marking.cohort.switching import without
from cubital.marking.errors import CourseError
from cubital.tables import PROFILE_FILE
from cubital.tables.standard import FILES as SHEETS
from cubital.tables.standard import SETTING_FILE

FILE = "parallel.json"
FORMAT = "cubital-parallel/1"
_FORM, _FIRST = "form", "first"  # which of the two the other folder is


def form_of(course: Course) -> Course | None:
    """Return the folder of a course's parallel form; None if there is none.

    Raises
    ------
    CourseError
        It is not where the course's folder says.
    """
    return _other(course, _FORM)


def first_of(course: Course) -> Course:
    """Return the folder of the first form: that of which this is the parallel form, or itself.

    Raises
    ------
    CourseError
        It is not where this folder says.
    """
    return _other(course, _FIRST) or course


def make_form(course: Course, folder: Path, learners: Iterable[str]) -> Course:
    """Lay out the folder of a parallel form for learners of a course, or add them to it.

    It asks by the same rules and figures, but no case, which would be the same one again.

    Raises
    ------
    CourseError
        The folder is another's, the course's parallel form lies elsewhere, or this is one itself.
    """
    folder = folder.resolve()
    known = form_of(course)
    if _other(course, _FIRST) is not None:
        raise CourseError(f"{course.workspace} is a parallel form itself: name the first folder")
    if known is not None and known.workspace != folder:
        raise CourseError(f"the parallel form is in {known.workspace} already: name that folder")
    if known is None and folder.is_dir() and any(folder.iterdir()):
        raise CourseError(f"{folder} holds other files: name a new or empty folder")
    roster = course.roster()
    before = {} if known is None else known.roster()
    asked = before | {learner: roster[learner] for learner in learners}
    form = create(folder, asked.values(), replace_roster=True)
    if known is None:
        _copy_own(course, folder)
    worksheets = worksheets_of_form(course)
    write_json(folder / FILE, _told(_FIRST, folder, course.workspace, worksheets))
    write_json(course.workspace / FILE, _told(_FORM, course.workspace, folder, worksheets))
    return form


def worksheets_of_form(course: Course) -> tuple[str, ...]:
    """Return the worksheets of a course's parallel form: as it was laid out, whatever came since.

    Where there is none yet, they go by what the course's folder asks today.

    Raises
    ------
    CourseError
        What the folder asks, or its parallel form, cannot be read.
    """
    if told := _read(course).get("worksheets"):
        return tuple(map(str, told))
    try:
        bank = read_bank(course.workspace, drafts=False)
    except ValueError as error:
        raise CourseError(str(error)) from error
    return passing.parallel_worksheets({name: bank.asked(name) for name in bank.worksheets})


def _copy_own(course: Course, folder: Path) -> None:
    """Copy what the department asks and decides by, and switch off what is not asked anew."""
    source = course.workspace
    own = (source / OWN_FOLDER).glob("*.py")
    for path in (source / PROFILE_FILE, source / SETTING_FILE, *source.glob(SHEETS), *own):
        if path.is_file():
            target = folder / path.relative_to(source)
            own_folder(target.parent)
            shutil.copyfile(path, target)
    bank = source / BANK_FILE
    text = bank.read_text(encoding="utf-8") if bank.is_file() else ""
    off = [
        item.id
        for name in worksheets_of_form(course)
        for item in items.WORKSHEETS[name]
        if not item.optional and not passing.asked_anew(item)
    ]
    write_text(folder / BANK_FILE, without(text, off))


def _told(which: str, here: Path, other: Path, worksheets: tuple[str, ...]) -> dict[str, Any]:
    try:
        path = os.path.relpath(other, here)
    except ValueError:  # another drive of Windows
        path = str(other)
    where = Path(path).as_posix()
    return {"format": FORMAT, which: where, "worksheets": list(worksheets)}


def _other(course: Course, which: str) -> Course | None:
    told = _read(course)
    try:
        return Course(course.workspace / told[which]) if which in told else None
    except (OSError, ValueError, TypeError, CourseError) as error:
        raise _unusable(course, error) from error


def _read(course: Course) -> dict[str, Any]:
    """Return what a folder's file says of the other form; nothing where there is no such file."""
    path = course.workspace / FILE
    if not path.is_file():
        return {}
    try:
        told: dict[str, Any] = read_json(path)
        if told["format"] != FORMAT:
            raise ValueError(f"its format is {told['format']!r:.60}")
        if not set(told.get("worksheets", ())) <= set(items.WORKSHEETS):
            raise ValueError(f"its worksheets are {told['worksheets']!r:.60}")
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise _unusable(course, error) from error
    return told


def _unusable(course: Course, error: Exception) -> CourseError:
    return CourseError(
        f"{course.workspace / FILE} cannot be used: {error}. Put the folder that it names back "
        "where it was, or write there where it is now"
    )
