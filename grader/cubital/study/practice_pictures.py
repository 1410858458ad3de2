"""The pictures of a worksheet that is practised: few, of a pool of its own, rendered late."""

import contextlib
import os
import sys
import threading
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from filelock import FileLock

from cubital.handin.released.release import AT_ONCE, Release, read_release
from cubital.items import PictureItem
from cubital.items.writing.draw import Draw
from cubital.scene.files import planning, pools
from cubital.study import ready_practices

_LOOK_SECONDS = 0.2
_LAST = 19  # of all that wants the processor


def few_pictures(release: Release) -> dict[str, tuple[str, ...]]:
    """Return the names of a practice's pictures, few an item; they are rendered later."""
    kinds = _kinds(release)
    jobs = list(planning.planned(_counts(kinds), seed=release.name)) if kinds else []
    names = {}
    for item_id, own in kinds.items():
        taken = []
        for kind in own:
            job = next(job for job in jobs if job.kind == kind)
            jobs.remove(job)
            taken.append(job.name)
        names[item_id] = tuple(sorted(taken))
    return names


def render_practice(folder: Path, *, processes: int | None = 1) -> None:
    """Render the pictures of a practice worksheet's folder, if there are any and not yet there.

    ``processes`` render at once, None for as many as there are cores.

    Two that ask for it at once wait for each other, and the second finds them there.
    """
    release = read_release(folder)
    if release.feedback != AT_ONCE or not release.pictures:
        return
    counts = _counts(_kinds(release))
    with FileLock(folder / ".rendering.lock"):
        ready_practices.take_pictures(folder, release)
        pools.render_pool(folder, jobs=counts, seed=release.name, processes=processes)


def render_aside(folder: Path, still_wanted: Callable[[], bool]) -> None:
    """Render a worksheet's pictures in a thread, so that Ctrl + C reaches the one that waits.

    In the midst of the rendering a library may swallow it, and the command would not end. What is
    wrong with a worksheet is said when it is opened.
    """
    thread = threading.Thread(target=_render_quietly, args=(folder,), daemon=True)
    thread.start()
    while thread.is_alive() and still_wanted():
        thread.join(_LOOK_SECONDS)


def _render_quietly(folder: Path) -> None:
    if sys.platform == "linux":  # where it is this thread's alone: who learns comes first
        os.nice(_LAST)
    with contextlib.suppress(ValueError, OSError):
        render_practice(folder)


def _counts(kinds: Mapping[str, Sequence[str]]) -> Counter[str]:
    return Counter(kind for own in kinds.values() for kind in own)


def _kinds(release: Release) -> dict[str, tuple[str, ...]]:
    """Return the kinds of picture that each item of a practice gets, chosen by its name."""
    kinds: dict[str, tuple[str, ...]] = {}
    for item in release.listed():
        if isinstance(item, PictureItem):
            draw = Draw(release.name, "", item.id, 0, release.policy)
            one = draw.choose(list(Counter(item.pool or {}).elements()))
            kinds[item.id] = item.few or (one,)
    return kinds
