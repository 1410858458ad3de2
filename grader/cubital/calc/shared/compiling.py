"""Compiling on use: numba, with a cache folder that can be written; and whether it can be had."""

import functools
import hashlib
import os
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

APPLICATION = "cubital"
SOURCES = Path(__file__).parents[1]  # compiled functions call each other across its files
CACHE_VARIABLE = "NUMBA_CACHE_DIR"  # numba's own; whoever sets it decides where
FAST = frozenset({"nsz", "arcp", "contract", "afn", "reassoc"})  # keeps infinity and not-a-number


def _is_writable(folder: Path) -> bool:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return True
    except OSError:
        return False


def _mark() -> str:
    """Return a short name for these very sources: none of them runs with another's old code."""
    found = hashlib.sha256()
    for path in sorted(SOURCES.rglob("*.py")):
        text = path.read_bytes()
        if b"compiling import" in text:
            found.update(text)
    return found.hexdigest()[:16]  # 16 letters: enough never to meet twice


@functools.cache
def cache_folder() -> Path | None:
    """Return the folder for compiled code, or None where nothing can be written.

    Tried in order: numba's own NUMBA_CACHE_DIR, the user's cache folder, a folder of this user
    among the temporary files.

    Examples
    --------
    >>> folder = cache_folder()
    >>> folder is None or folder.is_dir()
    True
    """
    import platformdirs  # noqa: PLC0415 - on use: importing the calculations stays quick

    user = getattr(os, "getuid", lambda: "user")()
    places = [
        os.environ.get(CACHE_VARIABLE),
        Path(platformdirs.user_cache_dir(APPLICATION)) / "compiled",
        Path(tempfile.gettempdir()) / f"{APPLICATION}-compiled-{user}",
    ]
    marked = [Path(place) / _mark() for place in places if place]
    return next((place for place in marked if _is_writable(place)), None)


@functools.cache
def can_compile() -> bool:
    """Whether numba can be had: a browser's Python has none, nor have some computers.

    Examples
    --------
    >>> can_compile() in (True, False)
    True
    """
    try:
        import numba  # noqa: F401, PLC0415 - on use: importing the calculations stays quick
    except ImportError:
        return False
    return True


def compiled(**options: Any) -> Callable[[Callable], Callable]:
    """Return a decorator that compiles a function on its first call and keeps the result.

    Examples
    --------
    >>> def twice(x):
    ...     return 2 * x
    >>> compiled(forceinline=True)(twice)(4)
    8
    """
    import numba  # noqa: PLC0415 - on use: importing the calculations stays quick

    def decorate(function: Callable) -> Callable:
        folder = cache_folder()
        before = numba.config.CACHE_DIR
        numba.config.CACHE_DIR = "" if folder is None else str(folder)
        keep = folder is not None and "forceinline" not in options
        try:
            return numba.njit(cache=keep, nogil=True, fastmath=set(FAST), **options)(function)
        finally:
            numba.config.CACHE_DIR = before

    return decorate
