"""Series of frames: what happens in them is what their records say, and nothing else does."""

import hashlib
import subprocess
import sys

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from cubital.scene import NOTICE
from cubital.scene.anatomy.vessels import Anatomy, Limb, Scene, Skin, Valve, Vessel, View
from cubital.scene.happening import series as module
from cubital.scene.happening.events import Nothing
from cubital.scene.happening.flushing import Flush
from cubital.scene.happening.leaking import WHY_UNSEEN, Haematoma, Infiltration, UnseenInfiltration
from cubital.scene.happening.moving import Roll
from cubital.scene.happening.refilling import Refill
from cubital.scene.happening.series import TOO_FAINT, Unsteadiness, moved, series, unsteadiness
from cubital.scene.light import picture


def arm(depth_mm=1.2, seed=3):
    """A broad limb with one straight vein along its middle and one that joins it."""
    y = np.linspace(60, -60, 241)
    wide, deep = np.full(241, 3.0), np.full(241, float(depth_mm))
    main = Vessel("main", "vein", 0 * y, y, deep, wide)
    s = np.linspace(0, 1, 101)
    side = Vessel("side", "vein", 30 - 30 * s, 40 - 40 * s, deep[:101], wide[:101] * 0.7, "main")
    valves = Valve("main", 40), Valve("main", 95)
    anatomy = Anatomy("forearm", "adult", 1, Limb(70, sag_mm=5), (main, side), valves)
    return Scene(anatomy, view=View(256, 192, mm_per_px=0.5), seed=seed)


ARM = arm()
FRAMES = 16
SEEN = [
    Refill("main", 62, 105, onset_s=1, hold_time_s=2),
    Flush("side", 10, onset_s=1),
    Roll("main", 60, onset_s=1, hold_time_s=4),
    Infiltration("main", 60, onset_s=60),
    Haematoma("main", 60, onset_s=20),
]
UNSEEN = [
    *(UnseenInfiltration("main", 60, why, onset_s=60, rate_ml_per_h=1) for why in WHY_UNSEEN),
    Nothing(),
]


def kind(event):
    return f"{event.kind}-{getattr(event, 'why', '')}".strip("-")


@pytest.fixture(scope="module")
def quiet():
    return series(Nothing(), ARM, frames=FRAMES)


@pytest.fixture(scope="module", params=SEEN, ids=kind)
def seen(request):
    return request.param, series(request.param, ARM, frames=FRAMES)


def test_a_series_is_frames_with_their_times_and_a_record(seen):
    event, found = seen
    assert found.frames.shape == (FRAMES, 192, 256)
    assert found.frames.dtype == np.uint8
    assert np.diff(found.times_s) == pytest.approx(event.usual_interval_s())
    (record,) = found.events
    assert record.kind == event.kind
    assert found.times_s[record.onset_frame] >= event.onset_s
    assert found.times_s[record.onset_frame - 1] < event.onset_s
    assert found.notice == NOTICE == "simulated, not clinically validated"


def test_until_the_onset_the_frames_are_those_of_nothing_happening(seen, quiet):
    _, found = seen
    onset = found.events[0].onset_frame
    assert np.array_equal(found.frames[:onset], quiet.frames[:onset])
    assert not np.array_equal(found.frames[onset + 1], quiet.frames[onset + 1])


@pytest.mark.parametrize("event", UNSEEN, ids=kind)
def test_an_event_that_is_not_seen_gives_exactly_the_frames_of_nothing_happening(event, quiet):
    found = series(event, ARM, frames=FRAMES)
    assert np.array_equal(found.frames, quiet.frames)
    assert not found.events[0].picture_changes
    assert found.events[0].shown_frame is None
    assert found.events[0].largest_change_share == 0


def smooth(frames):
    """The mean of frames, each at the same brightness, blurred a little against the tremor."""
    even = [f / f[40:150, 20:60].mean() for f in np.asarray(frames, float)]
    return gaussian_filter(np.mean(even, axis=0), 2)[10:-10, 30:-30]


