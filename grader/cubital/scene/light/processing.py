"""Processing of a frame by continuous controls, and what it can hide or invent.

A frame is compared with itself blurred: once a little, once three times as much. What is darker
than its surroundings and about as wide as the filter stands out; all else fades. It adds nothing
that the frame does not hold, and noise and hair hold bands as well. Simulated, not clinically
validated.
"""

import dataclasses
import functools
import math
from typing import NamedTuple

import numpy as np

from cubital import tables
from cubital.calc.shared.quantities import check, checked
from cubital.calc.shared.units import Number, plain
from cubital.scene.anatomy.vessels import Scene, View
from cubital.scene.light import geometry, picture
from cubital.scene.light.optics import kernel as curve
from cubital.scene.light.shading import Shading
from cubital.scene.light.stamping import blurred

WIDER = 3  # times: the surroundings' blur over the filter's own
HALF_WIDTHS = math.sqrt(8 * math.log(2))  # full width at half of a normal curve, in spreads
MIDDLE = 127.5  # grey of what is as bright as its surroundings, of 255
HALVINGS = 60  # of a range of logarithms: to the last digit
SLENDER = 3  # times as long as wide, from which a patch is a band


class Bands(NamedTuple):
    """Band-like places of a processed frame: how many, their length together, the strongest.

    ``strongest`` is the largest step from middle grey as a share of full scale.
    """

    number: int
    length_px: float
    strongest: float


class Kept(NamedTuple):
    """What processing leaves of one vessel, at even steps along it.

    Apparent widths [mm], and the share of the band's contrast that is left before the gain [-].
    """

    vessel: str
    width_mm: np.ndarray
    share: np.ndarray


@functools.cache
def _spread_of_band() -> float:
    """Return the spread of the band that stands out most, in spreads of the filter's own blur.

    `(b^2 + w^2) / (b^2 + 1) = w^(4/3)`, where the difference of two blurred bands is largest
    """
    power = WIDER ** (4 / 3)
    return math.sqrt((WIDER**2 - power) / (power - 1))


def _left(spread: Number) -> Number:
    """Return what is left of the darkest place of a normal band, by its spread over the blur's."""
    return spread / np.hypot(spread, 1) - spread / np.hypot(spread, WIDER)


@checked(filter_mm="processing_filter_mm")
def passed_share(band_width_mm: Number, *, filter_mm: Number) -> Number:
    """Return the share of a long straight band's contrast that processing leaves before the gain.

    1 for a band as wide as the filter; finer ones are blurred away, wider ones taken for
    surroundings. The band is taken as a normal curve.

    Examples
    --------
    >>> [round(passed_share(width, filter_mm=4.0), 2) for width in (1.0, 4.0, 16.0)]
    [0.47, 1.0, 0.34]
    """
    best = _spread_of_band()
    spread = best * np.asarray(band_width_mm) / filter_mm
    return plain(_left(spread) / _left(best))


@checked(filter_mm="processing_filter_mm")
def width_range_mm(filter_mm: float, *, least_share: float = 0.5) -> tuple[float, float]:
    """Return the narrowest and the widest band of which a share of the contrast is left [mm].

    Examples
    --------
    >>> narrow, wide = width_range_mm(4.0)
    >>> round(narrow, 1), round(wide, 1)
    (1.1, 12.0)
    """
    best = _spread_of_band()
    inside, beyond = np.zeros(2), np.array([-12.0, 12.0])  # 12: of logarithms, far beyond
    for _ in range(HALVINGS):
        middle = (inside + beyond) / 2
        is_left = _left(best * np.exp(middle)) >= least_share * _left(best)
        inside, beyond = np.where(is_left, middle, inside), np.where(is_left, beyond, middle)
    narrow, wide = filter_mm * np.exp(inside)
    return float(narrow), float(wide)


def noise_after(noise_share: Number, *, filter_px: Number, gain: Number) -> Number:
    """Return the noise of a processed frame as a share of full scale, from white noise [-].

    `gain / s * noise * sqrt(sum of squares of the filter)`; for two normal curves of spreads a
    and b that is `1 / (4 pi a^2) + 1 / (4 pi b^2) - 1 / (pi (a^2 + b^2))`. It is no longer white:
    it comes as blobs as wide as the filter.

    Examples
    --------
    >>> bool(noise_after(0.01, filter_px=5, gain=20) > 4 * noise_after(0.01, filter_px=25, gain=20))
    True
    """
    best = _spread_of_band()
    a = np.asarray(check("processing_filter_px", filter_px)) / HALF_WIDTHS / best
    b = WIDER * a
    squares = (1 / a**2 + 1 / b**2) / (4 * np.pi) - 1 / (np.pi * (a**2 + b**2))  # 4: see above
    noise = np.asarray(check("camera_noise_share", noise_share))
    return plain(check("processing_gain", gain) / _left(best) * noise * np.sqrt(squares))


