"""One command serves a learner's folder, and its end ends the server."""

import contextlib
import signal
import threading
import time
from collections.abc import Iterator
from pathlib import Path

from filelock import FileLock, Timeout

from cubital.handin.files import own_folder

_PATIENT_SECONDS = 20  # longer than the server gets to end by itself


@contextlib.contextmanager
def ended_by_signals() -> Iterator[None]:
    """Let a request to end, or a closed terminal, end the command as Ctrl + C does.

    So the server ends with it. A closed terminal asks twice, by both signals: what is asked within
    a few seconds of the first is no second request. In a thread nothing is changed: only the main
    one gets signals.
    """
    known = [getattr(signal, name, None) for name in ("SIGTERM", "SIGHUP")]
    here = threading.current_thread() is threading.main_thread()
    signals = [number for number in known if number is not None] if here else []

    asked: list[float] = []

    def end(_number: int, _frame: object) -> None:
        now = time.monotonic()
        if not asked or now - asked[-1] > _PATIENT_SECONDS:
            asked.append(now)
            raise KeyboardInterrupt

    before = {number: signal.signal(number, end) for number in signals}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


@contextlib.contextmanager
def only_one(state: Path) -> Iterator[bool]:
    """Tell whether this is the only command that serves from a folder; others wait for nothing."""
    own_folder(state.parent)
    own_folder(state)
    try:
        with FileLock(state / "serving.lock", timeout=0):
            yield True
    except Timeout:
        yield False
