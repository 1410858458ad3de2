"""Pools: the pictures of a release rendered at once, with their truth sealed apart.

In the pool's folder, `pictures/` holds pictures and nothing else: names by chance, one length to
the byte for each kind of picture, one time, no words. `sealed/` holds the truth of each by its
name. It stays with the educator, as does the seed: who has it can make the truth again. What a
file's length does tell is whether it is a picture or a series, whose frames lie below each other.
Simulated, not clinically validated.
"""

import functools
import hashlib
import multiprocessing
import os
import secrets
import threading
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import FIRST_COMPLETED, ProcessPoolExecutor, wait
from dataclasses import asdict, dataclass
from itertools import islice
from multiprocessing import connection
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from filelock import FileLock, Timeout
from tqdm import tqdm

from cubital import __version__
from cubital.calc.quantities import single_whole, whole
from cubital.scene import NOTICE, files
from cubital.scene.chance import generator
from cubital.tables import reading

PLAN_FILE = "pool.json"
NAME_DIGITS = 16  # hexadecimal, 64 bits: no two of a pool are the same
AHEAD = 2  # jobs given out to each process: it never waits, and memory stays flat
SERIES = "series-"
SEALED_RIGHTS = 0o700


class NoSceneError(ValueError):
    """No scene shows what a kind of picture is to show, at whatever difficulty."""


class Size(NamedTuple):
    """Width and height of a frame, how much skin a pixel shows, and how many frames there are."""

    width_px: int
    height_px: int
    mm_per_px: float
    frames: int = 1


@dataclass(frozen=True)
class Job:
    """One picture of a pool to render: what it is to show, its chance, its difficulty, its size."""

    name: str
    kind: str
    seed: int
    difficulty: float
    size: Size


class Rendered(NamedTuple):
    """What a renderer gives: frames as uint8, and the truth as plain data."""

    frames: np.ndarray
    truth: dict[str, Any]


class Pool(NamedTuple):
    """A pool as it lies on disk."""

    pictures: Path
    sealed: Path
    seed: int | str
    jobs: tuple[Job, ...]

    def picture(self, job: Job) -> Path:
        """Return where the picture of a job lies."""
        return self.pictures / f"{job.name}.png"

    def truth(self, job: Job) -> Path:
        """Return where the truth of a job lies."""
        return self.sealed / "truth" / f"{job.name}.json"


Renderer = Callable[[Job], Rendered]


@functools.cache
def _table() -> Mapping[str, Any]:
    return reading.asset("scene-pools.toml")


def kinds() -> tuple[str, ...]:
    """Return the kinds of picture that a pool may hold.

    Examples
    --------
    >>> kinds()[:2]
    ('valve', 'no-valve')
    """
    return tuple(_table()["parts"])


def usual_sizes() -> dict[str, Size]:
    """Return the size of a picture and of a series.

    Examples
    --------
    >>> usual_sizes()["series"].frames
    40
    """
    return {name: Size(**_table()[name]) for name in ("picture", "series")}


def mixed(number: int) -> dict[str, int]:
    """Return how many pictures of each kind are in a pool of a number, nearest to the usual parts.

    Examples
    --------
    >>> mixed(100)["valve"], sum(mixed(7).values())
    (28, 7)
    """
    parts = _table()["parts"]
    number = single_whole("pool_pictures", number)
    exact = {kind: number * part / sum(parts.values()) for kind, part in parts.items()}
    counts = {kind: int(share) for kind, share in exact.items()}
    by_rest = sorted(exact, key=lambda kind: counts[kind] - exact[kind])
    for kind in by_rest[: number - sum(counts.values())]:
        counts[kind] += 1
    return counts


def planned(
    counts: Mapping[str, int], *, seed: int | str, sizes: Mapping[str, Size] | None = None
) -> tuple[Job, ...]:
    """Return the jobs of a pool in the order of their names, which is that of their rendering.

    Examples
    --------
    >>> first, second = planned({"valve": 1, "no-valve": 1}, seed=1)
    >>> first.name < second.name
    True
    """
    unknown = sorted(set(counts) - set(kinds()))
    if unknown:
        raise ValueError(
            f"no kind of picture is called {unknown[0]!r}: there are {', '.join(kinds())}"
        )
    whole("pool_pictures", sum(counts.values()))
    sizes = usual_sizes() | dict(sizes or {})
    wanted = [kind for kind in kinds() for _ in range(counts.get(kind, 0))]
    jobs = []
    for number, kind in enumerate(wanted):
        chance = generator("pool", seed, number)
        jobs.append(
            Job(
                name=_name(seed, number),
                kind=kind,
                seed=int(chance.integers(2**63)),
                difficulty=drawn_difficulty(kind, chance),
                size=sizes["series" if kind.startswith(SERIES) else "picture"],
            )
        )
    return tuple(sorted(jobs, key=lambda job: job.name))


