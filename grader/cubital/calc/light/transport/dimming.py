"""What veins take from the light that leaves: runs of the compiled core, with their errors."""

import math
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

import numpy as np

from cubital.calc.light.media import Layer, Medium, Vein
from cubital.calc.light.transport.batches import batch_seed, batch_sizes, in_order
from cubital.calc.light.transport.launching import EVERYTHING_DEG, Scene, checked_medium
from cubital.calc.shared.compiling import can_compile
from cubital.calc.shared.quantities import shown, single, single_whole

# The columns of the cores' arrays, of a layer and of a vein
BOTTOM, SCATTERING, ANISOTROPY, INDEX, ABSORPTION = range(5)
CENTRE_Z, RADIUS = range(2)
STEPS = 200_000  # a path longer than this many steps is given up and counted

SAME = 0.0  # in place of a vein's scattering: that of its surroundings
AIR = 1.0  # refractive index above and below


class Sums(NamedTuple):
    """What left, and what each vein took from it, by batch.

    ``left`` has the axes batch and background; ``taken`` has batch, background, scattering,
    absorption, vein and place. ``lost`` of the ``photons`` were given up as too long.
    """

    photons: int
    lost: int
    left: np.ndarray
    taken: np.ndarray

    def dimming(self) -> np.ndarray:
        """Return the share of the light that each vein takes, over all batches."""
        return _share(self.taken.sum(axis=0), self.left.sum(axis=0))

    def without_each(self) -> np.ndarray:
        """Return the share with each batch left out in turn."""
        return _share(
            self.taken.sum(axis=0) - self.taken, np.asarray(self.left.sum(axis=0) - self.left)
        )


def _share(taken: np.ndarray, left: np.ndarray) -> np.ndarray:
    return taken / left[..., None, None, None, None]


def jackknife(without_each: np.ndarray) -> np.ndarray:
    """Return the standard error of a figure from its values with each batch left out.

    Examples
    --------
    >>> round(float(jackknife(np.array([1.0, 2.0, 3.0]))), 3)
    1.155
    """
    batches = len(without_each)
    return np.sqrt((batches - 1) * np.var(without_each, axis=0))


def reduced(layer: Layer) -> Layer:
    """Return a layer that scatters evenly to all sides and spreads light alike.

    Examples
    --------
    >>> reduced(Layer(Medium(0.02, 18.0, 0.5, 1.4), 1.0)).medium.scattering_per_mm
    9.0
    """
    medium = layer.medium
    even = medium._replace(scattering_per_mm=medium.reduced_scattering_per_mm, anisotropy=0.0)
    return layer._replace(medium=even)


def sums(
    layers: Sequence[Layer],
    *,
    veins: np.ndarray,
    across_mm: np.ndarray,
    absorptions_per_mm: Sequence[float],
    scatterings_per_mm: Sequence[float] = (SAME,),
    backgrounds_per_mm: Sequence[Sequence[float]] | None = None,
    photons: int,
    seed: int,
    exit_angle_deg: float = EVERYTHING_DEG,
    cores: int | None = None,
    progress: Callable[[int, int], object] | None = None,
) -> Sums:
    """Follow photons through layers once, and lay every vein across their paths.

    ``veins`` has a row of depth to the upper wall and diameter for each vein, ``across_mm`` a row
    of places beside the axis for each. Every background of ``backgrounds_per_mm`` has an absorption
    for each layer, none below the layer's own.

    Examples
    --------
    >>> skin = Layer(Medium(0.05, 2.0, 0.0, 1.4), math.inf)
    >>> found = sums(
    ...     [skin], veins=np.array([[0.3, 4.0]]), across_mm=np.zeros((1, 1)),
    ...     absorptions_per_mm=[0.05, 0.5], photons=20_000, seed=1,
    ... )
    >>> np.round(np.abs(found.dimming()[0, 0, :, 0, 0]), 1)
    array([0. , 0.4])
    """
    if isinstance(seed, bool) or not isinstance(seed, int) or seed < 0:
        raise ValueError(f"the seed is {shown(seed)}: it must be a whole number from 0")
    rows = _rows(layers)
    if backgrounds_per_mm is None:
        backgrounds_per_mm = [rows[:, ABSORPTION]]
    angle = single("exit_angle_deg", exit_angle_deg)
    fixed = (
        rows,
        np.full(2, AIR),
        0.0 if angle == EVERYTHING_DEG else math.cos(math.radians(angle)),
        np.array([(depth + diameter / 2, diameter / 2) for depth, diameter in veins]),
        *(
            np.array(values, float)
            for values in (across_mm, backgrounds_per_mm, absorptions_per_mm, scatterings_per_mm)
        ),
    )

    sizes = batch_sizes(single_whole("photons", photons))
    if not can_compile():
        from cubital.calc.light.transport import crowd  # noqa: PLC0415 - seldom needed

        left, taken, lost = crowd.cast(sizes, seed, crowd.Task(*fixed), progress=progress)
        return Sums(int(sizes.sum()), lost, left, taken)
    from cubital.calc.light.transport import shadowing  # noqa: PLC0415 - on use: it needs numba

    def batch(number: int, size: int) -> tuple[np.ndarray, np.ndarray, int]:
        return shadowing.cast(int(size), batch_seed(seed, number), *fixed)

    parts = in_order(batch, sizes, cores=cores, progress=progress)
    left, taken, lost = zip(*parts, strict=True)
    return Sums(int(sizes.sum()), sum(lost), np.array(left), np.array(taken))


