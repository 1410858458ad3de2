"""What of a scene can be seen: each band's contrast over the noise, by its noise-free picture.

The measure is that of an eye, or a filter, that compares a piece of the band with the skin on
either side. Simulated, not clinically validated.
"""

from dataclasses import replace
from typing import NamedTuple, Protocol

import numpy as np
from scipy import fft, ndimage

from cubital import calc, tables
from cubital.scene.anatomy.vessels import Scene
from cubital.scene.light import picture
from cubital.scene.light.geometry import mm_per_px_at, to_picture, to_skin
from cubital.scene.truth.segments import Stretch

LENGTH_IN_WIDTHS = 2  # the eye takes together a piece of band twice as long as it is wide
FLANK_IN_WIDTHS = 0.25  # width of the strips of skin that it is compared with
REACH_IN_WIDTHS = 1.5  # how far to either side the skin is looked at
LEAST_WIDTH_PX = 2.0  # no band looks narrower than two pixels
COARSE_PX = 2  # texture is measured on every second pixel
WIDTHS_PX = (4, 8, 16, 32, 64)  # band widths for which the texture's part is measured
VALVE_NEAR_MM = 3.0  # about as long as a valve: with what lies this near it is compared
VALVE_REACH_MM = 8.0  # about a valve, within which the picture is looked at
EDGE_MM = 2.0  # of the limb, where slant and not texture makes the light uneven
LEAST_MARK = 1e-4  # of the light: less changes nothing that counts
TINY = 1e-6  # stands for no light at all


class Seen(NamedTuple):
    """How a stretch shows in the picture, at each of its points."""

    expected_mm: np.ndarray  # how wide it would look by itself in a sharp picture
    contrast: np.ndarray  # share by which the band is darker than the skin beside it [-]
    width_mm: np.ndarray  # full width at half of the contrast
    ratio: np.ndarray  # contrast over noise against the darker side: a band of its own
    darkness_ratio: np.ndarray  # against skin without vessels: dark, be it by another band


def needed() -> float:
    """Return how many times the noise a contrast must be to be seen [-].

    Examples
    --------
    >>> needed()
    3.0
    """
    return float(tables.constant("contrast-to-noise-needed").value)


def eye_noise() -> float:
    """Return the eye's own noise as a share of brightness: it limits even a clean picture [-].

    Examples
    --------
    >>> 0 < eye_noise() < 0.02
    True
    """
    return float(tables.constant("eye-contrast-noise").value)


def expected_width_mm(scene: Scene, depth_mm: np.ndarray, diameter_mm: np.ndarray) -> np.ndarray:
    """Return how wide a band looks in a sharp picture, by depth and diameter [mm]."""
    limits = tables.limits()
    ranges = (limits[name] for name in ("upper_wall_depth_mm", "lumen_diameter_mm"))
    depth, diameter = (
        np.clip(values, limit.low, limit.high)
        for values, limit in zip((depth_mm, diameter_mm), ranges, strict=True)
    )
    return calc.skin_apparent_width_mm(
        depth,
        lumen_diameter_mm=diameter,
        picture_wavelength_nm=scene.skin.wavelength_nm,
        epidermal_melanin_fraction=scene.skin.melanin_fraction,
    )


class PictureLine(Protocol):
    """Points along a line in the picture, such as those of a stretch [px]."""

    @property
    def column(self) -> np.ndarray: ...

    @property
    def row(self) -> np.ndarray: ...


class BandNoise(Protocol):
    """A measurement of what a band's measure gives where there is no band."""

    def at(self, stretch: Stretch, width_px: float) -> np.ndarray | float:
        """Return its standard deviation along a stretch, for a band of this width [-]."""


