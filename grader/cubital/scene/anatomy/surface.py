"""What the skin itself shows: creases where it folds, tendons that lift it, a mole, a scar, glare.

Each is a line on the skin, drawn by a chance of its own: who has which, and where, depends on site,
age group, limb and the scene's seed, and on nothing that is asked about a picture. What is assumed
stands in `assets/scene/surface.toml`. Simulated, not clinically validated.
"""

import functools
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np

from cubital.scene.anatomy.vessels import Limb, Line, Skin
from cubital.scene.chance import generator
from cubital.tables import files
from cubital.tables.scene import limb_sizes

ADULT_HALF_WIDTH_MM = 40  # of the limbs that lengths are given for
POINTS = 25  # of a line
HARMONICS = np.arange(2, 7)  # of the way a crease wanders, in halves of its length
WANDER_MM = 0.6  # of the slowest of them
MOLE_REACH = 1.5  # times the half of a mole's length: there it has faded away
MOST_MELANIN = 0.5  # in skin with this much melanin no mole would stand out


@functools.cache
def table() -> Mapping[str, Any]:
    """Return what is assumed of the skin's surface, by kind.

    Examples
    --------
    >>> 0 < table()["tendons"]["furrow"] < 1
    True
    """
    return files.asset("scene/surface.toml")


def drawn(
    site: str,
    age_group: str,
    limb: Limb,
    *,
    seed: int,
    melanin_fraction: float = Skin.melanin_fraction,
) -> tuple[Line, ...]:
    """Return what the skin of a site shows, the same for the same seed.

    Examples
    --------
    >>> found = drawn("elbow-crease", "adult", Limb(47.0), seed=1)
    >>> "crease" in {line.kind for line in found}
    True
    """
    who = site, age_group, seed
    half_length_mm = limb_sizes()[site, age_group].half_length_mm
    return (
        *_tendons(who, limb, half_length_mm),
        *_creases(who, limb, half_length_mm),
        *_knuckles(who, limb, half_length_mm),
        *_single(who, limb, half_length_mm, melanin_fraction),
    )


def _scale(limb: Limb) -> float:
    """Return how large a limb is over an adult's."""
    return limb.half_width_mm / ADULT_HALF_WIDTH_MM


def _wandering(chance: np.random.Generator, share: np.ndarray) -> np.ndarray:
    """Return an uneven curve along a line: its slowest part swings by about 1 [-]."""
    sizes = chance.standard_normal(len(HARMONICS)) * HARMONICS[0] / HARMONICS
    return np.sin(np.pi * share[:, None] * HARMONICS) @ sizes


def _line(kind: str, x: np.ndarray, y: np.ndarray, strength: np.ndarray, spread: float) -> Line:
    columns = (tuple(np.asarray(values, float).tolist()) for values in (x, y, strength))
    return Line(kind, *columns, float(spread))


def _crease(
    chance: np.random.Generator,
    middle: tuple[float, float],
    length_mm: float,
    *,
    bow_mm: float,
    darkness: float,
    spread_mm: float,
) -> Line:
    """Return a crease across the limb that fades to both ends."""
    share = np.linspace(0, 1, POINTS)
    wander = min(WANDER_MM, length_mm / 100)  # a short one wanders less
    aslant = np.tan(np.radians(chance.uniform(-6, 6)))
    along = length_mm * (share - 0.5)
    x = middle[0] + along
    y = middle[1] + aslant * along + bow_mm * (1 - (2 * share - 1) ** 2)
    y = y + wander * _wandering(chance, share)
    uneven = np.clip(1 + 0.35 * _wandering(chance, share), 0.3, 1.5)
    return _line("crease", x, y, darkness * uneven * (1 - (2 * share - 1) ** 4), spread_mm)


def _creases(who: tuple[str, str, int], limb: Limb, half_length_mm: float) -> Iterator[Line]:
    """Return the creases across a site."""
    site, age_group, _ = who
    for row in table()["crease"]:
        if row["site"] != site or age_group not in row["ages"]:
            continue
        chance = generator("creases", *who)
        if chance.random() >= row["shown"]:
            continue
        scale = _scale(limb)
        y = chance.uniform(*row["at"]) * half_length_mm
        way = -1.0 if chance.random() < 0.5 else 1.0  # all bow the same way
        faint = 1.0
        for _ in range(int(chance.integers(row["number"][0], row["number"][1] + 1))):
            half = float(limb.half_width_at_mm(y))
            length = 2 * half * chance.uniform(*row["across"])
            yield _crease(
                chance,
                (0.25 * (2 * half - length) * chance.uniform(-1, 1), y),
                length,
                bow_mm=way * scale * chance.uniform(*row["bow_mm"]),
                darkness=faint * chance.uniform(*row["darkness"]),
                spread_mm=np.sqrt(scale) * chance.uniform(*row["spread_mm"]),
            )
            y += scale * chance.uniform(*row["apart_mm"])
            faint = chance.uniform(0.4, 0.8)  # of the main one's darkness


def _knuckles(who: tuple[str, str, int], limb: Limb, half_length_mm: float) -> Iterator[Line]:
    """Return the short creases over the knuckles."""
    site, age_group, _ = who
    row = table()["knuckles"]
    chance = generator("knuckles", *who)
    if site != row["site"] or chance.random() >= row["shown"][age_group]:
        return
    scale, bent = _scale(limb), chance.uniform(*row["darkness"])
    for beside in row["beside"]:
        # the middle fingers' knuckles lie farther on
        y = (chance.uniform(*row["at"]) - 0.1 * beside**2) * half_length_mm
        x = (beside + 0.04 * chance.uniform(-1, 1)) * float(limb.half_width_at_mm(y))
        length = scale * chance.uniform(*row["length_mm"])
        for _ in range(int(chance.integers(row["number"][0], row["number"][1] + 1))):
            yield _crease(
                chance,
                (x, y),
                length * chance.uniform(0.6, 1),
                bow_mm=scale * chance.uniform(-1, 1),
                darkness=bent * chance.uniform(0.5, 1),
                spread_mm=np.sqrt(scale) * chance.uniform(*row["spread_mm"]),
            )
            y += scale * chance.uniform(*row["apart_mm"])


