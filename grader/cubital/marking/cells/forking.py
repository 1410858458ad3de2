"""The process inside bubblewrap that has Python loaded, and forks one for each hand-in.

``python -m cubital.marking.cells.forking CONTROL nested|alone`` takes jobs from the socket
CONTROL, one a message, with three descriptors each: where the job is read from, where the cells'
answers go, and a socket for how it ended. What a job says goes to its own process alone: this one
never reads it. Each job has two processes: a keeper, which waits and kills, and below it the one
that runs the cells. Whoever sends jobs ends all by closing CONTROL, and one job by closing its
socket; that happens too if the sender is killed.
"""

import gc
import importlib
import json
import math
import os
import random
import select
import signal
import socket
import sys
from collections.abc import Callable
from dataclasses import dataclass
from typing import NoReturn

import numpy as np

from cubital.marking.cells import confining, executing, seccomp

NESTED, ALONE = "nested", "alone"
_DESCRIPTORS = 3  # of a job
_LARGEST_TOLD = 1000  # bytes
_LARGEST_FAULT = 1000  # bytes


@dataclass(frozen=True)
class _Closing:
    """How each job is closed in: in namespaces of its own or not, with these system calls."""

    nested: bool
    filter_program: bytes


def main(control: socket.socket, way: str) -> None:
    """Serve until nobody can send any more."""
    closing = _Closing(way == NESTED, seccomp.program())
    _load()
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # keepers need nobody to wait for them
    gc.collect()
    gc.freeze()  # so that a fork does not copy what no cell changes
    while _taken(control, closing):
        pass
    os._exit(0)


def _taken(control: socket.socket, closing: _Closing) -> bool:
    """Give the next job to a keeper of its own, or tell that there will be none."""
    told, given, _flags, _address = socket.recv_fds(control, _LARGEST_TOLD, _DESCRIPTORS)
    if told:
        _fork(lambda: _keep(control, told, given, closing))
        for descriptor in given:
            os.close(descriptor)
    return bool(told)


def _load() -> None:
    """Import what worksheets import, so that no hand-in waits for it.

    A library of linear algebra starts threads when it is loaded, unless the environment says
    otherwise; a cell has neither, so it could not load scipy's.
    """
    importlib.import_module("scipy.linalg")
    importlib.import_module("cubital.worksheet")
    calc = importlib.import_module("cubital.calc")
    for name in calc.__all__:
        getattr(calc, name)


def _fork(work: Callable[[], None]) -> int:
    """Return the number of a child that does some work and nothing after it."""
    pid = os.fork()
    if pid == 0:
        try:
            work()
        finally:
            os._exit(1)
    return pid


def _keep(control: socket.socket, told: bytes, given: list[int], closing: _Closing) -> NoReturn:
    """Have a job run, end it after its time or when nobody waits for it, and say how it ended."""
    control.close()
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    job, answers, place = given
    seconds = float(json.loads(told)["seconds"])
    asked = socket.socket(fileno=place)
    try:
        if closing.nested:
            confining.separate()
        said, say = os.pipe()
        pid = _fork(lambda: _run(job, answers, say, seconds, closing))
        for descriptor in (job, answers, say):
            os.close(descriptor)
        fault = _said(said)
        late = not fault and _too_late(pid, asked, seconds)
        os.kill(pid, signal.SIGKILL)
        _pid, status, _used = os.wait4(pid, 0)
        code = os.waitstatus_to_exitcode(status)
    except OSError as error:
        fault, code, late = str(error), 1, False
    late = late or code == -signal.SIGXCPU
    asked.send(json.dumps({"fault": fault, "code": code, "timed_out": late}).encode())
    os._exit(0)


def _said(descriptor: int) -> str:
    """Return what keeps a process from its job; nothing once it begins."""
    told = b""
    while len(told) < _LARGEST_FAULT and (more := os.read(descriptor, _LARGEST_FAULT)):
        told += more
    if told == b".":
        return ""
    return told.decode("utf-8", "replace") or "it ended before the first cell"


def _too_late(pid: int, asked: socket.socket, seconds: float) -> bool:
    """Wait for a process's end, its time or the end of the other side; tell if it was the time."""
    ended = os.pidfd_open(pid)
    ready, _, _ = select.select([ended, asked.fileno()], [], [], seconds)
    return not ready


def _run(job: int, answers: int, say: int, seconds: float, closing: _Closing) -> NoReturn:
    """Run a job's cells in this process, once it has given up all else."""
    try:
        _close_all_but(job, answers, say)
        cpu_s = math.ceil(seconds) + 1
        confining.confine(cpu_s, closing.filter_program, separated=closing.nested)
    except Exception as error:
        os.write(say, f"{type(error).__name__}: {error}".encode()[:_LARGEST_FAULT])
        os._exit(1)
    told = json.loads(_all_of(job))
    os.environ.clear()
    random.seed()
    np.random.seed()
    os.write(say, b".")
    os.close(say)
    executing.run_cells(
        told["cells"], told["cases"], lambda line: executing.write_all(answers, line)
    )
    os._exit(0)


def _close_all_but(*kept: int) -> None:
    """Close each descriptor but these; the first three lead nowhere."""
    nowhere = os.open(os.devnull, os.O_RDWR)
    for descriptor in range(3):
        os.dup2(nowhere, descriptor)
    low = 3
    for descriptor in sorted(kept):
        os.closerange(low, descriptor)
        low = descriptor + 1
    os.closerange(low, os.sysconf("SC_OPEN_MAX"))


def _all_of(descriptor: int) -> bytes:
    with open(descriptor, "rb") as file:
        return file.read()


if __name__ == "__main__":
    main(socket.socket(fileno=int(sys.argv[1])), sys.argv[2])
