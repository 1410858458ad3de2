"""How far a learner is in the lessons: one file in the folder of lessons, written atomically.

It helps the learner to find the way. It is no evidence: marks come from worksheets alone.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from pathlib import Path

from filelock import FileLock

from cubital.handin.files import read_json, write_json

FILE = "progress.json"
FORMAT = "cubital-progress/1"
_LOCK_SECONDS = 10


@dataclass(frozen=True)
class Progress:
    """The chosen path, when each lesson was finished, and which questions were answered right."""

    path: str = ""
    finished: Mapping[str, str] = field(default_factory=dict)
    right: Mapping[str, bool] = field(default_factory=dict)


def read_progress(folder: Path) -> Progress:
    """Return what is kept in a folder; nothing yet if there is no file.

    Raises
    ------
    ValueError
        The file cannot be read; it says what to do.
    """
    path = folder / FILE
    if not path.exists():
        return Progress()
    try:
        data = read_json(path)
        if data["format"] != FORMAT:
            raise ValueError(f"its format is {data['format']!r}, not {FORMAT!r}")
        return Progress(
            path=str(data["path"]),
            finished={str(k): str(v) for k, v in data["finished"].items()},
            right={str(k): bool(v) for k, v in data["right"].items()},
        )
    except (KeyError, TypeError, AttributeError, ValueError) as error:
        raise ValueError(
            f"{path} cannot be read ({error}): move it away to start afresh; your answers and "
            "marks are kept elsewhere"
        ) from error


def keep_progress(
    folder: Path,
    *,
    path: str | None = None,
    finished: str | None = None,
    right: Mapping[str, bool] | None = None,
) -> Progress:
    """Change what is given, keep the rest, and return all of it."""
    with FileLock(folder / f".{FILE}.lock", timeout=_LOCK_SECONDS):
        now = read_progress(folder)
        if path is not None:
            now = replace(now, path=path)
        if finished is not None:
            day = datetime.now(UTC).date().isoformat()
            now = replace(now, finished={**now.finished, finished: day})
        if right is not None:
            now = replace(now, right=dict(right))
        write_json(
            folder / FILE,
            {
                "format": FORMAT,
                "path": now.path,
                "finished": dict(now.finished),
                "right": dict(now.right),
            },
        )
    return now
