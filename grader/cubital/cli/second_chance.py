"""What an educator asks for about a principle that a learner missed."""

import argparse
from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING

from cubital.cli.commands import Subcommands, add_command

if TYPE_CHECKING:  # an action is loaded on use: a quick start
    from cubital.educator.second_chance.recording import Recorded
    from cubital.handin.principles.standing import Standing

_BY = "the name of the person who did it (default: the account's name)"
_ON = "the day, such as 2027-03-05 (default: today)"
REASONS = "not-known, misread, slip-of-hand or other"


def add_steps(steps: Subcommands) -> None:
    """Add ``principles``, ``talk``, ``retake``, ``observed`` and ``decide`` to ``cohort``."""
    listed = add_command(
        steps, "principles", _principles, "list how learners stand on a worksheet's principles"
    )
    listed.add_argument("worksheet")
    listed.add_argument("--learner", default="", help="of this learner alone")
    listed.add_argument("--all", action="store_true", help="also learners who passed")

    talk = _about(steps, "talk", _talk, "record a talk about a principle that was missed")
    talk.add_argument("--reason", required=True, help=f"why it was missed: {REASONS}")
    _when(talk)

    again = _about(steps, "retake", _retake, "make the file of a retake of a principle")
    again.add_argument("--by", default="", help=_BY)

    _when(_about(steps, "observed", _observed, "record that somebody watched their practice"))

    decision = _about(steps, "decide", _decide, "record a decision after the last retake")
    decision.add_argument("decision", choices=("passed", "not-passed"))
    _when(decision)


def _about(
    steps: Subcommands, name: str, run: Callable[[argparse.Namespace], int], words: str
) -> argparse.ArgumentParser:
    step = add_command(steps, name, run, words)
    step.add_argument("principle", help="such as nerve: “principles” lists them")
    step.add_argument("learner")
    return step


def _when(step: argparse.ArgumentParser) -> None:
    step.add_argument("--by", default="", help=_BY)
    step.add_argument("--on", type=date.fromisoformat, default=None, help=_ON)


def _principles(given: argparse.Namespace) -> int:
    from cubital.educator.second_chance.retake import standings  # noqa: PLC0415

    found = standings(given.workspace, given.worksheet, learner=given.learner)
    shown = [one for one in found if given.all or one.to_do or not one.passed]
    for one in shown:
        print(_line(one))
    if not shown:
        print("Everybody passed." if found else f"“{given.worksheet}” asks for no principle.")
    return 0


def _line(one: "Standing") -> str:
    return f"{one.learner}, {one.principle}: {one.in_words}.{f' {one.to_do}' if one.to_do else ''}"


def _talk(given: argparse.Namespace) -> int:
    from cubital.educator.second_chance.recording import talk  # noqa: PLC0415

    return _told(
        talk(
            given.workspace,
            given.principle,
            given.learner,
            reason=given.reason,
            by=given.by,
            on=given.on,
        )
    )


def _observed(given: argparse.Namespace) -> int:
    from cubital.educator.second_chance.recording import observe  # noqa: PLC0415

    return _told(observe(given.workspace, given.principle, given.learner, by=given.by, on=given.on))


def _decide(given: argparse.Namespace) -> int:
    from cubital.educator.second_chance.recording import PASSED, decide  # noqa: PLC0415

    return _told(
        decide(
            given.workspace,
            given.principle,
            given.learner,
            passed=given.decision == PASSED,
            by=given.by,
            on=given.on,
        )
    )


def _told(recorded: "Recorded") -> int:
    print(f"Recorded by {recorded.record.by}. {_line(recorded.standing)}")
    return 0


def _retake(given: argparse.Namespace) -> int:
    from cubital.educator.second_chance.retake import retake  # noqa: PLC0415

    made = retake(given.workspace, given.principle, given.learner, by=given.by)
    print(
        f"Give this file to {given.learner}, attempt {made.attempt}:\n{made.handout}\n"
        f"When it is handed in: cubital cohort collect {made.worksheet}, and mark the same."
    )
    return 0
