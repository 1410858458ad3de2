"""Photon transport in layers and veins by Monte Carlo: where the light goes, and how surely."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from cubital.calc.light.media import Layer, Vein
from cubital.calc.light.transport.batches import Moments, Score
from cubital.calc.light.transport.launching import SHARES, Bins, Job, Scene

DIFFUSE, DETECTED, TRANSMITTED, BALANCE = range(SHARES)  # as in photons


class PhotonRun(NamedTuple):
    """What became of the light, as shares of what fell on the surface.

    ``specular_reflectance`` is exact. ``diffuse_reflectance`` is all that left upwards,
    ``detected_reflectance`` what left within the exit angle that counts. ``roulette_balance`` is
    what roulette took less what it gave: zero but for chance; with it, all shares add to 1.
    ``radial_mm`` and ``across_mm`` are the middles of rings and strips [mm]. Both profiles are of
    detected light. The one across is, for a broad beam, a share of what fell on the strip [-],
    for a pencil beam a share of all light per width [1/mm].
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


def photon_run(
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
) -> PhotonRun:
    """Return what becomes of light that falls straight on layers with veins in them.

    `specular + diffuse + transmitted + absorbed + balance = 1`; each with its standard error
    `se^2 = B / (B - 1) * sum of (s_b - n_b * mean)^2 / N^2` from B batches that scored s_b with
    n_b of N photons.

    Parameters
    ----------
    layers : sequence of Layer
        Plane layers from the surface down; the last may be of infinite thickness [1/mm, mm]
    photons : int
        Number of photons to launch [-]
    seed : int
        Whole number that fixes every random number [-]
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
    PhotonRun
        Shares of the light and profiles, with their standard errors [-, 1/mm2, 1/mm]

    Notes
    -----
    Photons 1000 to 1e12, exit angle 0.1 to 90 degrees, rings and strips 0 to 10000 of width
    0.0001 to 100 mm, cores 1 to 1024. The result depends on the seed and the number of photons,
    not on the cores. A broad beam is as wide as all strips; light that leaves beyond one side is
    counted at the other, as if the next picture lay there, so the strips at the sides see
    undisturbed skin if the veins end well within.

    Unpolarised light at smooth faces, Henyey-Greenstein scattering, round straight veins, nothing
    that flows or fluoresces. Photons that can hardly reach the surface any more are rouletted, so
    little is learnt of what gets through several centimetres.

    Examples
    --------
    >>> from cubital.calc.light.media import Medium
    >>> # a pale skin without end; 0.504 is by adding-doubling
    >>> skin = Layer(Medium(0.03, 15.0, 0.9, 1.4), float("inf"))
    >>> result = photon_run([skin], photons=20_000, seed=1)
    >>> round(result.specular_reflectance, 4)
    0.0278
    >>> value, error = result.diffuse_reflectance
    >>> abs(value - 0.504) < 4 * error
    True

    References
    ----------
    wang-1995, henyey-greenstein-1941
    """
    rings = Bins.of("radial_bin_mm", radial_bin_mm, radial_bins)
    strips = Bins.of("across_bin_mm", across_bin_mm, across_bins)
    scene = Scene.of(layers, veins, above_index, below_index)
    job = Job.of(
        scene,
        photons=photons,
        seed=seed,
        beam=beam,
        exit_angle_deg=exit_angle_deg,
        rings=rings,
        strips=strips,
    )
    moments = Moments(job.tally_length)
    for size, tally, _ in job.results(cores=cores, progress=progress):
        moments.add(tally, size)
    entered = 1 - scene.specular
    veins_from, rings_from = SHARES + len(layers), SHARES + len(scene.media)
    strips_from = rings_from + rings.number
    return PhotonRun(
        photons=moments.photons,
        specular_reflectance=scene.specular,
        diffuse_reflectance=moments.score(DIFFUSE, entered),
        detected_reflectance=moments.score(DETECTED, entered),
        transmittance=moments.score(TRANSMITTED, entered),
        absorbed_by_layer=moments.score(slice(SHARES, veins_from), entered),
        absorbed_by_vein=moments.score(slice(veins_from, rings_from), entered),
        roulette_balance=moments.score(BALANCE, entered),
        radial_mm=rings.middles(centred=False),
        radial_reflectance_per_mm2=moments.score(
            slice(rings_from, strips_from), entered / rings.ring_areas_mm2()
        ),
        across_mm=strips.middles(centred=True),
        across_reflectance=moments.score(slice(strips_from, None), entered * job.strip_factor),
    )
