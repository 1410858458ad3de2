"""Report on a workspace: one folder for each worksheet, and one page over all of them."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from cubital import tables
from cubital.handin.bank import Bank, read_bank
from cubital.handin.release import FILE as RELEASE_FILE
from cubital.items import knowing
from cubital.marking.cohort import collecting
from cubital.marking.cohort.course import Course
from cubital.marking.marks import gradebook
from cubital.records import report
from cubital.records.objectives import objectives_of
from cubital.records.overview import Sheet, write_overview
from cubital.records.statistics import item_order


@dataclass(frozen=True)
class Reported:
    """Where the reports were written."""

    page: Path
    marks: Path
    overview: Path


def report_on(
    course: Course, worksheet: str, *, made_at: datetime, invented: bool = False
) -> Reported:
    """Write the report on one worksheet, and the overview of all that are released, anew.

    They lie in ``report/<worksheet>/`` and ``report/index.html`` of the workspace. Nobody marks or
    collects there meanwhile.
    """
    with course.at_work(f"reporting on “{worksheet}”"):
        return _report_on(course, worksheet, made_at, invented=invented)


def _report_on(course: Course, worksheet: str, made_at: datetime, *, invented: bool) -> Reported:
    folder = course.workspace / "report"
    release, bank = course.release(worksheet), read_bank(course.workspace, drafts=False)
    told = {
        "made_at": made_at,
        "names": {learner.id: learner.name for learner in course.roster().values()},
        "place": f"{release.policy['department']}, {release.policy['hospital']}",
        "notice": release.policy["notice"],
        "invented": invented,
    }
    problems = collecting.read_problems(course, worksheet)
    written = report.build(
        gradebook.results(course, worksheet),
        folder / worksheet,
        worksheet=worksheet,
        release=release.name,
        curriculum=bank.curriculum(release),
        rows=bank.standard(release),
        asked=release.listed(),
        pass_share=bank.pass_share.get(worksheet),
        setting=tables.setting(course.workspace),
        problems=[(row.file, row.reason, row.action) for row in problems if not row.learner],
        **told,
    )
    (folder / report.MARKS).unlink(missing_ok=True)  # of when there was one report for all
    sheets = [
        _sheet(course, name, bank, folder)
        for name in course.worksheets()
        if (course.source(name) / RELEASE_FILE).is_file()
    ]
    return Reported(written.page, written.marks, write_overview(folder, sheets, **told))


def _sheet(course: Course, worksheet: str, bank: Bank, folder: Path) -> Sheet:
    release = course.release(worksheet)
    results = gradebook.results(course, worksheet)
    try:
        asked = release.listed()
        with knowing(asked):
            order = item_order(results, worksheet, asked)
            objectives = objectives_of(bank.curriculum(release), order)
    except ValueError:  # of another edition of the course: the marks are there all the same
        objectives = ()
    own = folder / worksheet / report.PAGE
    pages = {row.learner: course.feedback(row.learner, worksheet) for row in results}
    return Sheet(
        worksheet=worksheet,
        release=release.name,
        results=results,
        objectives=objectives,
        link=f"{worksheet}/{report.PAGE}" if own.is_file() else "",
        pages={
            who: f"../{page.relative_to(course.workspace).as_posix()}"
            for who, page in pages.items()
            if page.is_file()
        },
    )