def _tendons(who: tuple[str, str, int], limb: Limb, half_length_mm: float) -> Iterator[Line]:
    """Return the tendons of the back of the hand."""
    site, age_group, _ = who
    row = table()["tendons"]
    chance = generator("tendons", *who)
    if site != row["site"] or chance.random() >= row["shown"][age_group]:
        return
    share = np.linspace(0, 1, POINTS)
    scale, lightness = _scale(limb), chance.uniform(*row["lightness"])
    mirrored = -1.0 if chance.random() < 0.5 else 1.0  # a right hand or a left one
    lean = 0.05 * chance.uniform(-1, 1)
    ends = [at * half_length_mm for at in row["at"]]
    half = [float(limb.half_width_at_mm(y)) for y in ends]
    for wrist, knuckle in zip(*row["beside"], strict=True):
        places = (wrist, knuckle + 0.04 * chance.uniform(-1, 1))
        x = [mirrored * (place + lean) * wide for place, wide in zip(places, half, strict=True)]
        bow = scale * row["bow_mm"] * chance.uniform(-1, 1)
        # under the band of the wrist and at the knuckle it lifts no skin
        rises = np.clip((share - chance.uniform(0.05, 0.25)) / 0.3, 0, 1)
        falls = np.clip((chance.uniform(0.85, 1) - share) / 0.2, 0, 1)
        lifted = (rises**2 * (3 - 2 * rises)) * (falls**2 * (3 - 2 * falls))
        yield _line(
            "tendon",
            x[0] + (x[1] - x[0]) * share + bow * np.sin(np.pi * share),
            ends[0] + (ends[1] - ends[0]) * share,
            lightness * chance.uniform(0.5, 1) * lifted,
            scale * chance.uniform(*row["spread_mm"]),
        )


def _single(
    who: tuple[str, str, int], limb: Limb, half_length_mm: float, melanin_fraction: float
) -> Iterator[Line]:
    """Return a mole, a scar or glare, or none of them."""
    _, age_group, _ = who
    chance = generator("on the skin", *who)
    left = chance.random()
    for kind in ("mole", "scar", "glare"):
        left -= table()[kind]["shown"][age_group]
        if left < 0:
            break
    else:
        return
    row = table()[kind]
    y = row["along"] * half_length_mm * chance.uniform(-1, 1)
    x = row["beside"] * float(limb.half_width_at_mm(y)) * chance.uniform(-1, 1)
    if kind == "mole":
        yield _mole(chance, x, y, _scale(limb), 1 - melanin_fraction / MOST_MELANIN)
    elif kind == "scar":
        yield _scar(chance, x, y, _scale(limb))
    else:
        yield _glare(chance, x, y, _scale(limb))


def _mole(chance: np.random.Generator, x: float, y: float, scale: float, shown: float) -> Line:
    """Return a mole: a short wide line along its longer way, a little bent."""
    row = table()["mole"]
    half = np.sqrt(scale) * chance.uniform(*row["length_mm"]) / 2
    narrow, turn = chance.uniform(*row["narrow"]), chance.uniform(0, np.pi)
    share = np.linspace(-MOLE_REACH, MOLE_REACH, POINTS)
    bent = half * 0.08 * np.sin(3 * share + chance.uniform(0, 2 * np.pi))
    return _line(
        "mole",
        x + half * share * np.cos(turn) - bent * np.sin(turn),
        y + half * share * np.sin(turn) + bent * np.cos(turn),
        np.full(POINTS, chance.uniform(*row["darkness"]) * shown),
        half * narrow,
    )


def _scar(chance: np.random.Generator, x: float, y: float, scale: float) -> Line:
    """Return an old scar, in any direction, that fades to its ends."""
    row = table()["scar"]
    turn, share = chance.uniform(0, np.pi), np.linspace(-1, 1, POINTS)
    along = scale * chance.uniform(*row["length_mm"]) / 2 * share
    bow = scale * row["bow_mm"] * chance.uniform(-1, 1) * (1 - share**2)
    bow += 0.4 * scale * _wandering(chance, (share + 1) / 2)
    uneven = np.clip(1 + 0.5 * _wandering(chance, (share + 1) / 2), 0.2, 1.4)
    return _line(
        "scar",
        x + along * np.cos(turn) - bow * np.sin(turn),
        y + along * np.sin(turn) + bow * np.cos(turn),
        chance.uniform(*row["lightness"]) * uneven * (1 - share**2),
        chance.uniform(*row["spread_mm"]),
    )


def _glare(chance: np.random.Generator, x: float, y: float, scale: float) -> Line:
    """Return glare along the crest of the limb, brightest in its middle."""
    row = table()["glare"]
    share = np.linspace(-1, 1, POINTS)
    half = scale * chance.uniform(*row["length_mm"]) / 2
    lean = 0.1 * chance.uniform(-1, 1)
    sheen = chance.uniform(*row["sheen"]) * (1 - share**2) ** 2
    spread = scale * chance.uniform(*row["spread_mm"])
    return _line("glare", x + lean * half * share, y + half * share, sheen, spread)
