"""How difficult a structure is to see in a picture, measured; and scenes of a difficulty asked for.

Contrast over the noise first, then what competes with it: other bands near it, hair, and the
skin's unevenness, which is part of the noise. Simulated, not clinically validated.
"""

import functools
import math
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any, NamedTuple

import numpy as np

from cubital import tables
from cubital.calc.shared.quantities import check
from cubital.scene import NOTICE
from cubital.scene.anatomy import surface
from cubital.scene.anatomy.person import SITES, age_groups, anatomy
from cubital.scene.anatomy.vessels import Anatomy, Camera, Scene, Skin, View
from cubital.scene.chance import generator
from cubital.scene.truth import truth as truths
from cubital.scene.truth.competing import LEAST_RATIO, STRUCTURES, bands_near, structures
from cubital.tables import files
from cubital.tables.scene import limb_sizes, vessel_sizes

SEARCH_WIDTH_PX = 320  # a scene is looked for on pictures this wide, a quarter of the work
WITHIN = 0.05  # how near to the difficulty asked for a scene is to come
ATTEMPTS = 12  # persons looked at
ENOUGH = 0.6  # of that, on the smaller pictures
STEPS = 5  # pictures looked at for each
MOST_SHIFT = 0.5  # persons are drawn as if for a difficulty this far beyond that asked for
RISE = 0.8  # of the measured difficulty, roughly, from one end of what can be turned to the other
MM_PER_CM = 10


class NotShownError(ValueError):
    """A picture shows no such structure."""


@dataclass(frozen=True)
class Difficulty:
    """How difficult one structure of a scene is to see: 0 at once, 1 hardly at all.

    Examples
    --------
    >>> Difficulty(0.2, "vein", "segment-1", 15.0, 0.5, 0.5, 0.0, 0.02, 0.01).plain()["level"]
    0.2
    """

    level: float
    what: str
    structure: str  # its key in the truth
    contrast_to_noise: float
    competing: float  # by how much what is near makes it harder: 0 not at all, 1 twice
    bands_near: float
    hairs_per_cm: float  # that lie across a centimetre of a band
    texture_share: float
    noise_share: float
    notice: str = NOTICE

    def plain(self) -> dict[str, Any]:
        """Return it as data fit for JSON."""
        return asdict(self)


@functools.cache
def _table() -> Mapping[str, Any]:
    return files.asset("scene/difficulty.toml")


def level_of(contrast_to_noise: float, competing: float = 0.0) -> float:
    """Return the difficulty of a structure, from 0 to 1.

    `log(easy (1 + c) / ratio) / log(easy / hard)`, c for what competes

    Examples
    --------
    >>> level_of(30.0), level_of(0.5), round(level_of(3.0, 0.2), 2)
    (0.0, 1.0, 0.73)
    """
    scale = _table()["scale"]
    effective = max(contrast_to_noise, LEAST_RATIO) / (1 + competing)
    level = math.log(scale["easy"] / effective) / math.log(scale["easy"] / scale["hard"])
    return min(max(level, 0.0), 1.0)


def hairs_per_cm(skin: Skin) -> float:
    """Return how many hairs lie across a centimetre of a band, on average.

    `2 / pi x density x length`, for hairs that lie in all directions [1/cm]

    Examples
    --------
    >>> hairs_per_cm(Skin())
    0.0
    """
    length_cm = tables.constant("hair-length").value / MM_PER_CM
    return 2 / math.pi * skin.hairs_per_cm2 * length_cm


def fitting(view: View, site: str, age_group: str) -> View:
    """Return the view, enlarged where the site is so small that its veins would end within it.

    Examples
    --------
    >>> [fitting(View(), "back-of-hand", age).mm_per_px for age in ("adult", "infant")]
    [0.1842, 0.0956]
    """
    known = 2 * limb_sizes()[site, age_group].half_length_mm
    length = known * (1 - _table()["person"]["beyond_share"])
    scale = round(length / view.height_px, 4)
    return replace(view, mm_per_px=min(view.mm_per_px, scale))


def measure(
    scene: Scene, what: str = "vein", *, truth: Mapping[str, Any] | None = None
) -> Difficulty:
    """Return how difficult it is to see such a structure: that which is easiest of them.

    From the scene's truth, which is worked out if not given.

    Examples
    --------
    >>> scene = scene_of(0.4, seed=1, site="forearm")
    >>> abs(measure(scene).level - 0.4) < 0.1
    True
    """
    _check_structure(what)
    told = truths.truth(scene) if truth is None else truth
    scale, hairs = _table()["scale"], hairs_per_cm(scene.skin)
    best = None
    for found in structures(told, what):
        bands = bands_near(told, found, scale["near_mm"])
        competing = scale["band"] * bands + scale["hair"] * hairs
        level = level_of(found.ratio, competing)
        order = level, -found.ratio
        if best is None or order < best[0]:
            best = (
                order,
                Difficulty(
                    level=round(level, 4),
                    what=what,
                    structure=found.key,
                    contrast_to_noise=found.ratio,
                    competing=round(competing, 3),
                    bands_near=round(bands, 2),
                    hairs_per_cm=round(hairs, 2),
                    texture_share=scene.skin.texture_share,
                    noise_share=scene.camera.noise_share,
                ),
            )
    if best is None:
        raise NotShownError(f"this picture shows no {what}: its difficulty cannot be measured")
    return best[1]


