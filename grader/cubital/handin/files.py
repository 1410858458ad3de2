"""Files that are whole or not there: written beside, then moved into place."""

import contextlib
import json
import os
import tempfile
from pathlib import Path
from typing import Any

OWNERS_FOLDER, OWNERS_FILE = 0o700, 0o600


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


def write_text(path: Path, text: str) -> None:
    """Write ``text`` to ``path`` so that a reader sees the old file or the new one, never half."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    try:
        with open(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def write_json(path: Path, data: Any) -> None:
    """Write ``data`` as readable JSON, whole or not at all; NaN and infinity raise."""
    write_text(path, json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False) + "\n")


def read_json(path: Path, *, largest: int = 2_000_000) -> Any:
    """Read a JSON file; too large, not UTF-8 or not JSON raises ValueError saying which."""
    size = path.stat().st_size
    if size > largest:
        raise ValueError(f"{path.name} is {size} bytes long; at most {largest} are read")
    try:
        return json.loads(path.read_bytes().decode("utf-8"), parse_constant=_no_constant)
    except UnicodeDecodeError as error:
        raise ValueError(f"{path.name} is not text in UTF-8: {error.reason}") from error
    except json.JSONDecodeError as error:
        raise ValueError(
            f"{path.name} is not whole JSON: {error.msg} in line {error.lineno}"
        ) from error
    except RecursionError as error:
        raise ValueError(f"{path.name} is nested too deeply") from error


def _no_constant(name: str) -> float:
    raise ValueError(f"{name} is not a number that is taken here")
