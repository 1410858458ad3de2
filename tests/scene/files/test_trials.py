"""Trials show what they are said to, as the frames alone tell, also once they are compressed."""

import functools
import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image
from scipy import ndimage

from cubital import items
from cubital.handin.released import pictures
from cubital.scene.files import picture_files, planning, rendering, trials
from cubital.scene.files.planning import bands, planned, trial_kind

SERIES = ("refill", "flush", "roll", "infiltration", "haematoma", "nothing")
KEPT = {"trial": "series", "trial-still": "still"}


CHANGED = 7  # grains: what only stirs and flickers has some 4


@functools.cache
def rendered(what, band, seed=3):
    (job,) = planned({trial_kind(what, band): 1}, seed=f"{seed} {what}")
    return job, rendering.rendered(job)


def decoded(job, frames):
    """The frames as a learner gets them, and the length of their file."""
    name = KEPT[planning.size_name(job.kind)]
    length = planning.trial_setting(f"{name}_bytes")
    pixels = picture_files.strip(picture_files.brightened(frames))
    quality = planning.trial_setting(f"{name}_quality")
    data = picture_files.jpeg_bytes(pixels, quality=quality, length=length)
    return np.asarray(Image.open(io.BytesIO(data))).reshape(frames.shape), len(data) == length


SHORT = {("refill", "faint"), ("haematoma", "clear"), ("nothing", "middling"), ("roll", "faint")}
CASES = [
    pytest.param(what, band, marks=[] if (what, band) in SHORT else pytest.mark.long)
    for what in SERIES
    for band in bands()
]


@pytest.mark.parametrize(("what", "band"), CASES)
def test_a_trial_is_of_its_band_and_shows_what_it_says(what, band):
    job, found = rendered(what, band)
    told, low_high = found.truth["truth"], bands()[band]
    assert low_high[0] <= found.truth["difficulty"]["level"] <= low_high[1]
    assert found.truth["difficulty"]["contrast_to_noise"] >= trials.floor()
    seen = [] if what == "nothing" else [what]
    assert told["trial"] == {"what": what, "band": band, "seen": seen}
    assert [row["kind"] for row in told["events"] if row["visible"]] == seen
    assert found.frames.shape == (job.size.frames, job.size.height_px, job.size.width_px)


def largest_change(frames):
    """The largest lasting change of a patch of 5 px, over the grain of such patches.

    Each frame is brought back to the first by the shift, of whole and half pixels, that leaves the
    least difference, and by its brightness: nothing of the scene is asked.
    """
    smooth = [ndimage.gaussian_filter(frame.astype(float), 2.0) for frame in frames]
    lit = smooth[0] > 0.4 * np.percentile(smooth[0], 95)
    lit = ndimage.binary_erosion(lit, iterations=9)
    steps = np.arange(-2.5, 2.6, 0.5)
    ratios = []
    for frame in smooth[1:]:
        best = None
        for y in steps:
            for x in steps:
                ratio = (ndimage.shift(frame, (y, x), order=1, mode="nearest") / smooth[0])[lit]
                ratio /= np.median(ratio)
                spread = float(np.percentile(np.abs(ratio - 1), 75))
                if best is None or spread < best[0]:
                    best = spread, ratio
        ratios.append(best[1] - 1)
    changed = np.abs(np.array(ratios))
    pairs = np.minimum(changed[:-1], changed[1:])  # in two frames one after the other
    return float(np.percentile(pairs, 99.9) / np.median(changed))


@pytest.mark.parametrize(("what", "band"), CASES)
def test_the_frames_alone_tell_whether_something_changes(what, band):
    found = largest_change(rendered(what, band)[1].frames)
    assert (found > CHANGED) == (what != "nothing")


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


@pytest.mark.parametrize(
    ("what", "band"),
    [
        ("nothing", "clear"),
        ("nothing", "faint"),
        ("fork", "faint"),
        pytest.param("nothing", "middling", marks=pytest.mark.long),
        pytest.param("fork", "clear", marks=pytest.mark.long),
        pytest.param("fork", "middling", marks=pytest.mark.long),
    ],
)
def test_compression_leaves_contrast_and_noise_as_they_were(what, band):
    job, found = rendered(what, band)
    kept, has_its_length = decoded(job, found.frames)
    assert has_its_length
    told = found.truth["truth"]
    before, grain = contrast_and_noise(picture_files.brightened(found.frames), told)
    after, grain_after = contrast_and_noise(kept, told)
    assert len(before)
    assert after == pytest.approx(before, abs=0.004)
    assert grain_after <= 1.05 * grain


def test_all_trials_of_a_size_have_one_length():
    lengths = set()
    for band in bands():
        job, found = rendered("nothing", band)
        kept, whole = decoded(job, found.frames)
        lengths.add((kept.shape, whole))
    assert len(lengths) == 1
    assert lengths.pop()[1]


def test_a_picture_without_forks_has_bands_and_no_fork():
    for band in ("clear", "faint"):
        _, found = rendered("no-fork", band)
        told = found.truth["truth"]
        assert told["bifurcations"] == []
        assert len({row["vessel"] for row in told["segments"] if row["visible"]}) >= 2
        _, found = rendered("fork", band)
        assert any(row["visible"] for row in found.truth["truth"]["bifurcations"])


def test_a_leak_that_cannot_be_seen_is_there_and_changes_no_frame():
    _, found = rendered("infiltration-unseen", "clear")
    told = found.truth["truth"]
    assert told["trial"]["seen"] == []
    (event,) = told["events"]
    assert event["details"]["volume_at_end_ml"] > 0
    assert not event["visible"]
    assert told["changes"] == []


def test_a_kind_that_cannot_be_drawn_is_refused():
    (job,) = planned({trial_kind("fork", "clear"): 1}, seed=1)
    small = replace(job, size=planning.Size(16, 16, 0.2))
    with pytest.raises(planning.NoSceneError, match="trial-fork-clear"):
        rendering.rendered(small)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("worksheet", ["reading-the-vein", "reaching-the-vein", "complications"])
def test_every_trial_of_a_seed_finds_its_scene(worksheet, seed):
    wanted = pictures.wanted(items.WORKSHEETS[worksheet])
    for job in planned(wanted, seed=f"long {seed}"):
        if job.kind.startswith(planning.TRIAL):
            assert rendering.rendered(job).truth["truth"]["trial"]["what"] in job.kind
