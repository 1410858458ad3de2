"""Layers, veins and detection, checked_medium and laid out as the compiled core takes them."""

import math
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

import numpy as np

from cubital.calc.light import fresnel
from cubital.calc.light.media import Layer, Medium, Vein
from cubital.calc.light.transport.batches import batch_seed, batch_sizes, in_order
from cubital.calc.shared.quantities import shown, single, single_whole

FAR_MM = 1e30  # mm: stands for an infinite thickness, and keeps arithmetic finite
EVERYTHING_DEG = 90  # degrees: the exit angle within which all light leaves
SHARES = 4  # before the media in a tally: diffuse, detected, transmitted, roulette's balance
EXIT_COLUMNS = 4  # weight, place across, place along, cosine; the paths by medium follow
PULL_SHARE = 0.5  # half the effective attenuation: spares light that may leave below


class Scene(NamedTuple):
    """Layers and veins as arrays, and what the surface itself reflects.

    Examples
    --------
    >>> Scene.of([Layer(Medium(0.02, 10, 0.9, 1.4), 2)], (), 1.0, 1.0).layers[0, :2].tolist()
    [0.0, 2.0]
    """

    media: np.ndarray
    layers: np.ndarray
    veins: np.ndarray
    outside: np.ndarray
    specular: float

    @classmethod
    def of(
        cls, layers: Sequence[Layer], veins: Sequence[Vein], above_index: float, below_index: float
    ) -> "Scene":
        """Check layers and veins and lay them out."""
        if not len(layers):
            raise ValueError("there is no layer: there must be at least 1")
        _named(layers, Layer, "it must be a Layer of a Medium and a thickness in mm")
        _named(veins, Vein, "it must be a Vein of a Medium, depth and diameter in mm")
        media = [checked_medium(part.medium) for part in (*layers, *veins)]
        rows, depth = [], 0.0
        for number, (layer, medium) in enumerate(zip(layers, media, strict=False)):
            is_last = number == len(layers) - 1
            thickness = _thickness_mm(layer.thickness_mm, medium, is_last)
            rows.append((depth, depth + thickness, _pull_per_mm(medium)))
            depth += thickness
        first = media[0].refractive_index
        return cls(
            np.array([(m[0], 1 / max(m[1], 1 / FAR_MM), *m[2:]) for m in media]),
            np.array(rows),
            _cylinders(veins, depth),
            np.array([single("refractive_index", index) for index in (above_index, below_index)]),
            fresnel.reflectance_share(
                0.0, refractive_index=above_index, refractive_index_beyond=first
            ),
        )


def _named(parts: Sequence, kind: type, wanted: str) -> None:
    """Raise ValueError on a part that is not of its kind, such as numbers without their names."""
    for number, part in enumerate(parts, start=1):
        if not isinstance(part, kind):
            name = kind.__name__.lower()
            raise ValueError(f"{name} {number} is {shown(part)}: {wanted}")


def checked_medium(medium: Medium) -> Medium:
    """Return a medium whose coefficients are all possible.

    Examples
    --------
    >>> checked_medium(Medium(0.02, 10, 1.2, 1.4))
    Traceback (most recent call last):
    ValueError: anisotropy is 1.2: it must be from -0.99 to 0.999
    """
    if not isinstance(medium, Medium):
        raise ValueError(
            f"the medium is {shown(medium)}: it must be a Medium: absorption and scattering in "
            "1/mm, anisotropy and refractive index"
        )
    return Medium(**{name: single(name, value) for name, value in medium._asdict().items()})


def _pull_per_mm(medium: Medium) -> float:
    """Return how fast roulette counts on the chance to come back to fade with depth."""
    mua, transport = medium.absorption_per_mm, medium.reduced_scattering_per_mm
    return PULL_SHARE * math.sqrt(3 * mua * (mua + transport))  # 3: of the diffusion approximation


def _thickness_mm(thickness_mm: float, medium: Medium, is_last: bool) -> float:
    if not (is_last and thickness_mm == math.inf):
        return single("layer_thickness_mm", thickness_mm)
    if 0 in (medium.absorption_per_mm, medium.scattering_per_mm):
        raise ValueError(
            f"the infinite layer absorbs {medium.absorption_per_mm} 1/mm and scatters "
            f"{medium.scattering_per_mm} 1/mm: both must be above 0 1/mm"
        )
    return FAR_MM