def _check_structure(what: str) -> None:
    if what not in STRUCTURES:
        raise ValueError(f"no structure is called {what!r}: choose one of {', '.join(STRUCTURES)}")


def scene_of(
    level: float,
    *,
    seed: int | str,
    site: str | None = None,
    kind: str = "vein",
    age_group: str | None = None,
    view: View | None = None,
    person: Anatomy | None = None,
) -> Scene:
    """Return a scene in which the easiest structure of this kind has such a difficulty.

    Persons, how deep their veins lie, skin and hand are drawn by chance; then noise, unevenness
    and hair are turned until the measured difficulty is within 0.05 of that asked for.

    Parameters
    ----------
    level : float
        Difficulty, from 0 to 1 [-]
    seed : int or str
        Fixes all chance [-]
    site : str
        One of `anatomy.SITES`; by chance if not given [-]
    kind : str
        "vein", "valve", "bifurcation" or "artery" [-]
    age_group : str
        Of the person; by chance if not given [-]
    view : View
        Size and coarsest scale of the picture; turn, tilt and middle are drawn [-]
    person : Anatomy
        This person, and no other [-]

    Returns
    -------
    Scene
        Simulated, not clinically validated [-]

    Raises
    ------
    ValueError
        No person that was tried has it; the text says which difficulty is nearest.

    Examples
    --------
    >>> easy, hard = (scene_of(level, seed=2, site="back-of-hand") for level in (0.2, 0.7))
    >>> measure(easy).contrast_to_noise > measure(hard).contrast_to_noise
    True
    """
    asked = {"site": site, "kind": kind, "age_group": age_group, "view": view, "person": person}
    return found(level, seed=seed, **asked).scene


class Found(NamedTuple):
    """A scene of a difficulty asked for, its truth, and the difficulty it has."""

    scene: Scene
    truth: dict[str, Any]
    difficulty: Difficulty


def found(
    level: float,
    *,
    seed: int | str,
    site: str | None = None,
    kind: str = "vein",
    age_group: str | None = None,
    view: View | None = None,
    person: Anatomy | None = None,
    within: float = WITHIN,
    attempts: int = ATTEMPTS,
) -> Found:
    """Return what `scene_of` does with its truth and its difficulty, which it takes to find it.

    Examples
    --------
    >>> some = found(0.5, seed=3, site="forearm")
    >>> some.difficulty == measure(some.scene)
    True
    """
    level = check("scene_difficulty", level)
    _check_structure(kind)
    chance = generator("difficulty", seed)
    if person is not None:
        site = person.site
    usual = _table().get(kind, {})
    if site is None:
        sites = usual.get("sites", SITES)
        site = sites[chance.integers(len(sites))]
    if site not in SITES:
        raise ValueError(f"no site is called {site!r}: choose one of {', '.join(SITES)}")
    ages = age_groups(site)
    if age_group is not None and age_group not in ages:
        raise ValueError(f"{site} has no age group {age_group!r}: choose one of {', '.join(ages)}")
    ages = ages if age_group is None else (age_group,)
    shift, nearest = 0.0, None
    for attempt in range(1 if person is not None else attempts):
        chance = generator("difficulty", seed, site, kind, attempt)
        as_if = level + shift + usual.get("shift", 0.0)
        dials = _drawn(as_if, chance, site, ages, view or View())
        try:
            who = person or _person(site, kind, dials)
            some = _turned(level, functools.partial(dials.scene, who), kind, within)
        except NotShownError:  # by this person, or in this picture
            continue
        reached = some.difficulty.level
        if abs(reached - level) <= within:
            return some
        if nearest is None or abs(reached - level) < abs(nearest - level):
            nearest = reached
        shift = min(max(shift + level - reached, -MOST_SHIFT), MOST_SHIFT)
    where = f"a {kind} of the {site}" + ("" if person is None else " of this person")
    if nearest is None:
        raise ValueError(f"no picture shows {where}: ask for another seed, site or kind")
    raise ValueError(
        f"difficulty {level:g} cannot be met for {where} with seed {seed}: "
        f"the nearest that can be is {nearest:.2f}"
    )


