"""Marks are compared with what a picture shows, fairly and without a gap to slip through."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cubital.scene import NOTICE
from cubital.scene.truth.scoring import WHAT, Score, score_marks

# A picture of 640 x 480 pixels, 0.2 mm each, flat and straight on: places follow by hand.
PX_MM = 0.2
PICTURE = {
    "width_px": 640,
    "height_px": 480,
    "mm_per_px": PX_MM,
    "centre_mm": [0.0, 0.0],
    "turn_deg": 0.0,
    "tilt_deg": 0.0,
    "tilt_towards_deg": 0.0,
    "distance_mm": None,
    "room_light_share": 0.0,
}


def place(column, row):
    x_mm, y_mm = (column - 319.5) * PX_MM, (row - 239.5) * PX_MM
    return {"column": column, "row": row, "x_mm": x_mm, "y_mm": y_mm}


def point(key, column, row, *, visible=True, **more):
    return {"key": key, **place(column, row), "visible": visible, **more}


def line(key, vessel, kind, start, end, *, seen=None, visible=True, count=101):
    columns, rows = (np.linspace(a, b, count).tolist() for a, b in zip(start, end, strict=True))
    places = [place(*pair) for pair in zip(columns, rows, strict=True)]
    return {
        "key": key,
        "vessel": vessel,
        "kind": kind,
        "visible": visible,
        "seen": [visible] * count if seen is None else seen,
        **{name: [one[name] for one in places] for name in ("x_mm", "y_mm", "column", "row")},
    }


def made(**lists):
    empty = {name: [] for name in ("segments", "valves", "bifurcations", "crossings", "events")}
    return {"version": 1, "notice": NOTICE, "picture": PICTURE, "frames": 1, **empty, **lists}


VALVES = made(valves=[point("a", 100, 100), point("b", 300, 200), point("c", 500, 400)])


def test_marks_on_every_structure_score_all():
    score = score_marks([(500, 400), (100, 100), (300, 200)], VALVES, what="valve", within_mm=2)
    assert (score.hits, score.misses, score.false_alarms) == (3, 0, 0)
    assert score.place_errors_mm == pytest.approx([0, 0, 0], abs=1e-9)
    assert score.share == 1


def test_no_mark_misses_all_and_has_no_place_error():
    score = score_marks([], VALVES, what="valve", within_mm=2)
    assert (score.hits, score.misses, score.false_alarms, score.share) == (0, 3, 0, 0)
    assert score.place_error_mm is None


def test_place_error_is_the_distance_on_the_skin():
    score = score_marks([(103, 104)], VALVES, what="valve", within_mm=2)
    assert score.place_error_mm == pytest.approx(math.hypot(3, 4) * PX_MM)


def test_place_error_is_the_median_of_the_hits():
    marks = [(101, 100), (303, 200), (508, 400)]
    score = score_marks(marks, VALVES, what="valve", within_mm=2)
    assert sorted(score.place_errors_mm) == pytest.approx([0.2, 0.6, 1.6])
    assert score.place_error_mm == pytest.approx(0.6)


@pytest.mark.parametrize(("beyond_px", "hits"), [(0, 1), (1, 1), (1.01, 0), (2, 0)])
def test_a_mark_counts_up_to_the_distance_and_one_pixel_of_rounding(beyond_px, hits):
    column = 100 + 2 / PX_MM + beyond_px
    score = score_marks([(column, 100)], VALVES, what="valve", within_mm=2)
    assert (score.hits, score.false_alarms) == (hits, 1 - hits)


def test_two_marks_on_one_structure_are_one_hit_and_one_false_alarm():
    score = score_marks([(100, 100), (101, 100)], VALVES, what="valve", within_mm=2)
    assert (score.hits, score.misses, score.false_alarms) == (1, 2, 1)
    assert score.place_error_mm == pytest.approx(0, abs=1e-9)


def test_one_mark_between_two_structures_hits_one():
    truth = made(valves=[point("a", 100, 100), point("b", 104, 100)])
    score = score_marks([(102, 100)], truth, what="valve", within_mm=2)
    assert (score.hits, score.misses, score.false_alarms) == (1, 1, 0)


def test_pairing_finds_the_most_hits_even_where_the_nearest_pair_would_lose_one():
    # the mark at 108 is nearest to b, but only it can reach c
    truth = made(valves=[point("b", 106, 100), point("c", 118, 100)])
    score = score_marks([(98, 100), (108, 100)], truth, what="valve", within_mm=2)
    assert score.hits == 2
    assert {pair.structure: pair.mark[0] for pair in score.pairs} == {"b": 98, "c": 108}


def best_by_trying(marks, places, limit_mm):
    """Try every way to pair: the most pairs, then the least error. An oracle for small cases."""
    best = (0, 0.0)
    slots = [*range(len(places)), *[None] * len(marks)]
    for chosen in set(itertools.permutations(slots, len(marks))):
        pairs = [
            math.dist(mark, places[at]) * PX_MM
            for mark, at in zip(marks, chosen, strict=True)
            if at is not None
        ]
        if all(error <= limit_mm for error in pairs):
            best = max(best, (len(pairs), -sum(pairs)))
    return best


small = st.tuples(st.integers(100, 118), st.integers(100, 112))


@settings(max_examples=60)
@given(st.lists(small, max_size=4), st.lists(small, min_size=1, max_size=3))
def test_pairing_is_the_best_of_all_pairings(marks, places):
    truth = made(valves=[point(str(at), *spot) for at, spot in enumerate(places)])
    score = score_marks(marks, truth, what="valve", within_mm=1)
    hits, error = best_by_trying(marks, places, 1 + PX_MM + 1e-3)
    assert score.hits == hits
    assert sum(score.place_errors_mm) == pytest.approx(-error, abs=1e-6)


anywhere = st.tuples(st.integers(0, 639), st.integers(0, 479))


@settings(max_examples=60)
@given(st.lists(anywhere, max_size=12), st.lists(anywhere, max_size=6), st.data())
def test_counts_add_up_and_the_order_of_marks_changes_nothing(marks, places, data):
    half = len(places) // 2
    rows = [point(str(at), *spot, visible=at >= half) for at, spot in enumerate(places)]
    truth = made(valves=rows)
    score = score_marks(marks, truth, what="valve", within_mm=5)
    assert score.hits + score.misses == len(places) - half
    assert score.hits + score.false_alarms + score.set_aside == len(marks)
    assert 0 <= score.share <= 1
    again = score_marks(data.draw(st.permutations(marks)), truth, what="valve", within_mm=5)
    assert again == score


def test_of_two_marks_equally_near_the_same_one_hits_in_either_order():
    truth = made(valves=[point("a", 319.5, 239.5)])  # the middle: both are the same way off
    marks = [(317.5, 239.5), (321.5, 239.5)]
    one, other = (score_marks(m, truth, what="valve", within_mm=2) for m in (marks, marks[::-1]))
    assert one == other
    assert (one.hits, one.false_alarms) == (1, 1)


def test_a_mark_on_a_structure_that_is_not_visible_counts_neither_way():
    truth = made(valves=[point("a", 100, 100), point("b", 300, 200, visible=False)])
    score = score_marks([(100, 100), (301, 200)], truth, what="valve", within_mm=2)
    assert (score.hits, score.misses, score.false_alarms, score.set_aside) == (1, 0, 0, 1)
    twice = score_marks([(300, 200), (301, 200)], truth, what="valve", within_mm=2)
    assert (twice.false_alarms, twice.set_aside) == (1, 1)


def test_a_mark_on_a_crossing_is_no_false_bifurcation():
    rows = {"parts": None}
    truth = made(bifurcations=[point("a", 100, 100, **rows)], crossings=[point("x", 300, 200)])
    score = score_marks([(100, 100), (300, 200)], truth, what="bifurcation", within_mm=2)
    assert (score.hits, score.false_alarms, score.set_aside) == (1, 0, 1)


def test_a_bifurcation_is_hit_from_where_vessels_meet_to_where_bands_part():
    fork = point("a", 100, 100, parts=place(160, 100))
    truth = made(bifurcations=[fork])
    for column in (95, 130, 165):
        assert score_marks([(column, 100)], truth, what="bifurcation", within_mm=1).hits == 1
    assert score_marks([(172, 100)], truth, what="bifurcation", within_mm=1).hits == 0


def test_marks_everywhere_earn_next_to_nothing():
    grid = [(c, r) for c in range(20, 640, 45) for r in range(20, 480, 40)]
    assert 150 < len(grid) <= 200
    score = score_marks(grid, VALVES, what="valve", within_mm=6)
    assert score.hits == 3
    assert score.share < 0.03


def test_a_mark_on_every_pixel_is_refused():
    every = ((c, r) for c in range(640) for r in range(480))
    with pytest.raises(ValueError, match=r"on one picture is 307200: it must be from 0 to 200"):
        score_marks(every, VALVES, what="valve", within_mm=6)


def test_a_further_wrong_mark_lowers_the_share_and_a_further_right_one_raises_it():
    marks = [(100, 100), (300, 200)]
    base = score_marks(marks, VALVES, what="valve", within_mm=2).share
    assert score_marks([*marks, (10, 10)], VALVES, what="valve", within_mm=2).share < base
    assert score_marks([*marks, (500, 400)], VALVES, what="valve", within_mm=2).share > base


def test_nothing_there_and_nothing_marked_is_full_marks_and_a_mark_there_is_none():
    assert score_marks([], made(), what="valve", within_mm=2).share == 1
    assert score_marks([(5, 5)], made(), what="valve", within_mm=2).share == 0


VESSELS = made(
    segments=[
        line("s1", "one", "vein", (100, 50), (100, 250)),
        line("s2", "one", "vein", (100, 250), (100, 450)),
        line("s3", "two", "artery", (300, 50), (300, 450)),
        line("s4", "deep", "vein", (500, 50), (500, 450), visible=False),
    ]
)


@pytest.mark.parametrize(("what", "structures"), [("vessel", 2), ("vein", 1), ("artery", 1)])
def test_a_vessel_is_hit_once_anywhere_along_it(what, structures):
    marks = [(105, 333), (295, 60)]
    score = score_marks(marks, VESSELS, what=what, within_mm=2)
    assert score.hits == structures
    assert score.false_alarms == 2 - structures
    assert score.place_errors_mm == pytest.approx([1.0] * structures)


def test_a_second_mark_on_another_segment_of_the_same_vessel_is_a_false_alarm():
    score = score_marks([(100, 60), (100, 440)], VESSELS, what="vein", within_mm=2)
    assert (score.hits, score.false_alarms) == (1, 1)


def test_the_unseen_part_of_a_vessel_is_set_aside():
    seen = [at < 51 for at in range(101)]
    truth = made(segments=[line("s", "v", "vein", (100, 50), (100, 450), seen=seen)])
    assert score_marks([(100, 100)], truth, what="vein", within_mm=2).hits == 1
    far = score_marks([(100, 400)], truth, what="vein", within_mm=2)
    assert (far.hits, far.misses, far.false_alarms, far.set_aside) == (0, 1, 0, 1)


def test_a_gap_in_what_is_seen_is_no_bridge():
    seen = [at < 20 or at > 80 for at in range(101)]
    truth = made(segments=[line("s", "v", "vein", (100, 50), (100, 450), seen=seen)])
    assert score_marks([(100, 250)], truth, what="vein", within_mm=2).hits == 0


def test_an_event_is_marked_by_place_and_if_asked_by_frame():
    events = [point("event-1", 200, 200, onset_frame=8)]
    truth = made(events=events) | {"frames": 40}
    assert score_marks([(200, 200)], truth, what="event", within_mm=4).hits == 1

    def at(frame):
        return score_marks(
            [(200, 200, frame)], truth, what="event", within_mm=4, within_frames=2
        ).hits

    assert [at(frame) for frame in (5, 6, 8, 10, 11)] == [0, 1, 1, 1, 0]


def test_an_event_without_a_place_is_no_structure():
    nothing = {"key": "event-1", **dict.fromkeys(("x_mm", "y_mm", "column", "row"))}
    truth = made(events=[nothing | {"visible": False}]) | {"frames": 40}
    score = score_marks([], truth, what="event", within_mm=4)
    assert (score.hits, score.misses, score.share) == (0, 0, 1)


@pytest.mark.parametrize(
    ("mark", "words"),
    [
        ((640, 10), "column 640, row 10 lies outside the picture: columns are 0 to 639"),
        ((-1, 10), "column -1, row 10 lies outside"),
        ((10, 479.6), "row 479.6 lies outside"),
        ((math.nan, 10), "is not a place"),
        ((True, 10), "is not a place"),
        (("12", 10), "is not a place"),
        ((1, 2, 3), "must be \\(column, row\\), in pixels"),
    ],
)
def test_impossible_marks_are_refused(mark, words):
    with pytest.raises(ValueError, match=words):
        score_marks([mark], VALVES, what="valve", within_mm=2)


def test_a_frame_outside_the_series_is_refused():
    truth = made(events=[point("e", 200, 200, onset_frame=8)]) | {"frames": 40}
    with pytest.raises(ValueError, match="frame 40: frames are 0 to 39"):
        score_marks([(1, 1, 40)], truth, what="event", within_mm=4, within_frames=2)
    with pytest.raises(ValueError, match="a valve has no frame of onset"):
        score_marks([(1, 1, 4)], VALVES, what="valve", within_mm=4, within_frames=2)


def test_only_known_things_can_be_marked_and_only_within_sensible_distances():
    with pytest.raises(ValueError, match=f"'nerve' cannot be marked: choose one of {WHAT[0]}"):
        score_marks([], VALVES, what="nerve", within_mm=2)
    with pytest.raises(ValueError, match="distance within which a mark counts is 0 mm"):
        score_marks([], VALVES, what="valve", within_mm=0)


def test_a_tilted_view_measures_on_the_skin_and_not_in_the_picture():
    # tilted by 60 degrees about the picture's upright axis, pixels near the middle show twice the
    # skin from left to right: 1 / cos(60 degrees) = 2
    tilted = VALVES | {
        "picture": PICTURE | {"tilt_deg": 60.0},
        "valves": [point("a", 319.5, 239.5)],
    }
    across = score_marks([(321.5, 239.5)], tilted, what="valve", within_mm=2)
    upright = score_marks([(319.5, 241.5)], tilted, what="valve", within_mm=2)
    assert across.place_error_mm == pytest.approx(2 * 2 * PX_MM, rel=0.02)
    assert upright.place_error_mm == pytest.approx(2 * PX_MM, rel=0.02)


def test_share_is_hits_over_all_that_counts():
    assert Score("valve", 2, 1, 1, 5, ()).share == 0.5
