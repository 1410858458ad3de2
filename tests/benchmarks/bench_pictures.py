"""How long pictures take: of a new scene, of a series, by what is in them; processing.

Time of one core, as the process itself was given it, after a first picture has loaded what they
need. Under a minute.
"""

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from time import process_time

import numpy as np
from timing import by_turns

from cubital.scene.anatomy import person
from cubital.scene.anatomy.vessels import Camera, Change, Scene, Skin, View
from cubital.scene.light import picture, processing

FRAMES = 40
SCENES = 6


def once(work: Callable[[], object]) -> float:
    """Return the seconds of one core that one call takes."""
    start = process_time()
    work()
    return process_time() - start


def scenes() -> list[Scene]:
    """Return forearms of several people, with hair."""
    return [
        Scene(person.anatomy("forearm", seed=seed), Skin(hairs_per_cm2=3), seed=seed)
        for seed in range(SCENES)
    ]


def new_frames(of: list[Scene]) -> float:
    """Return the seconds that a frame of a scene takes that was never seen before."""
    fresh = [replace(scene) for scene in of]
    return once(lambda: [picture.frame(scene) for scene in fresh]) / len(fresh)


def known_frame(scene: Scene) -> float:
    """Return the seconds that another frame of a scene takes."""
    picture.frame(scene)
    return once(lambda: picture.frame(scene, number=1))


def series(scene: Scene) -> float:
    """Return the seconds for frames in which one vein fills."""
    (key, along) = next((vessel.key, vessel.along_mm) for vessel in scene.anatomy.vessels)
    fillings = [np.clip(along - 2 * number, 0, 1) for number in range(FRAMES)]
    fresh = replace(scene)
    return once(
        lambda: [
            picture.frame(fresh, number=number, change=Change(filling={key: filling}))
            for number, filling in enumerate(fillings)
        ]
    )


def rows() -> list[tuple[str, float, str, str]]:
    """Time frames, series and processing by turns."""
    of = scenes()
    picture.frame(of[0])
    tilted = [replace(scene, view=View(tilt_deg=35)) for scene in of]
    moved = [replace(scene, camera=Camera(motion_px=12, motion_deg=30)) for scene in of]
    frame = picture.frame(of[0])
    process = partial(processing.process, frame, filter_mm=6.0, gain=4)
    plain, slanted, smeared, known, forty, processed = by_turns(
        partial(new_frames, of),
        partial(new_frames, tilted),
        partial(new_frames, moved),
        partial(known_frame, of[0]),
        partial(series, of[1]),
        partial(once, process),
        times=5,
    )
    return [
        ("a frame of 640 x 480 of a new scene", 1000 * plain, "ms", "<= 100"),
        ("the same, tilted: focus varies over it", 1000 * slanted, "ms", "<= 150"),
        ("the same, smeared by motion", 1000 * smeared, "ms", "<= 150"),
        ("another frame of a known scene", 1000 * known, "ms", ""),
        (f"a series of {FRAMES} frames, a vein filling", forty, "s", "<= 2"),
        (
            "a frame of that series over one of a new scene",
            forty / FRAMES / plain,
            "ratio",
            "< 0.5",
        ),
        ("processing a frame", 1000 * processed, "ms", "<= 100"),
    ]
