"""Photon transport in layers and veins by Monte Carlo: where the light goes, and how surely."""

import math
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

import numpy as np

from cubital.calc import fresnel
from cubital.calc.media import Layer, Medium, Vein
from cubital.calc.quantities import check

FAR_MM = 1e30  # mm: stands for an infinite thickness, and keeps arithmetic finite
BATCHES = 100  # batches at least, for the standard errors
LARGEST_BATCH = 50_000  # photons: so that progress is reported and cores end together
DIFFUSE, DETECTED, TRANSMITTED, BALANCE, ABSORBED = range(5)  # as in photons
EXIT_COLUMNS = 4  # weight, place across and along, cosine; the paths follow


class Score(NamedTuple):
    """What a run measured, with its standard error (one of each, or arrays of them)."""

    value: float | np.ndarray
    standard_error: float | np.ndarray


class Run(NamedTuple):
    """What became of the light, as shares of what fell on the surface.

    ``specular_reflectance`` is exact. ``diffuse_reflectance`` holds all that left upwards,
    ``detected_reflectance`` what left within the exit angle that counts. ``roulette_balance`` is
    what roulette took less what it gave: zero but for chance. With it, all shares add to 1.
    ``radial_mm`` and ``across_mm`` are the middles of rings and strips [mm]. The reflectance
    across is a share of what fell on the strip for a broad beam [-], and a share of all light per
    width for a pencil beam [1/mm].
    """

    photons: int
    specular_reflectance: float
    diffuse_reflectance: Score
    detected_reflectance: Score
    transmittance: Score
    absorbed_by_layer: Score
    absorbed_by_vein: Score
    roulette_balance: Score
    radial_mm: np.ndarray
    radial_reflectance_per_mm2: Score
    across_mm: np.ndarray
    across_reflectance: Score


class Paths(NamedTuple):
    """Photons that left upwards, with their way through each medium.

    ``exits`` has a row for each: weight without absorption, place across and along [mm], cosine
    of the exit angle, then the path in each layer and each vein [mm]. ``batch_ends`` says where
    in the rows each batch ends, ``batch_photons`` how many photons it launched.
    """

    photons: int
    specular_reflectance: float
    exits: np.ndarray
    batch_ends: np.ndarray
    batch_photons: np.ndarray
    absorptions_per_mm: np.ndarray
    strip_of_beam_mm: float


class _Scene(NamedTuple):
    """Layers and veins as the compiled core takes them."""

    media: np.ndarray
    layers: np.ndarray
    veins: np.ndarray
    outside: np.ndarray
    specular: float


def _checked(medium: Medium) -> Medium:
    return Medium(**{name: float(check(name, value)) for name, value in medium._asdict().items()})


def _pull(medium: Medium) -> float:
    """Return how fast the chance to come back fades with depth: the effective attenuation."""
    mua, transport = medium.absorption_per_mm, medium.reduced_scattering_per_mm
    return math.sqrt(3 * mua * (mua + transport))  # 3: of the diffusion approximation


def _scene(
    layers: Sequence[Layer], veins: Sequence[Vein], above_index: float, below_index: float
) -> _Scene:
    """Check layers and veins and lay them out as arrays."""
    if not layers:
        raise ValueError("there is no layer: there must be at least 1")
    media = [_checked(part.medium) for part in (*layers, *veins)]
    rows, depth = [], 0.0
    for number, (layer, medium) in enumerate(zip(layers, media, strict=False)):
        is_infinite = layer.thickness_mm == math.inf and number == len(layers) - 1
        if is_infinite and 0 in (medium.absorption_per_mm, medium.scattering_per_mm):
            raise ValueError(
                "the infinite layer has an absorption of "
                f"{medium.absorption_per_mm} 1/mm and a scattering of "
                f"{medium.scattering_per_mm} 1/mm: both must be above 0"
            )
        thickness = FAR_MM if is_infinite else check("layer_thickness_mm", layer.thickness_mm)
        rows.append((depth, depth + thickness, _pull(medium)))
        depth += thickness
    return _Scene(
        np.array([(m[0], 1 / m[1] if m[1] else FAR_MM, m[2], m[3]) for m in media]),
        np.array(rows),
        _cylinders(veins, depth),
        np.array([float(check("refractive_index", n)) for n in (above_index, below_index)]),
        fresnel.reflectance_share(
            0.0, refractive_index=above_index, refractive_index_beyond=media[0].refractive_index
        ),
    )


