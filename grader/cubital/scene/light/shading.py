"""How much light vessels take at each place of a picture, from the calculations' fits."""

import itertools
import math
from typing import NamedTuple

import numpy as np

from cubital import calc, tables
from cubital.calc.light.skin_visibility import even_tissue, skin_table
from cubital.scene.anatomy.vessels import Change, Scene, Skin, Valve, Vessel, View
from cubital.scene.light import geometry, stamping
from cubital.scene.light.sinuses import diameter_with_valves_mm

STEP_MM = 1.0  # along a vessel, at which its band is known
REACH_WIDTHS = 5  # of a band: there it has fallen to a few hundredths or less
LEAST_HALF_WIDTH = 2.6  # coarse picture elements to half of the narrowest band: true to 1 %
POOL_SIZES = 23  # diameters, 0.25 mm apart, of the vessels that stand for a pool of blood
MARGIN = 2  # coarse elements round the picture, for the weights of four
BLOODS = {"vein": "venous", "artery": "arterial"}


class Band(NamedTuple):
    """The dark band of a vessel: contrast [-], apparent width [mm], exponent of its profile."""

    contrast: np.ndarray
    width_mm: np.ndarray
    tail: np.ndarray


def band(
    skin: Skin,
    kind: str,
    *,
    depth_mm: np.ndarray,
    diameter_mm: np.ndarray,
    filling: np.ndarray | float = 1.0,
) -> Band:
    """Return the dark band that a vessel makes, by depth, diameter and share of blood.

    `skin_vein_contrast` and `skin_apparent_width_mm` within their range. Below 8 mm light is taken
    to fade by the effective attenuation of the even tissue, there and back; a vessel thinner than
    0.5 mm to take light by its cross-section; one wider than 6 mm as one of 6 mm; blood paler than
    the fit's palest to take light by its share.

    Examples
    --------
    >>> found = band(Skin(), "vein", depth_mm=np.array([1.0, 9.0]), diameter_mm=np.array([3.0, 3]))
    >>> bool(found.contrast[0] > 20 * found.contrast[1] > 0)
    True
    """
    limits = tables.limits()
    depths, sizes, bloods = (
        limits[key]
        for key in ("upper_wall_depth_mm", "lumen_diameter_mm", "vessel_absorption_per_mm")
    )
    depth, size, share = np.broadcast_arrays(
        np.asarray(depth_mm, float), np.asarray(diameter_mm, float), np.asarray(filling, float)
    )
    table = skin_table()
    full = np.interp(skin.wavelength_nm, table["wavelength_nm"], table[BLOODS[kind]])
    blood = share * full
    known = {
        "upper_wall_depth_mm": np.clip(depth, depths.low, depths.high),
        "lumen_diameter_mm": np.clip(size, sizes.low, sizes.high),
        "picture_wavelength_nm": skin.wavelength_nm,
        "epidermal_melanin_fraction": skin.melanin_fraction,
        "vessel_absorption_per_mm": np.clip(blood, bloods.low, bloods.high),
    }
    absorbed = -np.log1p(-np.asarray(calc.skin_vein_contrast(**known)))
    beyond = depth - np.minimum(depth, depths.high)
    absorbed = absorbed * np.exp(-2 * attenuation_per_mm(skin) * beyond)
    absorbed = absorbed * np.minimum(size / sizes.low, 1) ** 2 * np.minimum(blood / bloods.low, 1)
    width = calc.skin_apparent_width_mm(**known) * (
        np.hypot(known["lumen_diameter_mm"], 2 * np.maximum(depth, depths.low))
        / np.hypot(known["lumen_diameter_mm"], 2 * np.maximum(known["upper_wall_depth_mm"], 0))
    )
    start, slope = (
        tables.constant(key).value for key in ("picture-tail-at-no-width", "picture-tail-per-mm")
    )
    return Band(-np.expm1(-absorbed), width, start + slope * width)


def attenuation_per_mm(skin: Skin) -> float:
    """Return the effective attenuation of the even tissue between dermis and fat [1/mm].

    Examples
    --------
    >>> 0.1 < attenuation_per_mm(Skin()) < 0.4
    True
    """
    even = even_tissue(skin.wavelength_nm)
    absorption = float(even["skin_absorption_per_mm"])
    scattering = float(even["skin_reduced_scattering_per_mm"])
    return math.sqrt(3 * absorption * (absorption + scattering))  # 3: of diffusion


