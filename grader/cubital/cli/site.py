"""The course as a site: one folder for a web server, or tried on this computer."""

import argparse
import webbrowser
from pathlib import Path

from cubital.cli.commands import Subcommands, add_command


def add_commands(commands: Subcommands) -> None:
    """Add ``site``."""
    site = add_command(
        commands, "site", _site, "build the course as a folder of files that runs in a browser"
    )
    site.add_argument("--to", type=Path, required=True, help="the folder to build, or build anew")
    site.add_argument(
        "--pyodide",
        type=Path,
        metavar="PATH",
        help="a folder or archive with Pyodide's files (default: those taken before, then "
        "Pyodide's own release)",
    )
    site.add_argument(
        "--release",
        type=Path,
        action="append",
        default=[],
        metavar="ZIP",
        help="a released worksheet, as it is given out, to be opened on the first page; may be "
        "given several times",
    )
    site.add_argument("--serve", action="store_true", help="try it on this computer")
    site.add_argument("--port", type=int, default=0, help="where --serve serves (default: any)")
    site.add_argument("--no-browser", action="store_true", help="with --serve, open no browser")


def _site(given: argparse.Namespace) -> int:
    from cubital.site import building, for_it, serving  # noqa: PLC0415

    folder = given.to.expanduser().resolve()
    building.build(
        folder,
        released=[path.expanduser() for path in given.release],
        given=given.pyodide and given.pyodide.expanduser(),
    )
    print(f"The site is in {folder}. Copy the whole folder to a web server; {for_it.FOR_IT} in")
    print("it says what to set there, and where what a learner enters stays: in their browser.")
    if given.serve:
        with serving.served(folder, given.port) as address:
            print(f"Ready at {address}")
            print("Keep this window open; press Ctrl + C here when you are done.", flush=True)
            if not given.no_browser:
                webbrowser.open(address)
            serving.wait()
    return 0
