"""How far a learner is in the lessons, and what they predicted there: one file in the folder of
lessons, written atomically.

It helps the learner to find the way. It is no evidence: marks come from worksheets alone.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from datetime import UTC, datetime
from pathlib import Path

from filelock import FileLock

from cubital.handin.files import read_json, write_json

FILE = "progress.json"
FORMAT = "cubital-progress/1"
_LOCK_SECONDS = 10


@dataclass(frozen=True, order=True)
class Predicted:
    """When something was predicted, and in which words; no words where it was only shown."""

    at: str
    words: str


@dataclass(frozen=True)
class Progress:
    """The chosen path, when each lesson was finished, and which questions were answered right.

    ``path_at`` is when the path was chosen, empty where nobody noted it. ``page`` is the lesson's
    or worksheet's page that was opened last, seen from the learner's folder, and ``page_at`` when;
    both are empty before the first. ``predicted`` has what was said at each prediction, by the
    lesson's name and the cell's id: ``10-light-and-depth/width``.
    """

    path: str = ""
    finished: Mapping[str, str] = field(default_factory=dict)
    right: Mapping[str, bool] = field(default_factory=dict)
    page: str = ""
    page_at: str = ""
    predicted: Mapping[str, Predicted] = field(default_factory=dict)
    path_at: str = ""


def merged(one: Progress, other: Progress) -> Progress:
    """Return what two computers kept of one learner; in whichever order, it is the same."""
    days = [*other.finished.items(), *one.finished.items()]
    last = max(one, other, key=lambda kept: (kept.page_at, kept.page))
    chosen = max(one, other, key=lambda kept: (kept.path_at, kept.path))
    said = sorted([*one.predicted.items(), *other.predicted.items()], key=lambda row: row[1])
    return Progress(
        path=chosen.path,
        path_at=chosen.path_at,
        finished={lesson: min(day for name, day in days if name == lesson) for lesson, _ in days},
        right={
            asked: one.right.get(asked, False) or other.right.get(asked, False)
            for asked in sorted({*one.right, *other.right})
        },
        page=last.page,
        page_at=last.page_at,
        predicted=dict(sorted(dict(said).items())),
    )


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
            path_at=str(data.get("path_at", "")),
            finished={str(k): str(v) for k, v in data["finished"].items()},
            right={str(k): bool(v) for k, v in data["right"].items()},
            page=str(data.get("page", "")),
            page_at=str(data.get("page_at", "")),
            predicted={
                str(place): Predicted(at=str(said["at"]), words=str(said["words"]))
                for place, said in data.get("predicted", {}).items()
            },
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
    page: str | None = None,
    predicted: Mapping[str, str] | None = None,
) -> Progress:
    """Change what is given, keep the rest, and return all of it.

    Of ``predicted``, words by their place, each is added to those that are kept.
    """
    with FileLock(folder / f".{FILE}.lock", timeout=_LOCK_SECONDS):
        now = read_progress(folder)
        if path is not None:
            now = replace(now, path=path, path_at=datetime.now(UTC).isoformat())
        if finished is not None:
            day = datetime.now(UTC).date().isoformat()
            now = replace(now, finished={**now.finished, finished: day})
        if right is not None:
            now = replace(now, right=dict(right))
        if page is not None:
            now = replace(now, page=page, page_at=datetime.now(UTC).isoformat(timespec="seconds"))
        if predicted is not None:
            at = datetime.now(UTC).isoformat()
            said = {place: Predicted(at, words) for place, words in predicted.items()}
            now = replace(now, predicted={**now.predicted, **said})
        _write(folder, now)
    return now


def merge_progress(folder: Path, other: Progress) -> None:
    """Merge what another computer kept into what is kept in a folder."""
    with FileLock(folder / f".{FILE}.lock", timeout=_LOCK_SECONDS):
        _write(folder, merged(read_progress(folder), other))


def _write(folder: Path, progress: Progress) -> None:
    write_json(
        folder / FILE,
        {
            "format": FORMAT,
            "path": progress.path,
            "path_at": progress.path_at,
            "finished": dict(progress.finished),
            "right": dict(progress.right),
            "page": progress.page,
            "page_at": progress.page_at,
            "predicted": {place: asdict(said) for place, said in progress.predicted.items()},
        },
    )
