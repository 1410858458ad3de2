"""Atomic file writes: a reader sees the old file or the new one, never half of it."""

import os
import tempfile
from pathlib import Path


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
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    try:
        with open(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if rights is not None:
            os.chmod(name, rights)
        if time_ns is not None:
            os.utime(name, ns=(time_ns, time_ns))
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
