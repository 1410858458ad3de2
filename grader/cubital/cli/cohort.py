"""What an educator asks for: lay out a cohort, release, collect, mark, return, report, demo."""

import argparse
from pathlib import Path

from cubital.cli.commands import add_command


def add_commands(commands: argparse._SubParsersAction) -> None:
    """Add ``cohort`` with its steps, and ``demo``."""

    demo = add_command(commands, "demo", _demo, "play a whole cohort of invented learners")
    demo.add_argument("--workspace", type=Path, help="a folder for it (default: a new one)")
    demo.add_argument("--learners", type=int, default=24, help="how many (default: 24)")
    demo.add_argument("--seed", type=int, default=1, help="which play (default: 1)")


def _demo(given: argparse.Namespace) -> int:
    from cubital import demo  # noqa: PLC0415

    return demo.run(given.workspace, learners=given.learners, seed=given.seed)
