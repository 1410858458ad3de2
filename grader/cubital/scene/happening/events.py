"""The events of series by name, and a choice of one that suits a scene.

A pulse is not among them: see `PULSE`. Simulated, not clinically validated.
"""

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from cubital import calc, tables
from cubital.scene.anatomy.vessels import Change, Scene, Vessel
from cubital.scene.chance import generator
from cubital.scene.happening.event import AT_REST, Event, joining, usual
from cubital.scene.happening.flushing import Flush
from cubital.scene.happening.leaking import WHY_UNSEEN, Haematoma, Infiltration, UnseenInfiltration
from cubital.scene.happening.moving import SIDES, Roll
from cubital.scene.happening.refilling import Refill
from cubital.scene.light import geometry

PULSE = (
    "An artery's pulse is not drawn: it changes the width of a small artery by a few parts in a "
    "hundred, and the darkness of its band by less than the noise of a pixel. That nothing beats "
    "in the frames does not make a band a vein: feel for a pulse."
)
# what is other in an infant, by the constants that tell it
INFANT = {
    "flush": {
        "volume_ml": "scene-flush-volume-infant",
        "rate_ml_per_min": "scene-flush-rate-infant",
    },
    "infiltration": {"rate_ml_per_h": "scene-infiltration-rate-infant"},
    "infiltration-unseen": {"rate_ml_per_h": "scene-infiltration-rate-infant"},
}
USUAL_FRAMES = 40  # of a series, for which a refill is drawn
MARGIN_PX = 40  # an event is not put at the picture's very edge
MARGIN_MM = 16  # nor that far from it, where a pixel shows much skin


@dataclass(frozen=True)
class Nothing(Event):
    """Nothing happens: noise, the slight movement of the hand and of the light, as in all series.

    Examples
    --------
    >>> Nothing().picture_changes
    False
    """

    onset_s = None
    vessel = None
    kind = "nothing"
    picture_changes = False

    def change(self, scene: Scene, time_s: float) -> Change:
        """Return no change."""
        return AT_REST

    def place(self, scene: Scene) -> tuple[None, None]:
        """Return no place."""
        return None, None

    def seen(self) -> str:
        """Say that nothing happens."""
        return "No band changes; the picture only stirs and flickers a little, as by hand it does."


EVENTS: dict[str, type[Event]] = {
    "refill": Refill,
    "flush": Flush,
    "roll": Roll,
    "infiltration": Infiltration,
    "infiltration-unseen": UnseenInfiltration,
    "haematoma": Haematoma,
    "nothing": Nothing,
}


def _in_view(scene: Scene, vessel: Vessel) -> np.ndarray:
    """Return which points of a vessel lie well within the picture."""
    view = scene.view
    column, row = geometry.to_picture(view, vessel.x_mm, vessel.y_mm)
    margin = min(MARGIN_PX, MARGIN_MM / view.mm_per_px)
    inside = (column >= margin) & (column <= view.width_px - 1 - margin)
    return inside & (row >= margin) & (row <= view.height_px - 1 - margin)


def _contrast(scene: Scene, vessel: Vessel) -> np.ndarray:
    """Return how dark each point of a vein is, as the fits tell it within their range."""
    ranges = (tables.limits()[key] for key in ("upper_wall_depth_mm", "lumen_diameter_mm"))
    depth, diameter = (
        np.clip(column, limit.low, limit.high)
        for column, limit in zip((vessel.depth_mm, vessel.diameter_mm), ranges, strict=True)
    )
    return calc.skin_vein_contrast(
        depth,
        lumen_diameter_mm=diameter,
        picture_wavelength_nm=scene.skin.wavelength_nm,
        epidermal_melanin_fraction=scene.skin.melanin_fraction,
    )


def _spots(scene: Scene, clear_mm: float) -> list[tuple[Vessel, float]]:
    """Return places on veins in view that are at least half as dark as the darkest of them."""
    found = []
    for vessel in scene.anatomy.vessels:
        if vessel.kind != "vein":
            continue
        way = vessel.along_mm
        good = _in_view(scene, vessel) & (way >= clear_mm) & (way <= way[-1] - clear_mm)
        found += zip(way[good], _contrast(scene, vessel)[good], [vessel] * good.sum(), strict=True)
    if not found:
        raise ValueError(
            f"no vein of this scene has a place in view {clear_mm:g} mm from its ends: "
            "choose another seed, or a view that is wider"
        )
    least = max(dark for _, dark, _ in found) / 2
    return [(vessel, float(place)) for place, dark, vessel in found if dark >= least]


