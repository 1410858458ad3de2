"""Have the items read by somebody who did not write them and has no key; then compare.

.venv/bin/python .ci/reading.py pages FOLDER [--only WORKSHEET ...]
"""

import argparse
from pathlib import Path

import reading_pages

from cubital import items


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    commands = parser.add_subparsers(dest="command", required=True)
    pages = commands.add_parser("pages", help="write what a reader sees, and forms for answers")
    pages.add_argument("folder", type=Path)
    pages.add_argument("--only", nargs="+", choices=list(items.WORKSHEETS), metavar="WORKSHEET")
    given = parser.parse_args()
    reading_pages.write_pages(given.folder, given.only or list(items.WORKSHEETS))


if __name__ == "__main__":
    main()
