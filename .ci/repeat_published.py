"""Run the checks against outside sources many times, each time in another order.

    .venv/bin/python .ci/repeat_published.py [--times N] [--first SEED] [options of pytest]

Each run has a seed: Python hashes strings by it (``PYTHONHASHSEED``), and the tests are shuffled by
it. The first run that fails ends all, with its seed; ``--times 1 --first SEED`` makes that run
again.
"""

import argparse
import os
import random
import subprocess
import sys
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[1]
FOLDER = "tests/published"
TIMES = 20
PASSED = 0
SEED_NAME = "PYTHONHASHSEED"


class Shuffled:
    """A plugin of pytest that runs the tests in an order of its own."""

    def __init__(self, seed: int) -> None:
        self.seed = seed

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Shuffle the tests that are to run."""
        random.Random(self.seed).shuffle(items)


def main(arguments: list[str]) -> int:
    """Make the runs, or, with a seed from the one above, one of them."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    parser.add_argument("--times", type=int, default=TIMES)
    parser.add_argument("--first", type=int, default=1, metavar="SEED")
    parser.add_argument("--within", action="store_true", help=argparse.SUPPRESS)
    given, options = parser.parse_known_args(arguments)
    if given.within:
        tests = ["--quiet", "-p", "no:cacheprovider", *(options or [FOLDER])]
        return int(pytest.main(tests, [Shuffled(given.first)]))
    for seed in range(given.first, given.first + given.times):
        print(f"seed {seed}", flush=True)
        once = [sys.executable, __file__, "--within", "--first", str(seed), *options]
        code = subprocess.call(once, cwd=CHECKOUT, env=os.environ | {SEED_NAME: str(seed)})
        if code != PASSED:
            print(f"Seed {seed} failed. To make that run again: --times 1 --first {seed}")
            return code
    print(f"{given.times} runs passed, seeds {given.first} to {given.first + given.times - 1}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
