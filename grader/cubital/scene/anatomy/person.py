"""The vessels of a site of one simulated person, drawn from a seed.

Simulated, not clinically validated. Which figures are published and which are assumed stands in
`assets/scene/sizes.csv`, `scene/limbs.csv`, `scene/patterns.csv` and
`scene/constants.toml`, on each row.
"""

import operator
from dataclasses import replace

import numpy as np

from cubital import tables
from cubital.calc.shared.quantities import check
from cubital.scene.anatomy import arteries, filling, limbs
from cubital.scene.anatomy.branching import Course, Growing
from cubital.scene.anatomy.patterns import GROW
from cubital.scene.anatomy.valves import place_valves
from cubital.scene.anatomy.vessels import Anatomy, Confluence, Vessel
from cubital.scene.chance import generator
from cubital.tables.scene import VesselSize, limb_sizes, patterns, vessel_sizes

SITES = ("forearm", "back-of-hand", "elbow-crease", "foot-of-infant")
AGE_GROUPS = ("adult", "child", "infant")
SHALLOWER = (1.0, 0.8, 0.6, 0.45, 0.3, 0.2)  # tried in turn until a wanted artery passes below


def age_groups(site: str) -> tuple[str, ...]:
    """Return the age groups a site has, the usual one first.

    Examples
    --------
    >>> age_groups("foot-of-infant")
    ('infant',)
    """
    if site not in SITES:
        raise ValueError(f"no site is called {site!r}: choose one of {', '.join(SITES)}")
    return tuple(age for age in AGE_GROUPS if (site, age) in limb_sizes())


def _whole(words: str, value: int) -> int:
    try:
        if not isinstance(value, bool):
            return operator.index(value)
    except TypeError:
        pass
    raise ValueError(f"{words} is {value!r}: it must be a whole number")


def _confluences(courses: dict[str, Course]) -> tuple[Confluence, ...]:
    found = []
    for course in courses.values():
        ends = (course.into, course.points[-1]), (course.out_of, course.points[0])
        found += [Confluence(*map(float, p), course.key, host) for host, p in ends if host]
    return tuple(found)


def _vessels(
    courses: dict[str, Course], depth: dict[str, np.ndarray], diameter: dict[str, np.ndarray]
) -> tuple[Vessel, ...]:
    return tuple(
        Vessel(
            key, "vein", c.points[:, 0].copy(), c.points[:, 1].copy(), depth[key], diameter[key],
            into=c.into, out_of=c.out_of,
        )
        for key, c in courses.items()
    )  # fmt: skip


def _pattern(rng: np.random.Generator, site: str) -> str:
    rows = patterns(site)
    shares = np.array([row.share for row in rows])
    return rows[int(rng.choice(len(rows), p=shares / shares.sum()))].pattern


def _depths(
    grow: Growing, size: VesselSize, who: tuple, depth_mm: float | None, factor: float
) -> dict[str, np.ndarray]:
    """Return the depths along the veins; `factor` makes a person's own depth less."""
    rng = generator("depth", *who)
    between = tables.constant("vein_to_vein_share").value
    drawn_mm, spread = filling.drawn(rng, size.depth_mm, size.depth_sd_mm, between)
    main_mm = max(factor * (depth_mm or drawn_mm), size.depth_low_mm)
    blend_mm = 0.35 * grow.wide
    return filling.depths(rng, grow.courses, main_mm, spread, size=size, blend_mm=blend_mm)


def anatomy(
    site: str,
    *,
    seed: int,
    age_group: str | None = None,
    artery: bool | None = None,
    valves: int | None = None,
    valve_in_segment_mm: float | None = None,
    least_segment_mm: float | None = None,
    depth_mm: float | None = None,
    diameter_mm: float | None = None,
) -> Anatomy:
    """Return a plausible pattern of superficial veins; the same seed gives the same person.

    Parameters
    ----------
    site : str
        One of `SITES` [-]
    seed : int
        Which person [-]
    age_group : str
        "adult", "child" or "infant"; adult if not given, infant for the foot [-]
    artery : bool
        With or without a superficial artery; by chance if not given. With one, veins that it
        cannot pass below lie less deep [-]
    valves : int
        How many valves; by chance if not given [-]
    valve_in_segment_mm : float
        One valve stands in a segment this long, within a tenth [mm]
    least_segment_mm : float
        One valve stands in a segment at least this long [mm]
    depth_mm, diameter_mm : float
        This person's usual depth and diameter of a main vein; drawn if not given [mm]

    Returns
    -------
    Anatomy
        Veins run towards the heart, an artery away from it [mm]

    Raises
    ------
    ValueError
        What is asked cannot be had; the text says what is nearest.

    Examples
    --------
    >>> person = anatomy("forearm", seed=3, valves=4)
    >>> len(person.valves), person.vessels[0].key
    (4, 'cephalic')
    """
    ages = age_groups(site)
    age_group = ages[0] if age_group is None else age_group
    if age_group not in ages:
        raise ValueError(f"{site} has no age group {age_group!r}: choose one of {', '.join(ages)}")
    seed = _whole("seed", seed)
    if valves is not None:
        check("valve_count", valves)
        valves = _whole("number of valves", valves)
    for length in (valve_in_segment_mm, least_segment_mm):
        if length is not None:
            check("vein_segment_mm", length)
    limb_size, size = limb_sizes()[site, age_group], vessel_sizes()[site, age_group, "vein"]
    for words, value, low, high in (
        ("depth of a main vein", depth_mm, size.depth_low_mm, size.depth_high_mm),
        ("diameter of a main vein", diameter_mm, size.diameter_low_mm, size.diameter_high_mm),
    ):
        if value is not None and not low <= value <= high:
            allowed = f"it must be from {low:g} to {high:g} mm"
            raise ValueError(f"{words} is {value:g} mm: {allowed}")

    who = "anatomy", site, age_group, seed
    rng = generator(*who)
    limb = limbs.limb(rng, limb_size)
    wobble = tables.constant("vein_tortuosity").value * rng.uniform(0.5, 1.6)
    grow = Growing(rng, limb, limb_size.half_length_mm, limb_size.gap_mm, wobble=wobble)
    GROW[site](grow, _pattern(rng, site), 1.0 if rng.random() < 0.5 else -1.0)

    rng = generator("sizes", *who)
    drawn_mm, _ = filling.drawn(rng, size.diameter_mm, size.diameter_sd_mm, 0.0)
    diameter = filling.diameters(rng, grow.courses, diameter_mm or drawn_mm, size)
    wanted = generator("artery", *who).random() < tables.constant("superficial_artery_share").value
    shallower = SHALLOWER if artery and depth_mm is None else (1.0,)
    for factor in shallower:
        depth = _depths(grow, size, who, depth_mm, factor)
        veins = _vessels(grow.courses, depth, diameter)
        vessels = veins
        if artery or (artery is None and wanted):
            row = vessel_sizes()[site, age_group, "artery"]
            found = arteries.artery(generator("artery way", *who), limb, veins, limb_size, row)
            vessels = veins if found is None else (*veins, found)
        if not artery or len(vessels) > len(veins):
            break
    else:
        raise ValueError(
            f"no artery finds its way between and below the veins of the {site} with seed {seed}: "
            "ask for another seed, for shallower veins by depth_mm, or for artery=False"
        )
    found = Anatomy(site, age_group, seed, limb, vessels, (), _confluences(grow.courses))
    chosen = place_valves(
        generator("valves", *who),
        found,
        count=valves,
        segment_mm=valve_in_segment_mm,
        least_segment_mm=least_segment_mm,
    )
    return replace(found, valves=chosen)
