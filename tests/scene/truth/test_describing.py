"""A picture in words: enough to work the answer out, and no word of what is to be worked out."""

import copy
import re
from dataclasses import replace

import numpy as np
import pytest

from cubital import items
from cubital.handin.released import pictures
from cubital.scene import NOTICE
from cubital.scene.anatomy import person as anatomy
from cubital.scene.anatomy.vessels import Anatomy, Limb, Scene, Skin, Vessel
from cubital.scene.files import planning, rendering
from cubital.scene.happening.series import series
from cubital.scene.light.picture import background
from cubital.scene.truth import describing
from cubital.scene.truth.describing import describe
from cubital.scene.truth.record import written_truth
from cubital.scene.truth.truth import truth

from . import words_reader

# What somebody is asked for, and what only the truth knows: kinds, names, flow, what it means.
NEVER_SAID = re.compile(
    r"fork|bifurcat|cross|arm|join|meet|knot|valve|narrow|vein|arter|vessel|confluence|upstream|"
    r"downstream|flow|blood|heart|depth|deep|diameter|infiltrat|haematoma|swell|flush|refill|empti|"
    r"roll|event|onset|begin|start|first frame|chang|happen|leak|cephalic|basilic|tributary|"
    r"metacarpal|digital|saphenous|forearm|elbow|adult|infant",
    re.IGNORECASE,
)
JUDGED = ("bifurcations", "valves", "crossings", "events", "changes", "vessels")
ROW = re.compile(r"^Row (\d+): (.*)\.$", re.MULTILINE)
PARTS = re.compile(r"columns (\d+) to (\d+), (\d+) %")
SEED = "read alone"


def made(site, seed, **settings):
    person = anatomy.anatomy(site, seed=seed, depth_mm=0.8, **settings)
    return Scene(person, skin=Skin(texture_share=0.005), seed=seed)


@pytest.fixture(scope="module")
def truths():
    """Return truths of all sites, with shallow veins so that much is seen."""
    return [truth(made(site, 1)) for site in anatomy.SITES]


@pytest.fixture(scope="module")
def rolling():
    """Return a series in which a vein rolls, as truth, frames and bare skin."""
    found = rendering.sought(next(job for job in jobs("reading-the-vein", "series-roll")))
    frames = series(found.event, found.scene)
    return truth(found.scene, frames), frames.frames, background(found.scene)


def jobs(worksheet, kind=""):
    listed = planning.planned(pictures.wanted(items.WORKSHEETS[worksheet]), seed=SEED)
    return [job for job in listed if job.kind.startswith(kind)]


def upright(depth=0.5, diameter=3.0):
    line = np.linspace(80, -80, 161)
    size = np.broadcast_to(np.asarray(diameter, float), 161)
    return Vessel("one", "vein", 0 * line, line, np.full(161, depth), np.array(size))


def alone(vessel):
    person = Anatomy("forearm", "adult", 1, Limb(90.0, sag_mm=0.0), (vessel,))
    return truth(Scene(person, skin=Skin(texture_share=0.0)))


def without_key(record):
    """Return a truth without anything that is asked for, and without the names of what ends."""
    left = copy.deepcopy(record) | {name: [] for name in JUDGED}
    for segment in left["segments"]:
        segment |= {"starts": "edge", "stops": "edge", "kind": "vein"}
    return left


def test_the_same_truth_is_told_in_the_same_words(truths):
    for record in truths:
        text = describe(record).text
        assert text == describe(copy.deepcopy(record)).text
        assert text == describe(written_truth(record)).text
        assert text.endswith(f"The picture is {NOTICE}.")


def test_the_words_are_made_without_what_is_asked_for(truths, rolling):
    # What no word can depend on, no word can give away.
    for record in truths:
        assert sum(row["visible"] for row in record["bifurcations"]) or record["segments"]
        assert describe(without_key(record)).text == describe(record).text
    record, frames, bare = rolling
    told = describe(record, frames, bare).text
    assert describe(without_key(record), frames, bare).text == told


def test_no_word_names_what_is_asked_for(truths, rolling):
    told = [describe(record).text for record in truths]
    told.append(describe(*rolling).text)
    assert all(any(row["visible"] for row in record["bifurcations"]) for record in truths[:2])
    for text in told:
        assert not NEVER_SAID.findall(text), NEVER_SAID.findall(text)


def test_frames_are_named_for_the_whole_series_and_never_for_a_part_of_it(rolling):
    record, *_ = rolling
    text = describe(*rolling).text
    named = re.findall(r"frames? ([\d, ]+)", text)
    assert record["frames"] == 40
    assert named == ["0, 2, 4 ", "0"]
    for line in text.splitlines():
        for listed in re.findall(r"(?:darker|aside|\d:) ((?:-?\d+|-)(?:, (?:-?\d+|-)){5,})", line):
            assert len(listed.split(", ")) == 20  # one for each, whatever is seen