class Grid(NamedTuple):
    """A coarse grid over a picture, and the weights that lead back to every element."""

    x_mm: np.ndarray
    y_mm: np.ndarray
    weights: tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]

    @classmethod
    def of(cls, view: View, step: int) -> "Grid":
        """Lay a grid of every so many picture elements."""
        columns, rows = (_places(n, step) for n in (view.width_px, view.height_px))
        x, y = geometry.to_skin(view, *np.meshgrid(columns, rows))
        weights = (*_weights(view.height_px, rows, step), *_weights(view.width_px, columns, step))
        return cls(x, y, weights)

    def enlarged(self, coarse: np.ndarray) -> np.ndarray:
        """Return values at every picture element from those of the grid."""
        return stamping.enlarged(coarse.astype(np.float32), *self.weights)


def _places(number: int, step: int) -> np.ndarray:
    return (np.arange(-MARGIN, math.ceil(number / step) + MARGIN) + 0.5) * step - 0.5


def _weights(number: int, places: np.ndarray, step: int) -> tuple[np.ndarray, np.ndarray]:
    """Return the first of four places round each element, and the weights of a smooth curve."""
    at = (np.arange(number) - places[0]) / step
    first = np.clip(np.floor(at).astype(np.int64) - 1, 0, len(places) - 4)  # 4: of the weights
    t = at - first - 1
    # a cubic through the inner two, with the slopes of their neighbours (Catmull and Rom)
    weights = [
        -0.5 * t + t**2 - 0.5 * t**3,
        1 - 2.5 * t**2 + 1.5 * t**3,
        0.5 * t + 2 * t**2 - 1.5 * t**3,
        -0.5 * t**2 + 0.5 * t**3,
    ]
    return first, np.stack(weights, axis=1).astype(np.float32)


def trees(vessels: tuple[Vessel, ...]) -> list[list[Vessel]]:
    """Return the vessels by the tree that they belong to.

    Examples
    --------
    >>> line = np.array([0.0, 1.0])
    >>> a, b, c = (Vessel(k, "vein", line, line, line, line, into)
    ...            for k, into in (("a", None), ("b", "a"), ("c", None)))
    >>> [[vessel.key for vessel in tree] for tree in trees((a, b, c))]
    [['a', 'b'], ['c']]
    """
    into = {vessel.key: vessel.into for vessel in vessels}
    found: dict[str, list[Vessel]] = {}
    for vessel in vessels:
        root, seen = vessel.key, set()
        while into.get(root) in into and root not in seen:
            seen.add(root)
            root = into[root]
        found.setdefault(root, []).append(vessel)
    return list(found.values())


