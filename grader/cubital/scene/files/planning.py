"""The pictures of a pool before they are rendered: kinds, sizes, names by chance, difficulty."""

import functools
import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from cubital.calc.shared.quantities import single_whole, whole
from cubital.scene.chance import generator
from cubital.tables import files

NAME_DIGITS = 16  # hexadecimal, 64 bits: no two of a pool are the same
EXACT, COMPRESSED = SUFFIXES = (".png", ".jpg")  # of a picture's file
SERIES = "series-"
TRIAL = "trial-"
# What a short trial may show. In a still a fork, or an artery beside veins, may be seen, or not.
STILLS = ("fork", "no-fork", "artery", "veins")
MOVING = (
    "refill",
    "flush",
    "roll",
    "infiltration",
    "infiltration-unseen",
    "haematoma",
    "nothing",
)


class NoSceneError(ValueError):
    """No scene shows what a kind of picture is to show, at whatever difficulty."""


class Kept(NamedTuple):
    """How long a compressed file is, and the JPEG qualities that it may have, the best last."""

    length: int
    qualities: range


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

    @property
    def file(self) -> str:
        """The name of its file, which tells whether it is compressed with loss."""
        return f"{self.name}{EXACT if kept(self.kind) is None else COMPRESSED}"


class Rendered(NamedTuple):
    """What a renderer gives: frames as uint8, and the truth as plain data."""

    frames: np.ndarray
    truth: dict[str, Any]


@functools.cache
def _table() -> Mapping[str, Any]:
    return files.asset("scene/pools.toml")


def kinds() -> tuple[str, ...]:
    """Return the kinds of picture that a pool may hold.

    Examples
    --------
    >>> kinds()[:2]
    ('valve', 'no-valve')
    """
    return (*_table()["parts"], *trial_kinds())


def bands() -> dict[str, tuple[float, float]]:
    """Return the bands of difficulty of trials, from clear to faint: lowest and highest level.

    Examples
    --------
    >>> list(bands())
    ['clear', 'middling', 'faint']
    """
    return {name: (low, high) for name, (low, high) in _table()["trials"]["bands"].items()}


def trial_kind(what: str, band: str) -> str:
    """Return the kind of picture of a trial.

    Examples
    --------
    >>> trial_kind("refill", "faint")
    'trial-refill-faint'
    """
    return f"{TRIAL}{what}-{band}"


def trial_of(kind: str) -> tuple[str, str]:
    """Return what a trial of this kind shows, and its band.

    Examples
    --------
    >>> trial_of("trial-infiltration-unseen-clear")
    ('infiltration-unseen', 'clear')
    """
    what, _, band = kind.removeprefix(TRIAL).rpartition("-")
    return what, band


@functools.cache
def trial_kinds() -> tuple[str, ...]:
    """Return all kinds of trials.

    Examples
    --------
    >>> trial_kinds()[0]
    'trial-fork-clear'
    """
    return tuple(trial_kind(what, band) for what in (*STILLS, *MOVING) for band in bands())


def trial_setting(name: str) -> Any:
    """Return a number of how trials are made.

    Examples
    --------
    >>> trial_setting("readers_needed")
    3.0
    """
    return _table()["trials"][name]


def kept(kind: str) -> Kept | None:
    """Return how a kind of picture is compressed; None if it is kept as it is.

    Examples
    --------
    >>> kept("trial-roll-clear").length, kept("valve")
    (128000, None)
    """
    told = _table()["kept"].get(size_name(kind))
    if told is None:
        return None
    least, best = told["quality"]
    return Kept(told["bytes"], range(least, best + 1))


def size_name(kind: str) -> str:
    """Return which of the usual sizes a kind of picture has.

    Examples
    --------
    >>> [size_name(kind) for kind in ("valve", "trial-roll-clear", "trial-fork-clear")]
    ['picture', 'trial', 'trial-still']
    """
    if kind.startswith(TRIAL):
        return "trial-still" if trial_of(kind)[0] in STILLS else "trial"
    return "series" if kind.startswith(SERIES) else "picture"


def usual_sizes() -> dict[str, Size]:
    """Return the size of a picture, of a series, of a short trial and of a still one.

    Examples
    --------
    >>> usual_sizes()["series"].frames
    40
    """
    names = ("picture", "series", "trial", "trial-still")
    return {name: Size(**_table()[name]) for name in names}


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
                size=sizes[size_name(kind)],
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
    if kind.startswith(TRIAL):
        return round(float(chance.uniform(*bands()[trial_of(kind)[1]])), 3)
    levels = _table()["difficulty"]
    return round(float(chance.uniform(*levels.get(kind, levels["default"]))), 3)


def _name(seed: int | str, number: int) -> str:
    """Return a name from the pool's seed and the place in its list: nothing of what is shown."""
    return hashlib.sha256(f"name of a picture|{seed}|{number}".encode()).hexdigest()[:NAME_DIGITS]
