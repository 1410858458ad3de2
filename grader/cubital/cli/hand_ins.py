"""What an educator asks about hand-ins: when they are due, which there are, which one counts."""

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING

from cubital.cli.commands import Subcommands, add_command

if TYPE_CHECKING:  # an action is loaded on use: a quick start
    from cubital.educator.due import DueDates
    from cubital.educator.hand_ins import HandIn, OfLearner

ZONE = "the time zone of the date, such as Europe/Berlin (default: this computer's)"


def add_steps(steps: Subcommands) -> None:
    """Add ``due``, ``hand-ins`` and ``choose`` to the steps of ``cohort``."""
    due = add_command(steps, "due", _due, "show or set when the hand-ins to a worksheet are due")
    due.add_argument("worksheet")
    due.add_argument("--release", default="", help="of which release (default: the present one)")
    due.add_argument("--learner", default="", help="give this learner an extension, no one else")
    change = due.add_mutually_exclusive_group()
    change.add_argument("--at", metavar="DATE", help="a date with an hour: “2027-03-05 17:00”")
    change.add_argument("--none", action="store_true", help="take the date back")
    due.add_argument("--time-zone", default="", help=ZONE)

    listed = add_command(
        steps, "hand-ins", _hand_ins, "list all hand-ins, which one counts, and why"
    )
    listed.add_argument("worksheet", nargs="?", default="", help="(default: all)")
    listed.add_argument("--learner", default="", help="of this learner alone")

    chosen = add_command(steps, "choose", _choose, "choose which hand-in of a learner counts")
    chosen.add_argument("worksheet")
    chosen.add_argument("learner")
    chosen.add_argument(
        "hand_in",
        metavar="HAND-IN",
        help="the beginning of its id, as “hand-ins” lists it; “none” to let none count, “rule” to "
        "let them count by date again",
    )
    chosen.add_argument(
        "--reason",
        required=True,
        help="late-accepted, wrong-file, wrong-clock, learner-asked, cannot-be-marked, not-theirs, "
        "looked-into, taken-back, or other with a --note",
    )
    chosen.add_argument("--by", default="", help="who chooses (default: the account's name)")
    chosen.add_argument("--note", default="", help="a few words for the record")


def due_in_words(dates: "DueDates") -> Iterator[str]:
    """Say when a release is due, for everybody and for who has until later."""
    from cubital.educator.due import in_words  # noqa: PLC0415

    named = f"“{dates.release}” of “{dates.worksheet}”"
    if dates.due is None:
        yield f"{named} has no due date: the last hand-in of each learner counts."
        return
    yield f"{named} is due {in_words(dates.due.at)}."
    for learner, at in sorted(dates.due.extensions.items()):
        yield f"  {learner} has until {in_words(at)}."
    yield f"The dates are in {dates.file}."


def _due(given: argparse.Namespace) -> int:
    from cubital.educator.due import (  # noqa: PLC0415
        due_dates,
        read_local,
        set_due,
        take_back_due,
    )

    about = {"release": given.release}
    if given.at is not None:
        at = read_local(given.at, given.time_zone)
        dates = set_due(given.workspace, given.worksheet, at, learner=given.learner, **about)
    elif given.none:
        dates = take_back_due(given.workspace, given.worksheet, learner=given.learner, **about)
    else:
        dates = due_dates(given.workspace, given.worksheet, **about)
    for line in due_in_words(dates):
        print(line)
    if given.at is not None or given.none:
        print("Mark again: what the change does to who counts comes with that.")
    return 0


def _hand_ins(given: argparse.Namespace) -> int:
    from cubital.educator.hand_ins import hand_ins  # noqa: PLC0415

    listed = hand_ins(given.workspace, given.worksheet, learner=given.learner)
    for row in listed.learners:
        for line in _of_learner(row):
            print(line)
    if not listed.learners:
        print("No hand-in was collected yet.")
    print(listed.identity)
    return 0


def _of_learner(row: "OfLearner") -> Iterator[str]:
    none = "no hand-in counts"
    counts = row.counts.hand_in if row.counts else none
    yield f"{row.worksheet}, {row.learner}: {counts}{f': {row.why}' if row.why else ''}"
    for one in row.hand_ins:
        yield f"  {'*' if one.counts else ' '} {_one(one)}"
        for flag in one.flags:
            yield f"      {flag}"


def _one(row: "HandIn") -> str:
    from cubital.educator.due import in_words  # noqa: PLC0415

    attempt = f", attempt {row.attempt}" if row.attempt is not None else ""
    parts = (
        row.hand_in,
        f"handed in {in_words(row.said)}" if row.said else "says no time",
        f"arrived {in_words(row.arrived)}",
        f"release {row.release or 'not known'}{attempt}",
        row.state.replace("_", " ") or "not marked",
    )
    return "; ".join(parts)


def _choose(given: argparse.Namespace) -> int:
    from cubital.educator.choose import choose  # noqa: PLC0415

    chosen = choose(
        given.workspace,
        given.worksheet,
        given.learner,
        given.hand_in,
        reason=given.reason,
        by=given.by,
        note=given.note,
    )
    what = chosen.counts.hand_in if chosen.counts else "no hand-in"
    print(f"{given.learner}: {what} counts: {chosen.why}.")
    print("Mark again: it is marked with that.")
    return 0
