"""A picture in words: enough to answer and mark by, and nothing that the picture does not show."""

import copy
import json
import re
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from cubital.scene import NOTICE, anatomy, events
from cubital.scene.describing import NO_CHANGE, describe
from cubital.scene.record import written_truth
from cubital.scene.scoring import score_marks
from cubital.scene.series import series
from cubital.scene.truth import truth
from cubital.scene.vessels import Anatomy, Limb, Scene, Skin, Valve, Vessel

# what only the truth knows: kinds, names, flow, what a change means
NEVER_SAID = set(
    re.findall(
        "[a-z]+",
        "vein artery valve vessel bifurcation confluence upstream downstream flow blood heart "
        "depth deep diameter infiltration haematoma swelling flush refill event cephalic basilic "
        "median tributary metacarpal digital saphenous forearm elbow adult infant",
    )
)
PLACE = re.compile(r"\(column (\d+), row (\d+)\)")


def made(site, seed, **settings):
    person = anatomy.anatomy(site, seed=seed, depth_mm=0.8, **settings)
    return Scene(person, skin=Skin(texture_share=0.005), seed=seed)


@pytest.fixture(scope="module")
def truths():
    """Return truths of all sites, with shallow veins so that much is seen."""
    return [truth(made(site, seed)) for site in anatomy.SITES for seed in (1, 2, 3)]


@pytest.fixture(scope="module")
def changing():
    """Return the truth of a series in which the picture changes."""
    scene = made("back-of-hand", 2)
    return truth(scene, series(events.drawn("haematoma", scene), scene, frames=20))


def upright(depth=0.5, diameter=3.0, kind="vein"):
    line = np.linspace(80, -80, 161)
    size = np.broadcast_to(np.asarray(diameter, float), 161)
    return Vessel("one", kind, 0 * line, line, np.full(161, depth), np.array(size))


def alone(vessel, valves=()):
    person = Anatomy("forearm", "adult", 1, Limb(90.0, sag_mm=0.0), (vessel,), tuple(valves))
    return truth(Scene(person, skin=Skin(texture_share=0.0)))


def test_the_same_truth_is_told_in_the_same_words(truths):
    for record in truths:
        text = describe(record).text
        assert text == describe(copy.deepcopy(record)).text
        assert text == describe(written_truth(record)).text


def test_every_description_says_that_it_is_simulated_and_is_plain_sentences(truths):
    for record in truths:
        found = describe(record)
        assert found.notice == NOTICE
        assert found.text.endswith(f"The picture is {NOTICE}.")
        assert json.loads(json.dumps(found.data)) == found.data
        for sentence in found.sentences:
            assert re.fullmatch(r"[A-Z].*[a-z0-9)%]\.", sentence), sentence


def test_nothing_is_said_that_only_the_truth_knows(truths, changing):
    for record in (*truths, changing):
        words = set(re.findall(r"[a-z]+", describe(record).text.lower()))
        assert words.isdisjoint(NEVER_SAID), words & NEVER_SAID


def test_what_is_not_visible_changes_no_word(truths):
    taken_away = 0
    for record in truths:
        without = copy.deepcopy(record)
        for name in ("segments", "valves", "bifurcations", "crossings"):
            rows = without[name]
            without[name] = [row for row in rows if row["visible"]]
            taken_away += len(rows) - len(without[name])
        assert describe(without).text == describe(record).text
    assert taken_away > 10


def test_an_artery_is_told_as_a_vein_is(truths):
    for record in truths:
        other = copy.deepcopy(record)
        for row in (*other["segments"], *other["vessels"]):
            row["kind"] = "artery" if row["kind"] == "vein" else "vein"
        assert describe(other).text == describe(record).text


