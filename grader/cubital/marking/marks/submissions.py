"""Inspect all hand-ins of a worksheet: whose can be marked, and who or what is left and why."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from cubital.handin.files import printable
from cubital.handin.ids import canonical_id
from cubital.handin.results import HELD, SYSTEM_ERROR, UNREADABLE
from cubital.marking.cohort.course import Course
from cubital.marking.cohort.problems import SUBMITTED, Problem, read_problems, write_problems
from cubital.marking.marks import checker, gradebook
from cubital.marking.marks.attempts import sum_of_folder
from cubital.marking.marks.inspecting import AGAIN, Inspection, Releases, inspect


def inspect_all(
    course: Course, releases: Releases, told: Iterable[Problem]
) -> dict[str, Inspection]:
    """Inspect the roster's submissions, and return what was found by learner.

    Who is unknown, or sent what nobody could read, is kept among the problems, as is what is
    ``told`` of an earlier marking.
    """
    roster = course.roster()
    worksheet = releases.now.worksheet
    found: dict[str, Inspection] = {}
    problems = [*told]
    for name in _submitters(course, worksheet):
        if name in roster:
            found[name] = _inspected(course, name, releases)
        else:
            problems.append(_unknown(name))
    # what lies there is marked, and what could not be kept of it is told beside that
    problems = [replace(row, learner=None) if row.learner in found else row for row in problems]
    gone = gradebook.marked(course, worksheet) - roster.keys()
    problems.extend(map(_left_the_roster, sorted(gone)))
    write_problems(course, worksheet, SUBMITTED, problems)
    for problem in read_problems(course, worksheet):
        if problem.learner in roster and problem.learner not in found:
            found[problem.learner] = Inspection(
                problem.state, f"{problem.file}: {problem.reason}", problem.action
            )
    return dict(sorted(found.items()))


def _inspected(course: Course, learner: str, releases: Releases) -> Inspection:
    """Inspect one submission; what that does to us is this learner's state and nobody else's."""
    worksheet = releases.now.worksheet
    folder = course.submitted(learner, worksheet)
    where = f"{SUBMITTED}/{learner}/{worksheet}"
    try:
        return replace(inspect(folder, learner, releases), sha256=sum_of_folder(folder))
    except (OSError, UnicodeError, OverflowError, RecursionError) as error:
        return Inspection(UNREADABLE, f"{where} cannot be read: {error}", AGAIN)
    except Exception as error:
        reason = f"{where}: {type(error).__name__}: {error}"
        return Inspection(SYSTEM_ERROR, reason, checker.REPORT_IT)


def _submitters(course: Course, worksheet: str) -> Iterator[str]:
    for folder in sorted((course.workspace / "submitted").glob("*")):
        inside = folder / worksheet
        if not folder.name.startswith(".") and (inside.exists() or inside.is_symlink()):
            yield folder.name


def _unknown(name: str) -> Problem:
    try:
        canonical = canonical_id(name) == name
    except ValueError:
        canonical = False
    return Problem(
        f"{SUBMITTED}/{printable(name)}",
        None,
        HELD,
        f"learner “{printable(name):.60}” is not on the roster, so nothing of theirs is marked",
        "Add the learner to roster.csv if the id is right, else rename or remove the folder."
        if canonical
        else "Rename the folder to the learner's id on the roster, or remove it.",
    )


def _left_the_roster(learner: str) -> Problem:
    return Problem(
        f"gradebook.db: {learner}",
        None,
        HELD,
        f"learner “{learner}” has marks and is not on the roster any more: the report leaves them "
        "out, and the gradebook keeps them",
        "Put the learner back on roster.csv, or take them out of the gradebook by "
        f"“nbgrader db student remove {learner} --force”.",
    )
