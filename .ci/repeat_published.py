"""Run the checks against outside sources many times, each time in another order.

    .venv/bin/python .ci/repeat_published.py [--times N] [--first SEED] [--folder FOLDER]
        [options of pytest]

Each run has a seed: Python hashes strings by it (``PYTHONHASHSEED``), and the tests are shuffled by
it. Two runs go at a time. After one that fails no other is begun, and its seed is named;
``--times 1 --first SEED`` makes that run again.
"""

import argparse
import os
import random
import subprocess
import sys
import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[1]
FOLDER = "tests/published"
TIMES = 20
AT_A_TIME = 2
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
    parser.add_argument("--folder", default=FOLDER, help="the tests to run")
    parser.add_argument("--within", action="store_true", help=argparse.SUPPRESS)
    given, options = parser.parse_known_args(arguments)
    if given.within:
        tests = ["--quiet", "-p", "no:cacheprovider", given.folder, *options]
        return int(pytest.main(tests, [Shuffled(given.first)]))
    seeds = range(given.first, given.first + given.times)
    failed = threading.Event()

    def run(seed: int) -> int:
        if failed.is_set():
            return PASSED
        chosen = ["--first", str(seed), "--folder", given.folder]
        once = [sys.executable, __file__, "--within", *chosen, *options]
        environment = os.environ | {SEED_NAME: str(seed)}
        done = subprocess.run(
            once, cwd=CHECKOUT, env=environment, capture_output=True, text=True, check=False
        )
        print(f"seed {seed}\n{done.stdout}{done.stderr}", flush=True)
        if done.returncode != PASSED:
            failed.set()
            print(f"Seed {seed} failed. To make that run again: --times 1 --first {seed}")
        return done.returncode

    with ThreadPoolExecutor(AT_A_TIME) as pool:
        code = max(map(abs, pool.map(run, seeds)))
    if code == PASSED:
        print(f"{given.times} runs passed, seeds {seeds[0]} to {seeds[-1]}")
    return code


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
