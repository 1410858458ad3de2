"""What lies on simulated skin: its own unevenness, and hair. Both stay with the skin."""

import functools

import numpy as np

from cubital import tables
from cubital.scene.anatomy.vessels import Scene, View
from cubital.scene.chance import generator
from cubital.scene.light import geometry
from cubital.scene.light.stamping import sampled, strewn

TILE_PX, TILE_MM = 512, 128.0  # unevenness repeats beyond this
HAIR_POINTS = 13  # along one hair, enough for its bend
FIELD_MM = 40.0  # side of the squares in which hairs are drawn, each from a chance of its own
CM2_PER_MM2 = 0.01


@functools.lru_cache(maxsize=4)
def tile(seed: int) -> np.ndarray:
    """Return a square of uneven skin, of mean 0 and variance 1, that repeats without a seam.

    Examples
    --------
    >>> skin = tile(1)
    >>> bool(abs(skin.mean()) < 1e-6), bool(0.9 < skin.std() < 1.1)
    (True, True)
    """
    white = np.fft.rfft2(generator("texture", seed).standard_normal((TILE_PX, TILE_PX)))
    found = np.fft.irfft2(white * np.sqrt(spectrum()))
    return found.astype(np.float32)


@functools.cache
def spectrum() -> np.ndarray:
    """Return the variance of the unevenness by frequency, of mean 1 over all frequencies.

    Examples
    --------
    >>> spectrum().shape
    (512, 257)
    """
    down = np.fft.fftfreq(TILE_PX, TILE_MM / TILE_PX)
    frequency = np.hypot(down[:, None], np.fft.rfftfreq(TILE_PX, TILE_MM / TILE_PX))
    share = tables.constant("texture-broad-share").value
    total = 0.0
    for name, part in (("texture-fine", 1 - share), ("texture-broad", share)):
        power = np.exp(-((2 * np.pi * frequency * tables.constant(name).value) ** 2))
        power[0, 0] = 0
        twice = np.full(power.shape, 2.0)
        twice[:, [0, -1]] = 1  # a half transform holds all other columns' mirror images
        total = total + part * power * TILE_PX**2 / (power * twice).sum()
    return total


def uneven(scene: Scene, x_mm: np.ndarray, y_mm: np.ndarray) -> np.ndarray:
    """Return the brightness of the skin at places on it over its mean.

    Examples
    --------
    >>> from cubital.scene.anatomy.vessels import Anatomy, Limb, Skin
    >>> even = Scene(Anatomy("a", "adult", 1, Limb(40), ()), Skin(texture_share=0))
    >>> float(uneven(even, np.zeros((1, 1)), np.zeros((1, 1)))[0, 0])
    1.0
    """
    if scene.skin.texture_share == 0:
        return np.ones(x_mm.shape, np.float32)
    finer = TILE_PX / TILE_MM
    found = sampled(tile(scene.seed), y_mm * finer, x_mm * finer)
    return np.maximum(1 + np.float32(scene.skin.texture_share) * found, np.float32(0.05))


def hair(scene: Scene) -> np.ndarray:
    """Return the share of light that hair lets through, by picture element.

    Examples
    --------
    >>> from cubital.scene.anatomy.vessels import Anatomy, Limb, Skin
    >>> scene = Scene(Anatomy("a", "adult", 1, Limb(40), ()), Skin(hairs_per_cm2=5))
    >>> share = hair(scene)
    >>> 0.9 < float(share.mean()) < 1
    True
    """
    view = scene.view
    shape = view.height_px, view.width_px
    if scene.skin.hairs_per_cm2 == 0:
        return np.ones(shape, np.float32)
    hairs = np.concatenate([_hairs(scene, *square) for square in _squares(view)], axis=1)
    grown = np.abs(hairs[0]) < scene.anatomy.limb.half_width_at_mm(hairs[1])
    x_mm, y_mm, length, width, start, bend = hairs[:, grown, None]
    angle = start + bend * np.linspace(0, 1, HAIR_POINTS)
    step = length / (HAIR_POINTS - 1)
    columns, rows = geometry.to_picture(
        view,
        x_mm + np.cumsum(np.cos(angle) * step, axis=1),
        y_mm + np.cumsum(np.sin(angle) * step, axis=1),
    )
    covered = strewn(columns, rows, width[:, 0] * px_per_mm(view), shape)
    dark = tables.constant("hair-darkness").value
    # The last digit of a power of half the width differs between machines.
    return np.exp(np.log1p(-dark) * covered.astype(float)).astype(np.float32)


def px_per_mm(view: View) -> float:
    """Return picture elements to a millimetre in the middle of the picture.

    Examples
    --------
    >>> px_per_mm(View(mm_per_px=0.25))
    4.0
    """
    nearer = tables.profile().working_distance_mm / geometry.distance_mm(view)
    return nearer / view.mm_per_px


def _squares(view: View) -> list[tuple[int, int]]:
    """Return the squares of skin that may have hairs in the picture."""
    columns = np.linspace(0, view.width_px - 1, 9)  # 9: enough to follow a slanted edge
    rows = np.linspace(0, view.height_px - 1, 9)[:, None]
    x, y = geometry.to_skin(view, columns + 0 * rows, rows + 0 * columns)
    ends = [
        range(int(np.floor(low / FIELD_MM)) - 1, int(np.floor(high / FIELD_MM)) + 2)
        for low, high in ((x.min(), x.max()), (y.min(), y.max()))
    ]
    return [(i, j) for i in ends[0] for j in ends[1]]


def _hairs(scene: Scene, i: int, j: int) -> np.ndarray:
    """Return the hairs that grow in one square.

    Place of the root, length and width [mm], direction at the root and bend to the tip [radians].
    """
    chance = generator("hair", scene.seed, i, j)
    number = chance.poisson(scene.skin.hairs_per_cm2 * CM2_PER_MM2 * FIELD_MM**2)
    x, y = (FIELD_MM * (place + chance.random(number)) for place in (i, j))
    middle = tables.constant("hair-length").value
    length = middle * np.clip(1 + chance.standard_normal(number) / 3, 0.3, 2)  # by a third
    width = tables.constant("hair-width").value * chance.uniform(0.2, 1.4, number)
    # hairs of a limb lie aslant, most of them alike, and bend
    start = np.pi / 3 + 0.5 * chance.standard_normal(number)
    bend = 0.6 * chance.standard_normal(number)
    return np.array([x, y, length, width, start, bend])
