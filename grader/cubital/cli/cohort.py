"""What an educator asks for: lay out a cohort, release, collect, mark, return, report, demo."""

import argparse
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path

from tqdm import tqdm

from cubital.cli.commands import add_command
from cubital.handin.files import own_folder

_WORKSPACE = "the cohort's folder (default: this one)"


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

    release = add_command(steps, "release", _release, "make the file that learners get")
    release.add_argument("worksheet")
    release.add_argument("--name", required=True, help="the release's name, such as spring-2027")
    release.add_argument(
        "--described",
        action="store_true",
        help="also make a file with every picture in words, for whom this was agreed with",
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
    from cubital.marking.course import Course  # noqa: PLC0415

    course = Course(given.workspace.expanduser())
    own_folder(course.workspace)
    return course


def _create(given: argparse.Namespace) -> int:
    from cubital.marking import course  # noqa: PLC0415

    made = course.create(given.workspace.expanduser(), given.roster)
    print(f"The cohort's folder is {made.workspace}; {len(made.roster())} learners are on")
    print(f"{made.roster_file}. Hand-ins go into {made.inbox}.")
    return 0


def _release(given: argparse.Namespace) -> int:
    from cubital.marking import releasing  # noqa: PLC0415

    course = _course(given)
    handout = releasing.release(course, given.worksheet, given.name)
    print(f"Give this file to your learners:\n{handout}\nThey open it with: cubital open FILE")
    if given.described:
        words = releasing.described_handout(course, given.worksheet)
        print(f"With every picture in words, only for whom this was agreed with:\n{words}")
    return 0


def _collect(given: argparse.Namespace) -> int:
    from cubital.marking import collecting  # noqa: PLC0415

    course = _course(given)
    problems = collecting.collect(course, given.worksheet)
    taken = [who for who in course.roster() if course.submitted(who, given.worksheet).is_dir()]
    print(f"{len(taken)} of {len(course.roster())} learners have handed in.")
    for problem in problems:
        print(f"Not taken: {problem.file}: {problem.reason}. {problem.action}")
    return 0


def _mark(given: argparse.Namespace) -> int:
    from cubital.marking import marker  # noqa: PLC0415

    with tqdm(desc="Marking", unit="hand-in") as bar:
        results = marker.mark(_course(given), given.worksheet, progress=_moving(bar))
    for state, number in Counter(result.state for result in results).items():
        print(f"{number} {state}")
    for result in results:
        if result.reason:
            print(f"{result.learner}: {result.state}: {result.reason}. {result.action}")
    for line in _open_items(results):
        print(line)
    return 0


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
        told.append(f"{waiting} answers wait to be marked by hand, in nbgrader's form grader.")
    return told


def _feedback(given: argparse.Namespace) -> int:
    from cubital.marking import returning  # noqa: PLC0415

    course = _course(given)
    with tqdm(desc="Feedback", unit="page") as bar:
        pages = returning.feedback(course, given.worksheet, progress=_moving(bar))
    print(f"{len(pages)} pages are in {course.workspace / 'feedback'}, a folder for each learner.")
    return 0


def _report(given: argparse.Namespace) -> int:
    from cubital.records.reporting import report_on  # noqa: PLC0415

    written = report_on(_course(given), given.worksheet, made_at=datetime.now(UTC))
    print(
        f"The report is {written.page}\nThe marks are {written.marks}\n"
        f"All worksheets on one page: {written.overview}"
    )
    return 0


def _moving(bar: tqdm):
    def progress(done: int, total: int, _whose: str) -> None:
        bar.total = total
        bar.update(done - bar.n)

    return progress


def _demo(given: argparse.Namespace) -> int:
    from cubital import demo  # noqa: PLC0415

    return demo.run(given.workspace, learners=given.learners, seed=given.seed)
