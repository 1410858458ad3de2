"""Where a place on the skin lies in the picture, and the other way round."""

import math

import numpy as np

from cubital import tables
from cubital.calc.shared.units import Number
from cubital.scene.anatomy.vessels import View


def distance_mm(view: View) -> float:
    """Return how far the camera is from the skin in the middle of the picture [mm].

    Examples
    --------
    >>> distance_mm(View(distance_mm=200.0))
    200.0
    """
    return view.distance_mm or tables.profile().working_distance_mm


def _leaning(view: View) -> tuple[float, float, float, float]:
    """Return sine and cosine of the tilt and of the way it leans."""
    tilt, towards = math.radians(view.tilt_deg), math.radians(view.tilt_towards_deg)
    return math.sin(tilt), math.cos(tilt), math.sin(towards), math.cos(towards)


def to_picture(view: View, x_mm: Number, y_mm: Number) -> tuple[np.ndarray, np.ndarray]:
    """Return column and row of a place on the skin [px], seen by a pin-hole camera.

    `p' = F p cos(tilt) / (D + p sin(tilt))`, p along the lean, D the distance, F in pixels

    Examples
    --------
    >>> [float(v) for v in to_picture(View(), 10.0, 0.0)]
    [369.5, 239.5]
    """
    turn = math.radians(view.turn_deg)
    u, v = np.asarray(x_mm, float) - view.centre_mm[0], np.asarray(y_mm, float) - view.centre_mm[1]
    u, v = u * math.cos(turn) - v * math.sin(turn), u * math.sin(turn) + v * math.cos(turn)
    sine, cosine, down, right = _leaning(view)
    p, q = u * right + v * down, -u * down + v * right
    scale = tables.profile().working_distance_mm / view.mm_per_px / (distance_mm(view) + p * sine)
    p, q = p * cosine * scale, q * scale
    column, row = p * right - q * down, p * down + q * right
    return column + (view.width_px - 1) / 2, row + (view.height_px - 1) / 2


def to_skin(view: View, column: Number, row: Number) -> tuple[np.ndarray, np.ndarray]:
    """Return the place on the skin that a pixel shows [mm].

    `p = D p' / (F cos(tilt) - p' sin(tilt))`

    Examples
    --------
    >>> tilted = View(tilt_deg=20)
    >>> [round(float(v), 9) for v in to_skin(tilted, *to_picture(tilted, 9, 4))]
    [9.0, 4.0]
    """
    a = np.asarray(column, float) - (view.width_px - 1) / 2
    b = np.asarray(row, float) - (view.height_px - 1) / 2
    sine, cosine, down, right = _leaning(view)
    p, q = a * right + b * down, -a * down + b * right
    pixels = tables.profile().working_distance_mm / view.mm_per_px
    away = distance_mm(view)
    p = away * p / (pixels * cosine - p * sine)
    q = q * (away + p * sine) / pixels
    u, v = p * right - q * down, p * down + q * right
    turn = math.radians(view.turn_deg)
    u, v = u * math.cos(turn) + v * math.sin(turn), -u * math.sin(turn) + v * math.cos(turn)
    return u + view.centre_mm[0], v + view.centre_mm[1]


def mm_per_px_at(view: View, column: Number, row: Number) -> np.ndarray:
    """Return how many millimetres of skin one pixel shows at a place, the mean of both ways [mm].

    `sqrt(D^2 F cos(tilt)^2 / (F cos(tilt) - p' sin(tilt))^3)`: the root of the area of skin

    Examples
    --------
    >>> round(float(mm_per_px_at(View(), 320.0, 240.0)), 6)
    0.2
    """
    a = np.asarray(column, float) - (view.width_px - 1) / 2
    b = np.asarray(row, float) - (view.height_px - 1) / 2
    sine, cosine, down, right = _leaning(view)
    pixels = tables.profile().working_distance_mm / view.mm_per_px
    left = pixels * cosine - (a * right + b * down) * sine
    return distance_mm(view) * cosine * np.sqrt(pixels / left**3)
