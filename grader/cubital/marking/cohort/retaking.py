"""Make a retake: papers with cases of one principle that this learner was never asked."""

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from nbgrader.converters import GenerateAssignment

from cubital import tables
from cubital.handin.files import close_folder, own_folder, read_json, write_json, write_text
from cubital.handin.principles.retakes import (
    home_of,
    is_retake,
    principle_of,
    worksheet_name,
)
from cubital.handin.released.papers import seated, write_papers
from cubital.handin.released.release import Release, new_release, write_release
from cubital.handin.released.sealed import folder_of, made, seed_of, write_sealed
from cubital.items import Item
from cubital.items.principles.asked import (
    FIRST,
    OTHER,
    SECOND,
    Asked,
    VignetteItem,
    asked_of,
    item_id,
)
from cubital.items.principles.course import PRINCIPLES
from cubital.items.principles.vignette import Vignette
from cubital.items.writing.draw import Draw
from cubital.marking.cohort.converting import convert
from cubital.marking.cohort.course import Course
from cubital.marking.cohort.parallel import form_of
from cubital.marking.cohort.releasing import zip_of_release
from cubital.marking.errors import CourseError
from cubital.marking.notebooks import Notebook, is_grade, marks_of

_TOP = """# Worksheet: three more cases

> For training. Local policy, the device's instructions for use and licensed practice decide.

Three questions, about 5 minutes. Each tells a case; choose what you would do. Two of these three \
questions are on safety and must both be right to pass. Each answer is saved at once, and you can \
change it later.

Whoever talked with you gave you this paper. What you need is in the lesson {lesson}."""


def worksheets_of(course: Course, principle: str) -> list[str]:
    """Return the retakes of a principle that were made in a workspace."""
    return [name for name in course.worksheets() if principle_of(name) == principle]


def make_retake(course: Course, principle: str, learner: str, attempt: int) -> Path:
    """Make the file of a retake for one learner, and return it.

    Its cases are those of the principle that stand in no paper of this learner: of any release of
    the worksheet, and of any earlier retake. Made a second time, it is the same paper.

    Raises
    ------
    CourseError
        Too few cases are left that the learner was never asked.
    """
    worksheet = worksheet_name(principle, attempt)
    name = learner  # a release for one learner
    three = tuple(_unseen(course, principle, learner, worksheet))
    folder = course.workspace / "source" / worksheet
    own_folder(folder)
    notebook = folder / f"{worksheet}.ipynb"
    write_json(notebook, _notebook(home_of(principle), three))
    course.make_seal(worksheet)
    wanted = new_release(name, worksheet, profile=course.profile(), listed=three, attempt=attempt)
    _write(course, wanted, three, learner)
    convert(course, GenerateAssignment, worksheet, force=True)
    close_folder(course.released(worksheet).parent)
    sealed = folder_of(course.workspace, worksheet, name)
    write_text(
        sealed / notebook.name, (course.released(worksheet) / notebook.name).read_text("utf-8")
    )
    write_release(sealed, wanted)  # last: by it the release is known
    path = course.handout(worksheet).with_name(f"{worksheet}-{learner}.zip")
    return zip_of_release(course, worksheet, path)


def _write(course: Course, wanted: Release, three: Iterable[Item], learner: str) -> None:
    """Write release and papers into the source folder, drawn now or as they were."""
    worksheet = wanted.worksheet
    if wanted.name in course.releases(worksheet):
        papers = course.sealed(wanted)
    else:
        secret = course.seal(worksheet)
        seating = seated(seed_of(secret, wanted.name, wanted.attempt), [learner])
        papers = made(wanted, three, secret=secret, seating=seating)
        write_sealed(folder_of(course.workspace, worksheet, wanted.name), papers)
    folder = course.source(worksheet)
    write_release(folder, wanted)
    write_papers(folder, papers.papers)


def seen(course: Course, principle: str, learner: str, *, but: str = "") -> set[str]:
    """Return the cases of a principle that stand in this learner's papers, those of a parallel
    form too; ``but`` leaves one worksheet out."""
    ids = [item_id(principle, part) for part in (FIRST, SECOND, OTHER)]
    found: set[str] = set()
    for folder, worksheet in _asking(course, principle, but):
        for release in folder.releases(worksheet).values():
            if is_retake(worksheet) and release.name != learner:
                continue
            sealed = folder.sealed(release)
            rows = sealed.rows[sealed.papers.paper_of(learner)]
            found |= {rows[key]["values"]["vignette"] for key in ids if key in rows}
    return found


def _asking(course: Course, principle: str, but: str) -> list[tuple[Course, str]]:
    """Return the worksheets that ask a principle, in this folder and its parallel form's."""
    home, form = home_of(principle), form_of(course)
    names = [name for name in (home, *worksheets_of(course, principle)) if name != but]
    return [(course, name) for name in names] + ([(form, home)] if form is not None else [])


def has_left(course: Course, principle: str, learner: str) -> bool:
    """Tell whether enough cases are left that a learner was never asked."""
    try:
        _left(course, principle, learner)
    except ValueError:
        return False
    return True


def _left(course: Course, principle: str, learner: str, *, but: str = "") -> Asked:
    """Return three questions on the cases that are left; too few raise ValueError."""
    told = seen(course, principle, learner, but=but)
    whole = PRINCIPLES[principle]

    def left(vignettes: Iterable[Vignette]) -> list[Vignette]:
        return [one for one in vignettes if one.key not in told]

    return asked_of(whole, left(whole.present), left(whole.absent))


def _unseen(course: Course, principle: str, learner: str, worksheet: str) -> list[VignetteItem]:
    try:
        three = _left(course, principle, learner, but=worksheet)
    except ValueError as error:
        raise CourseError(
            f"no retake of “{principle}” can be made for “{learner}”: {error}. Decide yourself, "
            "and record that: “cubital cohort decide”"
        ) from error
    mixed = Draw(worksheet, learner, principle, 0, {}).shuffled(three)
    return [replace(item, title=f"Case {number}") for number, item in enumerate(mixed, 1)]


def _notebook(home: str, three: Iterable[Item]) -> Notebook:
    """Return the notebook of a retake: the course's own of the worksheet, with these alone."""
    path = tables.course_folder("exercises") / "source" / home / f"{home}.ipynb"
    notebook = read_json(path)
    graded = {str(marks_of(cell)["grade_id"]): cell for cell in notebook["cells"] if is_grade(cell)}
    named = {cell["id"]: cell for cell in notebook["cells"]}
    lesson = _lesson_link("".join(named["title"]["source"]))
    cells = [named["title"] | {"source": _TOP.format(lesson=lesson)}, named["setup"]]
    for number, item in enumerate(three, 1):
        heading = f"## {number}. {item.title}\n\n{item.points:g} points."
        cells.append(
            {
                "cell_type": "markdown",
                "id": f"case-{number}-heading",
                "metadata": {},
                "source": heading,
            }
        )
        cells.append(graded[item.id])
    found: Notebook = notebook | {"cells": [*cells, named["end"], named["hand-in"]]}
    return found


def _lesson_link(top: str) -> str:
    """Return the link to the lesson that the worksheet's own top gives."""
    start = top.index("[", top.index("What you need is in the lesson"))
    return top[start : top.index(")", start) + 1]
