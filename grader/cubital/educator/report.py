"""Report on a worksheet, and on one page over all that are released."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import MappingProxyType
from typing import TypedDict

from cubital import tables
from cubital.educator.left import Left, unmarked
from cubital.educator.workspace import opened
from cubital.handin.objectives import objectives_of
from cubital.handin.passing import Decision
from cubital.handin.principles.retakes import home_of, is_retake, principle_of
from cubital.handin.released.bank import Bank, read_bank
from cubital.handin.released.release import FILE as RELEASE_FILE
from cubital.handin.results import SubmissionResult
from cubital.handin.standard import pass_mark_of
from cubital.items import knowing
from cubital.marking.cohort.changed import Changes, changes_since
from cubital.marking.cohort.course import Course
from cubital.marking.cohort.parallel import first_of, form_of, worksheets_of_form
from cubital.marking.cohort.problems import Problem as NotTaken
from cubital.marking.cohort.problems import read_problems
from cubital.marking.counting.looking import odd
from cubital.marking.counting.standings import standings
from cubital.marking.errors import CourseError
from cubital.marking.marks import gradebook
from cubital.marking.marks.principles import principle_standings
from cubital.records import report as records
from cubital.records.cohort import Problem
from cubital.records.overview import Sheet, decisions, write_overview
from cubital.records.statistics import item_order


@dataclass(frozen=True)
class Reported:
    """Where the reports were written, what was changed since the release, and who was left."""

    page: Path
    marks: Path
    overview: Path
    changes: Changes
    left: tuple[Left, ...]


class _Head(TypedDict):
    """What every page of a report says of its making."""

    made_at: datetime
    names: dict[str, str]
    place: str
    notice: str
    invented: bool


def report(
    workspace: Path, worksheet: str, *, made_at: datetime | None = None, invented: bool = False
) -> Reported:
    """Write the report on one worksheet, and the overview of all that are released, anew.

    They lie in ``report/<worksheet>/`` and ``report/index.html`` of the workspace. Nobody marks or
    collects there meanwhile.

    Parameters
    ----------
    made_at
        The time that the report gives for its making, in UTC; the present one if none is named.
    invented
        Whether its learners are invented, which every page then says.

    Raises
    ------
    CourseError
        The worksheet is not released, or is a retake, or somebody is at work there.
    """
    course = opened(workspace)
    if is_retake(worksheet):
        raise CourseError(
            f"“{worksheet}” is a retake, which the report of its own worksheet shows: report on "
            f"“{home_of(str(principle_of(worksheet)))}”"
        )
    with course.at_work(f"reporting on “{worksheet}”"):
        standing = standings(course, worksheet)
        results = gradebook.results(course, worksheet, standing)
        looks_odd = odd(course, worksheet, standing)
        page, marks, overview = _written(
            course, worksheet, results, looks_odd, made_at or datetime.now(UTC), invented=invented
        )
    return Reported(
        page=page,
        marks=marks,
        overview=overview,
        changes=changes_since(course, worksheet),
        left=unmarked(course, worksheet, results, looks_odd),
    )


def _written(
    course: Course,
    worksheet: str,
    results: list[SubmissionResult],
    looks_odd: Sequence[NotTaken],
    made_at: datetime,
    *,
    invented: bool,
) -> tuple[Path, Path, Path]:
    """Write the report's page, the marks as CSV and the overview, and return their paths."""
    folder = course.workspace / "report"
    release, bank = course.release(worksheet), read_bank(course.workspace, drafts=False)
    head: _Head = {
        "made_at": made_at,
        "names": {learner.id: learner.name for learner in course.roster().values()},
        "place": f"{release.policy['department']}, {release.policy['hospital']}",
        "notice": release.policy["notice"],
        "invented": invented,
    }
    problems = [*read_problems(course, worksheet), *looks_odd]
    sheets = [
        _sheet(
            course,
            name,
            results if name == worksheet else gradebook.results(course, name),
            bank,
            folder,
            has_report=name == worksheet,
        )
        for name in course.worksheets()
        if (course.source(name) / RELEASE_FILE).is_file() and not is_retake(name)
    ]
    decided = course_decisions(course, sheets)
    written = records.build(
        results,
        folder / worksheet,
        worksheet=worksheet,
        release=release.name,
        curriculum=bank.curriculum(release),
        rows=bank.standard(release),
        asked=release.known(),
        standard=pass_mark_of(course.workspace, release, bank),
        decisions=decided,
        setting=tables.setting(course.workspace),
        principles=principle_standings(course, worksheet, results),
        problems=[Problem(row.file, row.reason, row.action) for row in problems if not row.learner],
        **head,
    )
    (folder / records.MARKS).unlink(missing_ok=True)  # of when there was one report for all
    overview = write_overview(folder, sheets, decided=decided, **head)
    return written.page, written.marks, overview


def course_decisions(
    course: Course,
    sheets: Sequence[Sheet] | None = None,
    *,
    found: Mapping[str, Sequence[SubmissionResult]] = MappingProxyType({}),
) -> dict[str, Decision]:
    """Return what the course decides on each learner of a folder, by both forms where two are.

    ``sheets`` are those of the folder, or ``found`` the results of some of its worksheets, if they
    were read already.
    """
    first = first_of(course)
    form = form_of(first)
    if first is not course:
        sheets = _sheets(first)
    elif sheets is None:
        sheets = _sheets(course, found)
    again = _sheets(form) if form is not None else ()
    return decisions(sheets, course.roster(), again, form=worksheets_of_form(first))


def _sheets(
    course: Course, found: Mapping[str, Sequence[SubmissionResult]] = MappingProxyType({})
) -> list[Sheet]:
    bank = read_bank(course.workspace, drafts=False)
    return [
        _sheet(
            course,
            name,
            found[name] if name in found else gradebook.results(course, name),
            bank,
            course.workspace / "report",
            has_report=False,
        )
        for name in course.worksheets()
        if (course.source(name) / RELEASE_FILE).is_file() and not is_retake(name)
    ]


def _sheet(
    course: Course,
    worksheet: str,
    results: Sequence[SubmissionResult],
    bank: Bank,
    folder: Path,
    *,
    has_report: bool,
) -> Sheet:
    """Return a worksheet for the overview; ``has_report`` if its report is being written."""
    release = course.release(worksheet)
    try:
        asked = release.known()
        with knowing(asked):
            order = item_order(results, worksheet, asked)
            objectives = objectives_of(bank.curriculum(release), order)
        standard = pass_mark_of(course.workspace, release, bank)
    except ValueError:  # of another edition of the course: the marks are there all the same
        objectives, standard = (), None
    own = folder / worksheet / records.PAGE
    pages = {row.learner: course.feedback(row.learner, worksheet) for row in results}
    return Sheet(
        worksheet=worksheet,
        principles=principle_standings(course, worksheet, results),
        release=release.name,
        results=results,
        objectives=objectives,
        standard=standard,
        link=f"{worksheet}/{records.PAGE}" if has_report or own.is_file() else "",
        pages={
            who: f"../{page.relative_to(course.workspace).as_posix()}"
            for who, page in pages.items()
            if page.is_file()
        },
    )
