"""Who marks: whoever runs the tests and, where that is root, an account without rights too."""

import os
import stat
from collections.abc import Sequence
from pathlib import Path

from cubital.marking.cells import bubblewrap

NOBODY = 65534
CHECKOUT = Path(__file__).resolve().parents[2]
ME = os.geteuid()
ACCOUNTS = [ME, NOBODY] if ME == 0 else [ME]


def closed_to_others(path: Path) -> Path | None:
    """The outermost folder on the way to a path that others cannot pass through."""
    ways = (way for way in [*path.parents][::-1] if not way.stat().st_mode & stat.S_IXOTH)
    return next(ways, None)


def as_account(uid: int, more: Sequence[str] = ()) -> list[str]:
    """The words that run a command as an account, who can reach Python wherever it lies.

    ``more`` are words to bubblewrap.
    """
    if uid == ME:
        return ["bwrap", "--dev-bind", "/", "/", *more, "--"] if more else []
    words = ["bwrap", "--dev-bind", "/", "/"]
    for path in [*bubblewrap.seen(), CHECKOUT]:
        closed = closed_to_others(path)
        if closed is not None:
            if str(closed) not in words:
                words += ["--tmpfs", str(closed)]
            for parent in [*path.parents][::-1]:
                if parent.is_relative_to(closed):
                    words += ["--dir", str(parent)]
            words += ["--ro-bind", str(path), str(path)]
    drop = ["setpriv", f"--reuid={uid}", f"--regid={uid}", "--clear-groups"]
    return [*words, *more, "--", *drop, "--inh-caps=-all", "--bounding-set=-all"]


def give(folder: Path, uid: int) -> None:
    """Give a folder with all in it to an account."""
    if uid != ME:
        for path in (folder, *folder.rglob("*")):
            os.chown(path, uid, uid, follow_symlinks=False)