def process(
    frame: np.ndarray,
    *,
    filter_mm: float | None = None,
    filter_px: float | None = None,
    mm_per_px: float = View.mm_per_px,
    gain: float = 1.0,
) -> np.ndarray:
    """Return a frame of which bands about as wide as the filter stand out.

    `grey = 127.5 + 255 * gain / s * (inner - outer) / outer`, s so that with gain 1 a band as wide
    as the filter keeps its contrast. The filter is given in millimetres on the skin or in picture
    elements. Dark stays dark.

    Examples
    --------
    >>> columns = np.arange(200.0)
    >>> band = 150 - 30 * np.exp(-((columns - 100) / 12) ** 2)
    >>> found = process(np.tile(band, (80, 1)).round().astype(np.uint8), filter_px=20, gain=2)
    >>> bool(found[40, 100] < 40 < 120 < found[40, 10])
    True
    """
    size = _filter_px(filter_mm, filter_px, mm_per_px)
    strength = check("processing_gain", gain)
    values = np.asarray(frame)
    if values.dtype != np.uint8 or values.ndim != 2:
        raise ValueError(
            f"the frame is {values.dtype} of shape {values.shape}: it must be uint8, "
            "rows by columns"
        )
    values = values.astype(np.float32)
    best = _spread_of_band()
    inner, outer = (
        blurred(values, curve(size / HALF_WIDTHS / best * times)) for times in (1, WIDER)
    )
    scale = np.float32(255 * strength / _left(best))  # 255: the largest grey
    found = MIDDLE + scale * (inner - outer) / np.maximum(outer, 1)
    return np.clip(found + 0.5, 0, 255).astype(np.uint8)  # 255: see above


def _filter_px(filter_mm: float | None, filter_px: float | None, mm_per_px: float) -> float:
    if (filter_mm is None) == (filter_px is None):
        raise ValueError("give the filter's width once: as filter_mm or as filter_px")
    if filter_px is None:
        scale = check("picture_scale_mm_per_px", mm_per_px)
        filter_px = check("processing_filter_mm", filter_mm) / scale
    return check("processing_filter_px", filter_px)


def bands(
    processed: np.ndarray,
    *,
    filter_px: float,
    least_step: float | None = None,
    region: np.ndarray | None = None,
) -> Bands:
    """Return the band-like places of a processed frame, within a region if given.

    A place counts where grey lies a step or more from the middle to the dark side, joined to a
    patch at least three filter widths long and three times as long as wide.

    Examples
    --------
    >>> frame = np.full((60, 200), 128, np.uint8)
    >>> frame[28:32, 40:160] = 90
    >>> bands(frame, filter_px=8).number
    1
    """
    from scipy import ndimage  # noqa: PLC0415 - on use

    if least_step is None:
        least_step = tables.constant("processing-seen-step").value
    long = tables.constant("processing-band-length").value * check(
        "processing_filter_px", filter_px
    )
    step = (MIDDLE - processed.astype(float)) / 255  # 255: the largest grey
    dark = step >= least_step
    if region is not None:
        dark &= region
    patches, _ = ndimage.label(dark, np.ones((3, 3)))  # 3: joined at corners as well
    number, length, strongest = 0, 0.0, 0.0
    for place, window in enumerate(ndimage.find_objects(patches), 1):
        own = patches[window] == place
        extent = math.hypot(*own.shape)
        if extent >= long and own.sum() / extent <= extent / SLENDER:
            number += 1
            length += extent
            strongest = max(strongest, float(step[window][own].max()))
    return Bands(number, length, strongest)


def invented(
    scene: Scene, *, filter_mm: float, gain: float, number: int = 0, least_step: float | None = None
) -> Bands:
    """Return the bands that processing shows where the scene has no vessel at all.

    Its vessels are taken out; noise, unevenness and hair stay. Near the limb's outline, where the
    slant of the skin makes a band of its own, nothing is counted.

    Examples
    --------
    >>> from cubital.scene.anatomy.vessels import Anatomy, Limb, Skin
    >>> bare = Scene(Anatomy("none", "adult", 1, Limb(80), ()), Skin(), View(200, 160))
    >>> quiet, loud = (invented(bare, filter_mm=3.0, gain=gain) for gain in (1, 40))
    >>> quiet.number, loud.number > 0
    (0, True)
    """
    bare = dataclasses.replace(
        scene, anatomy=dataclasses.replace(scene.anatomy, vessels=(), valves=(), confluences=())
    )
    view = scene.view
    size = filter_mm / view.mm_per_px
    x, y = geometry.to_skin(view, *np.meshgrid(np.arange(view.width_px), np.arange(view.height_px)))
    region = scene.anatomy.limb.half_width_at_mm(y) - np.abs(x) > WIDER * filter_mm
    shown = process(picture.frame(bare, number=number), filter_px=size, gain=gain)
    return bands(shown, filter_px=size, least_step=least_step, region=region)


def kept(scene: Scene, *, filter_mm: float) -> tuple[Kept, ...]:
    """Return what processing leaves of each vessel's band, by its apparent width.

    Examples
    --------
    >>> from cubital.scene.anatomy.vessels import Anatomy, Limb, Vessel
    >>> line, two = np.array([-40.0, 40.0]), np.full(2, 2.0)
    >>> vein = Vessel("a", "vein", line * 0, line, two, two)
    >>> scene = Scene(Anatomy("none", "adult", 1, Limb(60), (vein,)))
    >>> [round(float(kept(scene, filter_mm=k)[0].share.min()), 1) for k in (0.5, 6.0)]
    [0.0, 1.0]
    """
    picture.check_scene(scene)
    return tuple(
        Kept(vessel.key, band.width_mm, passed_share(band.width_mm, filter_mm=filter_mm))
        for vessel, band in zip(scene.anatomy.vessels, Shading(scene).still, strict=True)
    )
