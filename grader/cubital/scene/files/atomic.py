"""Atomic file writes: a reader sees the old file or the new one, never half of it."""

import os
import tempfile
import time
from pathlib import Path

# How long to wait before each further try, on Windows [s]: a reader is done in milliseconds, a
# scanner for malware in some tenths of a second.
_PAUSES_S = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5)


def write_atomically(
    path: Path, data: bytes, *, rights: int | None = None, time_ns: int | None = None
) -> None:
    """Write a file beside its place and move it there once it is on the disk.

    Parameters
    ----------
    path : Path
        The file, in a folder that is there [-]
    data : bytes
        All that it holds [-]
    rights : int
        Its mode; its owner's alone if not given [-]
    time_ns : int
        When it says to be written, since 1970; the present time if not given [ns]

    Examples
    --------
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_atomically(Path(folder) / "a", b"data", time_ns=5)
    ...     (Path(folder) / "a").read_bytes(), (Path(folder) / "a").stat().st_mtime_ns
    (b'data', 5)
    """
    finish(begin(path, data), path, rights=rights, time_ns=time_ns)


def begin(path: Path, data: bytes) -> Path:
    """Write a file beside its place, and return what `finish` moves there.

    Examples
    --------
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "a"
    ...     part = begin(path, b"data")
    ...     begun = path.exists()
    ...     finish(part, path)
    ...     begun, path.read_bytes(), part.exists()
    (False, b'data', False)
    """
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    try:
        with open(handle, "wb") as file:
            file.write(data)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    return Path(name)


def finish(
    part: Path, path: Path, *, rights: int | None = None, time_ns: int | None = None
) -> None:
    """Bring what `begin` wrote to the disk and move it to its place; see `write_atomically`.

    It mostly waits for the disk, so that several threads finish several files in the time of one.
    """
    try:
        with open(part, "rb+") as file:
            os.fsync(file.fileno())
        if rights is not None:
            part.chmod(rights)
        if time_ns is not None:
            os.utime(part, ns=(time_ns, time_ns))
        put_in_place(part, path)
    except BaseException:
        part.unlink(missing_ok=True)
        raise


def put_in_place(part: Path, path: Path) -> None:
    """Move what was written, a file or a folder, to its place, where a file may stand.

    Windows refuses that while a program has the file open, or one in the folder, so there it is
    tried again for up to a second.

    Raises
    ------
    OSError
        The system refuses it.
    """
    pauses_s = iter(_PAUSES_S if os.name == "nt" else ())
    while True:
        try:
            os.replace(part, path)
            return
        except PermissionError as error:
            if (pause_s := next(pauses_s, None)) is not None:
                time.sleep(pause_s)
            elif os.name == "nt":
                told = "another program has it open, such as Excel: close it there and try again"
                raise PermissionError(error.errno, told, str(path)) from error
            else:
                raise
