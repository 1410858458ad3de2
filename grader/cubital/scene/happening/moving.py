"""A vein that moves sideways when it is touched.

Simulated, not clinically validated.
"""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from cubital import calc
from cubital.calc.shared.quantities import check, written
from cubital.scene.anatomy.vessels import Change, Scene, Vessel
from cubital.scene.happening.event import (
    AT_REST,
    Event,
    along,
    by_default,
    finer,
    joining,
    leaving,
    settle_onset,
    usual,
    vein,
)

SIDES = {"left": 1.0, "right": -1.0}  # of one who looks along the flow


def bump(u: np.ndarray) -> np.ndarray:
    """Return a smooth hump: 1 at 0, and 0 from -1 and 1 on.

    Examples
    --------
    >>> bump(np.array([0.0, 0.5, 1.0, 3.0])).round(6).tolist()
    [1.0, 0.5, 0.0, 0.0]
    """
    return (1 + np.cos(np.pi * np.clip(np.abs(u), 0, 1))) / 2


@dataclass(frozen=True)
class Roll(Event):
    """A push to the side shifts a stretch of a vein; it comes back when the push ends.

    The touched place moves by `calc.sideways_shift_mm`, its neighbourhood less, as a raised cosine
    along the vein that ends at the vein's own ends. Veins that join or leave there move along.

    Examples
    --------
    >>> roll = Roll("a", at_mm=30, skin="loose", onset_s=1)
    >>> round(roll.largest_mm, 2)
    2.64
    """

    vessel: str
    at_mm: float
    skin: str = "loose"  # a row of assets/reading/sideways.csv
    side: str = "left"
    onset_s: float | None = None
    push_n: float = by_default("scene-push")
    rise_time_s: float = by_default("scene-push-rise-time")
    hold_time_s: float = by_default("scene-push-hold-time")
    reach_mm: float = by_default("scene-roll-reach")
    kind = "roll"

    def __post_init__(self) -> None:
        settle_onset(self)
        check("vessel_place_mm", self.at_mm)
        check("push_time_s", self.rise_time_s)
        check("hold_time_s", self.hold_time_s)
        check("roll_reach_mm", self.reach_mm)
        if self.side not in SIDES:
            raise ValueError(f"side is {self.side!r}: it must be one of {', '.join(SIDES)}")
        calc.sideways_shift_mm(self.push_n, skin=self.skin)

    @property
    def largest_mm(self) -> float:
        """How far the touched place moves [mm]."""
        return calc.sideways_shift_mm(self.push_n, skin=self.skin)

    def _share(self, time_s: float) -> float:
        """Return the share of the shift at a time: up, held, and back again."""
        since = time_s - self.onset_s
        left = since - self.rise_time_s - self.hold_time_s
        rising = float(bump(1 - np.clip(since / self.rise_time_s, 0, 1)))
        falling = float(bump(np.clip(left / self.rise_time_s, 0, 1)))
        return rising * falling

    def _vein(self, scene: Scene) -> Vessel:
        vessel = vein(scene.anatomy, self.vessel)
        place = along(vessel, self.at_mm, "the touched place")
        clear = usual("scene-roll-clearance")
        if not clear <= place <= vessel.length_mm - clear:
            if vessel.length_mm < 2 * clear:
                nearest = f"none, for this vein is only {vessel.length_mm:.1f} mm long"
            else:
                nearest = f"{np.clip(place, clear, vessel.length_mm - clear):.1f} mm"
            raise ValueError(
                f"the touched place at {written(place)} mm lies less than {written(clear)} mm from "
                f"an end of vein {self.vessel!r}, which stays where it is; nearest: {nearest}"
            )
        return vessel

    def _moved(self, vessel: Vessel, shift_mm: float) -> tuple[Vessel, np.ndarray, np.ndarray]:
        """Return the vein with a stretch of it shifted, and the shift of each point [mm]."""
        drawn = finer(vessel, self.at_mm)
        way = drawn.along_mm
        before = min(self.reach_mm, self.at_mm)
        after = min(self.reach_mm, way[-1] - self.at_mm)
        hump = bump((way - self.at_mm) / np.where(way < self.at_mm, before, after))
        # one direction for the whole stretch, across the line of its ends: no point overtakes
        ends = [self.at_mm - before, self.at_mm + after]
        tx, ty = (float(np.diff(np.interp(ends, way, c))[0]) for c in (drawn.x_mm, drawn.y_mm))
        size = SIDES[self.side] * shift_mm / max(np.hypot(tx, ty), np.finfo(float).tiny)
        # y runs down the picture, so that the left of one who looks along (tx, ty) is (ty, -tx)
        dx, dy = size * ty * hump, -size * tx * hump
        return replace(drawn, x_mm=drawn.x_mm + dx, y_mm=drawn.y_mm + dy), dx, dy

    def change(self, scene: Scene, time_s: float) -> Change:
        """Return the vein where it lies at a time, and the veins that meet it [s]."""
        vessel = self._vein(scene)
        shift = self.largest_mm * self._share(time_s)
        if time_s <= self.onset_s or shift == 0:
            return AT_REST
        moved, dx, dy = self._moved(vessel, shift)
        way = finer(vessel, self.at_mm).along_mm
        found = [moved]
        ends = [(*pair, 1) for pair in joining(scene.anatomy, vessel)]
        ends += [(*pair, 0) for pair in leaving(scene.anatomy, vessel)]
        for place, other, end in ends:
            x, y = (float(np.interp(place, way, column)) for column in (dx, dy))
            if x or y:
                drawn = finer(other)
                reach = min(self.reach_mm, drawn.length_mm)
                tail = bump((end * drawn.length_mm - drawn.along_mm) / reach)
                found.append(replace(drawn, x_mm=drawn.x_mm + x * tail, y_mm=drawn.y_mm + y * tail))
        return Change(vessels=tuple(found))

    def place(self, scene: Scene) -> tuple[float, float]:
        """Return the touched place [mm]."""
        return self._vein(scene).at(self.at_mm)[:2]

    def seen(self) -> str:
        """Say what a person could see."""
        return (
            f"A stretch of the dark band bows {self.largest_mm:.1f} mm to one side, is held there, "
            "and comes back; it is as dark as before."
        )

    def details(self, scene: Scene, times_s: np.ndarray) -> dict[str, Any]:
        """Return shift, side and times, and whether a needle would have missed."""
        diameter = self._vein(scene).at(self.at_mm)[3]
        return {
            "at_mm": float(self.at_mm),
            "shift_mm": self.largest_mm,
            "side": self.side,
            "skin": self.skin,
            "back_s": self.onset_s + 2 * self.rise_time_s + self.hold_time_s,
            "rolls_from_needle": calc.rolls_from_needle(self.largest_mm, vein_diameter_mm=diameter),
        }