def test_marks_placed_by_the_words_score_all(truths):
    kinds = {"knots": "valve", "forks": "bifurcation"}
    counted = dict.fromkeys(kinds, 0)
    for record in truths:
        data = describe(record).data
        for name, what in kinds.items():
            marks = [(row["column"], row["row"]) for row in data[name]]
            score = score_marks(marks, record, what=what, within_mm=0.2)
            assert (score.misses, score.false_alarms) == (0, 0)
            counted[name] += score.hits
        marks = [band["way"][len(band["way"]) // 2] for band in data["bands"]]
        assert score_marks(marks, record, what="vessel", within_mm=1.5).misses == 0
    assert min(counted.values()) >= 5


def test_the_places_in_the_text_are_those_of_the_data(truths, changing):
    for record in (*truths, changing):
        found = describe(record)
        told = {tuple(map(int, place)) for place in PLACE.findall(found.text)}
        known = {tuple(place) for band in found.data["bands"] for place in band["way"]}
        for name in ("forks", "crossings", "knots", "narrowings", "changes"):
            known |= {(row["column"], row["row"]) for row in found.data[name]}
        known |= {tuple(row["last"]) for row in found.data["changes"]}
        assert told == known


def test_every_number_can_be_computed_from_the_truth(truths, changing):
    for record in (*truths, changing):
        found = describe(record)
        seen = [row for row in record["segments"] if row["visible"]]
        points = np.array(
            [place for row in seen for place in zip(row["column"], row["row"], strict=True)]
        )
        for band in found.data["bands"]:
            for place in band["way"]:
                assert np.hypot(*(points - place).T).min() <= np.sqrt(0.5) + 1e-9
            near = [
                row
                for row in seen
                if any(
                    np.hypot(np.array(row["column"]) - c, np.array(row["row"]) - r).min() < 1
                    for c, r in band["way"]
                )
            ]
            widths = np.concatenate([row["seen_width_mm"] for row in near])
            shares = np.concatenate([row["seen_contrast"] for row in near])
            assert 100 * shares.min() - 0.5 <= band["darker_percent"] <= 100 * shares.max() + 0.5
            for name in ("width_mm", "start_width_mm", "end_width_mm"):
                assert widths.min() - 0.05 <= band[name] <= widths.max() + 0.05
        for name, listed in (("knots", "valves"), ("forks", "bifurcations")):
            places = {
                (round(row["column"]), round(row["row"]))
                for row in record[listed]
                if row["visible"]
            }
            assert {(row["column"], row["row"]) for row in found.data[name]} == places


def test_the_way_told_stays_near_the_band(truths):
    for record in truths:
        for band in describe(record).data["bands"]:
            way = np.array(band["way"], float)
            line = np.concatenate([np.linspace(a, b, 200) for a, b in pairwise(way)])
            listed = [
                np.array([row["column"], row["row"]]).T[np.array(row["seen"], bool)]
                for row in record["segments"]
                if row["visible"]
            ]
            points = np.concatenate(listed)
            # every place on the way told lies on a band, but for bends of less than 12 pixels
            for place in line[::20]:
                assert np.hypot(*(points - place).T).min() <= 13


def test_a_straight_band_is_told_from_edge_to_edge():
    found = describe(alone(upright()))
    assert found.sentences[1] == "There is one dark band to be seen."
    assert found.sentences[2] == (
        "Band 1 runs from the top edge (column 320, row 0) to the bottom edge (column 320, "
        "row 479); it is about 96 mm long."
    )
    assert "Band 1 is dark: about" in found.sentences[3]
    assert len(found.sentences) == 4


def test_a_band_that_widens_is_told_by_both_ends():
    found = describe(alone(upright(diameter=np.linspace(1.0, 5.0, 161)))).data["bands"][0]
    # flow is up the picture, so that the widest is at the top, where the words begin
    assert found["start_width_mm"] > 1.2 * found["end_width_mm"]
    even = describe(alone(upright()))
    assert "at first" not in even.text


def test_deeper_bands_are_told_as_less_dark():
    words = [
        describe(alone(upright(depth))).data["bands"][0]["darkness"] for depth in (0.5, 3.0, 6.0)
    ]
    assert words == ["dark", "less dark", "faint"]


def test_a_knot_is_told_with_its_place_and_the_side_of_its_bulge():
    found = describe(alone(upright(0.4), [Valve("one", 80.0)]))
    (knot,) = found.data["knots"]
    assert (knot["column"], knot["row"]) == (320, 240)
    assert knot["bulge_at"] == 12  # flow is up the picture, and the bulge past the notch
    assert (
        "A small knot lies on band 1 at (column 320, row 240): the band narrows there, with a "
        "bulge beside it towards 12 o'clock." in found.sentences
    )


def test_nothing_seen_is_said():
    found = describe(alone(upright(7.9, diameter=0.6)))
    assert found.sentences[1] == "There is no dark band to be seen."
    assert found.data["bands"] == []


def test_forks_tell_their_bands_and_three_directions(truths):
    forks = [row for record in truths for row in describe(record).data["forks"]]
    assert len(forks) >= 10
    for row in forks:
        assert len(row["arms_at"]) >= 3
        assert all(1 <= hour <= 12 for hour in row["arms_at"])
        assert len(row["bands"]) >= 1


def test_a_single_picture_is_told_without_frames(truths):
    assert all("frame" not in describe(record).text for record in truths)


def test_an_unchanged_series_says_so_and_no_more():
    scene = made("back-of-hand", 2)
    still = truth(scene, series(events.Nothing(), scene, frames=12))
    hidden = events.drawn("infiltration-unseen", scene)
    leaking = truth(scene, series(hidden, scene, frames=12))
    told = [describe(record) for record in (still, leaking)]
    assert all(found.sentences[-1] == NO_CHANGE for found in told)
    assert told[0].text == told[1].text  # no picture rules out an infiltration, nor do the words
    assert "numbered 0 to 11" in told[0].text


def test_a_change_is_told_by_frame_and_place(changing):
    found = describe(changing)
    assert NO_CHANGE not in found.text
    for told, row in zip(found.data["changes"], changing["changes"], strict=True):
        assert told["onset_frame"] == row["onset_frame"]
        assert abs(told["column"] - row["column"]) <= 0.5
        assert abs(told["percent"] / 100 - row["share"]) <= 0.005
    marks = [(row["column"], row["row"]) for row in found.data["changes"][:1]]
    assert score_marks(marks, changing, what="event", within_mm=15).hits == 1


def test_the_order_of_vessels_in_a_truth_changes_no_word(truths):
    for record in truths:
        keys = [row["key"] for row in record["vessels"]][::-1]
        turned = dict(record)
        turned["segments"] = sorted(record["segments"], key=lambda row: keys.index(row["vessel"]))
        assert describe(turned).text == describe(record).text


def test_another_version_is_not_described(truths):
    with pytest.raises(ValueError, match="of version 9"):
        describe(truths[0] | {"version": 9})


def test_a_turned_picture_is_told_as_turned():
    record = alone(upright())
    person = Anatomy("forearm", "adult", 1, Limb(90.0, sag_mm=0.0), (upright(),))
    scene = Scene(person, skin=Skin(texture_share=0.0))
    turned = truth(replace(scene, view=replace(scene.view, turn_deg=90.0)))
    assert "top edge" in describe(record).text
    assert "top edge" not in describe(turned).text
    assert "the left edge (column 0, row 2" in describe(turned).text
    assert "the right edge (column 639, row 2" in describe(turned).text
