"""The demo: a whole cohort of invented learners, from release to report."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from cubital.cli.bars import Bar
from cubital.cli.commands import Subcommands, add_command

if TYPE_CHECKING:  # it is loaded on use: a quick start
    from cubital.demo import Played

_MOST_SAID = 20


def add_commands(commands: Subcommands) -> None:
    """Add ``demo``."""
    demo = add_command(commands, "demo", _demo, "play a whole cohort of invented learners")
    demo.add_argument("--workspace", type=Path, help="a folder for it (default: a new one)")
    demo.add_argument("--learners", type=int, default=24, help="how many (default: 24)")
    demo.add_argument("--seed", type=int, default=1, help="which play (default: 1)")


def _demo(given: argparse.Namespace) -> int:
    from cubital import demo  # noqa: PLC0415

    with Bar("step") as bar:
        played = demo.run(
            given.workspace, learners=given.learners, seed=given.seed, progress=bar.move
        )
    for line in _in_words(played):
        print(line)
    return 1 if played.differences else 0


def _in_words(played: "Played") -> list[str]:
    """Say what was played, whether each mark is what was put in, and where to look at it."""
    counted = ", ".join(f"{number} {state}" for state, number in played.states.items() if number)
    lines = [
        f"\n{played.learners} invented learners: {counted}; {played.waiting} of the texts "
        "still waiting for hand-marking."
    ]
    if played.differences:
        lines.append(f"{len(played.differences)} marks differ from what was put in:")
        lines += [f"  {line}" for line in played.differences[:_MOST_SAID]]
    else:
        lines.append("Every mark equals what was put in.")
    example = played.pages[0] if played.pages else "none"
    lines.append(
        f"\n  report    {played.reported.page}\n"
        f"  overview  {played.reported.overview}\n"
        f"  marks     {played.reported.marks}\n"
        f"  feedback  {example}\n"
        f"            and {max(0, len(played.pages) - 1)} more\n"
        f"  course    {played.workspace} (an nbgrader course with its gradebook)\n"
        f"  handout   {played.handout}"
    )
    return lines
