"""How quick simulated pictures, series and pools are, and how much memory a pool takes.

Times are those of the work itself on one core (processor time), after a warm-up, so that a busy
machine changes them little. A pool of 60 is measured and taken up to 500; on two cores it takes
half of its processor time, if both are free. About two minutes.
"""

import json
import os
import subprocess
import sys
import tempfile
import time
from functools import partial
from pathlib import Path
from statistics import median

from cubital.scene.anatomy.person import SITES, anatomy
from cubital.scene.anatomy.vessels import Scene, Skin
from cubital.scene.happening import events, series
from cubital.scene.light import picture
from cubital.scene.truth import truth

TIMES = 9
POOL, WANTED = 60, 500
CORES = 2
# renders a pool in this process, and tells processor time and memory at its half and at its end
PROGRAM = """
import json, resource, sys, time
from pathlib import Path
from cubital.scene.files import pools, rendering

def memory():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024

def render(job):
    found = rendering.rendered(job)
    at.append((time.process_time(), memory()))
    return found

at = []
number = int(sys.argv[2])
pools.render_pool(Path(sys.argv[1]), number=number, seed=1, processes=1,
                  render=render)
first, half, last = at[0], at[number // 2], (time.process_time(), memory())
print(json.dumps({"seconds": (last[0] - first[0]) / (number - 1), "half": half[1], "end": last[1]}))
"""


def cpu_seconds(work) -> float:
    """Return the processor time of one call."""
    start = time.process_time()
    work()
    return time.process_time() - start


def scenes(first: int) -> list[Scene]:
    """Return new scenes, of which nothing is kept from before."""
    return [
        Scene(anatomy(SITES[at % len(SITES)], seed=first + at), Skin(hairs_per_cm2=3), seed=at)
        for at in range(TIMES)
    ]


def one_series(scene: Scene) -> None:
    """Render forty frames of a flush: vessels are drawn anew in most of them."""
    series.series(events.drawn("flush", scene), scene, frames=40)


def pool(folder: Path) -> dict[str, float]:
    """Render a pool in a process of its own; return seconds for each picture and memory."""
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(folder), str(POOL)],
        check=True,
        capture_output=True,
        text=True,
    )
    return json.loads(done.stdout)


def rows() -> list[tuple[str, float, str, str]]:
    """Time frames, series and a pool, and take the memory of a pool at its half and its end."""
    picture.frame(scenes(1000)[0])
    new = scenes(0)
    frames = [cpu_seconds(partial(picture.frame, scene)) for scene in new]
    known = [cpu_seconds(partial(picture.frame, new[-1], number=at)) for at in range(TIMES)]
    truths = [cpu_seconds(partial(truth.truth, scene)) for scene in new]
    flushed = [cpu_seconds(partial(one_series, scene)) for scene in scenes(100)[:3]]
    with tempfile.TemporaryDirectory() as folder:
        told = pool(Path(folder) / "pool")
    minutes = WANTED * told["seconds"] / CORES / 60
    size = "640 x 480"
    return [
        (f"first frame of a scene, {size}", 1000 * median(frames), "ms of one core", "<= 100"),
        (f"another frame of it, {size}", 1000 * median(known), "ms of one core", "<= 100"),
        (f"truth of a scene, {size}", 1000 * median(truths), "ms of one core", ""),
        (f"series of 40 frames, {size}, a flush", median(flushed), "s of one core", "<= 2"),
        (
            f"pool of {WANTED}, from one of {POOL}",
            minutes,
            f"min on {CORES} cores; this machine has {os.cpu_count()}",
            "<= 3",
        ),
        ("pool's memory at its end", told["end"] / told["half"], "of that at its half", "<= 1.1"),
        ("pool's memory at its end", told["end"], "MB in one process", ""),
    ]
