"""Clear fluid pushed through a catheter: it takes the blood's place downstream, then blood returns.

Simulated, not clinically validated.
"""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from cubital import calc
from cubital.calc.shared.quantities import check
from cubital.calc.shared.units import MM3_PER_ML, SECONDS_PER_MINUTE
from cubital.scene.anatomy.vessels import Change, Scene, Vessel
from cubital.scene.happening.event import (
    AT_REST,
    Event,
    along,
    area_mm2,
    by_default,
    cells_mm,
    finer,
    joining,
    leaving,
    lumen_mm3,
    nearest_along_mm,
    settle_onset,
    vein,
)

MOST_STRETCHES = 60  # veins beyond carry hardly any of it
PARTS = 4  # drawing: places at which the fluid is looked up in what one point stands for
AGES_S = 1e6  # stands for long before and long after
LEAST_FLUID = 1e-3  # a share that no picture shows: the vein is as at rest


@dataclass(frozen=True, eq=False)
class _Stretch:
    """A stretch of vein downstream of the tip, with one flow; the one before it brings the fluid.

    `kept` is the share of the flow before it that runs on into it, 1 but where a vein divides.
    """

    vessel: Vessel
    from_mm: float
    to_mm: float
    blood_mm3_per_s: float
    fluid_mm3_per_s: float
    kept: float = 1.0
    before: "_Stretch | None" = None

    def start_mm3(self) -> float:
        """Return the vessel's volume above the stretch [mm3]."""
        return float(np.interp(self.from_mm, self.vessel.along_mm, lumen_mm3(self.vessel)))

    def part(self, share: float) -> "_Stretch":
        """Return the same with a share of its flow."""
        blood, fluid = self.blood_mm3_per_s * share, self.fluid_mm3_per_s * share
        return replace(self, blood_mm3_per_s=blood, fluid_mm3_per_s=fluid, kept=share)

    def volume_mm3(self) -> float:
        """Return its volume [mm3]."""
        end = np.interp(self.to_mm, self.vessel.along_mm, lumen_mm3(self.vessel))
        return float(end) - self.start_mm3()


@dataclass(frozen=True)
class Flush(Event):
    """Clear fluid is pushed through a catheter, mixes with the blood, and is washed out again.

    `share = q / (q + Q)`; a front runs with `(q + Q) / area`. Where veins meet, the other's blood
    thins the fluid further; where the vein divides, each branch takes its part. Plug flow: a real
    front is drawn out. Left out: fluid that runs back towards the hand, a vein that widens, the
    catheter (nothing is drawn).

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
        """Return the stretches of vein from the tip towards the heart, the first one first."""
        first = vein(scene.anatomy, self.vessel)
        place = along(first, self.tip_mm, "the catheter's tip")
        blood = self._blood(first.at(place)[3])
        found: list[_Stretch] = []
        todo = [_Stretch(finer(first), place, place, blood, self._fluid_mm3_per_s)]
        while todo and len(found) < MOST_STRETCHES:
            stretches, more = self._onward(scene, todo.pop(0))
            found += stretches
            todo += more
        return found

    def _onward(self, scene: Scene, start: _Stretch) -> tuple[list[_Stretch], list[_Stretch]]:
        """Follow a vein to its end; return its stretches and where other veins take the fluid."""
        vessel, now, found, todo = start.vessel, start, [], []
        met = [(at, True, other) for at, other in joining(scene.anatomy, vessel)]
        met += [(at, False, other) for at, other in leaving(scene.anatomy, vessel)]
        # what brought the fluid here is in the flow already
        came = None if start.before is None else start.before.vessel.key
        for at, joins, other in sorted(met, key=lambda each: each[0]):
            if at <= start.from_mm or other.key == came:
                continue
            done = replace(now, to_mm=at)
            found.append(done)
            now = replace(now, from_mm=at, kept=1.0, before=done)
            if joins:
                now = replace(
                    now, blood_mm3_per_s=now.blood_mm3_per_s + self._blood(other.diameter_mm[-1])
                )
                continue
            widths = [vessel.at(min(at + 1, vessel.length_mm))[3], other.diameter_mm[0]]
            parts = calc.split_at_bifurcation_ml_per_min(1, branch_diameters_mm=widths)
            now, branch = (now.part(float(part)) for part in parts)
            todo.append(replace(branch, vessel=finer(other), from_mm=0.0))
        found.append(replace(now, to_mm=vessel.length_mm))
        if vessel.into is not None:
            host = finer(scene.anatomy.vessel(vessel.into))
            at = nearest_along_mm(host, vessel.x_mm[-1], vessel.y_mm[-1])
            blood = now.blood_mm3_per_s + self._blood(host.at(at)[3])
            on = replace(now, vessel=host, from_mm=at, kept=1.0, before=found[-1])
            todo.append(replace(on, blood_mm3_per_s=blood))
        return found, todo

    def _blood(self, diameter_mm: float) -> float:
        """Return the blood that runs through a vein of a diameter [mm3/s]."""
        return float(area_mm2(diameter_mm)) * self.vein_velocity_mm_per_s

    def _pushing(self, time_s: np.ndarray) -> np.ndarray:
        """Return 1 while fluid is pushed, and 0 else."""
        return ((time_s >= self.onset_s) & (time_s < self.onset_s + self.lasts_s)).astype(float)

    def _entered(self, way: _Stretch, time_s: np.ndarray, volume_mm3: np.ndarray) -> np.ndarray:
        """Return when what is now this much volume downstream entered the stretch [s]."""
        ends = self.onset_s + np.array([-AGES_S, 0, self.lasts_s, self.lasts_s + AGES_S])
        pushed = np.clip(ends - self.onset_s, 0, self.lasts_s) * way.fluid_mm3_per_s
        run = way.blood_mm3_per_s * ends + pushed
        return np.interp(np.interp(time_s, ends, run) - volume_mm3, run, ends)

    def _share(self, way: _Stretch, volume_mm3: Any, time_s: Any) -> np.ndarray:
        """Return the share of clear fluid this much volume into a stretch."""
        entered = self._entered(way, time_s, volume_mm3)
        pushed = self._pushing(entered) * way.fluid_mm3_per_s
        runs = way.blood_mm3_per_s + pushed
        if way.before is None:
            return pushed / runs
        came = way.kept * way.before.blood_mm3_per_s + pushed
        return self._share(way.before, way.before.volume_mm3(), entered) * came / runs

    def change(self, scene: Scene, time_s: float) -> Change:
        """Return the share of blood in the veins downstream at a time [s]."""
        ways = self._stretches(scene)
        if time_s <= self.onset_s:
            return AT_REST
        filling, replaced = {}, {}
        for way in ways:
            vessel = way.vessel
            low, high = cells_mm(vessel)
            within = (np.arange(PARTS) + 0.5) / PARTS
            places = low[:, None] + (high - low)[:, None] * within
            volume = np.interp(places, vessel.along_mm, lumen_mm3(vessel)) - way.start_mm3()
            fluid = self._share(way, np.maximum(volume, 0), time_s)
            inside = (places >= way.from_mm) & (places < way.to_mm)
            fluid = np.where(inside, fluid, 0).mean(axis=1)
            if fluid.max() > LEAST_FLUID:
                blood = filling.get(vessel.key, 1.0) - fluid
                filling[vessel.key] = np.clip(blood, 0, 1)
                if vessel is not scene.anatomy.vessel(vessel.key):
                    replaced[vessel.key] = vessel
        return Change(filling, tuple(replaced.values())) if filling else AT_REST

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
            "downstream": list(dict.fromkeys(way.vessel.key for way in self._stretches(scene))),
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
