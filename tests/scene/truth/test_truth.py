"""What a truth says of its picture: places, visibility, events, and that it is plain data."""

import json
from dataclasses import replace

import numpy as np
import pytest

from cubital import tables
from cubital.scene import NOTICE
from cubital.scene.anatomy import person as anatomy
from cubital.scene.anatomy.vessels import (
    Anatomy,
    Camera,
    Confluence,
    Limb,
    Line,
    Scene,
    Skin,
    Valve,
    Vessel,
    View,
)
from cubital.scene.happening import events
from cubital.scene.happening.series import series
from cubital.scene.light import geometry, picture
from cubital.scene.light.mask import ARTERY, NONE, VEIN, mask
from cubital.scene.truth.record import VERSION, read_truth, view_of, written_truth
from cubital.scene.truth.scoring import score_marks
from cubital.scene.truth.truth import truth

WIDE = Limb(half_width_mm=90.0, sag_mm=0.0)  # flat skin, beyond the picture's sides


def vessel(key, start, end, *, depth=1.5, diameter=3.0, kind="vein", into=None, points=161):
    x, y = (np.linspace(a, b, points) for a, b in zip(start, end, strict=True))
    return Vessel(key, kind, x, y, np.full(points, depth), np.full(points, diameter), into=into)


def scene_of(*vessels, confluences=(), valves=(), view=None, skin=None, camera=None):
    found = Anatomy("forearm", "adult", 1, WIDE, vessels, tuple(valves), tuple(confluences))
    return Scene(found, skin or Skin(), view or View(), camera or Camera(), seed=3)


UPRIGHT = vessel("upright", (0, 60), (0, -60))


@pytest.fixture(scope="module")
def person():
    return Scene(anatomy.anatomy("back-of-hand", seed=2, artery=True), seed=2)


@pytest.fixture(scope="module")
def record(person):
    return truth(person)


def test_a_truth_says_its_version_and_that_it_is_simulated(record):
    assert record["version"] == VERSION == 1
    assert record["notice"] == NOTICE == "simulated, not clinically validated"


def test_a_truth_is_plain_data_and_comes_back_from_its_text_the_same(record):
    text = written_truth(record)
    assert read_truth(text) == record == read_truth(record)
    assert json.loads(text) == record
    assert written_truth(read_truth(text)) == text


def test_the_same_scene_gives_the_same_truth(person, record):
    assert written_truth(truth(person)) == written_truth(record)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"version": 2}, "of version 2, and only version 1 is known here: make it again"),
        ({"version": True}, "of version True"),
        ({"version": "1"}, "of version 1, and only"),
        ({}, "`version` is missing"),
        ("[]", "`version` is missing"),
        ("{", "is not readable"),
    ],
)
def test_another_version_or_another_thing_is_refused(wrong, words):
    with pytest.raises(ValueError, match=words):
        read_truth(wrong)


def test_the_view_comes_back_from_a_truth(person, record):
    view = view_of(record)
    assert view == replace(person.view, distance_mm=geometry.distance_mm(person.view))


def test_every_place_is_in_the_picture_and_the_same_in_mm_and_px(person, record):
    rows = [*record["valves"], *record["bifurcations"], *record["crossings"], *record["segments"]]
    assert len(rows) > 10
    for row in rows:
        column, line = np.atleast_1d(row["column"]), np.atleast_1d(row["row"])
        assert (column >= -0.51).all()
        assert (column <= person.view.width_px - 0.49).all()
        assert (line >= -0.51).all()
        assert (line <= person.view.height_px - 0.49).all()
        found = geometry.to_picture(
            person.view, np.atleast_1d(row["x_mm"]), np.atleast_1d(row["y_mm"])
        )
        np.testing.assert_allclose(found, [column, line], atol=0.02)


