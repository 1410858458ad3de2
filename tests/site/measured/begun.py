"""What Python has of the computer it was started on."""

import os
import random
import sys
import time

from cubital.study import in_browser  # noqa: F401 - as the page does


def chance() -> float:
    """Return what the shared generator of numbers gives first."""
    return random.random()


def clock() -> int:
    """Return how far this computer's clock is from UTC, in s."""
    return time.localtime().tm_gmtoff


def environment() -> list[str]:
    """Return what is in the environment, and the name of the program."""
    return [*os.environ.values(), sys.executable, *sys.argv]