def _cylinders(veins: Sequence[Vein], depth_mm: float) -> np.ndarray:
    """Check the veins' places and return axes and radii."""
    rows = np.zeros((len(veins), 3))  # 3: axis across, axis in depth, radius
    for row, vein in zip(rows, veins, strict=True):
        radius = single("vein_diameter_mm", vein.diameter_mm) / 2
        upper = single("vein_depth_mm", vein.depth_mm)
        row[:] = single("vein_centre_mm", vein.centre_mm), upper + radius, radius
        if upper + 2 * radius > depth_mm:
            raise ValueError(
                f"a vein reaches {upper + 2 * radius:g} mm deep: "
                f"it must end within the layers' {depth_mm:g} mm"
            )
    for number, (across, deep, radius) in enumerate(rows):
        for other in rows[:number]:
            gap = math.hypot(across - other[0], deep - other[1]) - radius - other[2]
            if gap < 0:
                raise ValueError(f"two veins overlap by {-gap:g} mm: they must lie apart")
    return rows


class Bins(NamedTuple):
    """Equal rings or strips: their width and number.

    Examples
    --------
    >>> Bins.of("across_bin_mm", 0.5, 4).middles(centred=True).tolist()
    [-0.75, -0.25, 0.25, 0.75]
    """

    width_mm: float
    number: int

    @classmethod
    def of(cls, quantity: str, width_mm: float | None, number: int) -> "Bins":
        """Check width and number; no width is needed for none."""
        number = single_whole(quantity.replace("_mm", "s"), number)
        if number == 0:
            return cls(1.0, 0)
        if width_mm is None:
            raise ValueError(f"{quantity} is not given: {number} bins need a width in mm")
        return cls(single(quantity, width_mm), number)

    def middles(self, *, centred: bool) -> np.ndarray:
        """Return the middles of the bins [mm], from zero or about it."""
        first = -self.number / 2 if centred else 0
        return self.width_mm * (np.arange(self.number) + 0.5 + first)

    def ring_areas_mm2(self) -> np.ndarray:
        """Return the areas of the rings [mm2]."""
        return np.pi * np.diff((self.width_mm * np.arange(self.number + 1)) ** 2)


class Job(NamedTuple):
    """Photons to follow: where, how many, what counts, how many exits to keep in a batch."""

    scene: Scene
    sizes: np.ndarray
    seed: int
    beam_mm: float
    least_cosine: float
    rings: Bins
    strips: Bins
    room: int

    @classmethod
    def of(
        cls,
        scene: Scene,
        *,
        photons: int,
        seed: int,
        beam: str,
        exit_angle_deg: float,
        rings: Bins,
        strips: Bins,
        keep: int = 0,
    ) -> "Job":
        """Check what is asked for."""
        if beam not in ("pencil", "broad"):
            raise ValueError(f"the beam is {shown(beam)}: it must be 'pencil' or 'broad'")
        if beam == "broad" and not strips.number:
            raise ValueError("a broad beam is as wide as its strips: across_bins is 0")
        if isinstance(seed, bool) or not isinstance(seed, int) or seed < 0:
            raise ValueError(f"the seed is {shown(seed)}: it must be a whole number from 0")
        angle = single("exit_angle_deg", exit_angle_deg)
        sizes = batch_sizes(single_whole("photons", photons))
        return cls(
            scene,
            sizes,
            seed,
            strips.width_mm * strips.number if beam == "broad" else 0.0,
            0.0 if angle == EVERYTHING_DEG else math.cos(math.radians(angle)),
            rings,
            strips,
            -(-keep // len(sizes)),
        )

    @property
    def tally_length(self) -> int:
        """Numbers that a batch scores."""
        return SHARES + len(self.scene.media) + self.rings.number + self.strips.number

    @property
    def strip_factor(self) -> float:
        """What makes a share of all light one of a strip's (broad) or one per width (pencil)."""
        return self.strips.number if self.beam_mm else 1 / self.strips.width_mm

    @property
    def window(self) -> np.ndarray:
        """What counts as detected, and where, as the compiled core takes it."""
        places = (*self.rings, *self.strips, self.beam_mm)
        return np.array([self.least_cosine, *places])

    def batch(self, number: int, photons: int) -> tuple[np.ndarray, np.ndarray]:
        """Follow one batch; return its tally and its exits."""
        from cubital.calc.light.transport import photons as core  # noqa: PLC0415 - on use: it needs numba

        scene, tally = self.scene, np.zeros(self.tally_length)
        exits = np.zeros((self.room, EXIT_COLUMNS + len(scene.media)), np.float32)
        listed = core.trace(
            int(photons),
            batch_seed(self.seed, number),
            scene.media,
            scene.layers,
            scene.veins,
            scene.outside,
            self.window,
            tally,
            exits,
        )
        return tally, exits[:listed].copy()

    def results(
        self, *, cores: int | None, progress: Callable[[int, int], object] | None
    ) -> Iterator[tuple[int, np.ndarray, np.ndarray]]:
        """Yield size, tally and exits of each batch, in order."""
        found = in_order(self.batch, self.sizes, cores=cores, progress=progress)
        for size, (tally, exits) in zip(self.sizes, found, strict=True):
            yield int(size), tally, exits
