"""A vein stroked empty between a finger and a valve, and how it fills again.

Simulated, not clinically validated.
"""

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from cubital import calc
from cubital.calc.shared.quantities import check, written
from cubital.scene.anatomy.vessels import Change, Scene, Vessel
from cubital.scene.happening.event import (
    AT_REST,
    Event,
    along,
    by_default,
    cells_mm,
    even_diameter_mm,
    finer,
    joining,
    leaving,
    settle_onset,
    usual,
    vein,
)

LEAST_MM = 1.0  # calc's shortest segment; a shorter rest is taken as full
SHORTEST_S = 1e-6  # to which the end of the refilling is found
LEAST_FRAMES = 2  # a front that crosses within fewer frames cannot be followed


class Front(NamedTuple):
    """Blood that runs into an emptied stretch from one end [mm, s]."""

    start_mm: float
    end_mm: float
    begins_s: float
    flow_ml_per_min: float
    diameter_mm: float
    comes_from: str  # below, above, or the vein that joins

    def filled_mm(self, time_s: float) -> tuple[float, float]:
        """Return the part of the stretch that is filled at a time [mm]."""
        length = abs(self.end_mm - self.start_mm)
        if time_s <= self.begins_s:
            return self.start_mm, self.start_mm
        run = length
        if length >= LEAST_MM:
            run = calc.refill_front_mm(
                time_s - self.begins_s,
                segment_length_mm=length,
                vein_diameter_mm=self.diameter_mm,
                vein_flow_ml_per_min=self.flow_ml_per_min,
            )
        tip = self.start_mm + np.sign(self.end_mm - self.start_mm) * run
        return min(self.start_mm, tip), max(self.start_mm, tip)

    def done_s(self) -> float:
        """Return when the stretch is full [s]."""
        length = abs(self.end_mm - self.start_mm)
        if length < LEAST_MM:
            return self.begins_s
        return self.begins_s + calc.refill_time_s(
            length, vein_diameter_mm=self.diameter_mm, vein_flow_ml_per_min=self.flow_ml_per_min
        )


def without(
    whole: tuple[float, float], parts: list[tuple[float, float]]
) -> list[tuple[float, float]]:
    """Return what is left of a stretch once parts of it are taken out [mm].

    Examples
    --------
    >>> without((0, 10), [(8, 12), (2, 3)])
    [(0, 2), (3, 8)]
    """
    left, (start, end) = [], whole
    for low, high in sorted(parts):
        if low > start:
            left.append((start, min(low, end)))
        start = max(start, high)
        if start >= end:
            return left
    return [*left, (start, end)]


