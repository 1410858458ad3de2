"""Shadows of veins by photon transport: how much darker, and how wide the dark band looks."""

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from cubital.calc.light.media import Layer, Medium, Vein
from cubital.calc.light.transport.batches import Score, batch_sizes
from cubital.calc.light.transport.dimming import AIR, dimmed, full_width_at_half, together
from cubital.calc.light.transport.launching import EVERYTHING_DEG, Scene
from cubital.calc.shared.quantities import several

PLACES = 25  # across half a shadow: a straight line between two is within 1 % of the profile
STRIPS = 96  # of a broad beam, each a quarter of a vein wide or more
STRIPS_IN_VEIN = 4  # strips across a vein: the darkest is then flat within 1 %


class Shadow(NamedTuple):
    """How one vein shows: contrast, the dark band's width and its profile, with their errors.

    ``depth_mm`` is from the skin's surface to the upper wall. ``contrast`` is (background -
    darkest) / background, ``width_mm`` the full width at half of it. ``dimming`` is the same as
    contrast at each place of ``across_mm`` beside the axis.
    """

    depth_mm: float
    diameter_mm: float
    contrast: Score
    width_mm: Score
    across_mm: np.ndarray
    dimming: Score


class Shadows(NamedTuple):
    """Shadows of veins from one run, and what was run.

    ``background`` is the share of the light that leaves within the exit angle where there is no
    vein. ``lost_share`` of the photons were given up because their paths were too long.
    """

    shadows: tuple[Shadow, ...]
    background: Score
    photons: int
    seed: int
    exit_angle_deg: float
    lost_share: float


def vein_shadows(
    layers: Sequence[Layer],
    *,
    vein_medium: Medium,
    depths_mm: Sequence[float],
    diameters_mm: Sequence[float],
    photons: int,
    seed: int,
    exit_angle_deg: float = EVERYTHING_DEG,
    cores: int | None = None,
    progress: Callable[[int, int], object] | None = None,
) -> Shadows:
    """Return how veins of every depth and diameter show through skin under broad even light.

    `contrast = (background - darkest) / background` of the light that leaves within the exit
    angle; from `1 - sum of w exp(-(mu_v - mu) l) / sum of w` over paths of weight w and length l
    within the vein, shifted so that each leaves at the place looked at.

    Parameters
    ----------
    layers : sequence of Layer
        Plane layers from the surface down; the last may be of infinite thickness [1/mm, mm]
    vein_medium : Medium
        What is in the vein; its refractive index is taken as that of its surroundings [1/mm]
    depths_mm : sequence of float
        Depths of the upper wall below the skin's surface [mm]
    diameters_mm : sequence of float
        Inner diameters of the veins [mm]
    photons : int
        Number of photons to follow [-]
    seed : int
        Whole number that fixes every random number [-]
    exit_angle_deg : float, optional
        Largest exit angle from the normal, outside the skin, that counts [degrees]
    cores : int, optional
        Number of cores; all that this process may use if not given [-]
    progress : callable, optional
        Called after each batch with the photons done and all photons [-]

    Returns
    -------
    Shadows
        Contrast [-] and width [mm] for each diameter of each depth in turn, with standard errors

    Notes
    -----
    Photons 1000 to 1e12, exit angle 0.1 to 90 degrees, cores 1 to 1024. The light falls straight
    down on all of the skin; what the surface itself mirrors is left out, as by crossed polarisers.
    One straight horizontal vein at a time, without wall. A camera straight above sees 4 to 8 % more
    contrast than light at all exit angles has: take a smaller exit angle for it.

    Exact where the vein scatters as its surroundings. Where it scatters otherwise, the difference
    that this makes is computed with even scattering of the same reduced coefficient (similarity)
    and added: within 1 % of a vein followed as it is, for blood in skin. Even scattering needs a
    vein that absorbs: one much paler than blood and wide comes out with a large standard error.

    Examples
    --------
    >>> skin = Layer(Medium(0.05, 10.0, 0.8, 1.4), math.inf)
    >>> found = vein_shadows(
    ...     [skin], vein_medium=Medium(0.5, 10.0, 0.8, 1.4), depths_mm=[0.3, 1.0],
    ...     diameters_mm=[3.0], photons=5_000, seed=1,
    ... )
    >>> [round(shadow.contrast.value, 1) for shadow in found.shadows]
    [0.4, 0.2]

    References
    ----------
    wang-1995, wyman-1989
    """
    depths = several("vein_depth_mm", depths_mm)
    diameters = several("vein_diameter_mm", diameters_mm)
    veins = np.array([(d, w) for d in depths for w in diameters]).reshape(-1, 2)
    across = np.array([_places_mm(depth, diameter) for depth, diameter in veins])
    dimming, others, whole = dimmed(
        layers,
        vein_medium=vein_medium,
        veins=veins,
        across_mm=across,
        photons=photons,
        seed=seed,
        exit_angle_deg=exit_angle_deg,
        cores=cores,
        progress=progress,
    )
    widths = full_width_at_half(dimming, across)
    error = together(others)
    width_error = together([full_width_at_half(other, across) for other in others])
    left = whole.left.sum() / whole.photons
    per_batch = whole.left[:, 0] / batch_sizes(whole.photons)
    share = 1 - Scene.of(layers, (), AIR, AIR).specular
    return Shadows(
        tuple(
            Shadow(
                float(depth),
                float(diameter),
                Score(float(dimming[i, 0]), float(error[i, 0])),
                Score(float(widths[i]), float(width_error[i])),
                across[i],
                Score(dimming[i], error[i]),
            )
            for i, (depth, diameter) in enumerate(veins)
        ),
        Score(
            float(share * left), float(share * per_batch.std(ddof=1) / math.sqrt(len(per_batch)))
        ),
        whole.photons,
        seed,
        float(exit_angle_deg),
        whole.lost / whole.photons,
    )


