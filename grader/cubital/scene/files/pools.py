"""Pools: the pictures of a release rendered at once, with their truth sealed apart.

In the pool's folder, `pictures/` holds pictures and nothing else: names by chance, one length to
the byte for each kind of picture, one time, no words. `sealed/` holds the truth of each by its
name. It stays with the educator, as does the seed: who has it can make the truth again. What a
file's length does tell is whether it is a picture or a series, whose frames lie below each other.
Simulated, not clinically validated.
"""

import functools
import os
import secrets
from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict
from itertools import chain
from pathlib import Path
from typing import NamedTuple

import numpy as np
from filelock import FileLock, Timeout

from cubital import __version__
from cubital.calc.shared.quantities import single_whole
from cubital.scene import NOTICE
from cubital.scene.files import picture_files
from cubital.scene.files.atomic import put_in_place
from cubital.scene.files.planning import (
    NAME_DIGITS,
    SUFFIXES,
    Job,
    Rendered,
    Size,
    kept,
    mixed,
    planned,
    usual_sizes,
)

PLAN_FILE = "pool.json"
SEALED_RIGHTS = 0o700
Progress = Callable[[int, int], None]


class Pool(NamedTuple):
    """A pool as it lies on disk."""

    pictures: Path
    sealed: Path
    seed: int | str
    jobs: tuple[Job, ...]

    def picture(self, job: Job) -> Path:
        """Return where the picture of a job lies, kept as now or by an earlier edition."""
        found = (self.pictures / f"{job.name}{suffix}" for suffix in SUFFIXES)
        return next((path for path in found if path.is_file()), self.pictures / job.file)

    def truth(self, job: Job) -> Path:
        """Return where the truth of a job lies."""
        return self.sealed / "truth" / f"{job.name}.json"


Renderer = Callable[[Job], Rendered]


def render_pool(
    folder: Path,
    *,
    number: int | None = None,
    jobs: Mapping[str, int] | None = None,
    seed: int | str | None = None,
    processes: int | None = None,
    progress: Progress | None = None,
    sizes: Mapping[str, Size] | None = None,
    render: Renderer | None = None,
) -> Pool:
    """Render the pictures of a release; a run that was stopped goes on where it was.

    Parameters
    ----------
    folder : Path
        Gets `pictures/`, filled at the very end, and `sealed/` [-]
    number : int
        How many pictures, in the usual parts of each kind [-]
    jobs : mapping
        How many of each kind, instead of a number [-]
    seed : int or str
        Fixes every byte, on any number of processes; a secret one is drawn if not given [-]
    processes : int
        How many at the same time; one for each core if not given [-]
    progress : callable
        Called with how many pictures there are, of how many, at first and after each [-]
    sizes : mapping
        Other sizes of a "picture" or a "series" [-]
    render : callable
        Renders a job; for tests [-]

    Returns
    -------
    Pool
        Where everything lies [-]

    Raises
    ------
    ValueError
        The folder holds another pool, or one that is being rendered.
    """
    if (number is None) == (jobs is None):
        raise ValueError("give either the number of pictures or how many of each kind")
    cores = os.cpu_count() or 1
    processes = single_whole("pool_processes", cores if processes is None else processes)
    counts = {kind: count for kind, count in (jobs or mixed(number)).items() if count}
    folder = Path(folder)
    sealed = folder / "sealed"
    sealed.mkdir(parents=True, exist_ok=True)
    sealed.chmod(SEALED_RIGHTS)
    try:
        with FileLock(sealed / ".lock", timeout=0):
            pool = _settled(folder, counts, seed, sizes)
            unfinished = sealed / "unfinished"
            for place in (unfinished, sealed / "truth"):
                place.mkdir(exist_ok=True)
                picture_files.forget_halves(place)
            work = functools.partial(_render_one, pool, render or _scene)
            _run(pool, work, processes, progress)
            _hand_over(pool, unfinished)
    except Timeout:
        raise ValueError(f"{folder} is being rendered by another run: wait for its end") from None
    return pool


