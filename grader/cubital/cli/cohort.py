"""What an educator asks for: lay out a cohort, release, collect, mark, return, report, demo."""

import argparse
from collections import Counter
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, NamedTuple

from tqdm import tqdm

from cubital.cli.commands import add_command
from cubital.handin.files import own_folder

_WORKSPACE = "the cohort's folder (default: this one)"
UNMARKED = 3  # what a step ends with that left something handed in untaken or unmarked
_MOST_SAID = 20


def add_commands(commands: argparse._SubParsersAction) -> None:
    """Add ``cohort`` with its steps, and ``demo``."""
    cohort = commands.add_parser(
        "cohort",
        help="release, collect, mark and report on a cohort",
        description="The educator's steps, in their order.",
    )
    steps = cohort.add_subparsers(required=True, metavar="STEP")

    create = add_command(steps, "create", _create, "lay out a folder for a cohort")
    create.add_argument("--roster", type=Path, help="a CSV file: id, first_name, last_name")
    create.add_argument(
        "--replace-roster",
        action="store_true",
        help="let it take the place of the roster that is there; that one is kept beside it",
    )

    release = add_command(steps, "release", _release, "make the file that learners get")
    release.add_argument("worksheet")
    release.add_argument("--name", required=True, help="the release's name, such as spring-2027")
    release.add_argument(
        "--described",
        action="store_true",
        help="also make a file with other pictures, all in words, for learners who cannot see them",
    )

    for name, run, words in (
        ("collect", _collect, "take what was put into the inbox"),
        ("mark", _mark, "mark what was collected"),
        ("feedback", _feedback, "write a page of marks and reasons for each learner"),
        ("report", _report, "write the cohort's report and the marks as CSV"),
    ):
        add_command(steps, name, run, words).add_argument("worksheet")
    for step in steps.choices.values():
        step.add_argument("--workspace", type=Path, default=Path(), help=_WORKSPACE)

    demo = add_command(commands, "demo", _demo, "play a whole cohort of invented learners")
    demo.add_argument("--workspace", type=Path, help="a folder for it (default: a new one)")
    demo.add_argument("--learners", type=int, default=24, help="how many (default: 24)")
    demo.add_argument("--seed", type=int, default=1, help="which play (default: 1)")


def _course(given: argparse.Namespace):
    from cubital.marking.cohort.course import Course  # noqa: PLC0415

    course = Course(given.workspace.expanduser())
    own_folder(course.workspace)
    return course


def _create(given: argparse.Namespace) -> int:
    from cubital.marking.cohort import course, roster  # noqa: PLC0415

    made = course.create(
        given.workspace.expanduser(), given.roster, replace_roster=given.replace_roster
    )
    print(f"The cohort's folder is {made.workspace}; {len(made.roster())} learners are on")
    print(f"{made.roster_file}. Hand-ins go into {made.inbox}.")
    if note := roster.encoding_note(given.roster or made.roster_file):
        print(note)
    return 0


def _release(given: argparse.Namespace) -> int:
    from cubital.marking.cohort import releasing  # noqa: PLC0415

    course = _course(given)
    handout = releasing.release(course, given.worksheet, given.name)
    print(f"Give this file to your learners:\n{handout}\nThey open it with: cubital open FILE")
    if given.described:
        words = releasing.described_handout(course, given.worksheet)
        print(
            "With pictures of its own, all in words, for learners who have this adjustment:\n"
            f"{words}"
        )
    return 0


def _collect(given: argparse.Namespace) -> int:
    from cubital.marking.cohort import collecting  # noqa: PLC0415

    course = _course(given)
    problems = collecting.collect(course, given.worksheet)
    taken = [who for who in course.roster() if course.submitted(who, given.worksheet).is_dir()]
    print(f"{len(taken)} of {len(course.roster())} learners have handed in.")
    for row in problems:
        if row.state == collecting.NO_HAND_IN:
            print(f"Passed over: {row.reason}. {row.action}")
    left = [row for row in problems if row.state != collecting.NO_HAND_IN]
    return _last_words("Not taken", [_Left(row.file, row) for row in left])


def _mark(given: argparse.Namespace) -> int:
    from cubital.marking.marks import marker  # noqa: PLC0415

    course = _course(given)
    with (
        tqdm(desc="Running cells", unit="hand-in") as running,
        tqdm(desc="Marking", unit="hand-in") as bar,
    ):
        try:
            results = marker.mark(
                course, given.worksheet, progress=_moving(bar), ran=_moving(running)
            )
        except KeyboardInterrupt:
            running.close()
            bar.close()
            print(f"\nStopped: {_done(bar)} Mark again to mark all.")
            raise
    for state, number in Counter(result.state for result in results).items():
        print(f"{number} {state}")
    for line in (*_open_items(results), *_in_words(results)):
        print(line)
    _say_changes(course, given.worksheet)
    return _unmarked(course, given.worksheet, results)


