"""One run for many absorptions: photons are followed once, and weighed anew by their paths."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from cubital.calc.batches import Moments, Score
from cubital.calc.launching import EXIT_COLUMNS, Bins, Job, Scene
from cubital.calc.media import Layer, Vein
from cubital.calc.quantities import check, written

SHARE_OF_LOWEST = 0.5  # below half the run's absorption the error of a weight has no bound


class PhotonPaths(NamedTuple):
    """Detected photons with their way through each medium, and what is needed to score them.

    ``exits`` has a row for each: weight but for absorption [-], place across and along [mm],
    cosine of the exit angle [-], then the path in each layer and each vein [mm]. ``batch`` is the
    batch of each, and ``sizes`` the photons that the batches launched.
    """

    exits: np.ndarray
    batch: np.ndarray
    sizes: np.ndarray
    absorptions_per_mm: np.ndarray
    specular_reflectance: float
    rings: Bins
    strips: Bins
    beam_mm: float
    strip_factor: float


class ReweightedReflectance(NamedTuple):
    """Reflectance at one or more sets of absorptions: scores with a first axis for the sets.

    As in a run: the profiles are per area of the rings [1/mm2], and across the strips as a share
    of what fell on each [-] (broad) or of all light per width [1/mm] (pencil).
    """

    detected_reflectance: Score
    radial_mm: np.ndarray
    radial_reflectance_per_mm2: Score
    across_mm: np.ndarray
    across_reflectance: Score


def photon_paths(
    layers: Sequence[Layer],
    *,
    photons: int,
    seed: int,
    keep: int = 1_000_000,  # 1,000,000: some 30 MB for two layers and a vein
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
) -> PhotonPaths:
    """Return the detected photons of a run with the way each went through each medium.

    `weight = w * exp(-sum of mua_i * L_i)`: the way L_i in each medium gives a photon's weight at
    any absorption.

    Parameters
    ----------
    layers : sequence of Layer
        Plane layers from the surface down, with the lowest absorption that will be asked for;
        the last may be of infinite thickness [1/mm, mm]
    photons : int
        Number of photons to launch [-]
    seed : int
        Whole number that fixes every random number [-]
    keep : int, optional
        Largest number of photons to keep; what is more is thinned at random [-]
    veins : sequence of Vein, optional
        Horizontal cylinders in the layers, which they replace where they lie [1/mm, mm]
    beam : str, optional
        "pencil": all at one point over the place 0; "broad": evenly over all strips [-]
    exit_angle_deg : float, optional
        Largest exit angle from the normal, outside the tissue, that counts as detected [degrees]
    radial_bin_mm : float, optional
        Width of the rings round the place 0 [mm]
    radial_bins : int, optional
        Number of rings [-]
    across_bin_mm : float, optional
        Width of the strips along the veins [mm]
    across_bins : int, optional
        Number of strips, half of them on each side of the place 0 [-]
    above_index : float, optional
        Refractive index above the layers [-]
    below_index : float, optional
        Refractive index below the layers [-]
    cores : int, optional
        Number of cores; all that this process may use if not given [-]
    progress : callable, optional
        Called after each batch with the photons done and all photons [-]

    Returns
    -------
    PhotonPaths
        Weights, places, angles and paths of the detected photons [-, mm]

    Notes
    -----
    Photons 1000 to 1e12, kept 1000 to 1e8, exit angle 0.1 to 90 degrees, rings and strips 0 to
    10000 of width 0.0001 to 100 mm, cores 1 to 1024. The same photons as `photon_run`
    follows with the same seed. Only absorption can be changed afterwards: scattering, indices and
    places stay.

    Examples
    --------
    >>> from cubital.calc.media import Medium
    >>> # a pale skin, 5 mm thick
    >>> found = photon_paths([Layer(Medium(0.01, 15.0, 0.9, 1.4), 5.0)], photons=2000, seed=1)
    >>> found.exits.shape[1]
    5

    References
    ----------
    wang-1995, common-practice
    """
    job = Job.of(
        Scene.of(layers, veins, above_index, below_index),
        photons=photons,
        seed=seed,
        beam=beam,
        exit_angle_deg=exit_angle_deg,
        rings=Bins.of("radial_bin_mm", radial_bin_mm, radial_bins),
        strips=Bins.of("across_bin_mm", across_bin_mm, across_bins),
        keep=int(check("keep", keep)),
    )
    exits = [found for _, _, found in job.results(cores=cores, progress=progress)]
    return PhotonPaths(
        exits=np.concatenate(exits),
        batch=np.repeat(np.arange(len(exits)), [len(found) for found in exits]),
        sizes=job.sizes,
        absorptions_per_mm=job.scene.media[:, 0],
        specular_reflectance=job.scene.specular,
        rings=job.rings,
        strips=job.strips,
        beam_mm=job.beam_mm,
        strip_factor=job.strip_factor,
    )


def reweighted_reflectance(
    found: PhotonPaths, *, absorptions_per_mm: Sequence
) -> ReweightedReflectance:
    """Return the reflectance that the same photons give at other absorptions.

    `R = sum of w * exp(-sum of mua_i * L_i) / N` (Beer and Lambert)

    Parameters
    ----------
    found : PhotonPaths
        What `photon_paths` found [-, mm]
    absorptions_per_mm : sequence of float, or of sequences
        For each layer and then each vein its absorption; or several such sets [1/mm]

    Returns
    -------
    ReweightedReflectance
        Detected reflectance and profiles, with standard errors; a first axis for the sets if
        there are several [-, 1/mm2, 1/mm]

    Notes
    -----
    Absorptions 0 to 100 per mm, and at least half of those the run was made with: below, the
    longest paths, which a run hardly samples, would count too much. The standard error grows the
    further they are from the run's own.

    Examples
    --------
    >>> from cubital.calc.media import Medium
    >>> # a pale skin, 5 mm thick, and what more absorption makes of it
    >>> found = photon_paths([Layer(Medium(0.01, 15.0, 0.9, 1.4), 5.0)], photons=2000, seed=1)
    >>> result = reweighted_reflectance(found, absorptions_per_mm=[[0.01], [0.1]])
    >>> pale, dark = result.detected_reflectance.value
    >>> bool(pale > dark)
    True

    References
    ----------
    common-practice
    """
    sets = _sets(found, absorptions_per_mm)
    many = np.atleast_2d(sets)
    rings, strips = _places(found)
    scored = (  # where each exit counts, in how many places, and a factor for each place
        (np.zeros_like(rings), 1, 1.0),
        (rings, found.rings.number, 1 / found.rings.ring_areas_mm2()),
        (strips, found.strips.number, found.strip_factor),
    )
    sums = [np.zeros((len(found.sizes), len(many), length)) for _, length, _ in scored]
    for number, absorptions in enumerate(many):
        weights = found.exits[:, 0] * np.exp(-(found.exits[:, EXIT_COLUMNS:] @ absorptions))
        for total, (place, length, _) in zip(sums, scored, strict=True):
            total[:, number] = _by_batch(found, weights, place, length)
    entered = 1 - found.specular_reflectance
    part = 0 if sets.ndim == 1 else slice(None)
    scores = []
    for total, (_, length, factor) in zip(sums, scored, strict=True):
        moments = Moments((len(many), length))
        for tally, size in zip(total, found.sizes, strict=True):
            moments.add(tally, size)
        scores.append(moments.score(part, entered * factor))
    return ReweightedReflectance(
        Score(*(float(each[0]) if sets.ndim == 1 else each[:, 0] for each in scores[0])),
        found.rings.middles(centred=False),
        scores[1],
        found.strips.middles(centred=True),
        scores[2],
    )


def _sets(found: PhotonPaths, absorptions_per_mm: Sequence) -> np.ndarray:
    """Return the sets of absorptions, checked against the run's."""
    sets = np.asarray(check("absorption_per_mm", absorptions_per_mm))
    media = len(found.absorptions_per_mm)
    if sets.ndim not in (1, 2) or sets.shape[-1] != media:
        raise ValueError(
            f"absorptions are of shape {sets.shape}: each set must have {media}, "
            "one for each layer and each vein"
        )
    lowest = SHARE_OF_LOWEST * found.absorptions_per_mm
    low = sets < lowest
    if low.any():
        place = int(np.argwhere(low)[0][-1])
        raise ValueError(
            f"absorption coefficient is {written(sets[..., place].min())} 1/mm: for these paths "
            f"it must be from {written(lowest[place])} 1/mm, half of what they were made with"
        )
    return sets


def _places(found: PhotonPaths) -> tuple[np.ndarray, np.ndarray]:
    """Return ring and strip of each exit; one too far out is in the one after the last."""
    across, along = found.exits[:, 1].astype(float), found.exits[:, 2]
    ring = np.hypot(across, along) / found.rings.width_mm
    strip = across / found.strips.width_mm + found.strips.number / 2
    if found.beam_mm:
        strip %= found.strips.number
    outside = (strip < 0) | (strip >= found.strips.number)
    strip = np.where(outside, found.strips.number, strip)
    return (
        np.minimum(ring, found.rings.number).astype(np.int64),
        strip.astype(np.int64),
    )


def _by_batch(
    found: PhotonPaths, weights: np.ndarray, place: np.ndarray | int, length: int
) -> np.ndarray:
    """Return the weights summed by batch and place; places from the length on are left out."""
    if length == 0:
        return np.zeros((len(found.sizes), 0))
    columns = length + 1
    sums = np.bincount(found.batch * columns + place, weights, minlength=len(found.sizes) * columns)
    return sums.reshape(len(found.sizes), columns)[:, :length]