def drawn_difficulty(kind: str, chance: np.random.Generator) -> float:
    """Return a difficulty for a picture of a kind, evenly from those that suit it.

    Examples
    --------
    >>> drawn_difficulty("series-roll", generator("example"))
    0.145
    """
    levels = _table()["difficulty"]
    return round(float(chance.uniform(*levels.get(kind, levels["default"]))), 3)


def _name(seed: int | str, number: int) -> str:
    """Return a name from the pool's seed and the place in its list: nothing of what is shown."""
    return hashlib.sha256(f"name of a picture|{seed}|{number}".encode()).hexdigest()[:NAME_DIGITS]


def render_pool(
    folder: Path,
    *,
    number: int | None = None,
    jobs: Mapping[str, int] | None = None,
    seed: int | str | None = None,
    processes: int | None = None,
    progress: bool = True,
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
    progress : bool
        Show a bar [-]
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
                files.forget_halves(place)
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
    told = files.read_json(path) if path.is_file() else None
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
        files.write_whole(path, files.json_bytes(plan))
    elif told != plan:
        other = ", ".join(key for key in plan if told.get(key) != plan[key])
        raise ValueError(
            f"{folder} holds a pool of another kind ({other}): ask for the same again, or choose "
            "an empty folder"
        )
    return Pool(folder / "pictures", folder / "sealed", seed, planned_jobs)


def _is_done(pool: Pool, job: Job) -> bool:
    waiting = pool.sealed / "unfinished" / f"{job.name}.png"
    return pool.truth(job).is_file() and (waiting.is_file() or pool.picture(job).is_file())


def _run(pool: Pool, work: Callable[[Job], None], processes: int, progress: bool) -> None:
    """Do what is left of a pool, in the order of the names."""
    left = [job for job in pool.jobs if not _is_done(pool, job)]
    done = len(pool.jobs) - len(left)
    with tqdm(
        total=len(pool.jobs), initial=done, desc="Pictures", unit="picture", disable=not progress
    ) as bar:
        if processes == 1 or len(left) < 2:  # one job needs no helper
            for job in left:
                work(job)
                bar.update()
        elif left:
            for _ in _in_parallel(work, left, min(processes, len(left))):
                bar.update()


def _in_parallel(work: Callable[[Job], None], jobs: list[Job], processes: int) -> Iterator[None]:
    """Do jobs in processes of their own, giving out no more than are soon begun."""
    queue = iter(jobs)
    executor = ProcessPoolExecutor(
        processes, mp_context=multiprocessing.get_context("spawn"), initializer=_start_helper
    )
    try:
        given = {executor.submit(work, job) for job in islice(queue, AHEAD * processes)}
        while given:
            done, given = wait(given, return_when=FIRST_COMPLETED)
            for future in done:
                future.result()
                yield
            given |= {executor.submit(work, job) for job in islice(queue, len(done))}
    finally:
        executor.shutdown(cancel_futures=True)


def _start_helper() -> None:
    """Let a process end with the one that started it, even if that is killed."""
    parent = multiprocessing.parent_process()

    def follow() -> None:
        connection.wait([parent.sentinel])
        os._exit(1)

    threading.Thread(target=follow, daemon=True).start()


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
    data = files.png_bytes(files.strip(frames))
    files.write_whole(pool.sealed / "unfinished" / f"{job.name}.png", data)
    files.write_whole(pool.truth(job), files.json_bytes(told | truth))


def _hand_over(pool: Pool, unfinished: Path) -> None:
    """Move the pictures to their place, in the order of their names.

    Not one by one as they are done: when a file came to its place would tell how long it took.
    """
    pool.pictures.mkdir(exist_ok=True)
    for job in pool.jobs:
        waiting = unfinished / f"{job.name}.png"
        if waiting.is_file():
            waiting.replace(pool.picture(job))
    unfinished.rmdir()


def _scene(job: Job) -> Rendered:
    """Render a job as a scene."""
    from cubital.scene import rendering  # noqa: PLC0415 - on use: planning a pool is quick

    return rendering.rendered(job)