@dataclass(frozen=True)
class _Dials:
    """What is drawn for one person and picture, and how difficult its turning makes it."""

    age_group: str
    seed: int
    deeper: float  # than others, in standard deviations
    thinner: float
    melanin_fraction: float
    hairs_per_cm2: float
    factors: tuple[float, float]
    view: View
    fall_off: float

    def scene(self, who: Anatomy, turned: float) -> Scene:
        """Return the scene with noise, unevenness and hair turned from 0, none, to 1, all."""
        table = _table()["range"]
        noise, texture = (
            factor * low * (high / low) ** turned
            for factor, (low, high) in zip(
                self.factors, (table["noise_share"], table["texture_share"]), strict=True
            )
        )
        hairs = turned * self.hairs_per_cm2
        skin = Skin(
            melanin_fraction=self.melanin_fraction, hairs_per_cm2=hairs, texture_share=texture
        )
        camera = Camera(noise_share=noise, fall_off=self.fall_off)
        shown = surface.drawn(
            who.site,
            who.age_group,
            who.limb,
            seed=self.seed,
            melanin_fraction=self.melanin_fraction,
        )
        return Scene(who, skin, self.view, camera, seed=self.seed, surface=shown)


def _drawn(
    level: float, chance: np.random.Generator, site: str, ages: tuple[str, ...], view: View
) -> _Dials:
    table = _table()["person"]
    age_group = ages[chance.integers(len(ages))]
    melanin = chance.uniform(*np.log(table["melanin_fraction"]))
    hairs = chance.uniform(*table["hairs_per_cm2"]) * (chance.random() < table["hairy_share"])
    spread = _table()["range"]["spread"]
    turn, tilt = (chance.uniform(-1, 1) * table[name] for name in ("turn_deg", "tilt_deg"))
    centre = table["centre_mm"] * chance.uniform(-1, 1, 2)
    return _Dials(
        age_group=age_group,
        seed=int(chance.integers(2**53)),  # 53 bits: whole in every reader of JSON
        deeper=table["depth_by_level"] * (level - 0.5)
        + table["by_chance"] * float(chance.standard_normal()),
        thinner=table["diameter_by_level"] * (level - 0.5)
        + table["by_chance"] * float(chance.standard_normal()),
        melanin_fraction=round(float(np.exp(melanin)), 4),
        hairs_per_cm2=float(hairs) if age_group == "adult" else 0.0,
        factors=tuple(np.exp(spread * chance.uniform(-1, 1, 2)).tolist()),
        view=replace(
            fitting(view, site, age_group),
            turn_deg=round(float(turn), 2),
            tilt_deg=round(abs(float(tilt)), 2),
            tilt_towards_deg=round(float(chance.uniform(0, 360)), 1),
            centre_mm=tuple(np.round(centre, 2).tolist()),
            room_light_share=round(float(chance.uniform(0, table["room_light_share"])), 4),
        ),
        fall_off=round(float(chance.uniform(*table["fall_off"])), 3),
    )


def _person(site: str, kind: str, dials: _Dials) -> Anatomy:
    """Return a person whose veins lie as deep, and are as thin, as the dials say."""
    size = vessel_sizes()[site, dials.age_group, "vein"]
    depth = size.depth_mm + dials.deeper * size.depth_sd_mm
    diameter = size.diameter_mm - dials.thinner * size.diameter_sd_mm
    try:
        return anatomy(
            site,
            seed=dials.seed,
            age_group=dials.age_group,
            artery=True if kind == "artery" else None,
            depth_mm=min(max(depth, size.depth_low_mm), size.depth_high_mm),
            diameter_mm=min(max(diameter, size.diameter_low_mm), size.diameter_high_mm),
        )
    except ValueError as error:  # an artery finds no way between such veins
        raise NotShownError(str(error)) from error


def _smaller(scene: Scene, kind: str) -> Scene:
    """Return the same scene on fewer and larger picture elements, each with less noise.

    And without the valves if they are not asked for: whether each is seen takes long to tell.
    """
    by = max(scene.view.width_px / SEARCH_WIDTH_PX, 1.0)
    view = replace(
        scene.view,
        width_px=round(scene.view.width_px / by),
        height_px=round(scene.view.height_px / by),
        mm_per_px=scene.view.mm_per_px * by,
    )
    camera = replace(scene.camera, noise_share=scene.camera.noise_share / by)
    valves = scene.anatomy.valves if kind == "valve" else ()
    who = replace(scene.anatomy, valves=valves)
    return replace(scene, anatomy=who, view=view, camera=camera)


def _turned(level: float, scene_at: Callable[[float], Scene], kind: str, within: float) -> Found:
    """Return the scene that comes nearest to a difficulty when turned, and what it has."""
    low, high, turned = 0.0, 1.0, level
    best = None
    for _ in range(STEPS):
        scene = scene_at(turned)
        reached = measure(_smaller(scene, kind), kind).level
        if best is None or abs(reached - level) < abs(best[1] - level):
            best = scene, reached
        if abs(reached - level) <= ENOUGH * within:
            break
        low, high = (turned, high) if reached < level else (low, turned)
        if low == high:
            break
        turned = min(max(turned + (level - reached) / RISE, low), high)
        if turned in (low, high) and 0 < turned < 1:
            turned = (low + high) / 2
    scene, _ = best
    told = truths.truth(scene)
    return Found(scene, told, measure(scene, kind, truth=told))