def _cylinders(veins: Sequence[Vein], depth_mm: float) -> np.ndarray:
    """Check the veins' places and return axes and radii."""
    rows = np.zeros((len(veins), 3))  # 3: axis across, axis in depth, radius
    for row, vein in zip(rows, veins, strict=True):
        radius = check("vein_diameter_mm", vein.diameter_mm) / 2
        row[:] = (
            check("vein_centre_mm", vein.centre_mm),
            check("vein_depth_mm", vein.depth_mm) + radius,
            radius,
        )
        if row[1] + radius > depth_mm:
            raise ValueError(
                f"a vein reaches {row[1] + radius} mm deep: it must end within {depth_mm} mm"
            )
    for number, (across, deep, radius) in enumerate(rows):
        for other in rows[:number]:
            gap = math.hypot(across - other[0], deep - other[1]) - radius - other[2]
            if gap < 0:
                raise ValueError(f"two veins overlap by {-gap} mm: they must lie apart")
    return rows


def _batches(photons: int) -> np.ndarray:
    """Return how many photons each batch has; depends on nothing but their number."""
    count = max(BATCHES, math.ceil(photons / LARGEST_BATCH))
    return np.diff(np.arange(count + 1) * photons // count)


def _cores(cores: int | None) -> int:
    import os  # noqa: PLC0415

    if cores is not None:
        return int(check("cores", cores))
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _seeds(seed: int, batch: int) -> np.ndarray:
    return np.random.SeedSequence([seed, batch]).generate_state(4, np.uint64)  # 4: the state


class _Job(NamedTuple):
    scene: _Scene
    beam_mm: float
    bins: np.ndarray
    tally_size: int
    seed: int
    room: int

    def batch(self, number: int, photons: int) -> tuple[np.ndarray, np.ndarray]:
        """Follow one batch; return its tally and its exits."""
        from cubital.calc import photons as core  # noqa: PLC0415 - on use: it needs numba

        scene = self.scene
        tally = np.zeros(self.tally_size)
        exits = np.zeros((self.room, EXIT_COLUMNS + len(scene.media)), np.float32)
        listed = core.trace(
            int(photons),
            _seeds(self.seed, number),
            scene.media,
            scene.layers,
            scene.veins,
            scene.outside,
            self.beam_mm,
            self.bins,
            tally,
            exits,
        )
        return tally, exits[:listed].copy()


def _in_order(
    job: _Job, sizes: np.ndarray, cores: int, progress: Callable[[int, int], object] | None
) -> Iterator[tuple[np.ndarray, np.ndarray]]:
    """Yield what each batch gave, in order, computing a few ahead."""
    from collections import deque  # noqa: PLC0415 - on use, as the next
    from concurrent.futures import ThreadPoolExecutor  # noqa: PLC0415

    total, done, waiting = int(sizes.sum()), 0, deque()
    todo = iter(enumerate(sizes))
    with ThreadPoolExecutor(cores) as pool:
        try:
            while True:
                while len(waiting) <= 2 * cores and (upcoming := next(todo, None)):
                    waiting.append((upcoming[1], pool.submit(job.batch, *upcoming)))
                if not waiting:
                    return
                size, result = waiting.popleft()
                yield result.result()
                done += int(size)
                if progress is not None:
                    progress(done, total)
        finally:
            pool.shutdown(wait=True, cancel_futures=True)


def _job(scene, *, photons, seed, beam, exit_angle_deg, rings, strips, keep=0):
    """Check what a run is asked for and return the job and the sizes of its batches."""
    if beam not in ("pencil", "broad"):
        raise ValueError(f"the beam is {beam!r}: it must be 'pencil' or 'broad'")
    if isinstance(seed, bool) or not isinstance(seed, int) or seed < 0:
        raise ValueError(f"the seed is {seed!r}: it must be a whole number from 0")
    (radial_mm, radial_bins), (across_mm, across_bins) = rings, strips
    beam_mm = across_mm * across_bins if beam == "broad" else 0.0
    if beam == "broad" and not across_bins:
        raise ValueError("a broad beam needs strips across: across_bins is 0, it must be above 0")
    bins = np.array(
        [
            math.cos(math.radians(check("exit_angle_deg", exit_angle_deg))),
            radial_mm,
            across_mm,
            -across_mm * across_bins / 2,
            radial_bins,
            across_bins,
        ]
    )
    if exit_angle_deg == 90:  # 90 degrees: everything counts, whatever the cosine's last digit
        bins[0] = 0.0
    sizes = _batches(int(check("photons", photons)))
    tally_size = ABSORBED + len(scene.media) + radial_bins + across_bins
    room = -(-keep // len(sizes))
    return _Job(scene, float(beam_mm), bins, tally_size, seed, room), sizes


def _bins(width_quantity: str, width_mm: float | None, bins: int) -> tuple[float, int]:
    number = int(check(width_quantity.replace("_mm", "s"), bins))
    if number == 0:
        return 1.0, 0
    if width_mm is None:
        raise ValueError(f"{width_quantity} is not given: {number} of them need a width in mm")
    return float(check(width_quantity, width_mm)), number


def run(
    layers: Sequence[Layer],
    *,
    photons: int,
    seed: int,
    veins: Sequence[Vein] = (),
    beam: str = "pencil",
    exit_angle_deg: float = 90.0,  # 90: all
    radial_bin_mm: float | None = None,
    radial_bins: int = 0,
    across_bin_mm: float | None = None,
    across_bins: int = 0,
    above_index: float = 1.0,
    below_index: float = 1.0,
    cores: int | None = None,
    progress: Callable[[int, int], object] | None = None,
) -> Run:
    """Return what becomes of light that falls straight on layers with veins in them.

    `standard error^2 = sum of (batch - mean)^2 / (B (B - 1))`, over B batches

    Examples
    --------
    >>> # coefficients of a pale skin
    >>> skin = Layer(Medium(0.03, 15.0, 0.9, 1.4), math.inf)
    >>> result = run([skin], photons=20_000, seed=1)
    >>> abs(result.diffuse_reflectance.value - 0.47) < 0.03
    True
    """
    rings = _bins("radial_bin_mm", radial_bin_mm, radial_bins)
    strips = _bins("across_bin_mm", across_bin_mm, across_bins)
    scene = _scene(layers, veins, above_index, below_index)
    job, sizes = _job(
        scene,
        photons=photons,
        seed=seed,
        beam=beam,
        exit_angle_deg=exit_angle_deg,
        rings=rings,
        strips=strips,
    )
    moments = _Moments(job.tally_size)
    for (tally, _), size in zip(_in_order(job, sizes, _cores(cores), progress), sizes, strict=True):
        moments.add(tally, size)
    score = moments.score(1 - scene.specular)
    media_end = ABSORBED + len(scene.media)
    radial_end = media_end + rings[1]
    edges = rings[0] * np.arange(rings[1] + 1)
    per_strip = strips[1] if beam == "broad" else 1 / strips[0]
    return Run(
        photons=int(photons),
        specular_reflectance=scene.specular,
        diffuse_reflectance=score(DIFFUSE),
        detected_reflectance=score(DETECTED),
        transmittance=score(TRANSMITTED),
        absorbed_by_layer=score(slice(ABSORBED, ABSORBED + len(layers))),
        absorbed_by_vein=score(slice(ABSORBED + len(layers), media_end)),
        roulette_balance=score(BALANCE),
        radial_mm=(edges[1:] + edges[:-1]) / 2,
        radial_reflectance_per_mm2=score(
            slice(media_end, radial_end), 1 / (np.pi * np.diff(edges**2))
        ),
        across_mm=strips[0] * (np.arange(strips[1]) + 0.5 - strips[1] / 2),
        across_reflectance=score(slice(radial_end, None), per_strip),
    )


class _Moments:
    """Sums over batches: memory does not grow with the photons."""

    def __init__(self, size: int) -> None:
        self.photons, self.batches, self.size_squared = 0, 0, 0.0
        self.total, self.squared, self.by_size = np.zeros(size), np.zeros(size), np.zeros(size)

    def add(self, tally: np.ndarray, size: int) -> None:
        self.photons += int(size)
        self.batches += 1
        self.size_squared += float(size) ** 2
        self.total += tally
        self.squared += tally**2
        self.by_size += tally * float(size)

    def score(self, share: float) -> Callable[..., Score]:
        """Return a reader of parts of the tally as shares of the light."""
        mean = self.total / self.photons
        spread = self.squared - 2 * mean * self.by_size + mean**2 * self.size_squared
        spread *= self.batches / (self.batches - 1)
        error = np.sqrt(np.maximum(spread, 0)) / self.photons

        def read(part: int | slice, factor: float | np.ndarray = 1.0) -> Score:
            values = mean[part] * share * factor, error[part] * share * factor
            return Score(*(float(v) if np.ndim(v) == 0 else v for v in values))

        return read
