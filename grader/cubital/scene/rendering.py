"""One entry of a pool, rendered: a picture or a series of its kind, with all that is true of it.

Simulated, not clinically validated.
"""

from dataclasses import replace
from typing import Any

from cubital.scene import describing, difficulty, events, picture, series
from cubital.scene import truth as truths
from cubital.scene.pools import SERIES, Job, Rendered
from cubital.scene.vessels import View

ATTEMPTS = 30  # scenes drawn for one entry, until one shows what it is to show
WITHIN = 0.1  # of the difficulty drawn; that which a scene has is measured and stored
PERSONS = 3  # of one site looked at in each attempt
STRUCTURE = {"valve": "valve", "no-valve": "valve", "bifurcation": "bifurcation"}
STRUCTURE |= {"artery": "artery"}


def rendered(job: Job) -> Rendered:
    """Return the frames of a job and its truth, difficulty and description as plain data.

    Examples
    --------
    >>> from cubital.scene.pools import Size
    >>> found = rendered(Job("a", "bifurcation", 1, 0.3, Size(320, 240, 0.4)))
    >>> found.frames.shape, len(found.truth["truth"]["bifurcations"]) > 0
    ((1, 240, 320), True)
    """
    refused = None
    for attempt in range(ATTEMPTS):
        seed = f"{job.seed}/{attempt}"
        try:
            return _series(job, seed) if job.kind.startswith(SERIES) else _picture(job, seed)
        except ValueError as error:  # no such scene by this chance: by the next
            refused = error
    raise ValueError(f"no scene for {job.kind} was found in {ATTEMPTS} attempts: {refused}")


def _found(job: Job, seed: str, kind: str) -> difficulty.Found:
    view = View(job.size.width_px, job.size.height_px, job.size.mm_per_px)
    return difficulty.found(
        job.difficulty, seed=seed, kind=kind, view=view, within=WITHIN, attempts=PERSONS
    )


def _picture(job: Job, seed: str) -> Rendered:
    structure = STRUCTURE[job.kind]
    scene, told, measured = _found(job, seed, structure)
    if not any(row["visible"] for row in _listed(told, structure)):
        raise ValueError(f"the {structure} is not seen")
    if job.kind == "no-valve":  # drawn as one with a valve, so that nothing else tells them apart
        scene = replace(scene, anatomy=replace(scene.anatomy, valves=()))
        told = truths.truth(scene)
        measured = difficulty.measure(scene, truth=told)
    return Rendered(picture.frame(scene)[None], _plain(told, measured))


def _listed(told: dict[str, Any], structure: str) -> list[dict[str, Any]]:
    if structure == "artery":
        return [row for row in told["segments"] if row["kind"] == "artery"]
    return told[f"{structure}s"]


def _series(job: Job, seed: str) -> Rendered:
    scene, _, measured = _found(job, seed, "vein")
    event = events.drawn(job.kind.removeprefix(SERIES), scene, seed=job.seed)
    found = series.series(event, scene, frames=job.size.frames)
    if event.picture_changes and not all(record.picture_changes for record in found.events):
        raise ValueError(f"the {event.kind} is not seen")
    return Rendered(found.frames, _plain(truths.truth(scene, found), measured))


def _plain(told: dict[str, Any], measured: difficulty.Difficulty) -> dict[str, Any]:
    words = describing.describe(told)
    return {
        "truth": told,
        "difficulty": measured.plain(),
        "description": {"sentences": list(words.sentences), "data": words.data},
    }
