"""Parts of a page follow a file: whoever changes it, they look at it again within a second."""

from __future__ import annotations

import asyncio
import weakref
from pathlib import Path
from typing import Protocol

EVERY_S = 0.3


class Follower(Protocol):
    """A part of a page that shows what a file holds."""

    def look_again(self) -> None:
        """Show what the file holds now."""


class _File:
    """A file that is followed, for as long as a part of a page shows it."""

    def __init__(self, path: Path, loop: asyncio.AbstractEventLoop) -> None:
        self.path, self.loop = path, loop
        self.parts: weakref.WeakSet[Follower] = weakref.WeakSet()
        self._stamp = self._now()
        self._plan()

    def _now(self) -> tuple[int, int, int] | None:
        try:
            found = self.path.stat()
        except OSError:
            return None
        return found.st_mtime_ns, found.st_size, found.st_ino

    def _plan(self) -> None:
        self.loop.call_later(EVERY_S, self._look)

    def _look(self) -> None:
        if not self.parts:
            _followed.pop(self.path, None)
            return
        self._plan()
        if (now := self._now()) == self._stamp:
            return
        self._stamp = now
        for part in list(self.parts):
            self.loop.call_soon(part.look_again)  # each on its own, should one fail


_followed: dict[Path, _File] = {}


def follow(path: Path, part: Follower) -> None:
    """Let a part look again whenever a file has changed; outside a running page nothing is done."""
    try:
        loop = asyncio.get_running_loop()
    except RuntimeError:
        return
    file = _followed.get(path)
    if file is None or file.loop is not loop:
        file = _followed[path] = _File(path, loop)
    file.parts.add(part)
