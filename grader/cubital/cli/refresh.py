"""What a clinician who qualified before asks for: a few minutes of what is due."""

import argparse
from pathlib import Path

from cubital.cli.commands import Subcommands, add_command
from cubital.cli.learner import lab_options, learner_id, learner_options, show, workspace_of


def add_commands(commands: Subcommands) -> None:
    """Add ``refresh``."""
    command = add_command(
        commands, "refresh", _refresh, "ask what is due, for somebody who qualified before"
    )
    command.add_argument(
        "--minutes", type=float, default=15.0, help="how long it shall take (default: 15)"
    )
    command.add_argument(
        "--due", action="store_true", help="only list what is due when, and open nothing"
    )
    command.add_argument(
        "--merge",
        type=Path,
        metavar="FILE",
        help="take over the reviews in another computer's refresh.json, and open nothing",
    )
    learner_options(command)
    lab_options(command)


def _refresh(given: argparse.Namespace) -> int:
    from cubital.study import folders, refreshing  # noqa: PLC0415

    refreshing.check_minutes(given.minutes)
    learner, workspace = learner_id(given), workspace_of(given)
    if given.merge is not None:
        number = refreshing.merge(workspace, learner, given.merge)
        folders.remember_learner(workspace, learner)
        print(f"{number} reviews taken over for {learner}; none are counted twice.")
    if given.due:
        print(_due_table(workspace, learner))
    if given.due or given.merge is not None:
        return 0
    opened = refreshing.lay_out_refresh(workspace, learner, minutes=given.minutes)
    if opened is None:
        print(f"Nothing is due for {learner} today.\n\n{_due_table(workspace, learner)}")
        return 0
    return show(given, learner, workspace, opened)


def _due_table(workspace: Path, learner: str) -> str:
    from cubital.handin.ids import canonical_id  # noqa: PLC0415
    from cubital.refresh import due  # noqa: PLC0415
    from cubital.refresh.critical import local_days  # noqa: PLC0415
    from cubital.study import refreshing  # noqa: PLC0415

    now = due.here_and_now()
    local = local_days(workspace.resolve() / canonical_id(learner))
    return due.in_lines(refreshing.learners_standings(workspace, learner, now), now, local)
