"""The command `cubital`: what is typed and what stands in the terminal, bars, exit statuses,
Ctrl-C. Each subcommand hands over to a folder below."""

import argparse
import io
import os
import sys

from cubital import __version__
from cubital.cli import bank, cohort, demo, learner, light, pictures, refresh, site

_OWNERS_ONLY = 0o077  # what the command or a library of its writes, no other user of it reads


def main(arguments: list[str] | None = None) -> int:
    """Run the command and return its exit code.

    0 done, 1 said why not, 2 asked wrongly, 3 done but for hand-ins that were left (`cohort`),
    130 stopped by Ctrl-C.
    """
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a file or pipe of Windows-1252 has no Ł
            stream.reconfigure(errors="backslashreplace")
    mask = os.umask(_OWNERS_ONLY)
    try:
        given = parser().parse_args(arguments)
        code: int = given.run(given)
        return code
    except (ValueError, OSError, RuntimeError) as error:
        print(f"cubital: {error}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped. Everything saved so far stays.")
        return 130  # 128 and the number of SIGINT, as shells have it
    finally:
        os.umask(mask)


def parser() -> argparse.ArgumentParser:
    """Return what reads the command line."""
    command = argparse.ArgumentParser(
        prog="cubital",
        description="A course on near-infrared vein imaging and peripheral access. For training: "
        "local policy, the device's instructions for use and licensed practice decide.",
    )
    command.add_argument("--version", action="version", version=f"cubital {__version__}")
    commands = command.add_subparsers(required=True, metavar="COMMAND")
    learner.add_commands(commands)
    refresh.add_commands(commands)
    cohort.add_commands(commands)
    demo.add_commands(commands)
    bank.add_commands(commands)
    light.add_commands(commands)
    pictures.add_commands(commands)
    site.add_commands(commands)
    return command
