"""How a subcommand is added."""

import argparse
from collections.abc import Callable
from typing import TypeAlias

Subcommands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"


def add_command(
    commands: Subcommands,
    name: str,
    run: Callable[[argparse.Namespace], int],
    words: str,
) -> argparse.ArgumentParser:
    """Add a subcommand that ``run`` carries out, described by ``words``."""
    command = commands.add_parser(name, help=words, description=words[0].upper() + words[1:] + ".")
    command.set_defaults(run=run)
    return command
