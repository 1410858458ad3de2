"""How quick a series of frames is, against as many frames taken one by one.

A series takes more for the tremor of hand and light, and for what its record tells.
"""

from timing import by_turns, once

from cubital.scene.anatomy import person
from cubital.scene.anatomy.vessels import Scene
from cubital.scene.happening.event import Event
from cubital.scene.happening.events import EVENTS, Nothing, drawn
from cubital.scene.happening.series import series
from cubital.scene.light import picture

FRAMES = 40
TURNS = 3


def some_scene() -> Scene:
    """Return the first scene in which a refill can be seen."""
    for seed in range(100):
        scene = Scene(person.anatomy("forearm", seed=seed), seed=seed)
        try:
            drawn("refill", scene)
        except ValueError:
            continue
        return scene
    raise ValueError("no forearm of 100 has a stretch of vein that can be held empty")


def one_by_one(event: Event, scene: Scene) -> None:
    """Take the same frames singly, by a hand and a light that do not stir."""
    for number in range(FRAMES):
        change = event.change(scene, number * event.usual_interval_s())
        picture.frame(scene, number=number, change=change)


def rows() -> list[tuple[str, float, str, str]]:
    """Return times of series of each kind, 640 x 480."""
    scene = some_scene()
    series(Nothing(), scene, frames=2)  # load what is needed, and lay the vessels on the picture

    found = []
    for kind in EVENTS:
        event = drawn(kind, scene)
        whole, single = by_turns(
            lambda event=event: once(lambda: series(event, scene, frames=FRAMES)),
            lambda event=event: once(lambda: one_by_one(event, scene)),
            times=TURNS,
        )
        what = f"series of {FRAMES} frames, {kind}"
        found.append((what, whole, "s; wanted: 2 s or less on one core", ""))
        found.append((what, whole / single, "over as many single frames", "<= 1.8"))
    return found
