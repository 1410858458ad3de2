"""What leaks from a vein: an infiltration, seen or unseen, and a haematoma.

Simulated, not clinically validated.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from cubital import calc
from cubital.calc.shared.quantities import check, written
from cubital.calc.shared.units import SECONDS_PER_MINUTE
from cubital.scene.anatomy.vessels import BloodPool, Change, Scene, Swelling
from cubital.scene.chance import generator
from cubital.scene.happening.event import (
    AT_REST,
    Event,
    along,
    by_default,
    settle_onset,
    usual,
    vein,
)

SECONDS_PER_HOUR = 3600
WHY_UNSEEN = {
    "deep": "the fluid lies deep under the veins and lifts skin and veins together",
    "loose tissue": "loose tissue spreads the fluid thin, far and wide",
    "small": "so little has leaked that the tissue takes it in",
}
LEAST_RADIUS_MM = 0.5  # drawing: less is not drawn
# A dome with smooth skirts of the same volume and height as half an ellipsoid is wider by this, and
# a lens with a sharp rim by this: 1/3 and 1/2 of base times height, not 2/3.
DOME_RADII = float(np.sqrt(2))
LENS_RADII = float(np.sqrt(4 / 3))
# drawing: a pool is no disc, but a middle and lobes, by share of the volume and way from the middle
LOBES, LOBE_SHARE, LOBE_AWAY = 5, 0.12, 0.3
NO_PICTURE_RULES_OUT = (
    "No change is to be seen, and yet fluid leaks: no picture rules out an infiltration. Stop, "
    "feel, compare with the other side and ask the patient."
)


class _Leak(Event):
    """Something that leaks from a place of a vein."""

    at_mm: float

    def place(self, scene: Scene) -> tuple[float, float]:
        """Return where it leaks [mm]."""
        return self._spot(scene)[:2]

    def _spot(self, scene: Scene) -> tuple[float, float, float, float]:
        vessel = vein(scene.anatomy, self.vessel)
        return vessel.at(along(vessel, self.at_mm, "the leak"))

    def volume_ml(self, time_s: float) -> float:
        """Return what has leaked until a time [mL]."""
        raise NotImplementedError


class _FluidLeak(_Leak):
    """Infusion that runs beside the vein, at a steady rate."""

    interval_key = "scene-infiltration-interval"
    kind = "infiltration"
    rate_ml_per_h: float
    outside_share: float

    def _check(self) -> None:
        settle_onset(self)
        check("vessel_place_mm", self.at_mm)
        check("rate_ml_per_h", self.rate_ml_per_h)
        check("outside_share", self.outside_share)

    def volume_ml(self, time_s: float) -> float:
        """Return the fluid outside the vein at a time [mL]."""
        hours = max(time_s - self.onset_s, 0) / SECONDS_PER_HOUR
        # steady, so that what leaks in one hour gives any time, also the first seconds
        return hours * calc.infiltrated_volume_ml(
            self.rate_ml_per_h, time_h=1, outside_share=self.outside_share
        )

    def details(self, scene: Scene, times_s: np.ndarray) -> dict[str, Any]:
        """Return the rate, and what has leaked by the last frame."""
        return {
            "at_mm": float(self.at_mm),
            "rate_ml_per_h": self.rate_ml_per_h,
            "outside_share": self.outside_share,
            "volume_at_end_ml": self.volume_ml(float(times_s[-1])),
        }


@dataclass(frozen=True)
class Infiltration(_FluidLeak):
    """Infusion leaks under the skin: a swelling grows, and the vein beneath fades.

    As wide and as high as half an ellipsoid that holds what has leaked
    (`calc.swelling_diameter_mm`); drawn as a dome with smooth skirts of that volume and height.

    Examples
    --------
    >>> leak = Infiltration("a", at_mm=20, rate_ml_per_h=60, onset_s=0)
    >>> leak.volume_ml(600)
    10.0
    """

    vessel: str
    at_mm: float
    onset_s: float | None = None
    rate_ml_per_h: float = by_default("scene-infiltration-rate")
    outside_share: float = 1.0
    height_share: float = by_default("swelling-height-share")

    def __post_init__(self) -> None:
        self._check()
        check("height_share", self.height_share)

    def diameter_mm(self, time_s: float) -> float:
        """Return the diameter of the swelling at a time [mm]."""
        # alike in shape at every volume, so that one millilitre gives also the first drops
        one = calc.swelling_diameter_mm(1, height_share=self.height_share)
        return one * float(np.cbrt(self.volume_ml(time_s)))

    def change(self, scene: Scene, time_s: float) -> Change:
        """Return the swelling at a time [s]."""
        x_mm, y_mm, *_ = self._spot(scene)
        diameter = self.diameter_mm(time_s)
        radius = DOME_RADII * diameter / 2
        if radius < LEAST_RADIUS_MM:
            return AT_REST
        rise = self.height_share * diameter
        return Change(swellings=(Swelling(x_mm, y_mm, radius, rise),))

    def seen(self) -> str:
        """Say what a person could see."""
        return (
            "Around the leak the dark bands slowly fade and blur, then vanish, within a patch that "
            "grows; elsewhere they stay as they were."
        )

    def details(self, scene: Scene, times_s: np.ndarray) -> dict[str, Any]:
        """Return the rate, and volume, width and height of the swelling at the last frame."""
        diameter = self.diameter_mm(float(times_s[-1]))
        return super().details(scene, times_s) | {
            "diameter_at_end_mm": diameter,
            "rise_at_end_mm": diameter * self.height_share,
        }


@dataclass(frozen=True)
class UnseenInfiltration(_FluidLeak):
    """Infusion leaks, and no frame shows it: no picture rules out an infiltration.

    Examples
    --------
    >>> UnseenInfiltration("a", at_mm=20, why="deep", onset_s=0).picture_changes
    False
    """

    vessel: str
    at_mm: float
    why: str = "deep"
    onset_s: float | None = None
    rate_ml_per_h: float = by_default("scene-infiltration-rate")
    outside_share: float = 1.0
    picture_changes = False

    def __post_init__(self) -> None:
        self._check()
        if self.why not in WHY_UNSEEN:
            raise ValueError(f"why is {self.why!r}: it must be one of {', '.join(WHY_UNSEEN)}")

    def change(self, scene: Scene, time_s: float) -> Change:
        """Return no change, whatever the time [s]."""
        self._spot(scene)
        return AT_REST

    def seen(self) -> str:
        """Say that nothing is to be seen, and what that means."""
        return NO_PICTURE_RULES_OUT

    def details(self, scene: Scene, times_s: np.ndarray) -> dict[str, Any]:
        """Return the rate, what has leaked by the last frame, and why it is not seen."""
        why = {"why": self.why, "why_unseen": WHY_UNSEEN[self.why]}
        return super().details(scene, times_s) | why

    def verify(self, scene: Scene, times_s: np.ndarray) -> None:
        """Raise ValueError if a small leak is not small by the end, with the largest that is."""
        super().verify(scene, times_s)
        most, last = usual("scene-unseen-small-volume"), float(times_s[-1])
        volume = self.volume_ml(last)
        if self.why == "small" and volume > most:
            rate = self.rate_ml_per_h * most / volume
            raise ValueError(
                f"{volume:.2g} mL leak by the end of the series: not seen as small up to "
                f"{written(most)} mL; nearest: a rate of {rate:.2g} mL/h"
            )


@dataclass(frozen=True)
class Haematoma(_Leak):
    """Blood leaks from a vein and gathers over it: a dark patch grows, fast and then slower.

    Ellipsoids that together hold what has leaked (`calc.haematoma_volume_ml`); drawn as lenses of
    those volumes and heights, at the depth of the vein's upper wall.

    Examples
    --------
    >>> leak = Haematoma("a", at_mm=20, onset_s=0)
    >>> round(leak.volume_ml(60), 2)
    0.75
    """

    vessel: str
    at_mm: float
    onset_s: float | None = None
    vein_pressure_mmhg: float = by_default("scene-haematoma-pressure")
    pressed_after_min: float | None = None
    height_share: float = by_default("scene-haematoma-height-share")
    kind = "haematoma"
    interval_key = "scene-haematoma-interval"

    def __post_init__(self) -> None:
        settle_onset(self)
        check("vessel_place_mm", self.at_mm)
        check("height_share", self.height_share)
        self.volume_ml(self.onset_s)

    def volume_ml(self, time_s: float) -> float:
        """Return the blood outside the vein at a time [mL]."""
        return calc.haematoma_volume_ml(
            max(time_s - self.onset_s, 0) / SECONDS_PER_MINUTE,
            vein_pressure_mmhg=self.vein_pressure_mmhg,
            pressed_after_min=self.pressed_after_min,
        )

    def diameter_mm(self, time_s: float) -> float:
        """Return the diameter of the pool of blood at a time [mm]."""
        # a whole ellipsoid of thickness s * d holds as much as half of one of height s * d
        one = calc.swelling_diameter_mm(1, height_share=self.height_share)
        return one * float(np.cbrt(self.volume_ml(time_s)))

    def change(self, scene: Scene, time_s: float) -> Change:
        """Return the pools of blood at a time [s]."""
        x_mm, y_mm, depth_mm, _ = self._spot(scene)
        whole = self.diameter_mm(time_s)
        place = round(self.at_mm, 6)  # its last digit goes by the machine
        chance = generator("haematoma", scene.seed, self.vessel, place)
        turns = 2 * np.pi * (np.arange(LOBES) + chance.random(LOBES)) / LOBES
        away = LOBE_AWAY * whole * chance.uniform(0.5, 1.5, LOBES)  # drawing: no two alike
        places = [(x_mm, y_mm, 1 - LOBES * LOBE_SHARE)]
        for way, turn in zip(away, turns, strict=True):
            places.append((x_mm + way * np.cos(turn), y_mm + way * np.sin(turn), LOBE_SHARE))
        found = []
        for x, y, share in places:
            diameter = whole * float(np.cbrt(share))
            radius = LENS_RADII * diameter / 2
            if radius >= LEAST_RADIUS_MM:
                thickness = self.height_share * diameter
                found.append(BloodPool(float(x), float(y), radius, depth_mm, thickness))
        return Change(pools=tuple(found)) if found else AT_REST

    def seen(self) -> str:
        """Say what a person could see."""
        return (
            "A dark patch without sharp edges appears at the leak, hides the dark band beneath it "
            "and grows, fast and then slower."
        )

    def details(self, scene: Scene, times_s: np.ndarray) -> dict[str, Any]:
        """Return pressure, and volume and width of the pool at the last frame."""
        last = float(times_s[-1])
        return {
            "at_mm": float(self.at_mm),
            "vein_pressure_mmhg": self.vein_pressure_mmhg,
            "pressed_after_min": self.pressed_after_min,
            "volume_at_end_ml": self.volume_ml(last),
            "diameter_at_end_mm": self.diameter_mm(last),
        }
