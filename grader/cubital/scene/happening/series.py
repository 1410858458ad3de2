"""Series of frames of one scene in which something happens, or nothing, with what is true of it.

Simulated, not clinically validated.
"""

from dataclasses import dataclass, replace

import numpy as np
from scipy import ndimage

from cubital.calc.shared.quantities import check
from cubital.scene import NOTICE
from cubital.scene.anatomy.vessels import Change, Scene
from cubital.scene.chance import generator
from cubital.scene.happening.event import AT_REST, Event, Record, usual
from cubital.scene.light import picture

TOO_FAINT = (
    "Nothing that stands out of the noise: here the vein lies too deep, or outside the picture. "
    "That nothing is seen rules nothing out."
)
DIM = 10  # darker than the brightest by more than this is not skin in the light
EPS = float(np.finfo(np.float32).tiny)


@dataclass(frozen=True, eq=False)
class Series:
    """Frames of a series, their times [s] and what is true of its event.

    Examples
    --------
    >>> Series(np.zeros((2, 4, 4), np.uint8), np.array([0.0, 0.25]), ()).notice
    'simulated, not clinically validated'
    """

    frames: np.ndarray  # uint8, (frames, rows, columns)
    times_s: np.ndarray
    events: tuple[Record, ...]
    notice: str = NOTICE

    @property
    def records(self) -> tuple[Record, ...]:
        """What is true of the series' events, by another name."""
        return self.events


@dataclass(frozen=True, eq=False)
class Unsteadiness:
    """How the picture shifts [px] and how bright it is [-], frame by frame."""

    columns_px: np.ndarray
    rows_px: np.ndarray
    brightness: np.ndarray


def _wander(steps: np.ndarray, spread: float, frames: float) -> np.ndarray:
    """Turn independent steps into a slow drift that forgets where it was within some frames."""
    keep = np.exp(-1 / frames)
    drift = np.empty_like(steps)
    last = steps[0]
    for number, step in enumerate(steps):
        last = step if number == 0 else keep * last + np.sqrt(1 - keep**2) * step
        drift[number] = last
    return spread * drift


def unsteadiness(scene: Scene, frames: int) -> Unsteadiness:
    """Return the tremor and drift of hand and light in a series, from the scene's seed.

    The same whatever happens in the series. A teaching assumption throughout.

    Examples
    --------
    >>> from cubital.scene.anatomy.vessels import Anatomy, Limb
    >>> shift = unsteadiness(Scene(Anatomy("forearm", "adult", 1, Limb(40), ())), 100)
    >>> bool(np.abs(shift.columns_px).max() < 5)
    True
    """
    # a row a frame, so that a longer series begins like a shorter one
    steps = generator("series", scene.seed).standard_normal((frames, 5))  # 5: one a column below
    drift, tremor = usual("scene-drift-spread"), usual("scene-tremor-spread")
    shift = _wander(steps[:, :2], drift, usual("scene-drift-frames")) + tremor * steps[:, 2:4]
    shift = (shift - shift[0]) / scene.view.mm_per_px
    light = _wander(steps[:, 4], usual("scene-brightness-spread"), usual("scene-brightness-frames"))
    return Unsteadiness(shift[:, 0], shift[:, 1], np.exp(light - light[0]))


def moved(light: np.ndarray, columns_px: float, rows_px: float) -> np.ndarray:
    """Return a picture shifted by less than some pixels, its edges drawn out.

    Examples
    --------
    >>> moved(np.array([[0.0, 1.0, 2.0]]), 0.5, 0).tolist()
    [[0.0, 0.5, 1.5]]
    """
    return ndimage.shift(light, (rows_px, columns_px), order=1, mode="nearest", prefilter=False)


def _same(one: Change, other: Change) -> bool:
    """Tell whether two changes give the same picture."""
    if one is other:
        return True
    return (
        not (one.vessels or other.vessels)
        and (one.swellings, one.pools) == (other.swellings, other.pools)
        and one.filling.keys() == other.filling.keys()
        and all(np.array_equal(one.filling[key], other.filling[key]) for key in one.filling)
    )