def test_what_is_not_visible_changes_no_word(truths):
    taken_away = 0
    for record in truths:
        seen = copy.deepcopy(record)
        seen["segments"] = [row for row in record["segments"] if row["visible"]]
        taken_away += len(record["segments"]) - len(seen["segments"])
        assert describe(seen).text == describe(record).text
    assert taken_away


def test_an_artery_is_told_as_a_vein_is(truths):
    for record in truths:
        other = copy.deepcopy(record)
        for row in other["segments"]:
            row["kind"] = "artery" if row["kind"] == "vein" else "vein"
        assert describe(other).text == describe(record).text


def test_a_straight_band_is_told_in_every_row_at_its_place():
    found = ROW.findall(describe(alone(upright())).text)
    assert len(found) == 60  # 480 rows, every 8th: 1.6 mm of 0.2 mm a pixel
    for _, parts in found:
        ((left, right, dark),) = PARTS.findall(parts)
        assert abs((int(left) + int(right)) / 2 - 320) <= 1
        assert 5 < int(right) - int(left) < 25  # 3 mm wide are 15 pixels, some of them its rim
        assert int(dark) > 10


def test_a_wider_band_is_told_as_wider_and_a_deeper_one_as_less_dark():
    def middle(record):
        ((left, right, dark),) = PARTS.findall(ROW.findall(describe(record).text)[30][1])
        return int(right) - int(left), int(dark)

    assert middle(alone(upright(diameter=5.0)))[0] > middle(alone(upright(diameter=2.0)))[0]
    darks = [middle(alone(upright(depth)))[1] for depth in (0.5, 3.0, 6.0)]
    assert darks == sorted(darks, reverse=True)


def test_nothing_seen_is_said_row_by_row():
    rows = ROW.findall(describe(alone(upright(7.9, diameter=0.6))).text)
    assert {words for _, words in rows} == {"nothing darker"}


def test_a_turned_picture_is_told_as_turned():
    person = Anatomy("forearm", "adult", 1, Limb(90.0, sag_mm=0.0), (upright(),))
    scene = Scene(person, skin=Skin(texture_share=0.0))
    turned = truth(replace(scene, view=replace(scene.view, turn_deg=90.0)))
    dark = [row for row, words in ROW.findall(describe(turned).text) if words != "nothing darker"]
    assert 1 <= len(dark) <= 3  # it runs across: from side to side, in a row or two
    assert all(abs(int(row) - 240) <= 16 for row in dark)


def test_a_series_is_not_told_without_its_frames(rolling):
    record, frames, bare = rolling
    for given in ((None, None), (frames, None), (frames[:3], bare)):
        with pytest.raises(ValueError, match="series of 40 frames: give them along"):
            describe(record, *given)


def test_another_version_is_not_described(truths):
    with pytest.raises(ValueError, match="of version 9"):
        describe(truths[0] | {"version": 9})


def test_a_band_that_bows_aside_is_told_where_it_bows(rolling):
    record, *_ = rolling
    (event,) = record["events"]
    (place,) = sorted(
        words_reader.places(describe(*rolling).text),
        key=lambda one: np.hypot(one.column - event["column"], one.row - event["row"]),
    )[:1]
    rest, most = place.aside[: event["onset_frame"] // 2], np.nanmax(np.abs(place.aside))
    assert np.nanmax(np.abs(rest)) < 8 < most  # tenths of a millimetre


def test_glare_takes_no_square_of_dark_skin_from_the_words():
    frames, bare = np.full((4, 80, 120), 20, np.uint8), np.full((80, 120), 0.08)
    even = list(describing._squares(frames, bare))
    frames[:, :6, :6], bare[:6, :6] = 255, 1.0
    glaring = list(describing._squares(frames, bare))
    assert len(even) == 6  # of 40 by 40 pixels
    assert [line.split(":")[0] for line in glaring] == [line.split(":")[0] for line in even]


# ---------------------------------------------------------------- answered from the words alone


def answered(worksheet, job):
    """Return the share of the points that the reader gets who has the words alone."""
    truth_of = rendering.rendered(job).truth
    words = pictures.described(truth_of)
    kind = "place" if job.size.frames == 1 else "series"
    item = next(item for item in items.WORKSHEETS[worksheet] if item.kind == kind)
    if kind == "place":
        given = {"marks": words_reader.forks(words)}
    else:
        read = words_reader.movement if worksheet == "reading-the-vein" else words_reader.leaking
        given = {"frame": None, "mark": None} | read(words)
    return item.judge({"picture": job.name}, given, truth_of["truth"]).points / item.points


@pytest.mark.parametrize(
    ("worksheet", "kind", "least"),
    [
        ("reading-the-vein", "bifurcation", 0.6),
        ("reading-the-vein", "series-refill", 0.7),
        pytest.param("reading-the-vein", "series-", 0.7, marks=pytest.mark.long),
        pytest.param("complications", "series-", 0.7, marks=pytest.mark.long),
    ],
)
def test_who_has_the_words_alone_gets_most_of_the_points(worksheet, kind, least):
    shares = [answered(worksheet, job) for job in jobs(worksheet, kind)]
    assert np.mean(shares) >= least, shares