def _across(line: PictureLine, offsets_px: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return columns and rows of places across a line, points by offsets [px]."""
    along_column, along_row = np.gradient(line.column), np.gradient(line.row)
    length = np.maximum(np.hypot(along_column, along_row), np.finfo(float).tiny)
    right, down = -along_row / length, along_column / length
    columns = line.column[:, None] + right[:, None] * offsets_px
    return columns, line.row[:, None] + down[:, None] * offsets_px


def strip(image: np.ndarray, line: PictureLine, offsets_px: np.ndarray) -> np.ndarray:
    """Return a picture's values across a line: one row a point, one column an offset [px]."""
    columns, rows = _across(line, offsets_px)
    return ndimage.map_coordinates(image, [rows, columns], order=1, mode="nearest")


def _half_width_px(values: np.ndarray, middle: int) -> np.ndarray:
    """Return how far from the middle each row falls to half its height over its least value."""
    side = values[:, middle:]
    floor = np.minimum.accumulate(side, axis=1)[:, -1:]
    below = side <= (side[:, :1] + floor) / 2
    at = np.where(below.any(axis=1), below.argmax(axis=1), side.shape[1] - 1)
    rows = np.arange(len(side))
    before, after = side[rows, np.maximum(at - 1, 0)], side[rows, at]
    level = (side[:, 0] + floor[:, 0]) / 2
    drop = np.where(before > after, before - after, 1)
    return np.where(at > 0, at - 1 + np.clip((before - level) / drop, 0, 1), 0)


class TextureNoise:
    """How much the skin's unevenness, the camera's noise and the eye's own blur the look of a band.

    They are standard deviations of what a band's measure gives where there is none [-]. What the
    skin shows there besides, such as a tendon along a vein, counts by what the measure gives of
    it alone.
    """

    def __init__(self, scene: Scene, background: np.ndarray) -> None:
        self.noise_share = scene.camera.noise_share
        self.background = background
        self.surface = _surface(scene) if scene.surface else None
        skin = replace(scene.skin, texture_share=0.0, hairs_per_cm2=0.0)
        even = picture.background(replace(scene, skin=skin))
        coarse = slice(None, None, COARSE_PX)
        self.relative = (background / np.maximum(even, TINY) - 1)[coarse, coarse]
        self.limb = on_limb(scene)[coarse, coarse]
        self.spread = [self._spread(width / COARSE_PX) for width in WIDTHS_PX]

    def _spread(self, width: float) -> float:
        found = []
        length = max(round(LENGTH_IN_WIDTHS * width), 1)
        reach = 2 * max(round(width), length) + 1
        inner = ndimage.minimum_filter(self.limb, reach, mode="constant")
        for image, kept in ((self.relative, inner), (self.relative.T, inner.T)):
            smooth = ndimage.uniform_filter1d(image, length, axis=1)
            middle = ndimage.uniform_filter1d(smooth, max(round(width), 1), axis=0)
            flank = ndimage.uniform_filter1d(smooth, max(round(FLANK_IN_WIDTHS * width), 1), axis=0)
            away = max(round(0.75 * width), 1)  # from the band's middle to its flank's
            sides = (np.roll(flank, way * away, axis=0) for way in (1, -1))
            response = (middle - np.minimum(*sides))[kept]
            if response.size:
                found.append(np.std(response))
        return float(np.mean(found)) if found else np.nan

    def at(self, stretch: Stretch, width_px: float) -> np.ndarray:
        """Return the noise of a band's measure along a stretch, by the band's width [px]."""
        known = np.isfinite(self.spread)  # the widest do not fit in a small picture
        widths, spread = np.array(WIDTHS_PX)[known], np.array(self.spread)[known]
        texture = np.interp(np.log(width_px), np.log(widths), spread) if known.any() else 0.0
        pixels = LENGTH_IN_WIDTHS * width_px**2  # of the band; a flank has a share of them
        white = self.white(stretch) * np.sqrt((1 + 1 / FLANK_IN_WIDTHS) / pixels)
        own = self._surface(stretch, width_px)
        return np.sqrt(texture**2 + white**2 + eye_noise() ** 2 + own**2)

    def _surface(self, stretch: Stretch, width_px: float) -> np.ndarray | float:
        """Return what a band's measure gives along a stretch of what the skin shows besides."""
        reach = int(np.ceil(width_px)) + 2
        if self.surface is None or not self._is_marked(stretch, reach):
            return 0.0
        offsets = np.arange(-reach, reach + 1.0)
        values = strip(self.surface, stretch, offsets)
        step = float(np.hypot(np.diff(stretch.column), np.diff(stretch.row)).mean())
        middle, *sides = _patches(_along(values, width_px, step), offsets, width_px)
        return middle - np.maximum(*sides)

    def _is_marked(self, stretch: Stretch, reach: int) -> bool:
        """Tell whether the skin shows anything about a stretch."""
        box = tuple(
            slice(max(int(places.min()) - reach, 0), max(int(places.max()) + reach + 2, 0))
            for places in (stretch.row, stretch.column)
        )
        return bool(np.abs(self.surface[box]).max(initial=0) > LEAST_MARK)

    def white(self, stretch: Stretch) -> np.ndarray:
        """Return the noise of one pixel along a stretch, as a share of its brightness."""
        places = [stretch.row, stretch.column]
        bright = ndimage.map_coordinates(self.background, places, order=1, mode="nearest")
        return self.noise_share / np.sqrt(np.maximum(bright, TINY))

    def of_filter(
        self,
        shape: np.ndarray,
        background: np.ndarray,
        near_px: float,
        box: tuple[slice, slice] | None = None,
    ) -> float:
        """Return how many times its noise a filter for a known shape answers to that shape.

        The filter compares the shape with what lies around it, within about `near_px`, as the eye
        does, so that broad unevenness of the skin hardly disturbs it. `box` is where the shape lies
        in the picture: what the skin shows there disturbs the filter too. Sums are of double
        precision: in single precision their last digits differ between machines.
        """
        coarse = shape[::COARSE_PX, ::COARSE_PX].astype(float)
        own = coarse - ndimage.gaussian_filter(coarse, near_px / COARSE_PX, mode="constant")
        answer, power = float((own * coarse).sum()), float((own**2).sum())
        if answer <= 0:
            return 0.0
        answers = _convolved(self.relative.astype(float), own[::-1, ::-1])
        kept = ndimage.minimum_filter(self.limb, max(coarse.shape), mode="constant")
        texture = float(np.std(answers[kept])) if kept.any() else 0.0
        pixel = self.noise_share / np.sqrt(max(float(background.mean(dtype=float)), TINY))
        white = pixel / COARSE_PX * np.sqrt(power)  # a coarse pixel is the mean of several
        eye = eye_noise() * float(np.abs(own).sum()) / 2
        skin = 0.0
        if self.surface is not None and box is not None:
            skin = float((own * self.surface[box][::COARSE_PX, ::COARSE_PX]).sum())
        return answer / float(np.sqrt(texture**2 + white**2 + eye**2 + skin**2))


def _surface(scene: Scene) -> np.ndarray:
    """Return the share of light that the skin itself takes from each picture element [-].

    Less than 0 where it adds some.
    """
    glare = picture.glare(scene).astype(float) / picture.brightness(scene.skin)
    return 1 - picture.on_surface(scene) - glare


def _convolved(picture: np.ndarray, kernel: np.ndarray) -> np.ndarray:
    """Return a picture convolved with a kernel, of the picture's size, with nothing around it.

    `scipy.signal.fftconvolve` gives the same, but loads twice as much of scipy, also in a browser.
    """
    full = np.add(picture.shape, kernel.shape) - 1
    shape = [fft.next_fast_len(int(length), real=True) for length in full]
    whole = fft.irfft2(fft.rfft2(picture, shape) * fft.rfft2(kernel, shape), shape)
    top, left = (np.array(kernel.shape) - 1) // 2
    return whole[top : top + picture.shape[0], left : left + picture.shape[1]]


def on_limb(scene: Scene) -> np.ndarray:
    """Return which pixels show the limb, and not what lies beyond it."""
    view = scene.view
    x, y = to_skin(view, *np.meshgrid(np.arange(view.width_px), np.arange(view.height_px)))
    return np.abs(x) < scene.anatomy.limb.half_width_at_mm(y) - EDGE_MM


def _patches(values: np.ndarray, offsets: np.ndarray, width: float) -> tuple[np.ndarray, ...]:
    """Return for each point the mean over the band, and the lightest patch beside it either way."""
    band = np.abs(offsets) <= width / 2
    patch = max(round(FLANK_IN_WIDTHS * width), 1)
    even = ndimage.uniform_filter1d(values, patch, axis=1, mode="nearest")
    beside = (np.abs(offsets) > width / 4) & (np.abs(offsets) <= max(width, 2))
    sides = (even[:, beside & (offsets * way > 0)].min(axis=1) for way in (1, -1))
    return values[:, band].mean(axis=1), *sides


def _along(values: np.ndarray, width_px: float, step_px: float) -> np.ndarray:
    """Return the mean over a piece of band of this width about each point of a stretch."""
    piece = max(round(LENGTH_IN_WIDTHS * width_px / step_px), 1)
    return ndimage.uniform_filter1d(values, piece, axis=0, mode="nearest")


def measure(scene: Scene, stretch: Stretch, darkening: np.ndarray, noise: BandNoise) -> Seen:
    """Return how a stretch shows, by the share of light that vessels take from each pixel."""
    scale = mm_per_px_at(scene.view, stretch.column, stretch.row)
    expected_mm = expected_width_mm(scene, stretch.depth_mm, stretch.diameter_mm)
    expected = expected_mm / scale
    reach = int(np.ceil(REACH_IN_WIDTHS * expected.max())) + 2
    offsets = np.arange(-reach, reach + 1.0)
    values = strip(darkening, stretch, offsets)
    halves = [_half_width_px(side, reach) for side in (values, values[:, ::-1])]
    width = np.maximum(np.add(*halves), LEAST_WIDTH_PX)
    taken = float(np.clip(max(expected.mean(), np.median(width)), LEAST_WIDTH_PX, reach))
    step = stretch.length_mm / (len(scale) - 1) / scale.mean()  # between points, in pixels
    middle, right, left = _patches(_along(values, taken, step), offsets, taken)
    blur = noise.at(stretch, taken)
    floors = np.minimum(values[:, :reach].min(axis=1), values[:, reach + 1 :].min(axis=1))
    return Seen(
        expected_mm=expected_mm,
        contrast=values[:, reach] - floors,
        width_mm=width * scale,
        ratio=(middle - np.maximum(left, right)) / blur,
        darkness_ratio=middle / blur,
    )


def valve_ratios(scene: Scene, light: np.ndarray, noise: TextureNoise) -> dict[int, float]:
    """Return how far each valve's notch and bulge stand out of the noise, by its number.

    As a filter that knows their shape sees them: what the picture has more with the valve than
    without it, against what skin, camera and eye give the same filter where there is no valve.
    """
    valves = scene.anatomy.valves
    if not valves:
        return {}
    plain = picture.light(replace(scene, anatomy=replace(scene.anatomy, valves=())))
    shape = (plain - light) / np.maximum(noise.background, TINY)
    reach = round(VALVE_REACH_MM / scene.view.mm_per_px)
    found = {}
    for at, valve in enumerate(valves):
        x, y, _, _ = scene.anatomy.vessel(valve.vessel).at(valve.along_mm)
        column, row = (round(float(place)) for place in to_picture(scene.view, x, y))
        box = tuple(
            slice(max(place - reach, 0), max(place + reach + 1, 0)) for place in (row, column)
        )
        found[at] = noise.of_filter(
            shape[box], noise.background[box], VALVE_NEAR_MM / scene.view.mm_per_px, box
        )
    return found