def found_share(event, frames, times, onset):
    """How much of the event's own noise-free change the frames themselves show, after and before.

    By projection on that change: 1 if all of it is there, 0 if none.
    """
    shown = range(onset + 2, min(onset + 8, len(frames)))
    rest = picture.light(ARM)
    change = np.mean([picture.light(ARM, event.change(ARM, times[n])) for n in shown], axis=0)
    wanted = smooth([change]) - smooth([rest])
    got = smooth(frames[list(shown)]) - smooth(frames[:onset])
    return float((wanted * got).sum() / (wanted**2).sum())


def test_frames_after_the_onset_differ_from_those_before_as_the_record_says(seen, quiet):
    event, found = seen
    (record,) = found.events
    assert record.picture_changes
    assert record.shown_frame in {record.onset_frame, record.onset_frame + 1}
    share = found_share(event, found.frames, found.times_s, record.onset_frame)
    assert share == pytest.approx(1, abs=0.15)
    assert abs(found_share(event, quiet.frames, found.times_s, record.onset_frame)) < 0.15


def test_the_change_is_where_the_record_says(seen):
    event, found = seen
    (record,) = found.events
    shown = min(record.onset_frame + 4, FRAMES - 1)
    change = event.change(ARM, found.times_s[shown])
    difference = np.abs(picture.light(ARM, change) - picture.light(ARM))
    rows, columns = np.nonzero(difference > difference.max() / 4)
    x, y = (columns - 127.5) * 0.5, (rows - 95.5) * 0.5
    assert np.hypot(x - record.x_mm, y - record.y_mm).min() < 6


def test_a_haematoma_hides_the_vein_beneath_it():
    change, bare = Haematoma("main", 60, onset_s=0).change(ARM, 120), arm(depth_mm=30)
    middle = np.s_[95, 126:130]  # 60 mm along the vein is the middle of the picture

    def contrast(change):
        return 1 - float(
            (picture.light(ARM, change)[middle] / picture.light(bare, change)[middle]).mean()
        )

    assert contrast(None) > 0.2
    assert contrast(change) < 0.05
    rest, bled = (picture.light(bare, c)[middle].mean() for c in (None, change))
    assert bled < 0.7 * rest


def test_a_vein_too_deep_to_be_seen_gives_a_record_that_says_so():
    found = series(Roll("main", 60, onset_s=1), arm(depth_mm=14), frames=FRAMES)
    (record,) = found.events
    assert not record.picture_changes
    assert record.shown_frame is None
    assert record.seen == TOO_FAINT
    assert (record.kind, record.onset_frame) == ("roll", 4)


