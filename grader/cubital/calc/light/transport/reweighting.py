"""One run for many absorptions: photons are followed once, and weighed anew by their paths."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from cubital.calc.light.media import Layer, Vein
from cubital.calc.light.transport.batches import Moments, Score, in_order
from cubital.calc.light.transport.launching import Bins, Job, Scene
from cubital.calc.shared.quantities import checked, single_whole, written

SHARE_OF_LOWEST = 0.5  # below half the run's absorption the error of a weight has no bound


class PhotonPaths(NamedTuple):
    """Detected photons with their way through each medium, and what is needed to score them.

    ``exits`` has a row for each: weight but for absorption [-], place across and along [mm],
    cosine of the exit angle [-], then the path in each layer and each vein [mm]. ``ends`` says
    where in the rows each batch ends; ``job`` is what was followed, and what counts.
    """

    exits: np.ndarray
    ends: np.ndarray
    job: Job


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

    `weight = w * exp(-sum of mu_a_i * L_i)`: the way L_i in each medium gives a photon's weight at
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
    >>> from cubital.calc.light.media import Medium
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
        keep=single_whole("keep", keep),
    )
    exits = [found for _, _, found in job.results(cores=cores, progress=progress)]
    return PhotonPaths(np.concatenate(exits), np.cumsum([len(found) for found in exits]), job)


def reweighted_reflectance(
    found: PhotonPaths, *, absorptions_per_mm: Sequence, cores: int | None = None
) -> ReweightedReflectance:
    """Return the reflectance that the same photons give at other absorptions.

    `R = sum of w * exp(-sum of mu_a_i * L_i) / N` (Beer and Lambert)

    Parameters
    ----------
    found : PhotonPaths
        What `photon_paths` found [-, mm]
    absorptions_per_mm : sequence of float, or of sequences
        For each layer and then each vein its absorption; or several such sets [1/mm]
    cores : int, optional
        Number of cores; all that this process may use if not given [-]

    Returns
    -------
    ReweightedReflectance
        Detected reflectance and profiles, with standard errors; a first axis for the sets if
        there are several [-, 1/mm2, 1/mm]

    Notes
    -----
    Absorptions 0 to 100 per mm, and at least half of those the run was made with: below, the
    longest paths, which a run hardly samples, would count too much. Cores 1 to 1024. The standard
    error grows the further the absorptions are from the run's own.

    Examples
    --------
    >>> from cubital.calc.light.media import Medium
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
    many, job = np.atleast_2d(sets), found.job
    rings_end = 1 + job.rings.number
    length = rings_end + job.strips.number
    starts = np.r_[0, found.ends]

    def weighed(number: int, _: int) -> np.ndarray:
        from cubital.calc.light.transport import photons as core  # noqa: PLC0415 - on use: it needs numba

        tallies = np.zeros((len(many), length))
        exits = found.exits[starts[number] : starts[number + 1]]
        core.weigh(exits, many, job.window, tallies)
        return tallies

    moments = Moments((len(many), length))
    batches = in_order(weighed, job.sizes, cores=cores, progress=None)
    for size, tallies in zip(job.sizes, batches, strict=True):
        moments.add(tallies, size)
    entered = 1 - job.scene.specular
    which = 0 if sets.ndim == 1 else slice(None)
    return ReweightedReflectance(
        moments.score((which, 0), entered),
        job.rings.middles(centred=False),
        moments.score((which, slice(1, rings_end)), entered / job.rings.ring_areas_mm2()),
        job.strips.middles(centred=True),
        moments.score((which, slice(rings_end, None)), entered * job.strip_factor),
    )


@checked(absorptions_per_mm="absorption_per_mm")
def _sets(found: PhotonPaths, absorptions_per_mm: Sequence) -> np.ndarray:
    """Return the sets of absorptions, checked_medium against the run's."""
    own = found.job.scene.media[:, 0]
    sets = np.asarray(absorptions_per_mm)
    if sets.ndim not in (1, 2) or sets.shape[-1] != len(own):
        raise ValueError(
            f"absorptions are of shape {sets.shape}: each set must have {len(own)}, "
            "one for each layer and each vein"
        )
    lowest = SHARE_OF_LOWEST * own
    low = sets < lowest
    if low.any():
        place = int(np.argwhere(low)[0][-1])
        raise ValueError(
            f"absorption coefficient is {written(sets[..., place].min())} 1/mm: for these paths "
            f"it must be from {written(lowest[place])} 1/mm, half of what they were made with"
        )
    return sets
