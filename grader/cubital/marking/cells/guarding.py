"""Notice that an unprotected cell changed the workspace's files. This detects; it protects not.

Where cells run without a sandbox, what later commands run or go by must be the same to the byte
before and after: else marking stops, and says which file and whose cells ran meanwhile.
"""

import hashlib
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from cubital.handin.files import read_json, write_json
from cubital.marking.errors import CourseError

# By name or pattern, in the workspace.
GUARDED = (
    "nbgrader_config.py",
    "bank.toml",
    "local-profile.toml",
    "roster.csv",
    "due.toml",
    "choices.json",
    "told.json",
    "parallel.json",
    "second-chances.json",
    "standard*",
    "gradebook.db*",  # with the journals that the next to open it plays back
    "results.db*",
)
GUARDED_FOLDERS = ("items", "sealed", "source", "release", "hand-ins", "hand-marks", "results")
FORMAT = "cubital-guarded/1"
_MOST_NAMED = 20
_Stamp = tuple[int, int, int, int]


class TamperedError(CourseError):
    """A file of the workspace was changed while learners' cells ran."""


class Guard:
    """What the guarded files were before the first cell ran."""

    def __init__(self, workspace: Path) -> None:
        self._workspace = workspace
        self._before = {path: _sum(path) for path in self._files()}
        self._stamps = self._now()
        self._running: list[str] = []
        self._lock = threading.Lock()

    def keep(self, path: Path) -> None:
        """Keep on the disk what the files were, for who marks after this marker was killed."""
        rows = {str(file.relative_to(self._workspace)): was for file, was in self._before.items()}
        write_json(path, {"format": FORMAT, "sums": rows})

    def changed_since(self, path: Path) -> list[Path]:
        """Return the files that are not as another guard kept them; none if nothing was kept."""
        try:
            data = read_json(path)
            rows = data["sums"].items() if data["format"] == FORMAT else ()
            before = {self._workspace / str(name): was for name, was in rows}
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            return []
        both = {**before, **self._before}
        return sorted(file for file in both if before.get(file) != self._before.get(file))

    @contextmanager
    def running(self, learner: str) -> Iterator[None]:
        """Have this learner's cells run, and raise TamperedError if a file is not as before."""
        with self._lock:
            self._running.append(learner)
        try:
            yield
        finally:
            with self._lock:
                suspects = sorted(self._running)
                self._running.remove(learner)
                changed = self._changed()
        if changed:
            raise TamperedError(said(self._workspace, changed, suspects))

    def _changed(self) -> list[Path]:
        """Return the files whose bytes differ; only those are read that look different."""
        now = self._now()
        odd = [path for path in {**self._stamps, **now} if self._stamps.get(path) != now.get(path)]
        changed = [path for path in odd if self._before.get(path) != _sum(path)]
        if not changed:
            self._stamps = now
        return sorted(changed)

    def _files(self) -> list[Path]:
        patterns = (*GUARDED, *(f"{folder}/**/*" for folder in GUARDED_FOLDERS))
        found = (path for pattern in patterns for path in self._workspace.glob(pattern))
        return [path for path in found if path.is_symlink() or not path.is_dir()]

    def _now(self) -> dict[Path, _Stamp | None]:
        return {path: _stamp(path) for path in self._files()}


def _stamp(path: Path) -> _Stamp | None:
    """Return what a change of a file changes too: the time of its last change is the system's."""
    try:
        seen = path.lstat()
    except OSError:
        return None
    return (seen.st_ino, seen.st_size, seen.st_mtime_ns, seen.st_ctime_ns)


def _sum(path: Path) -> str:
    """Return what a file holds, as a check sum; empty if it is gone."""
    try:
        if path.is_symlink():
            return f"a link to {path.readlink()}"
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return ""


def said(workspace: Path, changed: list[Path], suspects: list[str]) -> str:
    files = ", ".join(str(path.relative_to(workspace)) for path in changed[:_MOST_NAMED])
    learners = ", ".join(f"“{learner}”" for learner in suspects)
    return (
        f"{files} in {workspace} changed while the cells of {learners} ran, so nothing was marked. "
        "If you or a colleague changed it, mark again. If nobody did, a cell did: run no command "
        "in this workspace, restore the file from a copy, take away a file that was not there, and "
        "look at that hand-in's notebook."
    )
