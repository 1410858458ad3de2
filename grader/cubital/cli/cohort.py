"""What an educator asks for: lay out a cohort, release, collect, mark, return, report."""

import argparse
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tqdm import tqdm

from cubital.cli import second_chance
from cubital.cli.bars import Bar
from cubital.cli.commands import Subcommands, add_command
from cubital.cli.hand_ins import ZONE, add_steps, due_in_words

if TYPE_CHECKING:  # an action is loaded on use: a quick start
    from cubital.educator.left import Left
    from cubital.educator.mark import Marked
    from cubital.marking.cohort.changed import Changes

_WORKSPACE = "the cohort's folder (default: this one)"
UNMARKED = 3  # what a step ends with that left something handed in untaken or unmarked
_MOST_SAID = 20
_NONE_WRITTEN = "no mark of this run was written."


def add_commands(commands: Subcommands) -> None:
    """Add ``cohort`` with its steps."""
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
    create.add_argument(
        "--core",
        action="store_true",
        help="ask the core alone, three hours at most, and leave the rest to practise",
    )

    form = add_command(
        steps,
        "parallel",
        _parallel,
        "lay out a parallel form for learners who are too near to decide",
    )
    form.add_argument("--to", type=Path, required=True, help="the folder of that form, a new one")

    release = add_command(steps, "release", _release, "make the file that learners get")
    release.add_argument("worksheet")
    release.add_argument("--name", required=True, help="the release's name, such as spring-2027")
    release.add_argument(
        "--described",
        action="store_true",
        help="also make a file with other pictures, all in words, for learners who cannot see them",
    )

    release.add_argument(
        "--due",
        metavar="DATE",
        help="when hand-ins are due, a date with an hour: “2027-03-05 17:00”",
    )
    release.add_argument("--time-zone", default="", help=ZONE)

    for name, run, words in (
        ("collect", _collect, "take the hand-ins from the inbox"),
        ("mark", _mark, "mark what was collected"),
        ("feedback", _feedback, "write a page of marks and reasons for each learner"),
        ("report", _report, "write the cohort's report and the marks as CSV"),
    ):
        add_command(steps, name, run, words).add_argument("worksheet")
    steps.choices["mark"].add_argument(
        "--unprotected",
        action="store_true",
        help="run learners' code without a sandbox: it can then read, send and change all that "
        "you can",
    )
    add_steps(steps)
    second_chance.add_steps(steps)
    for step in steps.choices.values():
        step.add_argument("--workspace", type=Path, default=Path(), help=_WORKSPACE)


def _workspace(given: argparse.Namespace) -> Path:
    """Return the cohort's folder; what is none raises before anything is shown."""
    from cubital.educator.workspace import opened  # noqa: PLC0415

    return opened(given.workspace).workspace


def _create(given: argparse.Namespace) -> int:
    from cubital.educator.create import create  # noqa: PLC0415

    made = create(
        given.workspace, given.roster, replace_roster=given.replace_roster, core=given.core
    )
    print(f"The cohort's folder is {made.workspace}; {made.learners} learners are on")
    print(f"{made.roster_file}. Hand-ins go into {made.inbox}.")
    if given.core:
        print("The core alone is asked: bank.toml there lists the questions that are off.")
    if made.note:
        print(made.note)
    return 0


def _parallel(given: argparse.Namespace) -> int:
    from cubital.educator.parallel import parallel  # noqa: PLC0415

    laid = parallel(given.workspace, given.to)
    print(f"A parallel form for {len(laid.learners)} learners: {', '.join(laid.learners)}.")
    print("Release each of these, under one name, and collect and mark them there:")
    for worksheet in laid.worksheets:
        print(f"cubital cohort release {worksheet} --workspace {laid.workspace} --name NAME")
    print("Then make report and feedback again: both sums together decide, never the better.")
    return 0