def test_all_of_a_vessel_in_the_picture_is_listed_and_nothing_of_it_outside(person, record):
    for one in person.anatomy.vessels:
        places = geometry.to_picture(person.view, one.x_mm, one.y_mm)
        inside = (np.abs(places[0] - 319.5) <= 320) & (np.abs(places[1] - 239.5) <= 240)
        steps = np.hypot(np.diff(one.x_mm), np.diff(one.y_mm))
        expected = steps[inside[:-1] & inside[1:]].sum()
        listed = [row["length_mm"] for row in record["vessels"] if row["key"] == one.key]
        assert sum(listed) == pytest.approx(expected, abs=2.5)


def test_depth_and_diameter_are_those_of_the_anatomy(person, record):
    for row in record["segments"]:
        one = person.anatomy.vessel(row["vessel"])
        for along, depth, size in zip(
            row["along_mm"], row["depth_mm"], row["diameter_mm"], strict=True
        ):
            assert one.at(along)[2:] == pytest.approx((depth, size), abs=2e-3)


def test_segments_run_from_confluence_to_confluence():
    side = vessel("side", (-40, 30), (0, 0), into="upright")
    record = truth(scene_of(UPRIGHT, side, confluences=[Confluence(0.0, 0.0, "side", "upright")]))
    ends = [(row["vessel"], row["starts"], row["stops"]) for row in record["segments"]]
    assert ends == [
        ("upright", "edge", "bifurcation-1"),
        ("upright", "bifurcation-1", "edge"),
        ("side", "end", "bifurcation-1"),
    ]
    assert record["crossings"] == []  # lines that meet in a confluence do not cross
    lengths = [row["length_mm"] for row in record["segments"]]
    assert lengths == pytest.approx([48, 48, 50], abs=0.3)  # half the picture is 48 mm high


def test_a_fork_of_three_clear_arms_is_visible_and_of_a_faint_one_is_not():
    joint = [Confluence(0.0, 0.0, "side", "upright")]
    for depth, visible in ((1.5, True), (8.0, False)):
        side = vessel("side", (-40, 30), (0, 0), depth=depth, into="upright")
        fork = truth(scene_of(UPRIGHT, side, confluences=joint))["bifurcations"][0]
        assert fork["visible"] is visible
        assert len(fork["arms"]) == (3 if visible else 2)


def test_bands_part_farther_from_the_confluence_the_smaller_the_angle():
    def apart(degrees):
        turn = np.radians(degrees)
        start = (-60 * np.sin(turn), 60 * np.cos(turn))
        side = vessel("side", start, (0, 0), into="upright")
        joint = [Confluence(0.0, 0.0, "side", "upright")]
        parts = truth(scene_of(UPRIGHT, side, confluences=joint))["bifurcations"][0]["parts"]
        return np.hypot(parts["x_mm"], parts["y_mm"])

    found = [apart(degrees) for degrees in (25, 40, 60, 90)]
    assert found == sorted(found, reverse=True)
    assert found[0] > found[-1] + 2
    assert found[-1] > 0.5


def test_a_crossing_without_a_confluence_is_a_crossing_and_no_bifurcation():
    level = vessel("level", (-60, 5), (60, 5), depth=1.0)
    record = truth(scene_of(UPRIGHT, level))
    assert record["bifurcations"] == []
    assert [(row["x_mm"], row["y_mm"]) for row in record["crossings"]] == [(0, 5)]
    assert record["crossings"][0]["visible"]


def test_lines_that_overshoot_their_confluence_a_little_do_not_cross():
    side = vessel("side", (-40, 30), (0.8, -0.6), into="upright")
    joint = [Confluence(0.0, 0.0, "side", "upright")]
    assert truth(scene_of(UPRIGHT, side, confluences=joint))["crossings"] == []


def ratio(**settings):
    one = vessel("one", (0, 60), (0, -60), **settings.pop("vessel", {}))
    return truth(scene_of(one, **settings))["segments"][0]["contrast_to_noise"]


def test_visibility_falls_with_depth_noise_texture_and_room_light():
    base = ratio()
    assert base > ratio(vessel={"depth": 3.0}) > ratio(vessel={"depth": 6.0})
    assert base > ratio(camera=Camera(noise_share=0.2))
    assert base > ratio(skin=Skin(texture_share=0.08))
    assert base > ratio(view=View(room_light_share=0.7))


