"""Short trials of a pool: small series and stills that show something, or do not show it.

A trial is of one band of difficulty, as it is measured in the picture itself. What is there and
cannot be seen is set aside: another scene is drawn. Simulated, not clinically validated.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np

from cubital.scene.anatomy.vessels import Scene, Vessel, View
from cubital.scene.chance import generator
from cubital.scene.files.planning import (
    STILLS,
    Job,
    NoSceneError,
    Rendered,
    bands,
    drawn_difficulty,
    trial_of,
    trial_setting,
)
from cubital.scene.happening import events, series
from cubital.scene.happening.event import Event
from cubital.scene.light import picture
from cubital.scene.light.geometry import to_picture
from cubital.scene.truth import describing, difficulty
from cubital.scene.truth import truth as truths
from cubital.scene.truth.visibility import needed

ATTEMPTS = 400  # scenes drawn until one shows what it is to show
SAME = 30  # of them at one difficulty
WITHIN = 0.06  # of the difficulty drawn; that which a scene has decides on its band
PERSONS = 2
ONSET_FRAMES = (2, 5)  # at rest before something happens, from and below
UNSEEN = ("nothing", "infiltration-unseen", "no-fork", "veins")
EDGE_PX = 12  # beyond the picture, where a fork would still darken its edge
STRUCTURES = {"fork": "bifurcation", "no-fork": "bifurcation"}
STRUCTURES |= {"artery": "artery", "veins": "vein"}
LEAST_VEINS = 2  # beside each other, where an artery might be one of them


class SetAsideError(ValueError):
    """A scene in which what is there cannot be seen, or more is seen than is asked for."""


class Shown(NamedTuple):
    """A trial: its frames, its truth, how difficult it is, and the skin without vessels."""

    frames: np.ndarray
    truth: dict[str, Any]
    difficulty: difficulty.Difficulty
    scene: Scene


def floor() -> float:
    """Return how many times its noise a band's contrast is in every trial, at least [-].

    The stricter of what a filter needs (`visibility.needed`) and what readers of such pictures
    needed (`readers_needed` in `assets/scene/pools.toml`).

    Examples
    --------
    >>> floor() >= needed()
    True
    """
    return max(needed(), float(trial_setting("readers_needed")))


def rendered(job: Job) -> Rendered:
    """Return the frames of a trial with its truth, difficulty and description as plain data.

    The truth's `trial` says what is asked about, the band, and what is `seen`.

    Raises
    ------
    NoSceneError
        No scene of this band shows what the kind is to show.

    Examples
    --------
    >>> from cubital.scene.files.planning import Size
    >>> job = Job("a", "trial-roll-clear", 1, 0.2, Size(240, 180, 0.5, 12))
    >>> rendered(job).truth["truth"]["trial"]["seen"]
    ['roll']
    """
    what, band = trial_of(job.kind)
    refused: ValueError | None = None
    for attempt in range(ATTEMPTS):
        chance = generator("difficulty of a trial", job.seed, attempt // SAME)
        level = job.difficulty if attempt < SAME else drawn_difficulty(job.kind, chance)
        tried = replace(job, difficulty=level)
        try:
            found = (
                _still(tried, what, attempt) if what in STILLS else _moving(tried, what, attempt)
            )
            _check_band(found.difficulty, band)
        except ValueError as error:  # no such scene by this chance: by the next
            refused = error
            continue
        told = found.truth | {"trial": {"what": what, "band": band, "seen": _seen(what)}}
        moving = () if what in STILLS else (found.frames, picture.background(found.scene))
        words = describing.describe(told, *moving)
        return Rendered(
            found.frames,
            {
                "truth": told,
                "difficulty": found.difficulty.plain(),
                "description": {"sentences": list(words.sentences)},
            },
        )
    raise NoSceneError(
        f"no scene of the kind {job.kind!r} was found in {ATTEMPTS} attempts. The last: {refused}"
    )


def _seen(what: str) -> list[str]:
    return [] if what in UNSEEN else [what]


def _check_band(measured: difficulty.Difficulty, band: str) -> None:
    low, high = bands()[band]
    if not low <= measured.level <= high:
        raise SetAsideError(f"its difficulty is {measured.level:g}, not that of the band {band}")
    if measured.contrast_to_noise < floor():
        raise SetAsideError("it is under the floor of what is seen")


def _found(job: Job, attempt: int, structure: str) -> difficulty.Found:
    view = View(job.size.width_px, job.size.height_px, job.size.mm_per_px)
    seed = f"trial/{job.seed}/{attempt}"
    return difficulty.found(
        job.difficulty, seed=seed, kind=structure, view=view, within=WITHIN, attempts=PERSONS
    )


# --------------------------------------------------------------------------------------- stills


def _still(job: Job, what: str, attempt: int) -> Shown:
    structure = STRUCTURES[what]
    scene, told, measured = _found(job, attempt, structure)
    if what == "no-fork":  # drawn as one with a fork, so that nothing else tells them apart
        _check_fork(told)
        scene = _without_forks(scene)
        told = truths.truth(scene)
    _STILL_CHECKS[what](told)
    return Shown(picture.frame(scene)[None], told, measured, scene)


def _without_forks(scene: Scene) -> Scene:
    """Return the scene without the veins that join or leave others in the picture.

    The larger vein of each fork runs on, so that bands still lie beside each other.
    """
    left = {vessel.key: vessel for vessel in scene.anatomy.vessels}
    while True:
        parts = [key for key, vessel in left.items() if _parts_in_picture(scene.view, vessel, left)]
        if not parts:
            break
        least = min(parts, key=lambda key: float(left[key].diameter_mm.mean()))
        gone = {least}
        while more := {
            key for key, v in left.items() if key not in gone and gone & {v.into, v.out_of}
        }:
            gone |= more
        left = {key: vessel for key, vessel in left.items() if key not in gone}
    anatomy = scene.anatomy
    return replace(
        scene,
        anatomy=replace(
            anatomy,
            vessels=tuple(left.values()),
            valves=tuple(valve for valve in anatomy.valves if valve.vessel in left),
            confluences=tuple(
                one for one in anatomy.confluences if one.joining in left and one.joined in left
            ),
        ),
    )


def _parts_in_picture(view: View, vessel: Vessel, others: Mapping[str, Vessel]) -> bool:
    """Tell whether a vein joins or leaves another one in the picture."""
    ends = [(-1, vessel.into), (0, vessel.out_of)]
    places = [
        to_picture(view, float(vessel.x_mm[at]), float(vessel.y_mm[at]))
        for at, meets in ends
        if meets in others
    ]
    return any(_is_near(view, float(column), float(row)) for column, row in places)


def _is_near(view: View, column: float, row: float) -> bool:
    """Tell whether a place lies in the picture or hardly beyond its edge."""
    inside = -EDGE_PX <= column <= view.width_px + EDGE_PX
    return inside and -EDGE_PX <= row <= view.height_px + EDGE_PX


def _check_fork(told: Mapping[str, Any]) -> None:
    if not any(row["visible"] for row in told["bifurcations"]):
        raise SetAsideError("no fork is seen")


def _check_no_fork(told: Mapping[str, Any]) -> None:
    _check_beside(told)
    if told["bifurcations"]:
        raise SetAsideError("a fork is there")
    if any(row["visible"] for row in told["crossings"]):
        raise SetAsideError("bands cross")


def _is_seen_artery(row: Mapping[str, Any]) -> bool:
    return row["kind"] == "artery" and bool(row["visible"])


def _check_beside(told: Mapping[str, Any]) -> None:
    seen = {row["vessel"] for row in told["segments"] if row["visible"]}
    if len(seen) < LEAST_VEINS:
        raise SetAsideError("fewer than two bands are seen")


def _check_artery(told: Mapping[str, Any]) -> None:
    _check_beside(told)
    if not any(map(_is_seen_artery, told["segments"])):
        raise SetAsideError("no artery is seen")


def _check_veins(told: Mapping[str, Any]) -> None:
    _check_beside(told)
    if any(row["kind"] == "artery" for row in told["segments"]):
        raise SetAsideError("an artery is there")


_STILL_CHECKS = {
    "fork": _check_fork,
    "no-fork": _check_no_fork,
    "artery": _check_artery,
    "veins": _check_veins,
}


# --------------------------------------------------------------------------------------- series


def _moving(job: Job, what: str, attempt: int) -> Shown:
    scene, _, measured = _found(job, attempt, "vein")
    event, interval_s = _event(what, scene, job)
    frames = job.size.frames
    if event.picture_changes and not series.shows(
        event, scene, frames=frames, interval_s=interval_s
    ):
        raise SetAsideError(f"the {what} is not seen")
    shown = series.series(event, scene, frames=frames, interval_s=interval_s)
    told = truths.truth(scene, shown)
    if told["events"][0]["visible"] != bool(_seen(what)):
        raise SetAsideError(f"the {what} is not seen in the frames")
    return Shown(shown.frames, told, measured, scene)


def _event(what: str, scene: Scene, job: Job) -> tuple[Event, float]:
    """Return the event, and the longest of the times between two frames that it is seen at [s]."""
    usual_s = events.EVENTS[what].usual_interval_s()
    steps = trial_setting("steps")
    chance = generator("onset of a trial", job.seed)
    frame = int(chance.integers(*ONSET_FRAMES))
    refused = None
    for step in steps.get(what, steps["default"]):
        interval_s = step * usual_s
        onset = {} if what == "nothing" else {"onset_s": frame * interval_s}
        try:
            event = events.drawn(what, scene, seed=job.seed, **onset)
            event.verify(scene, interval_s * np.arange(job.size.frames))
        except ValueError as error:
            refused = error
        else:
            return event, interval_s
    raise SetAsideError(f"no {what} can be followed: {refused}")
