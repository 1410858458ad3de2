"""What every event of a series has: onset, place, change of the scene, record of its truth.

Simulated, not clinically validated.
"""

from dataclasses import asdict, dataclass, field, replace
from typing import Any, ClassVar

import numpy as np

from cubital import tables
from cubital.calc.reading.vessel import CIRCLE
from cubital.calc.shared.quantities import check, written
from cubital.scene.anatomy.vessels import Anatomy, Change, Scene, Vessel

AT_REST = Change()
FINEST_MM = 0.5  # drawing: a front is placed on points no farther apart than twice this


def usual(key: str) -> float:
    """Return a number of `assets/scene/constants.toml`.

    Examples
    --------
    >>> usual("scene-push")
    0.8
    """
    return tables.constant(key).value


def by_default(key: str) -> Any:
    """Return a dataclass field that is such a number if it is not given."""
    return field(default_factory=lambda: float(usual(key)))


@dataclass(frozen=True)
class Record:
    """What is true of one event of a series; places on the skin [mm], times from its start [s].

    `picture_changes` is False where the event is there and no frame shows it. `onset_frame` is the
    first frame at or after the onset, `shown_frame` the first whose picture, without its noise,
    differs from rest by twice a pixel's noise somewhere; None if none does.

    Examples
    --------
    >>> Record("nothing", None, None, None, None, None, False, "No change.").plain()["kind"]
    'nothing'
    """

    kind: str
    onset_s: float | None
    onset_frame: int | None
    x_mm: float | None
    y_mm: float | None
    vessel: str | None
    picture_changes: bool
    seen: str
    shown_frame: int | None = None
    largest_change_share: float = 0.0  # of the brightness at rest, without noise [-]
    details: dict[str, Any] = field(default_factory=dict)

    def plain(self) -> dict[str, Any]:
        """Return the record as plain data, fit for JSON."""
        return asdict(self)


class Event:
    """An event of a series: what changes when, and what is true of it."""

    kind: ClassVar[str]
    picture_changes: ClassVar[bool] = True
    interval_key: ClassVar[str] = "scene-series-interval"
    onset_s: float | None
    vessel: str | None

    @classmethod
    def usual_interval_s(cls) -> float:
        """Return the time between two frames that suits this event [s]."""
        return float(usual(cls.interval_key))

    @classmethod
    def usual_onset_s(cls) -> float:
        """Return the onset if none is given: after some frames at rest [s]."""
        return cls.usual_interval_s() * usual("scene-frames-before")

    def change(self, scene: Scene, time_s: float) -> Change:
        """Return what is different from the scene at rest at a time from the series' start [s]."""
        raise NotImplementedError

    def place(self, scene: Scene) -> tuple[float | None, float | None]:
        """Return where it begins, on the skin [mm]."""
        raise NotImplementedError

    def seen(self) -> str:
        """Say what a person could see in the frames."""
        raise NotImplementedError

    def details(self, scene: Scene, times_s: np.ndarray) -> dict[str, Any]:
        """Return what else is true of this kind of event, as plain data."""
        return {}

    def verify(self, scene: Scene, times_s: np.ndarray) -> None:
        """Raise ValueError if this series cannot hold the event, with the nearest that can."""
        if self.onset_s is None:
            return
        last, step = float(times_s[-1]), float(times_s[1] - times_s[0])
        if self.onset_s > last:
            frames = int(np.ceil(self.onset_s / step)) + 1
            raise ValueError(
                f"onset of the {self.kind} at {written(self.onset_s)} s lies after the end of the "
                f"series at {written(last)} s: the latest is {written(last)} s, or take {frames} "
                "frames"
            )
        self.change(scene, last)

    def record(self, scene: Scene, times_s: np.ndarray) -> Record:
        """Return the truth of it in a series of frames at these times [s]."""
        frame = None if self.onset_s is None else int(np.searchsorted(times_s, self.onset_s))
        x_mm, y_mm = self.place(scene)
        return Record(
            kind=self.kind,
            onset_s=self.onset_s,
            onset_frame=frame,
            x_mm=x_mm,
            y_mm=y_mm,
            vessel=self.vessel,
            picture_changes=self.picture_changes,
            seen=self.seen(),
            details=self.details(scene, times_s),
        )


def settle_onset(event: Event) -> None:
    """Check the onset of a frozen event, and set the usual one if none was given."""
    onset = event.usual_onset_s() if event.onset_s is None else event.onset_s
    object.__setattr__(event, "onset_s", float(check("event_onset_s", onset)))


