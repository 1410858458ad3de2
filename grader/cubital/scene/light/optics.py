"""Light and lens of a simulated camera: slant, distance, fall-off to the corners, focus, smear."""

import functools
import math
from typing import NamedTuple

import numpy as np

from cubital import calc, tables
from cubital.scene.anatomy.vessels import Camera, Limb, View
from cubital.scene.light import geometry
from cubital.scene.light.stamping import blurred

BLUR_STEP_PX = 0.5  # between blurs that are mixed where focus varies over the picture
DISTANCES = 257  # at which the spread by focus is known
KERNEL_REACH = 3  # standard deviations
SLOPE_STEP_MM = 0.05  # across which the skin's slope is taken


class Relief(NamedTuple):
    """The skin as the camera sees it, by picture element.

    How far it is from the camera [mm], the cosine of its slant, and how much of the element it
    fills [-].
    """

    distance_mm: np.ndarray
    cosine: np.ndarray
    cover: np.ndarray


@functools.cache
def f_number() -> float:
    """Return the aperture at which the edge of the profile's window is just sharp.

    Examples
    --------
    >>> round(f_number(), 1)
    2.7
    """
    profile = tables.profile()
    return calc.f_number_for_window(
        profile.window_mm,
        focus_distance_mm=profile.working_distance_mm,
        focal_length_mm=tables.constant("view-focal-length").value,
        circle_of_confusion_mm=tables.constant("view-circle-of-confusion").value,
    )


def relief(view: View, limb: Limb, x_mm: np.ndarray, y_mm: np.ndarray) -> Relief:
    """Return distance, slant and cover of the skin at places on it.

    The limb is round across, so that its sides lie farther away and slant; the slope along it,
    from its taper, is left out.

    Examples
    --------
    >>> flat = Limb(half_width_mm=40.0, sag_mm=0.0)
    >>> seen = relief(View(tilt_deg=30), flat, np.zeros((1, 1)), np.zeros((1, 1)))
    >>> round(float(seen.cosine[0, 0]), 3), float(seen.distance_mm[0, 0])
    (0.866, 220.0)
    """
    tilt, towards = math.radians(view.tilt_deg), math.radians(view.tilt_towards_deg)
    towards -= math.radians(view.turn_deg)  # the lean, on the skin
    lean_x, lean_y = math.cos(towards), math.sin(towards)
    along = (x_mm - view.centre_mm[0]) * lean_x + (y_mm - view.centre_mm[1]) * lean_y
    drop = limb.drop_mm(x_mm, y_mm)
    distance = geometry.distance_mm(view) + along * math.sin(tilt) + drop * math.cos(tilt)
    inward = np.where(x_mm < 0, SLOPE_STEP_MM, -SLOPE_STEP_MM)  # beyond the outline is no skin
    slope = (limb.drop_mm(x_mm + inward, y_mm) - drop) / inward
    # upward normal (slope, 0, 1) on the way to the camera (-sin t along the lean, cos t up)
    cosine = (math.cos(tilt) - slope * lean_x * math.sin(tilt)) / np.sqrt(1 + slope**2)
    inside = limb.half_width_at_mm(y_mm) - np.abs(x_mm)
    cover = np.clip(inside / view.mm_per_px + 0.5, 0, 1)
    return Relief(distance, np.maximum(cosine, 0), cover)


def lamp(view: View, camera: Camera, seen: Relief) -> np.ndarray:
    """Return the lamp's light on the skin over that on square skin at the working distance.

    `E = (s / d)^2 * (a + (1 - a) cos) * fall-off`, the lamp beside the camera

    Examples
    --------
    >>> one = np.ones((16, 16))
    >>> even = lamp(View(16, 16), Camera(fall_off=0.2), Relief(220 * one, one, one))
    >>> round(float(even[0, 0]), 3), round(float(even.max()), 2)
    (0.8, 1.0)
    """
    aside = tables.constant("picture-aside-light").value
    nearer = tables.profile().working_distance_mm / seen.distance_mm
    left = fall_off(view.width_px, view.height_px, camera.fall_off)
    return nearer**2 * (aside + (1 - aside) * seen.cosine) * left


@functools.lru_cache(maxsize=2)
def fall_off(width_px: int, height_px: int, loss: float) -> np.ndarray:
    """Return the share of the light that is left towards the corners, as the fourth cosine falls.

    `(1 + k r^2)^-2`, with r = 1 at the corners and k so that the loss there is the camera's

    Examples
    --------
    >>> float(fall_off(17, 17, 0.2)[8, 8])
    1.0
    """
    columns = np.linspace(-1, 1, width_px) * (width_px - 1)
    rows = np.linspace(-1, 1, height_px) * (height_px - 1)
    corner = columns[0] ** 2 + rows[0] ** 2
    squared = (columns**2 + rows[:, None] ** 2) / corner
    return (1 + (1 / math.sqrt(1 - loss) - 1) * squared) ** -2