class Shading:
    """The vessels of a scene laid on its picture once, to be shaded for any change."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.valve_spreads_mm = self._valve_spreads_mm()
        self.still = self.bands(scene.anatomy.vessels, Change())
        widths = [band.width_mm.min() for band in self.still]
        finest = min(widths, default=1.0) / 2 / LEAST_HALF_WIDTH / scene.view.mm_per_px
        self.grid = Grid.of(scene.view, next((s for s in (4, 3, 2) if s <= finest), 1))
        self.ways = {
            vessel.key: self.way(vessel, float(band.width_mm.max()))
            for vessel, band in zip(scene.anatomy.vessels, self.still, strict=True)
        }

    def bands(self, vessels: tuple[Vessel, ...], change: Change) -> list[Band]:
        """Return the dark bands of vessels at even steps along each, all in one calculation."""
        if not vessels:
            return []
        depths, sizes, shares, arteries, ends = [], [], [], [], [0]
        for vessel in vessels:
            along = vessel.along_mm
            steps = np.linspace(0, along[-1], steps_along(vessel) + 1)
            filling = self._blurred(vessel, change.filling.get(vessel.key, 1.0))
            x, y, depth, share = (
                np.interp(steps, along, values)
                for values in (vessel.x_mm, vessel.y_mm, vessel.depth_mm, filling)
            )
            size = diameter_with_valves_mm(
                vessel, self.scene.anatomy.valves, steps, spread_mm=self.valve_spreads_mm.get
            )
            for dome in change.swellings:
                depth = depth + dome.rise_mm * dome_share(dome, x, y)
            depths.append(depth)
            sizes.append(size)
            shares.append(share)
            arteries.append(np.full(len(steps), vessel.kind == "artery"))
            ends.append(ends[-1] + len(steps))
        columns = [np.concatenate(column) for column in (depths, sizes, shares)]
        of_artery = np.concatenate(arteries)
        found = np.zeros((3, len(of_artery)))  # 3: the fields of a band
        for kind in BLOODS:
            chosen = of_artery == (kind == "artery")
            if chosen.any():
                depth, size, share = (column[chosen] for column in columns)
                found[:, chosen] = band(
                    self.scene.skin, kind, depth_mm=depth, diameter_mm=size, filling=share
                )
        return [Band(*found[:, a:b].copy()) for a, b in itertools.pairwise(ends)]

    def _valve_spreads_mm(self) -> dict[Valve, float]:
        """Return how far light blurs each valve along its vein, as it does across [mm]."""
        anatomy = self.scene.anatomy
        if not anatomy.valves:
            return {}
        places = [anatomy.vessel(valve.vessel).at(valve.along_mm) for valve in anatomy.valves]
        _, _, depth, size = np.array(places).T
        width = band(self.scene.skin, "vein", depth_mm=depth, diameter_mm=size).width_mm
        # of a normal curve
        spreads = np.sqrt(np.maximum(width**2 - size**2, 0) / (8 * math.log(2)))
        return dict(zip(anatomy.valves, spreads.tolist(), strict=True))

    def _blurred(self, vessel: Vessel, filling: np.ndarray | float) -> np.ndarray:
        """Return the share of blood as the skin blurs it along the vessel, as it does across."""
        from scipy.ndimage import gaussian_filter1d  # noqa: PLC0415 - on use

        along = vessel.along_mm
        filling = np.broadcast_to(np.asarray(filling, float), along.shape)
        if (filling == filling[0]).all():
            return filling
        keys = [other.key for other in self.scene.anatomy.vessels]
        widths = self.still[keys.index(vessel.key)].width_mm
        scattered = max(float(np.mean(widths)) ** 2 - float(np.mean(vessel.diameter_mm)) ** 2, 0)
        spread = math.sqrt(scattered / (8 * math.log(2)))  # full width at half of a normal curve
        even = np.linspace(0, along[-1], steps_along(vessel) + 1)
        blurred = gaussian_filter1d(
            np.interp(even, along, filling), spread / even[1], mode="nearest"
        )
        return np.clip(np.interp(along, even, blurred), 0, 1)

    def way(self, vessel: Vessel, widest_mm: float) -> stamping.Laid:
        """Lay a vessel on the grid."""
        reach = REACH_WIDTHS * widest_mm
        keys = {other.key for other in self.scene.anatomy.vessels}
        ends = True, vessel.into not in keys
        places = self.grid.x_mm.ravel(), self.grid.y_mm.ravel()
        points = vessel.x_mm, vessel.y_mm
        return stamping.nearest(places, points, vessel.along_mm, ends, reach)

    def share(self, change: Change | None = None) -> np.ndarray:
        """Return the share of light that vessels and pools take, by picture element."""
        change = change or Change()
        moved = {vessel.key: vessel for vessel in change.vessels}
        vessels = tuple(moved.get(v.key, v) for v in self.scene.anatomy.vessels)
        still = not (change.filling or change.swellings or moved)
        found = self.still if still else self.bands(vessels, change)
        bands = {vessel.key: band for vessel, band in zip(vessels, found, strict=True)}
        taken = np.zeros(self.grid.x_mm.shape)
        for tree in trees(vessels):
            over, under = np.zeros((2, taken.size))
            for vessel in tree:
                band = bands[vessel.key]
                way = self.ways[vessel.key]
                if vessel.key in moved:
                    way = self.way(vessel, float(band.width_mm.max()))
                step = vessel.length_mm / (len(band.contrast) - 1)
                stamping.lay(way, step, band, over, under)
            taken = stamping.together(*(s.reshape(taken.shape) for s in (over, under)), taken)
        if change.pools:
            taken = either(taken, pooled(self.scene.skin, self.grid, change))
        return np.clip(self.grid.enlarged(taken), 0, 1)


def steps_along(vessel: Vessel) -> int:
    """Return the number of even steps at which a vessel's band is known.

    Examples
    --------
    >>> line = np.array([0.0, 10.0])
    >>> steps_along(Vessel("a", "vein", line, line * 0, line, line))
    10
    """
    return max(1, math.ceil(vessel.length_mm / STEP_MM))


def dome_share(dome: object, x_mm: np.ndarray, y_mm: np.ndarray) -> np.ndarray:
    """Return the height of a smooth dome at places on the skin, as a share of its middle's.

    `(1 - r^2 / R^2)^2` within its radius

    Examples
    --------
    >>> from cubital.scene.anatomy.vessels import Swelling
    >>> float(dome_share(Swelling(0, 0, 10, 4), np.array(5.0), np.array(0.0)))
    0.5625
    """
    squared = ((x_mm - dome.x_mm) ** 2 + (y_mm - dome.y_mm) ** 2) / dome.radius_mm**2
    return np.maximum(1 - squared, 0) ** 2


def pooled(skin: Skin, grid: Grid, change: Change) -> np.ndarray:
    """Return the share of light that pools of blood take, by place of the grid.

    A pool is taken as full vessels side by side, each adding what its band takes over its whole
    width: of those no thicker than the pool, the ones that take most, since blood below shades
    none above. It is as thick as a lens, and blurred as a thin vessel is at that depth. Where pools
    of one depth overlap, their thicknesses add.

    Examples
    --------
    >>> from cubital.scene.anatomy.vessels import BloodPool
    >>> grid = Grid.of(View(), 4)
    >>> taken = pooled(skin=Skin(), grid=grid, change=Change(pools=(BloodPool(0, 0, 15, 2, 3),)))
    >>> bool(0.2 < taken.max() < 0.8 and taken[0, 0] < 0.01)
    True
    """
    from scipy.ndimage import gaussian_filter  # noqa: PLC0415 - on use
    from scipy.special import gamma  # noqa: PLC0415 - on use

    taken = np.zeros(grid.x_mm.shape)
    for depth in sorted({pool.depth_mm for pool in change.pools}):
        thickness = np.zeros(grid.x_mm.shape)
        for pool in change.pools:
            if pool.depth_mm == depth:
                squared = (grid.x_mm - pool.x_mm) ** 2 + (grid.y_mm - pool.y_mm) ** 2
                thickness += pool.thickness_mm * np.maximum(1 - squared / pool.radius_mm**2, 0)
        limit = tables.limits()["lumen_diameter_mm"]
        least, widest = limit.low, limit.high
        thickest = float(thickness.max())
        if thickest <= 0:
            continue
        sizes = np.linspace(least, widest, POOL_SIZES)
        c, width, m = band(skin, "vein", depth_mm=depth, diameter_mm=sizes)
        # the profile's integral, by the gamma function
        area = math.sqrt(math.pi) * gamma(m - 0.5) / gamma(m)
        area *= width / 2 / np.sqrt(2 ** (1 / m) - 1)
        most_taken = np.maximum.accumulate(-np.log1p(-c) * area / sizes)
        most = np.interp(thickest, sizes, most_taken) * min(thickest / least, 1)
        absorbed = most * thickness / thickest
        across = abs(grid.x_mm[0, 1] - grid.x_mm[0, 0]) + abs(grid.y_mm[0, 1] - grid.y_mm[0, 0])
        # full width at half of a normal curve
        spread = float(width[0]) / math.sqrt(8 * math.log(2)) / across
        absorbed = gaussian_filter(absorbed, spread, mode="nearest", truncate=3)
        taken = either(taken, -np.expm1(-absorbed))
    return taken


def either(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """Return the share of light that blood takes which lies within or beneath other blood.

    That of the darker, and a little more where both are alike: what reaches the one has met the
    other.

    Examples
    --------
    >>> found = either(np.array([0.4, 0.0, 0.4]), np.array([0.1, 0.3, 0.4]))
    >>> [round(float(v), 2) for v in found]
    [0.4, 0.3, 0.48]
    """
    most = np.maximum(one, other)
    # drawing: a fourth power keeps the smaller out of sight, and the seam smooth
    less = np.minimum(one, other) / np.maximum(most, np.finfo(float).tiny)
    return most * (1 + less**4) ** 0.25