def _differs(light: np.ndarray, rest: np.ndarray, noise_share: float) -> tuple[float, float]:
    """Return the largest change of any pixel, as a share of its brightness and over its noise."""
    difference = np.abs(light - rest)
    # beyond the limb a trace of light is many times the dark
    lit = rest > picture.skin_top(rest) / DIM
    share = float((difference[lit] / rest[lit]).max())
    return share, float((difference / (noise_share * np.sqrt(np.maximum(rest, EPS)))).max())


def _told(record: Record, shares: list[float], ratios: list[float]) -> Record:
    """Return a record with what the noise-free pictures themselves show of the event."""
    needed = usual("scene-seen-change-to-noise")
    first = next((number for number, ratio in enumerate(ratios) if ratio >= needed), None)
    record = replace(record, largest_change_share=max(shares), shown_frame=first)
    if record.picture_changes and first is None:
        return replace(record, picture_changes=False, seen=TOO_FAINT)
    return record


def _times_s(event: Event, frames: int, interval_s: float | None) -> np.ndarray:
    if interval_s is None:
        interval_s = event.usual_interval_s()
    number = int(check("series_frames", frames))
    return np.arange(number) * float(check("series_interval_s", interval_s))


def shows(event: Event, scene: Scene, *, frames: int = 40, interval_s: float | None = None) -> bool:
    """Tell whether the record of such a series would say that the picture changes.

    No frame is rendered: the light is worked out until a frame is met that shows the event. What
    `series` refuses raises ValueError here too.

    Examples
    --------
    >>> from cubital.scene.happening.events import Nothing
    >>> from cubital.scene.anatomy.vessels import Anatomy, Limb, View
    >>> shows(Nothing(), Scene(Anatomy("forearm", "adult", 1, Limb(40), ()), view=View(64, 48)))
    False
    """
    times = _times_s(event, frames, interval_s)
    event.verify(scene, times)
    changes = [event.change(scene, float(time_s)) for time_s in times]
    for change in changes:
        picture.check_change(change)
    if not event.picture_changes:
        return False
    rest, last = picture.light(scene), AT_REST
    for change in changes:
        if _same(change, last):
            continue
        last = change
        _, ratio = _differs(picture.light(scene, change), rest, scene.camera.noise_share)
        if ratio >= usual("scene-seen-change-to-noise"):
            return True
    return False


def series(
    event: Event, scene: Scene, *, frames: int = 40, interval_s: float | None = None
) -> Series:
    """Return a series of frames in which an event happens, with its truth.

    `interval_s` is the time between two frames [s], that which suits the event if not given. The
    record says `picture_changes` only where some pixel of the picture, without its noise, changes
    by twice its noise or more.

    Examples
    --------
    >>> from cubital.scene.happening.events import Nothing
    >>> from cubital.scene.anatomy.vessels import Anatomy, Limb, View
    >>> scene = Scene(Anatomy("forearm", "adult", 1, Limb(40), ()), view=View(64, 48))
    >>> quiet = series(Nothing(), scene, frames=4)
    >>> quiet.frames.shape, quiet.times_s.tolist(), quiet.events[0].picture_changes
    ((4, 48, 64), [0.0, 0.25, 0.5, 0.75], False)
    """
    times = _times_s(event, frames, interval_s)
    event.verify(scene, times)
    number = len(times)
    stir = unsteadiness(scene, number)
    rest = picture.light(scene)
    out = np.empty((number, *rest.shape), np.uint8)
    last, light, differs, shown = AT_REST, rest, (0.0, 0.0), []
    for n, time_s in enumerate(times):
        change = event.change(scene, float(time_s))
        if not _same(change, last):
            last = change
            light = rest if change is AT_REST else picture.light(scene, change)
            differs = _differs(light, rest, scene.camera.noise_share)
        shown.append(differs)
        lit = moved(light, stir.columns_px[n], stir.rows_px[n]) * np.float32(stir.brightness[n])
        out[n] = picture.exposed(scene, lit, number=n)
    record = _told(event.record(scene, times), *map(list, zip(*shown, strict=True)))
    return Series(out, times, (record,))