def _places_mm(depth_mm: float, diameter_mm: float) -> np.ndarray:
    """Return the places across half a shadow: out to where it is less than half as dark."""
    reach = 0.8 * diameter_mm + 1.3 * depth_mm + 1  # 0.8, 1.3: wider than any dark band's half
    return reach * np.linspace(0, 1, PLACES)


def followed_contrast(
    layers: Sequence[Layer],
    *,
    vein: Vein,
    photons: int,
    seed: int,
    exit_angle_deg: float = EVERYTHING_DEG,
    cores: int | None = None,
    progress: Callable[[int, int], object] | None = None,
) -> Score:
    """Return the contrast of one vein by following photons through the vein itself.

    `contrast = 1 - radiance over the axis / radiance of the layers alone`, two runs of transport

    Parameters
    ----------
    layers : sequence of Layer
        Plane layers from the surface down; the last may be of infinite thickness [1/mm, mm]
    vein : Vein
        The vein, with absorption, scattering, anisotropy and index of its own [1/mm, mm]
    photons : int
        Number of photons in each of the two runs [-]
    seed : int
        Whole number that fixes every random number [-]
    exit_angle_deg : float, optional
        Largest exit angle from the normal, outside the skin, that counts [degrees]
    cores : int, optional
        Number of cores; all that this process may use if not given [-]
    progress : callable, optional
        Called after each batch with the photons done and all photons [-]

    Returns
    -------
    Score
        Contrast and its standard error [-]

    Notes
    -----
    Photons 1000 to 1e12, exit angle 0.1 to 90 degrees, cores 1 to 1024. The plain way, and so the
    check of `vein_shadows`: nothing is shifted or weighed anew, and most photons tell nothing of
    the pixel over the vein. The darkest strip is a quarter of the vein wide.

    Examples
    --------
    >>> skin, blood = Medium(0.05, 10.0, 0.8, 1.4), Medium(0.5, 10.0, 0.8, 1.4)
    >>> found = followed_contrast(
    ...     [Layer(skin, math.inf)], vein=Vein(blood, 0.5, 3.0), photons=20_000, seed=1
    ... )
    >>> 0.2 < found.value < 0.6
    True

    References
    ----------
    wang-1995
    """
    from cubital.calc.light.transport import photon_runs  # noqa: PLC0415 - on use

    Scene.of(layers, (vein,), AIR, AIR)  # raises on what cannot be followed
    centre = vein.centre_mm
    width = vein.diameter_mm / STRIPS_IN_VEIN
    reach = 2 * (vein.depth_mm + vein.diameter_mm)
    strips = max(STRIPS, 2 * math.ceil(2 * reach / width / 2)) + 1  # odd: one lies over the axis
    job = {
        "photons": photons,
        "exit_angle_deg": exit_angle_deg,
        "cores": cores,
        "progress": progress,
    }
    alone = photon_runs.photon_run(layers, seed=seed + 1, **job).detected_reflectance
    run = photon_runs.photon_run(
        layers,
        veins=[vein._replace(centre_mm=centre * 0)],
        beam="broad",
        across_bin_mm=width,
        across_bins=strips,
        seed=seed,
        **job,
    ).across_reflectance
    dark, error = run.value[strips // 2], run.standard_error[strips // 2]
    ratio = dark / alone.value
    spread = math.hypot(error, ratio * alone.standard_error) / alone.value
    return Score(float(1 - ratio), float(spread))
