"""A superficial artery: smooth and straighter than veins, and on the whole deeper.

Simulated, not clinically validated.
"""

import numpy as np
from scipy.spatial import cKDTree

from cubital import tables
from cubital.scene.anatomy.courses import STEP_MM, slow, smooth
from cubital.scene.anatomy.filling import below, drawn
from cubital.scene.anatomy.vessels import Limb, Vessel
from cubital.tables.scene import LimbSize, VesselSize

BELOW_MM = 0.3  # between a vein's lower wall and the upper wall of an artery that crosses below it
CROSSING_SPANS = 3.5, 5.0, 7.0, 12.0  # longest way beside veins within the gap, over the gap
MOST_ASIDE = 0.88  # of the half width
MOST_WAYS = 8  # that are looked at for their depth
TRIES = 200
MOST_DEPTH_MM = 7.9  # within what the fitted contrast of vessels covers


def _longest_run(near: np.ndarray) -> int:
    """Return the longest run of true values."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], near.astype(int), [0]])))
    return int((edges[1::2] - edges[::2]).max(initial=0))


def _ways(
    rng: np.random.Generator, limb: Limb, veins: tuple[Vessel, ...], size: LimbSize
) -> list[np.ndarray]:
    """Return straight ways that run beside no vein, those with the fewest crossings first."""
    reach = size.half_length_mm
    y = np.arange(-reach, reach + 0.5, 2.0)
    along = (y + reach) / (2 * reach)
    start, middle = rng.uniform(-0.8, 0.8, (2, TRIES, 1))
    drift = rng.normal(0, 0.3, (TRIES, 1))
    middle = start + drift / 2 + 0.25 * (middle - start) * rng.random((TRIES, 1))
    end = start + drift
    # a parabola through three places: straighter than any vein
    u = start * (1 - along) ** 2 + 2 * along * (1 - along) * middle + end * along**2
    x = u * limb.half_width_at_mm(y)
    ways = np.stack([x, np.broadcast_to(y, x.shape)], axis=2)
    points = np.concatenate([np.stack([v.x_mm, v.y_mm], axis=1)[::2] for v in veins])
    away, _ = cKDTree(points).query(ways.reshape(-1, 2), distance_upper_bound=size.gap_mm)
    near = np.isfinite(away).reshape(x.shape)
    beside = np.array([2 * _longest_run(row) for row in near]) / size.gap_mm
    beside[np.abs(u).max(axis=1) > MOST_ASIDE] = np.inf
    for span in CROSSING_SPANS:
        fit = np.flatnonzero(beside <= span)
        if fit.size:
            return [ways[n] for n in sorted(fit, key=lambda n: near[n].sum())[:MOST_WAYS]]
    return []


def _pressed_down(
    way: np.ndarray, depth: np.ndarray, veins: tuple[Vessel, ...], diameter: np.ndarray
) -> np.ndarray:
    """Return the artery's depth so that it passes below each vein that it crosses."""
    for vein in veins:
        points = np.stack([vein.x_mm, vein.y_mm], axis=1)[::2]
        away = ((way[:, None, :] - points[None]) ** 2).sum(axis=2)
        nearest = away.argmin(axis=1)
        floor = (vein.depth_mm + vein.diameter_mm)[::2][nearest] + BELOW_MM
        reach = (vein.diameter_mm[::2][nearest] + diameter) / 2 + 1.0
        close = np.sqrt(away.min(axis=1))
        # full below the vein, fading over three more reaches to either side
        weight = 0.5 * (1 + np.cos(np.pi * np.clip((close - reach) / (3 * reach), 0, 1)))
        depth = np.maximum(depth, depth + weight * (floor - depth))
    return depth


def artery(
    rng: np.random.Generator,
    limb: Limb,
    veins: tuple[Vessel, ...],
    limb_size: LimbSize,
    size: VesselSize,
) -> Vessel | None:
    """Return an artery that runs towards the hand or the toes, or nothing where none fits."""
    reach = limb_size.half_length_mm
    between = tables.constant("vein_to_vein_share").value
    main_mm, _ = drawn(rng, size.diameter_mm, size.diameter_sd_mm, between)
    deep_mm, _ = drawn(rng, size.depth_mm, size.depth_sd_mm, between)
    for way in _ways(rng, limb, veins, limb_size):
        along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(way, axis=0).T))])
        diameter = main_mm * np.exp(0.03 * slow(rng, along, 2 * reach))
        diameter = below(diameter, size.diameter_low_mm, size.diameter_high_mm)
        depth = deep_mm * np.exp(0.08 * slow(rng, along, 1.5 * reach))
        depth = below(depth, size.depth_low_mm, size.depth_high_mm)
        depth = _pressed_down(way, depth, veins, diameter)
        if depth.max() <= MOST_DEPTH_MM:
            columns = np.column_stack([way, depth, diameter])
            return Vessel("artery", "artery", *_finer(columns, along))
    return None


def _finer(columns: np.ndarray, along_mm: np.ndarray) -> np.ndarray:
    """Return columns of numbers at even steps along a way, by a smooth curve through them."""
    places = np.linspace(0, along_mm[-1], round(along_mm[-1] / STEP_MM) + 1)
    return smooth(columns, along_mm, places).T.copy()
