"""One entry of a pool, rendered: a picture or a series of its kind, with all that is true of it.

Simulated, not clinically validated.
"""

from dataclasses import replace
from typing import Any, NamedTuple

from cubital.scene.anatomy.vessels import Scene, View
from cubital.scene.chance import generator
from cubital.scene.files import trials
from cubital.scene.files.planning import (
    SERIES,
    TRIAL,
    Job,
    NoSceneError,
    Rendered,
    drawn_difficulty,
)
from cubital.scene.happening import events, series
from cubital.scene.happening.event import Event
from cubital.scene.light import picture
from cubital.scene.truth import describing, difficulty
from cubital.scene.truth import truth as truths

ATTEMPTS = 30  # scenes drawn at one difficulty, until one shows what it is to show
DIFFICULTIES = 10  # tried before a kind counts as one that cannot be drawn: the job's own first
WITHIN = 0.1  # of the difficulty drawn; that which a scene has is measured and stored
PERSONS = 3  # of one site looked at in each attempt
STRUCTURE = {"valve": "valve", "no-valve": "valve", "bifurcation": "bifurcation"}
STRUCTURE |= {"artery": "artery"}


class Sought(NamedTuple):
    """A scene that shows what a job is to show, before any frame of it is rendered.

    `truth` and `difficulty` are those of the scene at rest; `event` is None for a single picture.
    """

    scene: Scene
    truth: dict[str, Any]
    difficulty: difficulty.Difficulty
    event: Event | None = None


def sought(job: Job) -> Sought:
    """Return the scene of a job, found by chance from its seed, without rendering frames.

    Where none is found at the job's difficulty, another one is drawn from the job's seed, so that
    no pool fails by chance.

    Raises
    ------
    NoSceneError
        No scene at any difficulty shows what the kind is to show; the text names the kind.

    Examples
    --------
    >>> from cubital.scene.files.planning import Size
    >>> sought(Job("a", "series-nothing", 1, 0.3, Size(320, 240, 0.4, 3))).event.kind
    'nothing'
    """
    refused = None
    search = _series if job.kind.startswith(SERIES) else _picture
    for attempt in range(DIFFICULTIES * ATTEMPTS):
        tried = _at_difficulty(job, attempt // ATTEMPTS)
        try:
            return search(tried, f"{job.seed}/{attempt}")
        except ValueError as error:  # no such scene by this chance: by the next
            refused = error
    raise NoSceneError(
        f"no scene of the kind {job.kind!r} was found in {DIFFICULTIES * ATTEMPTS} attempts at "
        f"{DIFFICULTIES} difficulties, so that this kind cannot be drawn at "
        f"{job.size.width_px} x {job.size.height_px} px: ask for larger pictures, or leave the "
        f"kind out. The last attempt: {refused}"
    )


def _at_difficulty(job: Job, number: int) -> Job:
    """Return the job at its own difficulty, or at another one drawn from its seed."""
    if number == 0:
        return job
    chance = generator("difficulty of a job", job.seed, number)
    return replace(job, difficulty=drawn_difficulty(job.kind, chance))


def rendered(job: Job) -> Rendered:
    """Return the frames of a job and its truth, difficulty and description as plain data.

    Examples
    --------
    >>> from cubital.scene.files.planning import Size
    >>> found = rendered(Job("a", "bifurcation", 1, 0.3, Size(320, 240, 0.4)))
    >>> found.frames.shape, len(found.truth["truth"]["bifurcations"]) > 0
    ((1, 240, 320), True)
    """
    if job.kind.startswith(TRIAL):
        return trials.rendered(job)
    found = sought(job)
    if found.event is None:
        words = describing.describe(found.truth)
        return Rendered(picture.frame(found.scene)[None], _plain(found.truth, found, words))
    shown = series.series(found.event, found.scene, frames=job.size.frames)
    told = truths.truth(found.scene, shown)
    words = describing.describe(told, shown.frames, picture.background(found.scene))
    return Rendered(shown.frames, _plain(told, found, words))


def _found(job: Job, seed: str, kind: str) -> difficulty.Found:
    view = View(job.size.width_px, job.size.height_px, job.size.mm_per_px)
    return difficulty.found(
        job.difficulty, seed=seed, kind=kind, view=view, within=WITHIN, attempts=PERSONS
    )


def _picture(job: Job, seed: str) -> Sought:
    structure = STRUCTURE[job.kind]
    scene, told, measured = _found(job, seed, structure)
    if not any(row["visible"] for row in _listed(told, structure)):
        raise ValueError(f"the {structure} is not seen")
    if job.kind == "no-valve":  # drawn as one with a valve, so that nothing else tells them apart
        scene = replace(scene, anatomy=replace(scene.anatomy, valves=()))
        told = truths.truth(scene)
        measured = difficulty.measure(scene, truth=told)
    return Sought(scene, told, measured)


def _listed(told: dict[str, Any], structure: str) -> list[dict[str, Any]]:
    if structure == "artery":
        return [row for row in told["segments"] if row["kind"] == "artery"]
    return told[f"{structure}s"]


def _series(job: Job, seed: str) -> Sought:
    scene, told, measured = _found(job, seed, "vein")
    event = events.drawn(job.kind.removeprefix(SERIES), scene, seed=job.seed)
    if not series.shows(event, scene, frames=job.size.frames) and event.picture_changes:
        raise ValueError(f"the {event.kind} is not seen")
    return Sought(scene, told, measured, event)


def _plain(told: dict[str, Any], found: Sought, words: describing.Description) -> dict[str, Any]:
    return {
        "truth": told,
        "difficulty": found.difficulty.plain(),
        "description": {"sentences": list(words.sentences)},
    }