def _done(bar: tqdm) -> str:
    if not bar.n:
        return "no mark of this run was written."
    return f"the marks of {bar.n} of {bar.total} hand-ins were written."


def _in_words(results) -> list[str]:
    """Name the items that learners were asked in the described version."""
    asked = {row.learner: [one.item for one in row.items if one.described] for row in results}
    return [
        f"{learner}: asked in the described version: {', '.join(items)}"
        for learner, items in asked.items()
        if items
    ]


def _say_changes(course, worksheet: str) -> None:
    """Say what was changed since the release, and when it comes into force."""
    from cubital.marking.cohort import releasing  # noqa: PLC0415

    if words := releasing.how_changes_come(course, worksheet):
        print(words)


def _open_items(results) -> list[str]:
    """Name the items that were refused or wait again; count those that wait for the first time."""
    from cubital.handin.results import REFUSED  # noqa: PLC0415
    from cubital.records.objectives import title_of  # noqa: PLC0415

    rows = [(result.learner, row) for result in results for row in result.items]
    told = [
        f"{learner}: “{title_of(row.item)}”: {row.state}: {row.reason}"
        for learner, row in rows
        if row.earlier is not None or (row.outcome == REFUSED and not row.manual)
    ]
    waiting = sum(row.points is None for _, row in rows)
    if waiting:
        wait = "1 answer waits" if waiting == 1 else f"{waiting} answers wait"
        told.append(f"{wait} to be marked by hand, in nbgrader's form grader.")
    return told


def _feedback(given: argparse.Namespace) -> int:
    from cubital.marking.feedback import returning  # noqa: PLC0415
    from cubital.marking.marks import gradebook  # noqa: PLC0415

    course = _course(given)
    with tqdm(desc="Feedback", unit="page") as bar:
        pages = returning.feedback(course, given.worksheet, progress=_moving(bar))
    print(f"{len(pages)} pages are in {course.workspace / 'feedback'}, a folder for each learner.")
    return _unmarked(course, given.worksheet, gradebook.results(course, given.worksheet))


def _report(given: argparse.Namespace) -> int:
    from cubital.marking.marks import gradebook  # noqa: PLC0415
    from cubital.records.reporting import report_on  # noqa: PLC0415

    course = _course(given)
    written = report_on(course, given.worksheet, made_at=datetime.now(UTC))
    print(
        f"The report is {written.page}\nThe marks are {written.marks}\n"
        f"All worksheets on one page: {written.overview}"
    )
    _say_changes(course, given.worksheet)
    return _unmarked(course, given.worksheet, gradebook.results(course, given.worksheet))


class _Left(NamedTuple):
    """Something that was handed in and left: whose, or what; its state, reason and action."""

    who: str
    told: Any


def _unmarked(course: Any, worksheet: str, results: Sequence[Any]) -> int:
    """Say last who handed in and is not marked, and what was not taken."""
    from cubital.handin.results import MARKED, MISSING  # noqa: PLC0415
    from cubital.marking.cohort import collecting  # noqa: PLC0415

    left = [_Left(row.learner, row) for row in results if row.state not in {MARKED, MISSING}]
    problems = collecting.read_problems(course, worksheet)
    left.extend(
        _Left(row.file, row)
        for row in problems
        if row.learner is None and row.state != collecting.NO_HAND_IN
    )
    return _last_words("Not marked", left)


def _last_words(title: str, left: Sequence[_Left]) -> int:
    """Say what was left, a line each, and return what the step ends with."""
    from cubital.marking.cohort.collecting import LOOK  # noqa: PLC0415

    for who, told in left[:_MOST_SAID]:
        said = "Look at" if told.state == LOOK else title
        state = "" if told.state == LOOK else f"{told.state}: "
        print(f"{said}: {who}: {state}{told.reason}. {told.action}")
    if len(left) > _MOST_SAID:
        print(f"And {len(left) - _MOST_SAID} more, which the report names.")
    return UNMARKED if left else 0


def _moving(bar: tqdm):
    def progress(done: int, total: int, _whose: str) -> None:
        bar.total = total
        bar.update(done - bar.n)

    return progress


def _demo(given: argparse.Namespace) -> int:
    from cubital import demo  # noqa: PLC0415

    return demo.run(given.workspace, learners=given.learners, seed=given.seed)