def vein(anatomy: Anatomy, key: str) -> Vessel:
    """Return a vein by its key; ValueError names those there are."""
    veins = [vessel.key for vessel in anatomy.vessels if vessel.kind == "vein"]
    if key not in veins:
        known = ", ".join(veins) or "none"
        what = "an artery" if any(v.key == key for v in anatomy.vessels) else "not in this scene"
        raise ValueError(f"vein {key!r} is {what}: its veins are {known}")
    return anatomy.vessel(key)


def along(vessel: Vessel, place_mm: float, what: str) -> float:
    """Return a place along a vessel; ValueError if it lies beyond the vessel's end."""
    place = float(check("vessel_place_mm", place_mm))
    if place > vessel.length_mm:
        raise ValueError(
            f"{what} at {written(place)} mm lies beyond vein {vessel.key!r}, which is "
            f"{vessel.length_mm:.1f} mm long: the farthest is {vessel.length_mm:.1f} mm"
        )
    return place


def finer(vessel: Vessel, *places_mm: float) -> Vessel:
    """Return the same vessel with points no farther apart than a front needs, and these places."""
    way = vessel.along_mm
    if not places_mm and np.diff(way).max() <= 2 * FINEST_MM:
        return vessel
    even = np.linspace(0, way[-1], int(np.ceil(way[-1] / FINEST_MM)) + 1)
    points = np.unique(np.concatenate([way, even, places_mm]))
    columns = ("x_mm", "y_mm", "depth_mm", "diameter_mm")
    new = {name: np.interp(points, way, getattr(vessel, name)) for name in columns}
    return replace(vessel, **new)


def nearest_along_mm(vessel: Vessel, x_mm: float, y_mm: float) -> float:
    """Return the way along a vessel to its point nearest to a place on the skin [mm]."""
    dx, dy = np.diff(vessel.x_mm), np.diff(vessel.y_mm)
    u, v = x_mm - vessel.x_mm[:-1], y_mm - vessel.y_mm[:-1]
    long = np.maximum(dx**2 + dy**2, np.finfo(float).tiny)
    share = np.clip((u * dx + v * dy) / long, 0, 1)
    best = int(np.argmin(np.hypot(u - share * dx, v - share * dy)))
    return float(vessel.along_mm[best] + share[best] * np.sqrt(long[best]))


def joining(anatomy: Anatomy, vessel: Vessel) -> list[tuple[float, Vessel]]:
    """Return the veins that join a vessel, with the way along it to where they do [mm]."""
    found = [
        (nearest_along_mm(vessel, other.x_mm[-1], other.y_mm[-1]), other)
        for other in anatomy.vessels
        if other.into == vessel.key
    ]
    return sorted(found, key=lambda pair: (pair[0], pair[1].key))


def leaving(anatomy: Anatomy, vessel: Vessel) -> list[tuple[float, Vessel]]:
    """Return the veins that leave a vessel, with the way along it to where they do [mm]."""
    found = [
        (nearest_along_mm(vessel, other.x_mm[0], other.y_mm[0]), other)
        for other in anatomy.vessels
        if other.out_of == vessel.key
    ]
    return sorted(found, key=lambda pair: (pair[0], pair[1].key))


def area_mm2(diameter_mm: np.ndarray) -> np.ndarray:
    """Return the cross-section of a round vessel [mm2]."""
    return CIRCLE * np.square(diameter_mm)


def lumen_mm3(vessel: Vessel) -> np.ndarray:
    """Return the volume of a vessel from its first point to each [mm3]."""
    area = area_mm2(vessel.diameter_mm)
    parts = np.diff(vessel.along_mm) * (area[1:] + area[:-1]) / 2
    return np.concatenate([[0.0], np.cumsum(parts)])


def even_diameter_mm(vessel: Vessel, from_mm: float, to_mm: float) -> float:
    """Return the diameter of an even tube of the same length and volume as a stretch [mm]."""
    low, high = np.interp([from_mm, to_mm], vessel.along_mm, lumen_mm3(vessel))
    if to_mm <= from_mm:
        return vessel.at(from_mm)[3]
    return float(np.sqrt((high - low) / (to_mm - from_mm) / CIRCLE))


def cells_mm(vessel: Vessel) -> tuple[np.ndarray, np.ndarray]:
    """Return the ends of the stretch that each point stands for, half-way to its neighbours."""
    way = vessel.along_mm
    middle = (way[1:] + way[:-1]) / 2
    return np.concatenate([way[:1], middle]), np.concatenate([middle, way[-1:]])
