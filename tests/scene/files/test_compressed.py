"""Compressed pictures show what was recorded: bands as dark, no more grain, changes as large.

Trials and series are kept as JPEG files of one length; what is measured here is measured in the
frames alone, once as they were recorded and once as a learner gets them.
"""

import functools
import io

import numpy as np
import pytest
from PIL import Image
from scipy import ndimage

from cubital.scene.files import picture_files, planning, pools, rendering

SHARE = 0.004  # of the skin's brightness: what compression may change, where grain is not coarser
MORE = 0.1  # of the grain: a still of middling difficulty gets 8 % more, the other files less
AT_REST = range(1, 6)  # frames after the first in which nothing happens yet
PATCH_PX, PLACE_PX = 2.0, 4.0  # of a patch's smoothing: an eye's at a band, and where a change is


@functools.cache
def kept(kind, seed):
    """The frames as recorded and as a learner gets them, their truth, and the file's length."""
    (job,) = planning.planned({kind: 1}, seed=seed)
    found = rendering.rendered(job)
    data = pools._file_bytes(job, found.frames)
    frames = np.asarray(Image.open(io.BytesIO(data))).reshape(found.frames.shape)
    return picture_files.brightened(found.frames), frames, found.truth["truth"], len(data)


def contrast_and_noise(frames, told):
    """How dark each seen band is beside the skin on either side of it, and the grain beside it."""
    scale = told["picture"]["mm_per_px"]
    image = frames[0].astype(float)
    smooth = ndimage.gaussian_filter(image, 1.0)
    rows = []
    for segment in told["segments"]:
        seen = np.array(segment["seen"], bool)
        column, row = np.array(segment["column"])[seen], np.array(segment["row"])[seen]
        if len(column) < 8:
            continue
        width = np.array(segment["seen_width_mm"])[seen] / scale
        dx, dy = np.gradient(column), np.gradient(row)
        long = np.maximum(np.hypot(dx, dy), 1e-9)
        away = 0.9 * width
        middle = ndimage.map_coordinates(smooth, [row, column], order=1)
        sides = [
            ndimage.map_coordinates(
                smooth,
                [row + way * away * dx / long, column - way * away * dy / long],
                order=1,
                mode="nearest",
            )
            for way in (1, -1)
        ]
        rows.append(1 - middle.mean() / np.mean(sides))
    grain = float(np.std((image - ndimage.gaussian_filter(image, 1.5))[image > 60]))
    return np.array(rows), grain


def flicker(frames, smoothing):
    """How much lit patches differ from one frame to the next, as a share of their brightness."""
    smooth = ndimage.gaussian_filter(frames[::6].astype(float), (0, smoothing, smoothing))
    later = ndimage.gaussian_filter(frames[1::6].astype(float), (0, smoothing, smoothing))
    both = min(len(smooth), len(later))
    change = later[:both] / np.maximum(smooth[:both], 1) - 1
    return float(np.std(change[:, frames[0] > 60]))


def changes(frames, told):
    """How much brighter or darker each place is where something changes, when it does most."""
    found = []
    for row in told["changes"]:
        pair = [frames[number].astype(float) for number in (0, row["most_frame"])]
        place = round(row["row"]), round(row["column"])
        first, most = (ndimage.gaussian_filter(frame, PLACE_PX)[place] for frame in pair)
        found.append(most / first - 1)
    return np.array(found)


GRAINY = "g4 series-nothing"  # of some forty the one with the coarsest grain
CASES = [
    ("trial-nothing-clear", "3 nothing"),
    ("trial-fork-faint", "3 fork"),
    ("series-nothing", GRAINY),
    ("series-haematoma", "1 series-haematoma"),
    ("series-refill", "2 series-refill"),
]
LONG = [
    *(
        (f"trial-{what}-{band}", f"3 {what}")
        for what in ("nothing", "fork")
        for band in planning.bands()
    ),
    *((f"series-{what}", f"{n} series-{what}") for what in planning.MOVING for n in (1, 2)),
    *(("series-nothing", f"g{n} series-nothing") for n in (6, 9)),
    ("series-roll", "g0 series-roll"),
]
CASES += [pytest.param(*one, marks=pytest.mark.long) for one in LONG if one not in CASES]


@pytest.mark.parametrize(("kind", "seed"), CASES)
def test_compression_leaves_bands_grain_and_changes_as_they_were(kind, seed):
    recorded, shown, told, length = kept(kind, seed)
    assert length == planning.kept(kind).length
    before, grain = contrast_and_noise(recorded, told)
    after, grain_after = contrast_and_noise(shown, told)
    assert len(before)
    by_grain = 0.0
    if len(recorded) > 1:  # by how much the grain of the next frames alone changes it
        others = (contrast_and_noise(recorded[at : at + 1], told)[0] for at in AT_REST)
        by_grain = float(np.median([np.abs(other - before).max() for other in others]))
    assert after == pytest.approx(before, abs=max(SHARE, by_grain / 2))
    assert grain_after <= (1 + MORE) * grain
    if len(recorded) > 1:
        assert flicker(shown, PATCH_PX) == pytest.approx(flicker(recorded, PATCH_PX), rel=MORE)
        places = changes(recorded, told)
        at_place = max(SHARE, flicker(recorded, PLACE_PX))
        assert changes(shown, told) == pytest.approx(places, abs=at_place)


def test_the_coarsest_grain_leaves_room_in_its_file():
    """A release must never stop at a picture: half as much again fits at the least quality."""
    recorded, _, _, _ = kept("series-nothing", GRAINY)
    how = planning.kept("series-nothing")
    pixels = picture_files.strip(recorded)
    assert picture_files.jpeg_bytes(pixels, qualities=how.qualities[:1], length=how.length * 2 // 3)


@pytest.mark.parametrize(
    "kinds", [("trial-nothing-clear", "trial-nothing-faint"), ("series-roll",)]
)
def test_all_files_of_a_size_have_one_length(kinds):
    even = np.full((40, 240, 320), 120, np.uint8)
    for kind in kinds:
        (job,) = planning.planned({kind: 1}, seed=1)
        size = job.size
        chance = np.random.default_rng(1)
        noisy = chance.integers(100, 140, (size.frames, size.height_px, size.width_px), np.uint8)
        lengths = {
            len(pools._file_bytes(job, frames))
            for frames in (noisy, even[: size.frames, : size.height_px, : size.width_px])
        }
        assert lengths == {planning.kept(kind).length}
