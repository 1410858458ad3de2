"""What folders hold, to be compared before and after: marking changes nothing but marks."""

import hashlib
import stat
from collections.abc import Iterable
from pathlib import Path

# In a workspace, what marking writes.
WRITTEN = ("results", "autograded", "hand-ins", "gradebook.db", "results.db", ".at-work.lock")

Held = dict[str, tuple[int, int, str]]


def held(*folders: Path, but: Iterable[Path] = (), times: bool = False) -> Held:
    """Return mode and check sum of all that lies in folders, but in those that are left out.

    With ``times`` also when each was changed last: then what was made and removed shows too.
    """
    left_out = tuple(but)
    return {
        str(path): _seen(path, times=times)
        for folder in folders
        for path in sorted(folder.rglob("*"))
        if not any(path.is_relative_to(part) for part in left_out)
    }


def written(workspace: Path) -> list[Path]:
    """Return the paths of a workspace that marking writes."""
    return [workspace / name for name in WRITTEN]


def _seen(path: Path, *, times: bool) -> tuple[int, int, str]:
    seen = path.lstat()
    at = seen.st_mtime_ns if times else 0
    if stat.S_ISLNK(seen.st_mode):
        return seen.st_mode, at, str(path.readlink())
    if stat.S_ISREG(seen.st_mode):
        with path.open("rb") as file:
            return seen.st_mode, at, hashlib.file_digest(file, "sha256").hexdigest()
    return seen.st_mode, at, ""