def _release(given: argparse.Namespace) -> int:
    from cubital.educator.describe import describe  # noqa: PLC0415
    from cubital.educator.due import read_local  # noqa: PLC0415
    from cubital.educator.release import release  # noqa: PLC0415

    due = None if given.due is None else read_local(given.due, given.time_zone)
    with Bar("picture", shown=sys.stderr.isatty()) as bar:
        released = release(
            given.workspace, given.worksheet, given.name, due=due, rendered=bar.pictures
        )
    print(
        f"Give this file to your learners:\n{released.handout}\n"
        "They open it with: cubital open FILE"
    )
    if released.due is not None:
        for line in due_in_words(released.due):
            print(line)
    if given.described:
        with Bar("picture", shown=sys.stderr.isatty()) as bar:
            described = describe(given.workspace, given.worksheet, rendered=bar.pictures)
        print(
            "With pictures of its own, all in words, for learners who have this adjustment:\n"
            f"{described.handout}"
        )
    return 0


def _collect(given: argparse.Namespace) -> int:
    from cubital.educator.collect import collect  # noqa: PLC0415

    collected = collect(given.workspace, given.worksheet)
    print(f"{len(collected.handed_in)} of {collected.learners} learners have handed in.")
    for row in collected.passed_over:
        print(f"Passed over: {row.reason}. {row.action}")
    return _last_words("Not taken", collected.left)


def _mark(given: argparse.Namespace) -> int:
    from cubital.educator.mark import mark  # noqa: PLC0415

    workspace = _workspace(given)
    done = _NONE_WRITTEN
    try:
        with (
            tqdm(desc="Running code", unit="hand-in") as running,
            tqdm(desc="Marking", unit="hand-in") as bar,
        ):
            try:
                marked = mark(
                    workspace,
                    given.worksheet,
                    progress=_moving(bar),
                    ran=_moving(running),
                    unprotected=given.unprotected,
                )
            finally:
                done = _done(bar)
    except KeyboardInterrupt:
        print(f"\nStopped: {done} Mark again to mark all.")
        raise
    for line in _marks_in_words(marked):
        print(line)
    _say_changes(marked.changes)
    return _last_words("Not marked", marked.left)


def _done(bar: tqdm) -> str:
    if not bar.n:
        return _NONE_WRITTEN
    return f"the marks of {bar.n} of {bar.total} hand-ins were written."


def _marks_in_words(marked: "Marked") -> list[str]:
    """Count the states; name what was refused or waits again, and who had the described version."""
    lines = [f"{number} {state}" for state, number in marked.states.items()]
    lines += [
        f"{row.learner}: “{row.title}”: {row.state}: {row.reason}" for row in marked.open_items
    ]
    if marked.waiting:
        wait = "1 answer waits" if marked.waiting == 1 else f"{marked.waiting} answers wait"
        lines.append(f"{wait} to be marked by hand, in nbgrader's form grader.")
    lines += [
        f"{learner}: asked in the described version: {', '.join(items)}"
        for learner, items in marked.described.items()
    ]
    return lines


def _feedback(given: argparse.Namespace) -> int:
    from cubital.educator.feedback import write_feedback  # noqa: PLC0415

    workspace = _workspace(given)
    with tqdm(desc="Feedback", unit="page") as bar:
        returned = write_feedback(workspace, given.worksheet, progress=_moving(bar))
    print(f"{len(returned.pages)} pages are in {returned.folder}, a folder for each learner.")
    return _last_words("Not marked", returned.left)


def _report(given: argparse.Namespace) -> int:
    from cubital.educator.report import report  # noqa: PLC0415

    reported = report(given.workspace, given.worksheet)
    print(
        f"The report is {reported.page}\nThe marks are {reported.marks}\n"
        f"All worksheets on one page: {reported.overview}"
    )
    _say_changes(reported.changes)
    return _last_words("Not marked", reported.left)


def _say_changes(changes: "Changes") -> None:
    """Say what was changed since the release, and when it comes into force."""
    if words := changes.in_words():
        print(words)


def _last_words(title: str, left: "Sequence[Left]") -> int:
    """Say what was left, a line each, and return what the step ends with."""
    for row in left[:_MOST_SAID]:
        said = f"Look at: {row.who}: " if row.to_look_at else f"{title}: {row.who}: {row.state}: "
        said = f"Not counted: {row.who}: " if row.late else said
        print(f"{said}{row.reason}. {row.action}")
    if len(left) > _MOST_SAID:
        print(f"And {len(left) - _MOST_SAID} more, which the report names.")
    return UNMARKED if left else 0


def _moving(bar: tqdm) -> Callable[[int, int, str], None]:
    def progress(done: int, total: int, _whose: str) -> None:
        bar.total = total
        bar.update(done - bar.n)

    return progress