def _stretches(scene: Scene) -> list[tuple[float, Vessel, float, float]]:
    """Return stretches to stroke: length held empty, vein, finger, end of the stroke [mm].

    The stroke ends half-way to the next valve above, or at the last point in view. A vein that
    joins fills what lies between its mouth and the next valve below: so the finger is put above
    the last mouth, or else as low as a valve below that mouth lets it.
    """
    found = []
    for vessel in scene.anatomy.vessels:
        if vessel.kind != "vein":
            continue
        valves = sorted(v.along_mm for v in scene.anatomy.valves if v.vessel == vessel.key)
        mouths = [place for place, _ in joining(scene.anatomy, vessel)]
        way, inside = vessel.along_mm, _in_view(scene, vessel)
        for top, above in pairwise([*valves, np.inf]):
            below, beyond = inside & (way < top), inside & (way >= top)
            if not (below.any() and beyond.any()):
                continue
            end = min(float(way[beyond].max()), (top + above) / 2)
            held = [top, *(v for v in valves if any(v < mouth < top for mouth in mouths))]
            for stop in held:
                under = [place for place in mouths if place < stop]
                finger = max([float(way[below].min()), *under])
                found.append((stop - finger, vessel, finger, end))
    return found


def _refill(scene: Scene, chance: np.random.Generator, settings: dict[str, Any]) -> Refill:
    """Return a refill that can be followed, on a dark vein and rather a long stretch of it."""
    least = usual("scene-shortest-emptied")
    found = _stretches(scene)
    fit = [row for row in found if row[0] >= least]
    if not fit:
        longest = max((row[0] for row in found), default=0)
        raise ValueError(
            f"no vein of this scene can be held empty in view for {least:g} mm below a valve: the "
            f"longest such stretch is {longest:.1f} mm; choose another seed or more valves"
        )
    dark = []
    for length, vessel, finger, _ in fit:
        held = (vessel.along_mm >= finger) & (vessel.along_mm <= finger + length)
        dark.append(float(_contrast(scene, vessel)[held].mean()))
    fit = [row for row, contrast in zip(fit, dark, strict=True) if contrast >= max(dark) / 2]
    lengths = np.array([row[0] for row in fit])
    order = chance.choice(len(fit), len(fit), replace=False, p=lengths / lengths.sum())
    times, refused = np.arange(USUAL_FRAMES) * Refill.usual_interval_s(), None
    for _, vessel, finger, end in (fit[number] for number in order):
        where = {"vessel": vessel.key, "finger_mm": finger, "stroked_to_mm": end}
        event = Refill(**where | settings)
        try:
            event.verify(scene, times)
        except ValueError as error:
            refused = error
        else:
            return event
    raise ValueError(f"no refill of this scene can be followed: {refused}; choose another seed")


def drawn(kind: str, scene: Scene, *, seed: int = 0, **settings: Any) -> Event:
    """Return an event of this kind at a place and time that suit it, by chance from the seed.

    Settings, such as `onset_s`, replace what chance gives.

    Examples
    --------
    >>> drawn("nothing", scene=None).kind
    'nothing'
    """
    if kind not in EVENTS:
        raise ValueError(f"no event is called {kind!r}: there are {', '.join(EVENTS)}")
    if kind == "nothing":
        return Nothing()
    chance = generator("event", kind, scene.seed, seed)
    before = tables.constant("scene-frames-before")
    frames = int(chance.integers(before.low, before.high + 1))
    usually: dict[str, Any] = {"onset_s": EVENTS[kind].usual_interval_s() * frames}
    if scene.anatomy.age_group == "infant":
        usually |= {name: float(usual(key)) for name, key in INFANT.get(kind, {}).items()}
    settings = usually | settings
    if kind == "refill":
        return _refill(scene, chance, settings)
    spots = _spots(scene, usual("scene-roll-reach") if kind == "roll" else 1)
    vessel, place = spots[chance.integers(len(spots))]
    where: dict[str, Any] = {"vessel": vessel.key}
    where["tip_mm" if kind == "flush" else "at_mm"] = place
    if kind == "roll":
        where["side"] = str(chance.choice(list(SIDES)))
    if kind == "infiltration-unseen":
        where["why"] = str(chance.choice([why for why in WHY_UNSEEN if why != "small"]))
    return EVENTS[kind](**where | settings)