@dataclass(frozen=True)
class Refill(Event):
    """A finger holds a vein shut, another strokes it empty towards the heart, then the first lifts.

    The stroked vein stays empty from the finger to the last valve of the stroke; what lies above
    fills back from above, and stops there. A vein that joins in between fills it from its mouth:
    on towards the heart, and back as far as the next valve or the finger. Once the finger lifts,
    blood runs up from it through the valves, slower beyond a vein that takes a part of it. Without
    a closing valve it all fills from above.
    Left out: the finger (nothing is drawn), the veins that swell below it, fronts drawn out.

    Examples
    --------
    >>> refill = Refill("a", finger_mm=20, stroked_to_mm=80, onset_s=1)
    >>> refill.stroked_s, refill.lifted_s
    (2.0, 3.5)
    """

    vessel: str
    finger_mm: float
    stroked_to_mm: float
    onset_s: float | None = None  # the stroke begins
    hold_time_s: float = by_default("scene-hold-time")
    stroke_velocity_mm_per_s: float = by_default("scene-stroke-velocity")
    vein_velocity_mm_per_s: float = by_default("scene-vein-velocity")
    valves_close: bool = True
    kind = "refill"

    def __post_init__(self) -> None:
        settle_onset(self)
        check("finger_mm", self.finger_mm)
        check("stroked_to_mm", self.stroked_to_mm)
        check("hold_time_s", self.hold_time_s)
        check("stroke_velocity_mm_per_s", self.stroke_velocity_mm_per_s)
        check("velocity_mm_per_s", self.vein_velocity_mm_per_s)

    @property
    def stroked_s(self) -> float:
        """When the stroke ends [s]."""
        way = self.stroked_to_mm - self.finger_mm
        return self.onset_s + way / self.stroke_velocity_mm_per_s

    @property
    def lifted_s(self) -> float:
        """When the finger lifts [s]."""
        return self.stroked_s + self.hold_time_s

    def _vein(self, scene: Scene) -> Vessel:
        vessel = vein(scene.anatomy, self.vessel)
        along(vessel, self.finger_mm, "the holding finger")
        along(vessel, self.stroked_to_mm, "the end of the stroke")
        return vessel

    def _valves_mm(self, scene: Scene) -> list[float]:
        if not self.valves_close:
            return []
        return sorted(v.along_mm for v in scene.anatomy.valves if v.vessel == self.vessel)

    def emptied(self, scene: Scene) -> calc.EmptiedSegment:
        """Return what stays empty until the finger lifts, or sooner by a vein that joins."""
        vessel = self._vein(scene)
        return calc.emptied_segment(
            self.finger_mm,
            stroked_to_mm=self.stroked_to_mm,
            valve_mm=self._valves_mm(scene),
            tributary_mm=[place for place, _ in joining(scene.anatomy, vessel)],
        )

    def _flow(self, vessel: Vessel, place_mm: float) -> float:
        return calc.vein_flow_from_velocity_ml_per_min(
            self.vein_velocity_mm_per_s, vein_diameter_mm=vessel.at(place_mm)[3]
        )

    def _front(
        self, vessel: Vessel, ends: tuple[float, float], begins: float, flow: float, comes_from: str
    ) -> Front:
        diameter = even_diameter_mm(vessel, min(ends), max(ends))
        return Front(*ends, begins, flow, diameter, comes_from)

    def _from_below(self, scene: Scene, vessel: Vessel, top: float) -> list[Front]:
        """Return the front from the finger up, slower beyond each vein that takes a part of it."""
        flow, begins, place = self._flow(vessel, self.finger_mm), self.lifted_s, self.finger_mm
        exits = [(at, v) for at, v in leaving(scene.anatomy, vessel) if place < at < top]
        found = []
        for at, other in exits:
            found.append(self._front(vessel, (place, at), begins, flow, "below"))
            widths = [vessel.at(min(at + 1, vessel.length_mm))[3], other.diameter_mm[0]]
            flow = float(calc.split_at_bifurcation_ml_per_min(flow, branch_diameters_mm=widths)[0])
            place, begins = at, found[-1].done_s()
        return [*found, self._front(vessel, (place, top), begins, flow, "below")]

    def fronts(self, scene: Scene) -> list[Front]:
        """Return the fronts: from below, from above, and from each vein that joins."""
        vessel, part = self._vein(scene), self.emptied(scene)
        finger, top, end = self.finger_mm, part.to_mm, self.stroked_to_mm
        flow = self._flow(vessel, end)
        found = [self._front(vessel, (end, top), self.stroked_s, flow, "above")]
        if top > finger:
            found = [*self._from_below(scene, vessel, top), *found]
        for place, other in joining(scene.anatomy, vessel):
            if not finger < place < end:
                continue
            stops = [valve for valve in self._valves_mm(scene) if finger < valve <= place]
            back = max(stops, default=finger)
            begins = self.onset_s + (place - finger) / self.stroke_velocity_mm_per_s
            flow = self._flow(other, other.length_mm)
            onward = self._front(vessel, (place, end), begins, flow, other.key)
            backward = self._front(vessel, (place, back), begins, flow, other.key)
            both = calc.split_at_bifurcation_ml_per_min(
                flow, branch_diameters_mm=[onward.diameter_mm, backward.diameter_mm]
            )
            found += [
                front._replace(flow_ml_per_min=float(share))
                for front, share in zip((onward, backward), both, strict=True)
            ]
        return found

    def change(self, scene: Scene, time_s: float) -> Change:
        """Return how full the stroked vein is at a time [s]."""
        vessel = self._vein(scene)
        if time_s <= self.onset_s:
            return AT_REST
        stroke = self.finger_mm + self.stroke_velocity_mm_per_s * (time_s - self.onset_s)
        stroked = self.finger_mm, min(stroke, self.stroked_to_mm)
        empty = without(stroked, [front.filled_mm(time_s) for front in self.fronts(scene)])
        if not empty:
            return AT_REST
        drawn = finer(vessel)
        low, high = cells_mm(drawn)
        overlap = sum(np.clip(np.minimum(high, b) - np.maximum(low, a), 0, None) for a, b in empty)
        share = 1 - np.minimum(overlap / (high - low), 1) * (1 - usual("emptied-vein-share"))
        return Change(filling={vessel.key: share}, vessels=() if drawn is vessel else (drawn,))

    def filled_s(self, scene: Scene) -> float:
        """Return when all that was stroked is full again [s]."""
        whole, fronts = (self.finger_mm, self.stroked_to_mm), self.fronts(scene)
        low, high = self.stroked_s, max(front.done_s() for front in fronts)
        while high - low > SHORTEST_S:
            middle = (low + high) / 2
            if without(whole, [front.filled_mm(middle) for front in fronts]):
                low = middle
            else:
                high = middle
        return high

    def place(self, scene: Scene) -> tuple[float, float]:
        """Return where the finger holds the vein [mm]."""
        return self._vein(scene).at(self.finger_mm)[:2]

    def seen(self) -> str:
        """Say what a person could see."""
        if self.valves_close:
            return (
                "A stretch of the dark band fades from the finger towards the heart and stays pale "
                "up to a valve; then it darkens again from the finger's end, the dark front "
                "running towards the heart."
            )
        return (
            "A stretch of the dark band fades from the finger towards the heart; then it darkens "
            "again from the heart's end while the finger still holds: no valve stops the blood."
        )

    def details(self, scene: Scene, times_s: np.ndarray) -> dict[str, Any]:
        """Return times and places of stroke, hold and refill."""
        vessel, part, fronts = self._vein(scene), self.emptied(scene), self.fronts(scene)
        held = vessel.at(part.to_mm)
        return {
            "stroked_s": self.stroked_s,
            "lifted_s": self.lifted_s,
            "filled_s": self.filled_s(scene),
            "empty_from_mm": part.from_mm,
            "empty_to_mm": part.to_mm,
            "stroked_to_mm": float(self.stroked_to_mm),
            "held_by": part.held_by,
            "held_x_mm": held[0],
            "held_y_mm": held[1],
            "fronts": [
                {
                    "comes_from": front.comes_from,
                    "from_mm": front.start_mm,
                    "to_mm": front.end_mm,
                    "begins_s": front.begins_s,
                    "full_s": front.done_s(),
                }
                for front in fronts
            ],
            "remarks": list(part.remarks),
        }

    def held_empty(self, scene: Scene) -> list[tuple[float, float]]:
        """Return what is still empty below the last valve when the finger lifts [mm]."""
        part, lifted = self.emptied(scene), self.lifted_s
        whole = self.finger_mm, part.to_mm if part.front_starts_at_mm else self.stroked_to_mm
        fronts = self.fronts(scene)
        if not part.front_starts_at_mm:
            lifted = self.stroked_s  # it fills from above, the finger on or off
        return without(whole, [front.filled_mm(lifted) for front in fronts])

    def verify(self, scene: Scene, times_s: np.ndarray) -> None:
        """Raise ValueError if the refill could not be followed, with the nearest that could."""
        vessel = self._vein(scene)
        super().verify(scene, times_s)
        last, step = float(times_s[-1]), float(times_s[1] - times_s[0])
        self._verify_length(scene, vessel)
        fronts = self.fronts(scene)
        held = bool(self.emptied(scene).front_starts_at_mm)
        main = [front for front in fronts if front.comes_from == ("below" if held else "above")]
        begins, done = main[0].begins_s, min(main[-1].done_s(), self.filled_s(scene))
        if begins > last:
            frames = int(np.ceil(done / step)) + 1
            raise ValueError(
                f"vein {self.vessel!r} begins to fill at {begins:.2f} s, after the end of "
                f"the series at {written(last)} s; nearest: {frames} frames"
            )
        lasts = done - begins
        if lasts < LEAST_FRAMES * step:
            raise ValueError(
                f"the refill of vein {self.vessel!r} lasts {lasts:.2f} s, less than "
                f"{LEAST_FRAMES} frames {written(step)} s apart; nearest: an interval of "
                f"{lasts / LEAST_FRAMES:.3f} s"
            )

    def _verify_length(self, scene: Scene, vessel: Vessel) -> None:
        """Raise ValueError if too little of the vein is empty when it begins to fill."""
        least, part = usual("scene-shortest-emptied"), self.emptied(scene)
        length = sum(end - start for start, end in self.held_empty(scene))
        if length >= least:
            return
        held = bool(part.front_starts_at_mm)
        top = part.to_mm if held else self.stroked_to_mm
        mouths = [place for place, _ in joining(scene.anatomy, vessel)]
        mouth = max((m for m in mouths if self.finger_mm < m < top), default=0.0)
        why = ""
        if mouth:
            why = f", for a vein that joins at {mouth:.1f} mm fills it before the finger lifts"
        if held and top - least >= mouth:
            nearest = f"hold the vein at {written(round(mouth or top - least, 1))} mm"
        elif not held and self.finger_mm + least <= vessel.length_mm:
            nearest = f"stroke it to {written(round(self.finger_mm + least, 1))} mm"
        else:
            nearest = "another stretch, with a valve farther above the finger"
        raise ValueError(
            f"the emptied segment of vein {self.vessel!r}, {written(round(self.finger_mm, 1))} to "
            f"{written(round(top, 1))} mm, is {length:.1f} mm long when it begins to fill{why}: "
            f"refilling is seen from {written(least)} mm on; nearest: {nearest}"
        )