def test_the_same_seed_gives_the_same_bytes_in_another_process(quiet):
    code = (
        "import hashlib, importlib.util as u;"
        f"s = u.spec_from_file_location('t', {__file__!r}); m = u.module_from_spec(s);"
        "s.loader.exec_module(m);"
        "print(*(hashlib.sha256(m.series(e, m.ARM, frames=5).frames.tobytes()).hexdigest()"
        " for e in (m.Nothing(), m.SEEN[3])))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    here = [series(e, ARM, frames=6).frames[:5].tobytes() for e in (Nothing(), SEEN[3])]
    assert run.stdout.split() == [hashlib.sha256(data).hexdigest() for data in here]


def test_another_seed_gives_other_frames(quiet):
    assert not np.array_equal(series(Nothing(), arm(seed=4), frames=2).frames, quiet.frames[:2])


def test_no_two_frames_are_the_same(quiet):
    assert len({frame.tobytes() for frame in quiet.frames}) == FRAMES


def test_hand_and_light_stir_a_little_and_slowly():
    shifts, lights = [], []
    for seed in range(30):
        stir = unsteadiness(arm(seed=seed), 200)
        shifts.append(np.hypot(stir.columns_px, stir.rows_px) * 0.5)
        lights.append(stir.brightness)
        assert (stir.columns_px[0], stir.rows_px[0], stir.brightness[0]) == (0, 0, 1)
    # from the first frame on, two independent draws of 0.12 and 0.03 mm a direction
    assert np.sqrt(np.mean(np.square(shifts))) == pytest.approx(2 * np.hypot(0.12, 0.03), rel=0.15)
    assert np.max(shifts) < 1
    assert np.std(lights) == pytest.approx(0.008 * np.sqrt(2), rel=0.3)
    assert np.abs(np.diff(lights, axis=1)).max() < 0.012


def test_each_frame_has_noise_of_its_own():
    even = Scene(ARM.anatomy, skin=Skin(texture_share=0), view=ARM.view, seed=1)
    frames = series(Nothing(), even, frames=4).frames[:, 20:170, 20:80].astype(float)
    noise = frames - gaussian_filter(frames, (0, 4, 4))
    found = np.corrcoef(noise.reshape(4, -1))
    assert np.abs(found[~np.eye(4, dtype=bool)]).max() < 0.05


def test_the_frames_stir_as_hand_and_light_do(monkeypatch):
    still = Unsteadiness(np.array([0.0, 7.0]), np.array([0.0, -4.0]), np.array([1.0, 0.9]))
    monkeypatch.setattr(module, "unsteadiness", lambda scene, frames: still)
    first, second = series(Nothing(), ARM, frames=2).frames.astype(float)
    expected = 0.9 * np.roll(first, (-4, 7), axis=(0, 1))
    inside = np.s_[10:-10, 10:-10]
    assert (second - expected)[inside].mean() == pytest.approx(0, abs=0.2)
    assert (second - expected)[inside].std() < 4  # the noise of two frames
    assert (second - 0.9 * first)[inside].std() > 4.5


def test_a_longer_series_begins_like_a_shorter_one(quiet):
    assert np.array_equal(series(Nothing(), ARM, frames=3).frames, quiet.frames[:3])


def test_moving_a_picture_by_whole_pixels_is_moving_its_values():
    field = np.random.default_rng(1).random((6, 7)).astype(np.float32)
    assert moved(field, 2, 1)[1:, 2:] == pytest.approx(field[:-1, :-2])
    assert moved(field, 0.25, 0)[:, 1:] == pytest.approx(0.75 * field[:, 1:] + 0.25 * field[:, :-1])


@pytest.mark.parametrize(
    ("event", "settings", "message"),
    [
        (Nothing(), {"frames": 1}, "number of frames is 1: it must be from 2 to 2000"),
        (Nothing(), {"interval_s": 0}, "time between two frames is 0 s"),
        (Roll("main", 60, onset_s=20), {}, r"lies after the end of the series at 9.75 s"),
        (Infiltration("main", 60, onset_s=15), {"interval_s": 0.25}, r"or take 61 frames"),
        (Roll("elsewhere", 60), {}, "vein 'elsewhere' is not in this scene: its veins are main"),
        (Refill("main", 90, 105, onset_s=1), {}, r"is 5.0 mm long .* hold the vein at 85 mm"),
    ],
)
def test_a_series_that_cannot_be_says_why(event, settings, message):
    with pytest.raises(ValueError, match=message):
        series(event, ARM, **settings)


def test_glare_on_dark_skin_takes_nothing_from_where_a_change_is_looked_for():
    """What is dark beside glare is skin all the same: it is lit, and its change counts."""
    rest = np.full((100, 100), 0.08, np.float32)
    light = rest.copy()
    light[60:70, 60:70] *= 0.5
    rest[:10, :10] = light[:10, :10] = 1.0
    share, ratio = module._differs(light, rest, 0.01)
    assert share == pytest.approx(0.5)
    assert ratio > 1
