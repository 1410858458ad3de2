"""Clear fluid pushed through a catheter: it takes the blood's place downstream, then blood returns.

Simulated, not clinically validated.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from cubital import calc
from cubital.calc.quantities import check
from cubital.calc.units import MM3_PER_ML, SECONDS_PER_MINUTE
from cubital.scene.happening import (
    AT_REST,
    Event,
    along,
    area_mm2,
    by_default,
    cells_mm,
    finer,
    lumen_mm3,
    nearest_along_mm,
    settle_onset,
    vein,
)
from cubital.scene.vessels import Change, Scene, Vessel

PARTS = 4  # drawing: places at which the fluid is looked up in what one point stands for
AGES_S = 1e6  # stands for long before and long after
LEAST_FLUID = 1e-3  # a share that no picture shows: the vein is as at rest


@dataclass(frozen=True, eq=False)
class _Stretch:
    """One vein downstream of the tip: where fluid comes in, and the blood that flows with it."""

    vessel: Vessel
    from_mm: float
    blood_mm3_per_s: float


@dataclass(frozen=True)
class Flush(Event):
    """Clear fluid is pushed through a catheter, mixes with the blood, and is washed out again.

    `share = q / (q + Q)`; a front runs with `(q + Q) / area`. Where the vein joins another, the
    other's blood thins the fluid further. Plug flow: a real front is drawn out. Left out: fluid
    that runs back towards the hand, a vein that widens, the catheter (nothing is drawn).

    Examples
    --------
    >>> flush = Flush("a", tip_mm=10, onset_s=2)
    >>> flush.lasts_s
    3.0
    """

    vessel: str
    tip_mm: float
    onset_s: float | None = None
    volume_ml: float = by_default("scene-flush-volume")
    rate_ml_per_min: float = by_default("scene-flush-rate")
    vein_velocity_mm_per_s: float = by_default("scene-vein-velocity")
    kind = "flush"

    def __post_init__(self) -> None:
        settle_onset(self)
        check("vessel_place_mm", self.tip_mm)
        check("flush_volume_ml", self.volume_ml)
        check("flush_rate_ml_per_min", self.rate_ml_per_min)
        check("velocity_mm_per_s", self.vein_velocity_mm_per_s)

    @property
    def lasts_s(self) -> float:
        """How long fluid is pushed [s]."""
        return self.volume_ml / self.rate_ml_per_min * SECONDS_PER_MINUTE

    @property
    def _fluid_mm3_per_s(self) -> float:
        return self.rate_ml_per_min * MM3_PER_ML / SECONDS_PER_MINUTE

    def _stretches(self, scene: Scene) -> list[_Stretch]:
        """Return the veins from the tip towards the heart, the first one first."""
        vessel, place = vein(scene.anatomy, self.vessel), self.tip_mm
        along(vessel, place, "the catheter's tip")
        found, blood = [], 0.0
        while True:
            area = float(area_mm2(vessel.at(place)[3]))
            blood += area * self.vein_velocity_mm_per_s
            vessel = finer(vessel)
            found.append(_Stretch(vessel, place, blood))
            if vessel.into is None:
                return found
            end = vessel.x_mm[-1], vessel.y_mm[-1]
            vessel = scene.anatomy.vessel(vessel.into)
            place = nearest_along_mm(vessel, *end)

    def _pushing(self, time_s: np.ndarray) -> np.ndarray:
        """Return 1 while fluid is pushed, and 0 else."""
        return ((time_s >= self.onset_s) & (time_s < self.onset_s + self.lasts_s)).astype(float)

    def _entered(self, way: _Stretch, time_s: np.ndarray, volume_mm3: np.ndarray) -> np.ndarray:
        """Return when what is now this much volume downstream entered the stretch [s]."""
        ends = self.onset_s + np.array([-AGES_S, 0, self.lasts_s, self.lasts_s + AGES_S])
        pushed = np.clip(ends - self.onset_s, 0, self.lasts_s) * self._fluid_mm3_per_s
        run = way.blood_mm3_per_s * ends + pushed
        return np.interp(np.interp(time_s, ends, run) - volume_mm3, run, ends)

    def _share(self, ways: list[_Stretch], last: int, volume_mm3: Any, time_s: Any) -> np.ndarray:
        """Return the share of clear fluid this much volume into a stretch."""
        way, fluid = ways[last], self._fluid_mm3_per_s
        entered = self._entered(way, time_s, volume_mm3)
        pushing = self._pushing(entered)
        if last == 0:
            return pushing * fluid / (way.blood_mm3_per_s + fluid)
        before = ways[last - 1]
        low, high = np.interp(
            [before.from_mm, before.vessel.length_mm],
            before.vessel.along_mm,
            lumen_mm3(before.vessel),
        )
        pushed = pushing * fluid
        thinned = (before.blood_mm3_per_s + pushed) / (way.blood_mm3_per_s + pushed)
        return self._share(ways, last - 1, high - low, entered) * thinned

    def change(self, scene: Scene, time_s: float) -> Change:
        """Return the share of blood in the veins downstream at a time [s]."""
        ways = self._stretches(scene)
        if time_s <= self.onset_s:
            return AT_REST
        filling, replaced = {}, []
        for number, way in enumerate(ways):
            vessel = way.vessel
            low, high = cells_mm(vessel)
            within = (np.arange(PARTS) + 0.5) / PARTS
            places = low[:, None] + (high - low)[:, None] * within
            lumen = np.interp(places, vessel.along_mm, lumen_mm3(vessel))
            start = np.interp(way.from_mm, vessel.along_mm, lumen_mm3(vessel))
            fluid = self._share(ways, number, np.maximum(lumen - start, 0), time_s)
            fluid = np.where(places >= way.from_mm, fluid, 0).mean(axis=1)
            if fluid.max() > LEAST_FLUID:
                filling[vessel.key] = 1 - fluid
                if vessel is not scene.anatomy.vessel(vessel.key):
                    replaced.append(vessel)
        return Change(filling=filling, vessels=tuple(replaced)) if filling else AT_REST

    def place(self, scene: Scene) -> tuple[float, float]:
        """Return where the catheter's tip lies [mm]."""
        vessel = vein(scene.anatomy, self.vessel)
        return vessel.at(along(vessel, self.tip_mm, "the catheter's tip"))[:2]

    def seen(self) -> str:
        """Say what a person could see."""
        return (
            "The dark band fades from the catheter's tip towards the heart while fluid is pushed, "
            "less so where blood of another vein joins; then it darkens again from the tip on."
        )

    def details(self, scene: Scene, times_s: np.ndarray) -> dict[str, Any]:
        """Return volume, times and the share of fluid at the tip."""
        first = self._stretches(scene)[0]
        blood = first.blood_mm3_per_s * SECONDS_PER_MINUTE / MM3_PER_ML
        return {
            "tip_mm": float(self.tip_mm),
            "volume_ml": self.volume_ml,
            "blood_returns_s": self.onset_s + self.lasts_s,
            "fluid_share_at_tip": self.rate_ml_per_min / (self.rate_ml_per_min + blood),
            "front_mm_per_s": calc.vein_velocity_mm_per_s(
                blood + self.rate_ml_per_min, vein_diameter_mm=first.vessel.at(self.tip_mm)[3]
            ),
            "downstream": [way.vessel.key for way in self._stretches(scene)],
        }

    def verify(self, scene: Scene, times_s: np.ndarray) -> None:
        """Raise ValueError if no vein lies downstream of the tip, with the nearest that has."""
        vessel = vein(scene.anatomy, self.vessel)
        place = along(vessel, self.tip_mm, "the catheter's tip")
        if vessel.into is None and place >= vessel.length_mm - 1:
            raise ValueError(
                f"the catheter's tip at {place:.1f} mm lies at the end of vein {self.vessel!r}: "
                f"nothing lies downstream; nearest: {max(vessel.length_mm - 10, 0):.1f} mm"
            )
        super().verify(scene, times_s)
