"""Renderers in place of the real one: quick, and importable by the processes of a pool."""

import os
import signal

import numpy as np

from cubital.scene.chance import generator
from cubital.scene.files.planning import Job, Rendered


def draw(job: Job) -> Rendered:
    """Noise, with many dark dots where there is a valve: a compressed file would be longer."""
    chance = generator("stand-in", job.seed)
    size = job.size
    frames = np.full((size.frames, size.height_px, size.width_px), 120, np.uint8)
    part = frames[:, : size.height_px // 4]
    part[...] = chance.integers(100, 140, part.shape)
    if job.kind == "valve":
        part = frames[:, -(size.height_px // 8) :]
        part[...] = chance.integers(40, 60, part.shape)
    return Rendered(frames, {"truth": {"valves": [1] if job.kind == "valve" else []}})


def draw_and_stop(job: Job) -> Rendered:
    """Draw, but raise at the fifth picture of this process."""
    draw_and_stop.done += 1
    if draw_and_stop.done == 5:
        raise KeyboardInterrupt
    return draw(job)


draw_and_stop.done = 0


def draw_and_die(job: Job) -> Rendered:
    """Draw, but kill this process at its fifth picture, as if the power failed."""
    draw_and_die.done += 1
    if draw_and_die.done == 5:
        os.kill(os.getpid(), signal.SIGKILL)
    return draw(job)


draw_and_die.done = 0


def too_small(job: Job) -> Rendered:
    """Draw a picture that is a row too short."""
    frames, truth = draw(job)
    return Rendered(frames[:, 1:], truth)
