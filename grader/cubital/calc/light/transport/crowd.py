"""Vein shadows by many photons at a time, in whole arrays: for a Python without numba.

Photons go as in `shadowing`, by the same chances drawn in another order, and veins are laid across
their paths in the same way: what comes out is distributed alike, and differs as between two seeds.
Time goes with the veins' places as well as with the photons.
"""

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from cubital.calc.light.transport.dimming import (
    ABSORPTION,
    ANISOTROPY,
    BOTTOM,
    CENTRE_Z,
    INDEX,
    RADIUS,
    SCATTERING,
    STEPS,
)

CROWD = 4000  # photons on their way together
KEPT = 1_000_000  # steps, some 70 MB, from which on the finished photons' are used up


class Task(NamedTuple):
    """What a crowd is sent through, and what is asked of it: as `shadowing.cast` takes it."""

    layers: np.ndarray
    outside: np.ndarray
    exit_cosine: float
    veins: np.ndarray
    across: np.ndarray
    backgrounds: np.ndarray
    absorptions: np.ndarray
    scatterings: np.ndarray


class Steps(NamedTuple):
    """Straight steps of photons, in a column each.

    Whose it is, where it begins and ends [mm], its length [mm] and its layer; whether it ends with
    a scattering, not at a layer's face.
    """

    photon: np.ndarray
    x_from: np.ndarray
    z_from: np.ndarray
    x_to: np.ndarray
    z_to: np.ndarray
    way: np.ndarray
    layer: np.ndarray
    scattered: np.ndarray

    def of(self, chosen: np.ndarray) -> "Steps":
        """Return some of the steps."""
        return Steps(*(column[chosen] for column in self))