def _settled(
    folder: Path,
    counts: Mapping[str, int],
    seed: int | str | None,
    sizes: Mapping[str, Size] | None,
) -> Pool:
    """Return the plan of a pool, written down on its first run, and compared on later ones."""
    path = folder / "sealed" / PLAN_FILE
    told = picture_files.read_json(path) if path.is_file() else None
    if seed is None:
        seed = told["seed"] if told else secrets.token_hex(NAME_DIGITS)
    planned_jobs = planned(counts, seed=seed, sizes=sizes)
    plan = {
        "notice": NOTICE,
        "cubital": __version__,
        "seed": seed,
        "kinds": dict(counts),
        "sizes": {
            name: size._asdict() for name, size in (usual_sizes() | dict(sizes or {})).items()
        },
    }
    if told is None:
        held = folder / "pictures"
        if held.is_dir() and any(held.iterdir()):
            raise ValueError(f"{held} holds files of no pool: choose a folder without them")
        picture_files.write_whole(path, picture_files.json_bytes(plan))
    elif told != plan:
        other = ", ".join(key for key in plan if told.get(key) != plan[key])
        raise ValueError(
            f"{folder} holds a pool of another kind ({other}): ask for the same again, or choose "
            "an empty folder"
        )
    return Pool(folder / "pictures", folder / "sealed", seed, planned_jobs)


def _is_done(pool: Pool, job: Job) -> bool:
    waiting = pool.sealed / "unfinished" / job.file
    return pool.truth(job).is_file() and (waiting.is_file() or pool.picture(job).is_file())


def _run(
    pool: Pool, work: Callable[[Job], None], processes: int, progress: Progress | None
) -> None:
    """Do what is left of a pool, in the order of the names."""
    left = [job for job in pool.jobs if not _is_done(pool, job)]
    done = len(pool.jobs) - len(left)
    if processes == 1 or len(left) < 2:  # one job needs no helper
        rendered: Iterator[None] = map(work, left)
    else:
        from cubital.scene.files.parallel import in_parallel  # noqa: PLC0415 - not in a browser

        rendered = in_parallel(work, left, min(processes, len(left)))
    for number in chain([done], (done + more for more, _ in enumerate(rendered, 1))):
        if progress is not None:
            progress(number, len(pool.jobs))


def _render_one(pool: Pool, render: Renderer, job: Job) -> None:
    """Render one job and write it down: its picture, then its truth, which says it is done."""
    frames, truth = render(job)
    size = job.size
    if frames.shape != (size.frames, size.height_px, size.width_px):
        raise ValueError(
            f"picture {job.name} came out as {frames.shape}: it must be {size.frames} frames of "
            f"{size.height_px} by {size.width_px} px, as all of its kind"
        )
    told = {"name": job.name, "job": asdict(job) | {"size": size._asdict()}, "notice": NOTICE}
    picture_files.write_whole(pool.sealed / "unfinished" / job.file, _file_bytes(job, frames))
    picture_files.write_whole(pool.truth(job), picture_files.json_bytes(told | truth))


def _file_bytes(job: Job, frames: np.ndarray) -> bytes:
    """Return the file of a job: all of one kind of picture have one length."""
    how = kept(job.kind)
    if how is None:
        return picture_files.png_bytes(picture_files.strip(frames))
    shown = picture_files.strip(picture_files.brightened(frames))
    return picture_files.jpeg_bytes(shown, qualities=how.qualities, length=how.length)


def counts_of(folder: Path) -> dict[str, int] | None:
    """Return how many pictures of each kind a pool has or was begun with; None if there is none."""
    path = folder / "sealed" / PLAN_FILE
    return dict(picture_files.read_json(path)["kinds"]) if path.is_file() else None


def _hand_over(pool: Pool, unfinished: Path) -> None:
    """Move the pictures to their place, in the order of their names.

    Not one by one as they are done: when a file came to its place would tell how long it took.
    """
    pool.pictures.mkdir(exist_ok=True)
    for job in pool.jobs:
        waiting = unfinished / job.file
        if waiting.is_file():
            put_in_place(waiting, pool.picture(job))
    unfinished.rmdir()


def _scene(job: Job) -> Rendered:
    """Render a job as a scene."""
    from cubital.scene.files import rendering  # noqa: PLC0415 - on use: planning a pool is quick

    return rendering.rendered(job)