def focus_spread_px(
    view: View, distance_mm: np.ndarray, *, focus_mm: float | None = None
) -> np.ndarray:
    """Return the spread of a point by focus, lens and sensor: a standard deviation [px].

    A blur circle of diameter b spreads as much as a normal curve of b / 4 along each side. The lens
    is focused at the working distance if nothing else is given.

    Examples
    --------
    >>> near, edge = focus_spread_px(View(), np.array([220.0, 238.0]))
    >>> bool(near < edge < 2 * near)
    True
    """
    working = tables.profile().working_distance_mm
    blur_mm = calc.blur_on_skin_mm(
        distance_mm,
        focus_distance_mm=focus_mm or working,
        focal_length_mm=tables.constant("view-focal-length").value,
        f_number=f_number(),
    )
    px_per_mm = working / distance_mm / view.mm_per_px
    spot = tables.constant("picture-lens-spot").value
    return np.hypot(spot, np.asarray(blur_mm) * px_per_mm / 4)  # 4: see above


def kernel(spread_px: float) -> np.ndarray:
    """Return a normal curve's weights at whole steps, summing to 1.

    Examples
    --------
    >>> [round(float(weight), 2) for weight in kernel(0.6)]
    [0.0, 0.17, 0.66, 0.17, 0.0]
    """
    reach = max(1, math.ceil(KERNEL_REACH * spread_px))
    weights = np.exp(-0.5 * (np.arange(-reach, reach + 1) / spread_px) ** 2)
    return (weights / weights.sum()).astype(np.float32)


class Focus(NamedTuple):
    """Blurs of the whole picture [px], and by element which two of them are mixed and how.

    The places are None where one blur serves all.
    """

    spreads_px: tuple[float, ...]
    places: np.ndarray | None

    @classmethod
    def of(cls, view: View, distance_mm: np.ndarray, *, focus_mm: float | None = None) -> "Focus":
        """Return the focus over a picture from the distance of what each element shows.

        Examples
        --------
        >>> Focus.of(View(), np.full((2, 2), 220.0)).spreads_px
        (0.6,)
        """
        # by a table of distances: the spread depends on nothing else
        table = np.linspace(distance_mm.min(), distance_mm.max(), DISTANCES)
        by_distance = focus_spread_px(view, table, focus_mm=focus_mm)
        low, high = float(by_distance.min()), float(by_distance.max())
        steps = math.ceil((high - low) / BLUR_STEP_PX) if high - low > BLUR_STEP_PX / 5 else 0
        if not steps:
            return cls((float(by_distance.mean()),), None)
        levels = np.linspace(low, high, steps + 1)
        places = np.interp(by_distance**2, levels**2, np.arange(steps + 1))
        places = np.interp(distance_mm, table, places)
        return cls(tuple(levels.tolist()), places.astype(np.float32))

    def blur(self, picture: np.ndarray) -> np.ndarray:
        """Return the picture as the lens shows it."""
        layers = [blurred(picture, kernel(spread)) for spread in self.spreads_px]
        if self.places is None:
            return layers[0]
        out = np.zeros_like(picture)
        for number, layer in enumerate(layers):
            out += layer * np.maximum(1 - np.abs(self.places - np.float32(number)), 0)
        return out


def smeared(picture: np.ndarray, camera: Camera) -> np.ndarray:
    """Return a picture smeared evenly along a straight line by motion during one exposure.

    Examples
    --------
    >>> dot = np.zeros((5, 9), np.float32)
    >>> dot[2, 4] = 1
    >>> smeared(dot, Camera(motion_px=2))[2].round(2).tolist()
    [0.0, 0.0, 0.0, 0.25, 0.5, 0.25, 0.0, 0.0, 0.0]
    """
    if camera.motion_px == 0:
        return picture
    taps = _line(camera.motion_px, camera.motion_deg)
    reach = len(taps) // 2
    height, width = picture.shape
    wide = np.pad(picture, reach, mode="edge")
    out = np.zeros_like(picture)
    for i, j in zip(*np.nonzero(taps), strict=True):
        out += taps[i, j] * wide[i : i + height, j : j + width]
    return out


def _line(length_px: float, direction_deg: float) -> np.ndarray:
    """Return weights of a straight line about the middle of a square, summing to 1."""
    reach = math.ceil(length_px / 2) + 1
    taps = np.zeros((2 * reach + 1, 2 * reach + 1), np.float32)
    parts = max(2, math.ceil(8 * length_px))  # 8 to an element: even to a hundredth
    steps = ((np.arange(parts) + 0.5) / parts - 0.5) * length_px
    angle = math.radians(direction_deg)
    for x, y in zip(steps * math.cos(angle) + reach, steps * math.sin(angle) + reach, strict=True):
        j, i = math.floor(x), math.floor(y)
        u, v = x - j, y - i
        taps[i : i + 2, j : j + 2] += np.outer([1 - v, v], [1 - u, u]) / parts
    return taps