class Crowd:
    """Photons on their way: those that have not left the layers, nor been absorbed."""

    def __init__(self, task: Task, chance: np.random.Generator) -> None:
        self.task, self.chance = task, chance
        self.photon, self.layer, self.steps = np.zeros((3, 0), np.intp)  # three empty columns
        self.x, self.z, self.ux, self.uy, self.uz = np.zeros((5, 0))  # five empty columns

    def launch(self, photons: np.ndarray) -> None:
        """Send more photons straight down."""
        for name, start in (
            ("photon", photons),
            ("layer", 0),
            ("steps", 0),
            ("x", 0.0),
            ("z", 0.0),
            ("ux", 0.0),
            ("uy", 0.0),
            ("uz", 1.0),
        ):
            column = getattr(self, name)
            more = np.full(len(photons), start, column.dtype)
            setattr(self, name, np.concatenate([column, more]))

    def _keep(self, chosen: np.ndarray) -> None:
        for name in ("photon", "layer", "steps", "x", "z", "ux", "uy", "uz"):
            setattr(self, name, getattr(self, name)[chosen])

    def step(self) -> tuple[Steps, np.ndarray, np.ndarray]:
        """Let all go one step; return the steps, who left, and the cosine above (0 below)."""
        layers, chance = self.task.layers, self.chance
        here = layers[self.layer]
        top = np.where(self.layer > 0, layers[self.layer - 1, BOTTOM], 0.0)
        step = chance.standard_exponential(len(self.x)) / here[:, SCATTERING]
        z = self.z + step * self.uz
        up, down = z < top, z > here[:, BOTTOM]
        face = np.where(up, top, here[:, BOTTOM])
        at_face = up | down
        if at_face.any():
            np.divide(face - self.z, self.uz, out=step, where=at_face)
            z = np.where(at_face, face, z)
        x = self.x + step * self.ux
        went = Steps(self.photon, self.x, self.z, x, z, step, self.layer, ~at_face)
        self.x, self.z = x, z
        self.steps = self.steps + 1
        alive = chance.random(len(x)) < np.exp(-here[:, ABSORPTION] * step)
        scattering = np.flatnonzero(alive & ~at_face)
        self._turn(scattering, here[scattering, ANISOTROPY])
        left, cosines = self._cross(np.flatnonzero(alive & at_face), up)
        alive[left] = False
        outside = self.photon[left]
        if not alive.all():
            self._keep(np.flatnonzero(alive))
        return went, outside, cosines

    def _turn(self, who: np.ndarray, g: np.ndarray) -> None:
        """Turn some photons by the angles of Henyey and Greenstein."""
        even, azimuth = self.chance.random((2, len(who)))
        even = 2 * even - 1
        # as in `photons`: multiplied out, it keeps its digits where g is tiny
        cosine = even + g * (0.5 * (3 + even * even) + g * (even + 0.5 * g * (even * even - 1)))
        cosine /= (1 + g * even) ** 2
        cosine = np.minimum(np.maximum(cosine, -1), 1)
        sine = np.sqrt(1 - cosine * cosine)
        azimuth *= 2 * np.pi
        p, q = sine * np.cos(azimuth), sine * np.sin(azimuth)
        ux, uy, uz = self.ux[who], self.uy[who], self.uz[who]
        sign = np.copysign(1.0, uz)
        along = ux * p + uy * q
        common = cosine - along / (sign + uz)
        self.ux[who] = sign * p + ux * common
        self.uy[who] = sign * q + uy * common
        self.uz[who] = cosine * uz - along

    def _cross(self, who: np.ndarray, up: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Mirror or bend photons at a face; return who left, and the cosine above (0 below)."""
        if not who.size:
            return who, np.zeros(0)
        layers, outside = self.task.layers, self.task.outside
        up, layer, uz = up[who], self.layer[who], self.uz[who]
        beyond_layer = layer + np.where(up, -1, 1)
        leaves = (beyond_layer < 0) | (beyond_layer == len(layers))
        inner = np.minimum(np.maximum(beyond_layer, 0), len(layers) - 1)
        index = np.where(leaves, np.where(up, *outside), layers[inner, INDEX])
        ratio = layers[layer, INDEX] / index
        reflectance, beyond = fresnel(np.abs(uz), ratio)
        crosses = self.chance.random(len(who)) >= reflectance
        mirrored, bent = who[~crosses], crosses & ~leaves
        self.uz[mirrored] = -self.uz[mirrored]
        through = who[bent]
        self.ux[through] *= ratio[bent]
        self.uy[through] *= ratio[bent]
        self.uz[through] = np.copysign(beyond[bent], uz[bent])
        self.layer = self.layer.copy()  # the steps made so far hold the old one
        self.layer[through] = beyond_layer[bent]
        left = crosses & leaves
        return who[left], np.where(up, beyond, 0.0)[left]

    def give_up(self) -> int:
        """Take out photons whose path is too long; return their number."""
        long = self.steps >= STEPS - 1
        if long.any():
            self._keep(np.flatnonzero(~long))
        return int(long.sum())


def fresnel(cosine: np.ndarray, ratio: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return reflectance and cosine beyond a boundary; `ratio` is index before over beyond.

    Examples
    --------
    >>> reflectance, beyond = fresnel(np.array([1.0, 0.5]), np.array([1.5, 1.5]))
    >>> reflectance.round(4).tolist(), beyond.tolist()
    ([0.04, 1.0], [1.0, 0.0])
    """
    beyond = np.sqrt(np.maximum(1 - ratio * ratio * (1 - cosine * cosine), 0))
    across = (ratio * cosine - beyond) / (ratio * cosine + beyond)
    along = (ratio * beyond - cosine) / (ratio * beyond + cosine)
    return np.where(beyond > 0, 0.5 * (across**2 + along**2), 1.0), beyond


def cast(
    sizes: np.ndarray,
    seed: int,
    task: Task,
    *,
    progress: Callable[[int, int], object] | None = None,
) -> tuple[np.ndarray, np.ndarray, int]:
    """Return what left and what each vein took from it, by batch, and the photons given up.

    The sums have the axes of `shadowing.cast`, after one for the batches.

    Examples
    --------
    >>> skin = np.array([[1e30, 2.0, 0.0, 1.4, 0.05]])
    >>> task = Task(skin, np.ones(2), 0.0, np.array([[2.3, 2.0]]), np.zeros((1, 1)),
    ...             skin[:, 4:], np.array([0.05, 0.5]), np.zeros(1))
    >>> left, taken, lost = cast(np.full(2, 5000), 1, task)
    >>> np.abs(taken.sum(axis=0) / left.sum()).ravel().round(1).tolist(), lost
    ([0.0, 0.4], 0)
    """
    batch = np.repeat(np.arange(len(sizes)), sizes)
    sums = Sums(task, batch, len(sizes))
    crowd = Crowd(task, np.random.default_rng(seed))
    cosine, paths = np.zeros(len(batch)), []
    launched, kept, room, lost, told = 0, 0, KEPT, 0, 0
    while launched < len(batch) or len(crowd.x):
        if launched < len(batch) and len(crowd.x) <= CROWD // 2:
            more = np.arange(launched, min(launched + CROWD - len(crowd.x), len(batch)))
            crowd.launch(more)
            launched += len(more)
        went, outside, cosines = crowd.step()
        cosine[outside] = cosines
        lost += crowd.give_up()
        paths.append(went)
        kept += len(went.way)
        if kept >= room or not len(crowd.x):
            paths = sums.use_up(paths, crowd.photon, cosine)
            kept = len(paths[0].way)
            room = max(KEPT, 2 * kept)
        done = launched - len(crowd.x)
        if progress is not None and done > told:
            progress(done, len(batch))
            told = done
    return sums.left, sums.taken, lost


class Sums:
    """What left, and what each vein took from it, by batch."""

    def __init__(self, task: Task, batch: np.ndarray, batches: int) -> None:
        self.task, self.batch = task, batch
        sets, scatterings, absorptions = map(
            len, (task.backgrounds, task.scatterings, task.absorptions)
        )
        self.left = np.zeros((batches, sets))
        self.taken = np.zeros((batches, sets, scatterings, absorptions, *task.across.shape))

    def use_up(
        self, paths: list[Steps], on_their_way: np.ndarray, cosine: np.ndarray
    ) -> list[Steps]:
        """Add the photons that have left; return the steps of those that are on their way."""
        steps = Steps(*(np.concatenate(columns) for columns in zip(*paths, strict=True)))
        going = np.zeros(len(cosine), bool)
        going[on_their_way] = True
        counts = (cosine > 0) & (cosine >= self.task.exit_cosine)
        self._add(steps.of((counts & ~going)[steps.photon]))
        return [steps.of(going[steps.photon])]

    def _add(self, steps: Steps) -> None:
        """Add photons whose path is whole."""
        task, layers = self.task, len(self.task.layers)
        photons, photon = np.unique(steps.photon, return_inverse=True)
        batch = self.batch[photons]
        last = np.zeros(len(photons), np.intp)
        last[photon] = np.arange(len(photon))  # the latest step of each stands last
        out = steps.x_to[last][photon]
        steps = steps._replace(photon=photon, x_from=steps.x_from - out, x_to=steps.x_to - out)
        in_layer = _by_layer(photon, steps.layer, len(photons), layers, steps.way)
        weights = np.exp(-in_layer @ (task.backgrounds - task.layers[:, ABSORPTION]).T)
        np.add.at(self.left, batch, weights)
        for v, (centre, radius) in enumerate(task.veins[:, [CENTRE_Z, RADIUS]]):
            deep = np.minimum(steps.z_from, steps.z_to) < centre + radius
            deep &= np.maximum(steps.z_from, steps.z_to) > centre - radius
            near = steps.of(deep)
            for k, aside in enumerate(task.across[v]):
                sides = (aside,) if aside == 0 else (aside, -aside)
                for axis in sides:
                    who, taken = self._taken(near, axis, (centre, radius), weights)
                    np.add.at(self.taken[..., v, k], batch[who], taken / len(sides))

    def _taken(
        self, steps: Steps, axis: float, vein: tuple[float, float], weights: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """Return which photons go through a vein, and what it takes from each."""
        task, layers = self.task, self.task.layers
        centre, radius = vein
        within = np.minimum(steps.x_from, steps.x_to) < axis + radius
        within &= np.maximum(steps.x_from, steps.x_to) > axis - radius
        steps = steps.of(within)
        share = inside(steps, axis, centre, radius)
        hits = (steps.x_to - axis) ** 2 + (steps.z_to - centre) ** 2 < radius**2
        size = len(weights), len(layers)
        here = _by_layer(steps.photon, steps.layer, *size, share * steps.way)
        count = _by_layer(steps.photon, steps.layer, *size, (hits & steps.scattered).astype(float))
        (who,) = np.nonzero(here.sum(axis=1))
        here, count, weights = here[who], count[who], weights[who]
        whole, met = here.sum(axis=1), count.sum(axis=1)
        scattering = layers[:, SCATTERING]
        chance = here @ scattering - count @ np.log(scattering)
        own = np.exp(-np.multiply.outer(whole, task.absorptions))
        seen = weights * np.exp(here @ task.backgrounds.T)
        ratios = np.ones((len(who), len(task.scatterings)))
        for c, other in enumerate(task.scatterings):
            if other > 0:
                ratios[:, c] = np.exp(chance + met * math.log(other) - other * whole)
        left = seen[:, :, None, None] * ratios[:, None, :, None] * own[:, None, None, :]
        return who, weights[:, :, None, None] - left


def _by_layer(
    photon: np.ndarray, layer: np.ndarray, photons: int, layers: int, values: np.ndarray
) -> np.ndarray:
    """Return sums of what each photon has in each layer."""
    found = np.bincount(photon * layers + layer, values, photons * layers)
    return found.reshape(photons, layers)


def inside(steps: Steps, axis: float, centre: float, radius: float) -> np.ndarray:
    """Return the share of straight steps that lies within a vein.

    Examples
    --------
    >>> one = np.zeros(1)
    >>> inside(Steps(one, one - 2, one, one + 2, one, one + 4, one, one), 0.0, 0.0, 1.0).tolist()
    [0.5]
    """
    dx, dz = steps.x_to - steps.x_from, steps.z_to - steps.z_from
    px, pz = steps.x_from - axis, steps.z_from - centre
    flat = dx * dx + dz * dz
    towards = px * dx + pz * dz
    root = towards * towards - flat * (px * px + pz * pz - radius * radius)
    meets = (root > 0) & (flat > 0)
    root = np.sqrt(np.where(meets, root, 0))
    flat = np.where(meets, flat, 1)
    share = np.minimum(1, (root - towards) / flat) - np.maximum(0, (-towards - root) / flat)
    return np.where(meets, np.maximum(share, 0), 0)
