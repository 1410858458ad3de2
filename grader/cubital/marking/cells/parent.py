"""The process inside bubblewrap as the marker has it: started, given jobs, ended with all of them.

See `forking` for what it does there.
"""

import contextlib
import json
import os
import selectors
import socket
import subprocess
import tempfile
import threading
import time
from collections.abc import Iterable
from contextlib import ExitStack
from io import FileIO
from pathlib import Path
from typing import Any

from cubital.marking.cells import bubblewrap
from cubital.marking.cells.forking import NESTED
from cubital.marking.cells.places import LARGEST_ANSWERS, Ran, RunnerError

_GRACE_S = 60.0  # how much longer than its time a job may take to come and go, on a busy machine
_END_S = 5.0
_AT_ONCE = 65536  # bytes
_LONGEST_WORDS = 300


class BrokenError(RunnerError):
    """The process inside bubblewrap is not there, or does not answer."""


class Parent:
    """A process inside bubblewrap that has Python loaded, and forks one for each job."""

    def __init__(self, program: str, way: str, closed: Iterable[Path]) -> None:
        self._control, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        self._sending = threading.Lock()
        self._errors = tempfile.TemporaryFile()  # noqa: SIM115 - closed by `end`
        run = ["-m", "cubital.marking.cells.forking", str(theirs.fileno()), way]
        with theirs:
            self._process = subprocess.Popen(
                bubblewrap.command(program, run, closed, nested=way == NESTED),
                env=bubblewrap.environment(),
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=self._errors,
                pass_fds=[theirs.fileno()],
            )

    @property
    def ended(self) -> bool:
        """Whether it is not there any more."""
        return self._process.poll() is not None

    def end(self) -> None:
        """End it and all that it started, which the kernel ends with it."""
        with contextlib.suppress(OSError):
            self._control.shutdown(socket.SHUT_RDWR)
        try:
            self._process.wait(_END_S)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        self._control.close()
        self._errors.close()

    def run(self, job: bytes, seconds: float) -> Ran:
        """Run a job, given as JSON.

        Raises
        ------
        BrokenError
            The process inside bubblewrap is gone, or does not answer in time.
        RunnerError
            The one that it forked could not be closed in.
        """
        with ExitStack() as ours:
            with ExitStack() as theirs:
                job_out, job_in = _pipe(reader=theirs, writer=ours)
                answers_out, answers_in = _pipe(reader=ours, writer=theirs)
                near, far = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
                ours.enter_context(near)
                theirs.enter_context(far)
                told = json.dumps({"seconds": seconds}).encode()
                given = [job_out.fileno(), answers_in.fileno(), far.fileno()]
                try:
                    with self._sending:
                        socket.send_fds(self._control, [told], given)
                except OSError as error:
                    raise self._broken() from error
            answers, end = self._exchange(job, job_in, answers_out, near, seconds)
        if end["fault"]:
            raise RunnerError(f"the process for the cells could not be closed in: {end['fault']}")
        return Ran(answers, int(end["code"]), bool(end["timed_out"]))

    def _exchange(
        self, job: bytes, job_in: FileIO, answers_out: FileIO, near: socket.socket, seconds: float
    ) -> tuple[bytes | None, dict[str, Any]]:
        """Send a job, and return its answers, None if they are too large, and its end."""
        end: dict[str, Any] | None = None
        answers, left = b"", memoryview(job)
        os.set_blocking(job_in.fileno(), False)
        until = time.monotonic() + seconds + _GRACE_S
        with selectors.DefaultSelector() as waiting:
            waiting.register(job_in, selectors.EVENT_WRITE)
            waiting.register(answers_out, selectors.EVENT_READ)
            waiting.register(near, selectors.EVENT_READ)
            while end is None or answers_out in waiting.get_map():
                ready = {key.fileobj for key, _ in waiting.select(until - time.monotonic())}
                if not ready:
                    raise BrokenError("the process for the cells did not end in its time")
                if job_in in ready:
                    left = left[_written(job_in, left) :]
                    if not left:
                        waiting.unregister(job_in)
                        job_in.close()
                if answers_out in ready:
                    more = answers_out.read(_AT_ONCE)
                    answers += more
                    if not more or len(answers) > LARGEST_ANSWERS:
                        waiting.unregister(answers_out)
                    if len(answers) > LARGEST_ANSWERS:
                        near.shutdown(socket.SHUT_WR)  # by which its keeper ends it
                if near in ready:
                    told = near.recv(_AT_ONCE)
                    if not told:
                        raise self._broken()
                    waiting.unregister(near)
                    end = json.loads(told)
        return (None if len(answers) > LARGEST_ANSWERS else answers), end

    def _broken(self) -> BrokenError:
        """Return why it is gone, in its own last words."""
        with contextlib.suppress(subprocess.TimeoutExpired):
            self._process.wait(_END_S)
        try:
            self._errors.seek(0)
            lines = self._errors.read().decode("utf-8", "replace").strip().splitlines()
        except ValueError:
            return BrokenError("it was ended")
        return BrokenError(lines[-1][:_LONGEST_WORDS] if lines else "it ended and said nothing")


def _pipe(*, reader: ExitStack, writer: ExitStack) -> tuple[FileIO, FileIO]:
    """Return a pipe's two ends, each to be closed with its own stack."""
    out, into = os.pipe()
    return reader.enter_context(FileIO(out, "rb")), writer.enter_context(FileIO(into, "wb"))


def _written(pipe: FileIO, data: memoryview) -> int:
    """Write what a pipe takes now, and return how much of the data is done with."""
    try:
        return pipe.write(data[:_AT_ONCE]) or 0
    except BrokenPipeError:  # nobody reads it any more
        return len(data)
