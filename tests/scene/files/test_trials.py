"""Trials show what they are said to, as the frames alone tell."""

import functools
from dataclasses import replace

import numpy as np
import pytest
from scipy import ndimage

from cubital import items
from cubital.handin.released import pictures
from cubital.scene.files import planning, rendering, trials
from cubital.scene.files.planning import bands, planned, trial_kind

SERIES = ("refill", "flush", "roll", "infiltration", "haematoma", "nothing")
MARKS = {"mole", "scar", "glare"}
CHANGED = 7  # grains: what only stirs and flickers has some 4


@functools.cache
def rendered(what, band, seed=3):
    (job,) = planned({trial_kind(what, band): 1}, seed=f"{seed} {what}")
    return job, rendering.rendered(job)


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


def shares_with_a_mark(what, number):
    """How many of the trials of some seeds have a mole, a scar or glare in the picture."""
    jobs = planned({trial_kind(what, "clear"): number}, seed="marks")
    told = [rendering.rendered(job).truth["truth"]["surface"] for job in jobs]
    return sum(any(row["kind"] in MARKS for row in rows) for rows in told) / number


@pytest.mark.long
@pytest.mark.parametrize(("target", "catch"), [("fork", "no-fork"), ("haematoma", "nothing")])
def test_what_lies_on_the_skin_tells_nothing_of_what_a_trial_shows(target, catch):
    """Of the same seeds, so that only a scene that was set aside for one of them differs."""
    found = [shares_with_a_mark(what, 40) for what in (target, catch)]
    assert found[0] == pytest.approx(found[1], abs=0.1)
    assert min(found) > 0.1


@pytest.mark.long
@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("worksheet", ["reading-the-vein", "reaching-the-vein", "complications"])
def test_every_trial_of_a_seed_finds_its_scene(worksheet, seed):
    wanted = pictures.wanted(items.WORKSHEETS[worksheet])
    for job in planned(wanted, seed=f"long {seed}"):
        if job.kind.startswith(planning.TRIAL):
            assert rendering.rendered(job).truth["truth"]["trial"]["what"] in job.kind
