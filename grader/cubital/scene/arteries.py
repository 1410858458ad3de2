"""A superficial artery: smooth and straighter than veins, and on the whole deeper.

Simulated, not clinically validated.
"""

import math

import numpy as np

from cubital import tables
from cubital.scene.courses import evenly, slow
from cubital.scene.filling import drawn
from cubital.scene.vessels import Limb, Vessel
from cubital.tables.anatomy import LimbSize, VesselSize

BELOW_MM = 0.3  # between a vein's lower wall and the upper wall of an artery that crosses below it
CROSSING_SPAN = 3.2  # longest way beside one vein within the gap, over the gap
TRIES = 40


def _beside_mm(artery: np.ndarray, vein: Vessel, gap_mm: float) -> float:
    """Return how long an artery runs nearer to a vein than the gap [mm]."""
    points = np.stack([vein.x_mm, vein.y_mm], axis=1)[::2]
    away = artery[::2, None, :] - points[None]
    near = (away**2).sum(axis=2).min(axis=1) < gap_mm**2
    return float(near.sum())  # every second point, so one a millimetre


def _pressed_down(
    artery: np.ndarray, depth: np.ndarray, veins: tuple[Vessel, ...], diameter: np.ndarray
) -> np.ndarray:
    """Return the artery's depth so that it passes below each vein that it crosses."""
    for vein in veins:
        points = np.stack([vein.x_mm, vein.y_mm], axis=1)[::2]
        away = ((artery[:, None, :] - points[None]) ** 2).sum(axis=2)
        nearest = away.argmin(axis=1)
        floor = (vein.depth_mm + vein.diameter_mm)[::2][nearest] + BELOW_MM
        reach = (vein.diameter_mm[::2][nearest] + diameter) / 2
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
    y = np.arange(-reach, reach + 0.25, 1.0)
    between = tables.constant("vein_to_vein_share").value
    main_mm, _ = drawn(rng, size.diameter_mm, size.diameter_sd_mm, between)
    deep_mm, _ = drawn(rng, size.depth_mm, size.depth_sd_mm, between)
    for number in range(TRIES):
        u = rng.uniform(-0.75, 0.75) + np.array([0.0, rng.normal(0, 0.12 + 0.01 * number)])
        if np.abs(u).max() > 0.88:
            continue
        along = (y + reach) / (2 * reach)
        across = u[0] + (u[1] - u[0]) * along + 0.02 * slow(rng, y, 1.2 * reach)
        points = evenly(np.stack([across * limb.half_width_at_mm(y), y], axis=1))
        spans = [_beside_mm(points, vein, limb_size.gap_mm) for vein in veins]
        if max(spans, default=0) > CROSSING_SPAN * limb_size.gap_mm:
            continue
        way = np.arange(len(points)) * 0.5
        diameter = main_mm * np.exp(0.03 * slow(rng, way, 2 * reach))
        diameter = np.clip(diameter, size.diameter_low_mm, size.diameter_high_mm)
        depth = deep_mm * np.exp(0.08 * slow(rng, way, 1.5 * reach))
        depth = np.clip(depth, size.depth_low_mm, size.depth_high_mm)
        depth = _pressed_down(points, depth, veins, diameter)
        if depth.max() <= size.depth_high_mm or math.isclose(depth.max(), size.depth_high_mm):
            return Vessel("artery", "artery", points[:, 0], points[:, 1], depth, diameter)
    return None
