"""Files of learners and cohorts: written atomically, closed to others, read with care."""

import contextlib
import json
import os
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, TypeVar

from cubital.scene.files.atomic import write_atomically

LARGEST_LOG = 20_000_000  # bytes: some ten thousand rows
_DEEPEST = 100  # a notebook has some 10
_HOLDING = {dict, list}  # as JSON is read
_HALF = re.compile(r"\\u[dD][89a-fA-F]")  # may be one: looked at more closely
OWNERS_FOLDER, OWNERS_FILE = 0o700, 0o600
Row = TypeVar("Row")
_CLUTTER = {"__macosx", ".ds_store", "thumbs.db", "desktop.ini", ".ipynb_checkpoints"}


def is_clutter(name: str) -> bool:
    """Tell whether a file or folder is what computers and JupyterLab add of their own."""
    return name.lower() in _CLUTTER or name.startswith("._")


def own_folder(folder: Path) -> Path:
    """Make a folder that only its owner can list and enter, or close one that is there already.

    One that belongs to somebody else stays as it is. On Windows, where a user's folders are closed
    by themselves, nothing is changed.
    """
    folder.mkdir(mode=OWNERS_FOLDER, parents=True, exist_ok=True)
    if os.name == "posix" and folder.stat().st_mode & 0o777 != OWNERS_FOLDER:
        with contextlib.suppress(PermissionError):
            folder.chmod(OWNERS_FOLDER)
    return folder


def close_folder(folder: Path) -> None:
    """Close all in a folder to other users; what a library copied has the modes of its source.

    What belongs to somebody else stays as it is.
    """
    for where, folders, files in os.walk(folder):
        for names, mode in ((("", *folders), OWNERS_FOLDER), (files, OWNERS_FILE)):
            for path in (Path(where, name) for name in names):
                if not path.is_symlink():
                    with contextlib.suppress(PermissionError):  # somebody else's
                        path.chmod(mode)


def entries(
    folder: Path, *, left_out: Callable[[str], bool] = lambda _: False
) -> Iterator[tuple[str, os.DirEntry[str]]]:
    """Yield what lies in a folder and below it, by its path from there; no link is followed.

    A folder comes before what is in it, and folders before files. One that cannot be listed is
    passed over. What an entry is, it knows without another look at the disk.

    Parameters
    ----------
    left_out
        Tells by its name whether a file or a folder with all in it is left out.
    """
    waiting = [("", os.fspath(folder))]
    while waiting:
        within, where = waiting.pop()
        if within and os.path.islink(where):  # asked now: it may have been put there since
            continue
        try:
            with os.scandir(where) as found:
                listed = [entry for entry in found if not left_out(entry.name)]
        except OSError:
            continue
        listed.sort(key=is_folder, reverse=True)
        for entry in listed:
            yield within + entry.name, entry
        inside = [(f"{within}{entry.name}/", entry.path) for entry in listed if is_folder(entry)]
        waiting += reversed(inside)


def is_folder(entry: os.DirEntry[str]) -> bool:
    """Tell whether an entry is a folder, or a link to one."""
    try:
        return entry.is_dir()
    except OSError:  # a link that leads in a circle
        return False


def write_text(path: Path, text: str) -> None:
    """Write ``text`` to ``path`` so that a reader sees the old file or the new one, never half."""
    path.parent.mkdir(parents=True, exist_ok=True)
    write_atomically(path, text.encode("utf-8"))


def write_json(path: Path, data: Any, *, indent: int | None = 1) -> None:
    """Write ``data`` as readable JSON, atomically; NaN and infinity raise.

    Without an ``indent`` it stands on one line, which suits much data that nobody reads.
    """
    text = json.dumps(data, indent=indent, ensure_ascii=False, allow_nan=False)
    write_text(path, text + "\n")


def read_json(path: Path, *, largest: int = 2_000_000) -> Any:
    """Read a JSON file; too large, or not `loads_json`'s, raises ValueError saying which."""
    size = path.stat().st_size
    if size > largest:
        raise ValueError(f"{path.name} is {size} bytes long; at most {largest} are read")
    return loads_json(path.read_bytes(), path.name)


def read_log(
    path: Path, key: str, made: Callable[[Any], Row], *, form: str, lost: str
) -> list[Row]:
    """Return the rows of a log that is only added to; none where there is no file.

    Parameters
    ----------
    key
        Under which the rows stand.
    made
        Makes a row, and raises where it is not one.
    form
        The format that the file must name.
    lost
        What nobody knows, or what happens, without the file.

    Raises
    ------
    ValueError
        The file cannot be read, or holds something else.
    """
    if not path.is_file():
        return []
    try:
        data = read_json(path, largest=LARGEST_LOG)
        if data["format"] != form:
            raise ValueError(f"its format is {data['format']!r:.60}, not {form!r}")
        return [made(row) for row in data[key]]
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        raise ValueError(
            f"{path} cannot be used: {error}. Put a copy back in its place; without it {lost}"
        ) from error


def loads_json(data: bytes, name: str) -> Any:
    """Read JSON that somebody else wrote, so that it can be kept, copied and written again.

    A byte-order mark before the first letter is passed over. What is not UTF-8, not JSON, nested
    more than 100 deep, or holds half a character (a lone surrogate) raises ValueError, which says
    so under the file's ``name``.
    """
    try:
        text = data.decode("utf-8-sig")  # some editors begin with a mark
        found = json.loads(text, parse_constant=_no_constant)
        if _HALF.search(text):
            json.dumps(found, ensure_ascii=False).encode("utf-8")
    except UnicodeDecodeError as error:
        raise ValueError(f"{name} is not text in UTF-8: {error.reason}") from error
    except UnicodeEncodeError as error:
        raise ValueError(f"{name} holds half a character (a lone surrogate)") from error
    except json.JSONDecodeError as error:
        raise ValueError(f"{name} is not whole: {error.msg} in line {error.lineno}") from error
    except RecursionError as error:
        raise ValueError(f"{name} is nested too deeply") from error
    except ValueError as error:
        raise ValueError(f"{name} cannot be read: {error}") from error
    if _depth(found, _DEEPEST + 1) > _DEEPEST:
        raise ValueError(f"{name} is nested too deeply")
    return found


def _depth(data: Any, most: int) -> int:
    """Return how many lists and objects of JSON stand within each other, up to ``most``."""
    level = [data] if type(data) in _HOLDING else []
    for depth in range(most):
        if not level:
            return depth
        level = [
            inner
            for outer in level
            for inner in (outer.values() if type(outer) is dict else outer)
            if type(inner) in _HOLDING
        ]
    return most


def printable(text: str) -> str:
    """Return a file's name, or words about it, as they can be shown and written."""
    with contextlib.suppress(UnicodeEncodeError):  # a byte of a name becomes \\x and its number
        text = text.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")
    return "".join(
        letter if letter.isprintable() else letter.encode("unicode_escape").decode()
        for letter in text
    )


def _no_constant(name: str) -> float:
    raise ValueError(f"{name} is not a number that is taken here")
