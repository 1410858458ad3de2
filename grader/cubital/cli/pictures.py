"""Simulated pictures for a release, with their truth sealed apart."""

import argparse
from pathlib import Path

from cubital.cli.bars import Bar
from cubital.cli.commands import Subcommands, add_command


def add_commands(commands: Subcommands) -> None:
    """Add ``scenes``."""
    command = add_command(
        commands, "scenes", _scenes, "render simulated pictures and series, and seal their truth"
    )
    command.add_argument("folder", type=Path, help="gets pictures/ and sealed/; see below")
    command.add_argument("--number", type=int, help="how many, in the usual parts of each kind")
    command.add_argument(
        "--kind",
        nargs=2,
        action="append",
        metavar=("KIND", "NUMBER"),
        help="how many of one kind, instead; give it again for each kind",
    )
    command.add_argument(
        "--seed",
        help="fixes every byte; keep it sealed too (default: a secret one, drawn and sealed)",
    )
    command.add_argument("--processes", type=int, help="at the same time (default: one a core)")
    command.epilog = (
        "pictures/ is for learners: its files tell nothing but their pictures. sealed/ has the "
        "truth, difficulty and description of each, and stays with the educator. A run that was "
        "stopped goes on where it was: give the same command again. Simulated, not clinically "
        "validated."
    )


def _scenes(given: argparse.Namespace) -> int:
    from cubital.scene import NOTICE  # noqa: PLC0415 - on use: the command starts quickly
    from cubital.scene.files import pools  # noqa: PLC0415 - on use: the command starts quickly

    jobs = None if given.kind is None else _counts(given.kind)
    with Bar("picture") as bar:
        pool = pools.render_pool(
            given.folder,
            number=given.number,
            jobs=jobs,
            seed=given.seed,
            processes=given.processes,
            progress=bar.pictures,
        )
    print(f"{len(pool.jobs)} pictures in {pool.pictures}: {NOTICE}.")
    print(f"Their truth is in {pool.sealed}. Keep it, and the seed, from learners.")
    return 0


def _counts(given: list[list[str]]) -> dict[str, int]:
    """Return how many of each kind are asked for."""
    counts: dict[str, int] = {}
    for kind, number in given:
        if not number.isdecimal():
            raise ValueError(f"number of pictures of kind {kind!r} is {number!r}: give digits")
        counts[kind] = counts.get(kind, 0) + int(number)
    return counts
