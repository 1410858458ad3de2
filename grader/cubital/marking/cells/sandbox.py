"""The sandbox that learners' cells run in: each hand-in's in a process that can reach nothing.

It is forked by one inside bubblewrap that has Python loaded. Where the system lets bubblewrap's
processes make no namespaces of their own, each hand-in has a bubblewrap for itself, which takes
longer. Where it refuses that too, nothing is run.
"""

import json
import shutil
import threading
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from pathlib import Path

from cubital.marking.cells import bubblewrap
from cubital.marking.cells.forking import ALONE, NESTED
from cubital.marking.cells.parent import BrokenError, Parent
from cubital.marking.cells.places import Job, NotRunError, Ran, RunnerError

INSTALL = (
    "Install bubblewrap (on Debian and Ubuntu: apt install bubblewrap), on a Linux that lets it "
    "make namespaces, and mark again."
)
_START_S = 60.0
# A job that shows that a place works: a cell imports, and a function's result comes out.
_PROBE: Job = {
    "cells": [
        {"source": "import colorsys, numpy\nfrom cubital.worksheet import ask", "item": ""},
        {"source": 'ask("probe", lambda x: numpy.sqrt(x))', "item": "probe"},
    ],
    "cases": {"probe": [{"x": 6.25}]},
}
_PROVEN = {"item": "probe", "results": [2.5], "error": ""}


class Sandbox:
    """A place for learners' cells; a context, at whose end its processes are ended.

    It is tried out, and its processes are started, when the first cells are to be run.
    """

    note = ""

    def __init__(self, workspace: Path) -> None:
        self._closed = (workspace,)
        self._program = shutil.which(bubblewrap.PROGRAM)
        self._lock, self._choosing = threading.Lock(), threading.Lock()
        self._parents: set[Parent] = set()
        self._shared: Parent | None = None
        self._way = ""
        self._refused = ""
        self._stopped = False

    def __enter__(self) -> "Sandbox":
        return self

    def __exit__(self, *_error: object) -> None:
        self.stop()

    def stop(self) -> None:
        """End all that runs, and begin nothing any more."""
        self._stopped = True
        with self._lock:
            parents = [*self._parents]
        for parent in parents:
            self._end(parent)

    def guarded(self, learner: str) -> AbstractContextManager[None]:
        """Watch nothing: a learner's cells can reach nothing from here."""
        return nullcontext()

    def run(self, learner: str, job: Job, seconds: float) -> Ran:
        """Run a learner's job for some time at most.

        Raises
        ------
        NotRunError
            There is no sandbox on this system.
        RunnerError
            It failed through no fault of the learner.
        """
        with self._choosing:
            if not self._way and not self._refused:
                self._choose()
        if self._refused:
            raise NotRunError(f"no sandbox can be made here: {self._refused}", INSTALL)
        with self._parent(self._way) as parent:
            return parent.run(json.dumps(job).encode(), seconds)

    def _choose(self) -> None:
        """Find the way that works on this system, or why none does."""
        if self._program is None:
            self._refused = f"the program {bubblewrap.PROGRAM} is not installed"
            return
        refused = []
        for way in (NESTED, ALONE):
            try:
                self._prove(way)
            except RunnerError as error:
                if self._stopped:
                    raise
                refused.append(str(error))
                if self._shared is not None:
                    self._end(self._shared)
            else:
                self._way = way
                return
        self._refused = "; ".join(dict.fromkeys(refused))

    def _prove(self, way: str) -> None:
        """Try whether a way works; else RunnerError says why not."""
        with self._parent(way) as parent:
            ran = parent.run(json.dumps(_PROBE).encode(), _START_S)
        if ran.rows() != [_PROVEN]:
            raise RunnerError(f"a trial ended with {ran.code} and gave {ran.answers!r:.200}")

    @contextmanager
    def _parent(self, way: str) -> Iterator[Parent]:
        """Give a process that forks: the one for all jobs, or one for this job alone."""
        with self._lock:
            if way == ALONE:
                parent = self._begun(way)
            else:
                if self._shared is None or self._shared.ended:
                    self._shared = self._begun(way)
                parent = self._shared
        try:
            yield parent
        except BrokenError:
            self._end(parent)
            raise
        finally:
            if way == ALONE:
                self._end(parent)

    def _begun(self, way: str) -> Parent:
        if self._stopped or self._program is None:
            raise RunnerError("marking was stopped")
        parent = Parent(self._program, way, self._closed)
        self._parents.add(parent)
        return parent

    def _end(self, parent: Parent) -> None:
        parent.end()
        with self._lock:
            self._parents.discard(parent)