def _rows(layers: Sequence[Layer]) -> np.ndarray:
    """Check layers and lay them out as the compiled core takes them."""
    scene = Scene.of(layers, (), AIR, AIR)
    media = [checked_medium(layer.medium) for layer in layers]
    for medium in media:
        if medium.scattering_per_mm == 0:
            raise ValueError("the scattering coefficient is 0 1/mm: it must be above 0 1/mm")
    return np.array(
        [
            (
                bottom,
                medium.scattering_per_mm,
                medium.anisotropy,
                medium.refractive_index,
                medium.absorption_per_mm,
            )
            for bottom, medium in zip(scene.layers[:, 1], media, strict=True)
        ]
    )


def full_width_at_half(dimming: np.ndarray, across_mm: np.ndarray) -> np.ndarray:
    """Return the full width at half of the darkening at the axis, from one half of a profile.

    Where the profile does not fall to half within its places, or is not dark at the axis, the
    width is not a number.

    Examples
    --------
    >>> float(full_width_at_half(np.array([1.0, 0.75, 0.25]), np.array([0.0, 1.0, 2.0])))
    3.0
    """
    dimming, across = np.broadcast_arrays(dimming, across_mm)
    below = dimming < dimming[..., :1] / 2
    end = np.maximum(below.argmax(axis=-1), 1)[..., None]
    found = below.any(axis=-1) & (dimming[..., 0] > 0)
    inner, outer = (np.take_along_axis(dimming, place, axis=-1) for place in (end - 1, end))
    near, far = (np.take_along_axis(across, place, axis=-1) for place in (end - 1, end))
    fall = np.where(inner > outer, inner - outer, 1.0)
    half = near + (inner - dimming[..., :1] / 2) / fall * (far - near)
    return np.where(found, 2 * half[..., 0], np.nan)


def combined(directed: Sums, even: Sums) -> tuple[np.ndarray, list[np.ndarray]]:
    """Add to a run what scattering of the veins' own changes in a second run, with even scattering.

    The second run has the surroundings' scattering first and the veins' own after it. Returns the
    shares by background, own scattering, absorption, vein and place, and the same with each batch
    of either run left out.

    Examples
    --------
    >>> left, taken = np.full((4, 1), 8.0), np.ones((4, 1, 2, 1, 1, 1))
    >>> taken[:, :, 1] = 3
    >>> directed, even = Sums(4, 0, left / 2, taken[:, :, :1]), Sums(4, 0, left, taken)
    >>> combined(directed, even)[0].ravel().tolist()
    [0.5]
    """
    plain, change = directed.dimming(), _change(even.dimming())
    others = [directed.without_each() + change, plain + _change(even.without_each())]
    return plain + change, others


def _change(share: np.ndarray) -> np.ndarray:
    """Return what each scattering changes against the first (the fourth axis from the end)."""
    return share[..., 1:, :, :, :] - share[..., :1, :, :, :]


def dimmed(
    layers: Sequence[Layer],
    *,
    vein_medium: Medium,
    veins: np.ndarray,
    across_mm: np.ndarray,
    **job: Any,
) -> tuple[np.ndarray, list[np.ndarray], Sums]:
    """Return how much each vein dims each place, the same without each batch, and the main run.

    A vein that scatters otherwise than its surroundings needs a second run, which tells what that
    changes; ``together`` takes the standard error of both.

    Examples
    --------
    >>> skin = Layer(Medium(0.05, 2.0, 0.0, 1.4), math.inf)
    >>> dimming, others, _ = dimmed(
    ...     [skin], vein_medium=skin.medium, veins=np.array([[1.0, 2.0]]),
    ...     across_mm=np.zeros((1, 1)), photons=1_000, seed=1,
    ... )
    >>> round(float(dimming[0, 0]), 9) + 0.0, float(together(others)[0, 0]) < 1e-9
    (0.0, True)
    """
    vein_medium = checked_medium(vein_medium)
    for depth, diameter in veins:
        Scene.of(layers, [Vein(vein_medium, depth, diameter)], AIR, AIR)
    job |= {
        "veins": veins,
        "across_mm": across_mm,
        "absorptions_per_mm": [vein_medium.absorption_per_mm],
    }
    whole = sums(layers, **job)
    dimming, others = whole.dimming(), [whole.without_each()]
    if any(_scatters_otherwise(vein_medium, layer.medium) for layer in layers):
        even = sums(
            [reduced(layer) for layer in layers],
            scatterings_per_mm=(SAME, vein_medium.reduced_scattering_per_mm),
            **job,
        )
        dimming, others = combined(whole, even)
    dimming, others = dimming[0, 0, 0], [other[:, 0, 0, 0] for other in others]
    return dimming, others, whole


def _scatters_otherwise(vein: Medium, around: Medium) -> bool:
    return (vein.scattering_per_mm, vein.anisotropy) != (
        around.scattering_per_mm,
        around.anisotropy,
    )


def together(others: Sequence[np.ndarray]) -> np.ndarray:
    """Return the standard error of a figure that rests on several runs.

    Examples
    --------
    >>> round(float(together([np.array([1.0, 2.0, 3.0])] * 2)), 3)
    1.633
    """
    return np.sqrt(sum(jackknife(other) ** 2 for other in others))
