"""Mark copies of a workspace in processes of their own, each killed at its moment.

Lines on standard input say where and when, and a line is answered when that process has ended:

    whole WORKSPACE          it is not killed; the answer says how many calls it took, and how long
    call NUMBER WORKSPACE    it kills itself at that call of a function
    time SECONDS WORKSPACE   it is killed so long after it began

Both are counted from when the hand-ins that count are put in their place.
"""

import os
import select
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from cubital.marking.cohort.course import Course
from cubital.marking.marks import marker, writer


def main(worksheet: str) -> None:
    """Answer the lines of standard input."""
    writer._AT_ONCE = 3  # so that there are several transactions
    for line in sys.stdin:
        kind, *moment, workspace = line.rstrip("\n").split(" ", 2 if line[0] in "ct" else 1)
        told, tells = os.pipe()
        pid = os.fork()
        if pid == 0:
            os.close(told)
            calls = int(moment[0]) if kind == "call" else 0
            mark(Course(Path(workspace)), worksheet, tells, calls, counted=kind != "time")
            os._exit(0)
        os.close(tells)
        with open(told, "rb", buffering=0) as begun:
            begun.read(1)
            start = time.monotonic()
            ended = os.pidfd_open(pid)
            select.select([ended], [], [], float(moment[0]) if kind == "time" else None)
            took = time.monotonic() - start
            signal.pidfd_send_signal(ended, signal.SIGKILL)
            os.close(ended)
            _, status = os.waitpid(pid, 0)
            calls = begun.read(20).decode() or "0"
        print(os.waitstatus_to_exitcode(status), calls, took, flush=True)


def mark(course: Course, worksheet: str, tells: int, last: int, *, counted: bool) -> None:
    """Mark, and tell when the first hand-in is placed and how many calls were made from then on."""
    calls = 0

    def count(_frame: Any, _event: str, _of: Any) -> None:
        nonlocal calls
        calls += 1
        if calls == last:
            os.kill(os.getpid(), signal.SIGKILL)

    def begin(place: Callable[..., Any]) -> Callable[..., Any]:
        def placed(*given: Any, **more: Any) -> Any:
            os.write(tells, b".")
            if counted:
                sys.setprofile(count)
            return place(*given, **more)

        return placed

    marker.settle = begin(marker.settle)
    marker.mark(course, worksheet)
    sys.setprofile(None)
    os.write(tells, str(calls).encode())


if __name__ == "__main__":
    main(sys.argv[1])