def test_a_vessel_is_visible_from_the_stated_ratio_on():
    needed = tables.constant("contrast-to-noise-needed").value
    flags = set()
    for depth in (1.0, 3.0, 5.0, 6.0, 7.0, 8.0):
        record = truth(scene_of(vessel("one", (0, 60), (0, -60), depth=depth)))
        assert record["contrast_to_noise_needed"] == needed
        row = record["segments"][0]
        clear_of_it = abs(row["contrast_to_noise"] / needed - 1) > 0.1
        if clear_of_it:
            assert row["visible"] == (row["contrast_to_noise"] >= needed)
        assert record["vessels"][0]["visible"] == row["visible"] == any(row["seen"])
        flags.add(row["visible"])
    assert flags == {True, False}


def test_visibility_is_that_of_an_ideal_comparison_in_many_noisy_frames():
    # the same measure by hand, from frames with noise and texture of their own: mean of a patch of
    # the band, twice as long as wide, against a strip beside it, over its spread where no band is
    scene = scene_of(vessel("one", (0, 60), (0, -60), depth=4.0), skin=Skin(texture_share=0.03))
    row = truth(scene)["segments"][0]
    wide = round(np.median(row["seen_width_mm"]) / scene.view.mm_per_px)
    strip = max(round(wide / 4), 1)
    even = picture.background(scene_of(skin=Skin(texture_share=0.0)))
    found, bare = [], []
    for seed in range(12):
        own = replace(scene, seed=seed)
        image = picture.frame(own) / even
        image /= image[:, :150].mean()

        def compare(image, column, top):
            rows = slice(top, top + 2 * wide)
            middle = image[rows, column - wide // 2 : column + wide // 2].mean()
            beside = [
                image[rows, column + way - strip // 2 : column + way + strip // 2 + 1].mean()
                for way in (-round(0.75 * wide), round(0.75 * wide))
            ]
            return min(beside) - middle

        for top in range(40, 400 - 2 * wide, 2 * wide):
            found.append(compare(image, 320, top))
            bare.append(compare(image, 130, top))
    by_hand = np.mean(found) / np.hypot(np.std(bare), tables.constant("eye-contrast-noise").value)
    assert by_hand == pytest.approx(row["contrast_to_noise"], rel=0.35)


def test_seen_contrast_and_width_are_those_of_the_picture():
    scene = scene_of(vessel("one", (0, 60), (0, -60), depth=2.0), skin=Skin(texture_share=0.0))
    row = truth(scene)["segments"][0]
    profile = (1 - picture.light(scene) / picture.background(scene))[240]
    half = (profile[320] + profile[240:400].min()) / 2
    wide = np.flatnonzero(profile > half)
    assert np.median(row["seen_width_mm"]) == pytest.approx(0.2 * len(wide), abs=0.5)
    assert np.median(row["seen_contrast"]) == pytest.approx(profile.max(), rel=0.15)


def test_a_shallow_valve_is_visible_a_deep_one_is_not_and_no_valve_is_none():
    for depth, visible in ((0.5, True), (5.0, False)):
        vein = vessel("one", (0, 60), (0, -60), depth=depth)
        record = truth(scene_of(vein, valves=[Valve("one", 60.0)]))
        (valve,) = record["valves"]
        assert (valve["x_mm"], valve["y_mm"]) == (0, 0)
        assert valve["segment"] == "segment-1"
        assert valve["visible"] is visible
    assert truth(scene_of(UPRIGHT))["valves"] == []


def test_a_valve_darkens_the_band_past_it_in_the_direction_of_flow():
    vein = vessel("one", (0, 60), (0, -60), depth=0.5)
    with_valve, without = (
        picture.light(scene_of(vein, valves=valves)).astype(float)[:, 320]
        for valves in ([Valve("one", 60.0)], [])
    )
    change = with_valve / without - 1
    darkest = int(change.argmin())
    # flow is up the picture; the bulge's middle is half its length past the valve in row 239.5
    half = tables.constant("valve-bulge-length").value * 3.0 / 2
    assert 239.5 - darkest == pytest.approx(half / 0.2, abs=6)
    assert change.min() < -0.01
    assert np.abs(change[:150]).max() < 1e-3


def test_what_lies_outside_the_picture_is_not_listed():
    outside = vessel("outside", (70, 60), (70, -60))
    record = truth(scene_of(UPRIGHT, outside, valves=[Valve("outside", 60.0)]))
    assert [row["key"] for row in record["vessels"]] == ["upright"]
    assert record["valves"] == []


def test_a_series_carries_its_events_with_onset_place_and_visibility(person):
    quiet = series(events.Nothing(), person, frames=6)
    record = truth(person, quiet)
    assert record["frames"] == 6
    assert record["changes"] == []
    assert [row["visible"] for row in record["events"]] == [False]

    leak = events.drawn("haematoma", person)
    shown = series(leak, person, frames=20)
    record = truth(person, shown)
    (event,) = record["events"]
    assert event["onset_frame"] == int(np.searchsorted(shown.times_s, leak.onset_s))
    assert event["visible"]
    assert (event["column"], event["row"]) == pytest.approx(
        geometry.to_picture(person.view, event["x_mm"], event["y_mm"]), abs=0.02
    )
    darker = [row for row in record["changes"] if row["sign"] == "darker"]
    assert darker
    nearest = min(
        np.hypot(row["column"] - event["column"], row["row"] - event["row"]) for row in darker
    )
    assert nearest * person.view.mm_per_px < 12
    assert all(row["onset_frame"] > event["onset_frame"] for row in record["changes"])
    assert read_truth(written_truth(record)) == record


def test_an_event_that_no_picture_shows_is_there_and_not_visible_and_nothing_changes(person):
    hidden = events.drawn("infiltration-unseen", person)
    record = truth(person, series(hidden, person, frames=12))
    (event,) = record["events"]
    assert event["x_mm"] is not None
    assert event["visible"] is False
    assert record["changes"] == []


def test_the_mask_holds_the_true_diameter():
    found = mask(scene_of(vessel("one", (0, 60), (0, -60), diameter=3.0)))
    assert found.dtype == np.uint8
    assert set(np.unique(found)) == {NONE, VEIN}
    np.testing.assert_allclose((found == VEIN).sum(axis=1) * 0.2, 3.0, atol=0.21)


def test_the_mask_follows_the_slant_of_the_view():
    view = View(tilt_deg=60.0)  # pixels near the middle show 1 / cos(60 degrees) = 2 times as much
    found = mask(scene_of(vessel("one", (0, 60), (0, -60), diameter=4.0), view=view))
    across = (found[240] > 0).sum() * 0.2
    assert across == pytest.approx(4.0 / np.sqrt(2), rel=0.1)  # the mean of both ways


def test_where_two_cross_the_mask_shows_the_shallower():
    for depth, kind in ((1.0, ARTERY), (4.0, VEIN)):
        artery = vessel("level", (-60, 0), (60, 0), depth=depth, kind="artery")
        found = mask(scene_of(vessel("one", (0, 60), (0, -60), depth=2.0), artery))
        assert found[240, 320] == kind
        assert found[240, 100] == ARTERY
        assert found[100, 320] == VEIN


def test_the_mask_covers_the_middle_lines_of_the_truth(person, record):
    found = mask(person)
    for row in record["segments"]:
        columns = np.clip(np.round(row["column"]), 0, 639).astype(int)
        lines = np.clip(np.round(row["row"]), 0, 479).astype(int)
        assert (found[lines, columns] > 0).all()


# ------------------------------------------------------------------ what the skin itself shows


def along_y(kind, x_mm, strength, spread_mm=1.5):
    return Line(kind, (x_mm, x_mm), (-60.0, 60.0), (strength, strength), spread_mm)


def shown_by(*lines, scene=None):
    return replace(scene or scene_of(UPRIGHT), surface=lines)


def test_what_the_skin_shows_is_listed_and_is_no_vessel():
    fold = Line("crease", (-20.0, 20.0), (5.0, 5.0), (0.06, 0.06), 0.5)
    away = Line("crease", (-20.0, 20.0), (500.0, 500.0), (0.06, 0.06), 0.5)
    told = truth(shown_by(fold, away, along_y("tendon", 20.0, 0.05)))
    assert [row["kind"] for row in told["surface"]] == ["crease", "tendon"]
    assert told["surface"][0]["darker"] == pytest.approx(0.06, abs=0.001)
    bare = truth(scene_of(UPRIGHT))
    assert told["segments"][0]["visible"]
    for name in ("vessels", "bifurcations", "crossings"):
        assert told[name] == bare[name]


@pytest.mark.parametrize("kind", ["tendon", "crease", "scar", "mole", "glare"])
def test_a_mark_on_what_the_skin_shows_is_a_false_mark(kind):
    told = truth(shown_by(along_y(kind, 20.0, 0.06)))
    (row,) = told["surface"]
    middle = len(row["column"]) // 2
    place = (row["column"][middle], row["row"][middle])
    for what in ("vein", "vessel", "bifurcation"):
        found = score_marks([place], told, what=what, within_mm=3)
        assert (found.hits, found.false_alarms, found.set_aside) == (0, 1, 0), what


def test_a_furrow_along_a_vein_makes_it_harder_to_see_and_a_crease_across_does_not():
    def ratio(*lines):
        return truth(shown_by(*lines))["segments"][0]["contrast_to_noise"]

    alone = ratio()
    along = ratio(along_y("crease", 0.0, 0.06, 2.0))
    across = ratio(Line("crease", (-40.0, 40.0), (0.0, 0.0), (0.06, 0.06), 0.6))
    far = ratio(along_y("tendon", 40.0, 0.06))
    assert along < 0.6 * alone
    assert across == pytest.approx(alone, rel=0.02)
    assert far == pytest.approx(alone, rel=0.001)


def test_a_faint_vein_in_a_strong_furrow_is_not_asked_for():
    faint = scene_of(vessel("upright", (0, 60), (0, -60), depth=3.0, diameter=2.0))
    seen = truth(faint)["segments"][0]
    hidden = truth(shown_by(along_y("crease", 0.0, 0.12, 2.5), scene=faint))["segments"][0]
    assert seen["visible"]
    assert not hidden["visible"]


def test_a_crease_across_a_valve_makes_it_harder_to_see():
    valve = Valve("upright", 60.0)
    near = scene_of(vessel("upright", (0, 60), (0, -60), depth=0.6), valves=[valve])
    fold = Line("crease", (-20.0, 20.0), (1.0, 1.0), (0.1, 0.1), 0.5)
    plain, marked = (truth(one)["valves"][0] for one in (near, shown_by(fold, scene=near)))
    assert marked["contrast_to_noise"] < 0.9 * plain["contrast_to_noise"]


@pytest.mark.parametrize("kind", ["mole", "glare"])
def test_a_vein_below_a_mole_or_glare_is_not_asked_for_there(kind):
    strength = {"mole": 0.3, "glare": 0.12}[kind]
    half_mm = {"mole": 6.0, "glare": 12.0}[kind]
    spot = Line(kind, (0.0, 0.0), (-half_mm, half_mm), (strength, strength), 3.5)
    faint = scene_of(vessel("upright", (0, 60), (0, -60), depth=2.5, diameter=2.5))
    plain, told = truth(faint), truth(shown_by(spot, scene=faint))
    (segment,) = told["segments"]
    y, seen = np.array(segment["y_mm"]), np.array(segment["seen"])
    assert all(plain["segments"][0]["seen"])
    assert segment["visible"]  # the rest of it
    assert not seen[np.abs(y) < 2].any()
    assert seen[np.abs(y) > half_mm + 15].all()
    at = int(np.abs(y).argmin())
    mark = (segment["column"][at], segment["row"][at])
    found = score_marks([mark], told, what="vein", within_mm=1)
    assert (found.hits, found.false_alarms, found.set_aside) == (0, 0, 1)
