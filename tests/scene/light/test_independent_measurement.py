"""The truth of a scene is right: a ridge filter that knows nothing of it finds what it lists.

Noise-free frames of 24 scenes, six of each site, of persons with shallow veins (main vein 1.5 mm
deep) and even skin (texture 0.5 %). Looked at: the picture but for 4 mm at its border and 5 mm at
the limb's edge and at the limb's ends. Clear segments are those whose contrast is 8 times the noise
or more. Two things count neither way: what is visible but less clear, and what is dark but by the
truth not visible because no lighter skin parts it from a darker band beside it (3 % or more darker
than the lightest skin near). Anything else that is not visible must not be found.
"""

from typing import NamedTuple

import numpy as np
import pytest

from cubital.scene.anatomy import person as anatomy
from cubital.scene.anatomy.vessels import Scene, Skin
from cubital.scene.light import picture
from cubital.scene.truth.truth import truth
from cubital.tables.scene import limb_sizes

from .ridge_measurement import measure

SEEDS = range(300, 306)
HALVED = 2  # the measurement takes every second pixel, mean of four
CLEAR = 8  # contrast over noise
HIDDEN = 0.03  # darker than the lightest skin near, and yet not visible
LINE_MM = 2.5  # between the truth's middle line and a measured one: half a band's width or less
FORK_MM = 4.0  # between a measured fork and the line from confluence to where bands part
END_MM = 5.0  # at the limb's ends veins stop short, which no picture of a person shows


class Counts(NamedTuple):
    """Found and all: listed line, measured line, listed forks, measured forks."""

    listed_line: tuple[int, int]
    measured_line: tuple[int, int]
    listed_forks: tuple[int, int]
    measured_forks: tuple[int, int]


def to_fork_mm(place, fork, mm):
    """Return how far a place is from the line between a confluence and where its bands part."""
    a = np.array([fork["column"], fork["row"]])
    parts = fork["parts"] or fork
    step = np.array([parts["column"], parts["row"]]) - a
    share = np.clip((place - a) @ step / max(step @ step, 1e-9), 0, 1)
    return np.hypot(*(place - a - share * step)) * mm


def points(segments, chosen):
    """Return columns and rows of the points of segments that are chosen."""
    found = [
        (segment["column"][at], segment["row"][at])
        for segment in segments
        for at in range(len(segment["row"]))
        if chosen(segment, at)
    ]
    return np.array(found).reshape(-1, 2)


def away_mm(places, others, mm):
    """Return the distance of each place to the nearest of others."""
    if not len(others):
        return np.full(len(places), np.inf)
    return np.hypot(*(places[:, None] - others[None]).transpose(2, 0, 1)).min(axis=1) * mm


def compared(scene):
    """Measure a scene's noise-free frame and compare it with its truth."""
    mm = scene.view.mm_per_px
    light = picture.light(scene).astype(float)
    height, width = light.shape
    small = light.reshape(height // HALVED, HALVED, width // HALVED, HALVED).mean(axis=(1, 3))
    lines, found, area = measure(small, mm * HALVED)
    rows = (np.arange(height // HALVED) * HALVED + 0.5 - (height - 1) / 2) * mm
    size = limb_sizes()[scene.anatomy.site, scene.anatomy.age_group]
    area &= (np.abs(rows) < size.half_length_mm - END_MM)[:, None]

    def inside(place):
        column, row = (int(value // HALVED) for value in place)
        return 0 <= row < area.shape[0] and 0 <= column < area.shape[1] and area[row, column]

    record = truth(scene)
    segments = record["segments"]
    clear = {row["key"]: row["visible"] and row["contrast_to_noise"] >= CLEAR for row in segments}
    measured = np.argwhere(lines)[:, ::-1] * HALVED + 0.5
    found = [place for place in found * HALVED + 0.5 if inside(place)]

    wanted = points(segments, lambda row, at: clear[row["key"]] and row["seen"][at])
    wanted = np.array([place for place in wanted if inside(place)]).reshape(-1, 2)
    shown = points(segments, lambda row, at: row["visible"])
    hidden = points(
        segments,
        lambda row, at: not row["visible"] and np.median(row["seen_contrast"]) >= HIDDEN,
    )
    faint = points(segments, lambda row, at: row["visible"] and not clear[row["key"]])
    doubtful = np.concatenate([hidden, faint])
    mine = np.array([place for place in measured if inside(place)]).reshape(-1, 2)
    listed = away_mm(mine, shown, mm) <= LINE_MM
    counted = listed | (away_mm(mine, hidden, mm) > LINE_MM)

    forks = [row for row in record["bifurcations"] if row["visible"]]
    sure = [
        fork
        for fork in forks
        if all(clear[arm] for arm in fork["arms"])
        and all(inside((end["column"], end["row"])) for end in (fork, fork["parts"]))
    ]
    crossed = [row | {"parts": None} for row in record["crossings"] if row["visible"]]
    judged = [
        place
        for place in found
        if away_mm(place[None], doubtful, mm)[0] > FORK_MM
        or any(to_fork_mm(place, fork, mm) <= FORK_MM for fork in forks)
    ]
    return Counts(
        (int((away_mm(wanted, measured, mm) <= LINE_MM).sum()), len(wanted)),
        (int(listed.sum()), int(counted.sum())),
        (
            sum(any(to_fork_mm(place, fork, mm) <= FORK_MM for place in found) for fork in sure),
            len(sure),
        ),
        (
            sum(
                any(to_fork_mm(place, fork, mm) <= FORK_MM for fork in (*forks, *crossed))
                for place in judged
            ),
            len(judged),
        ),
    )


@pytest.fixture(scope="module")
def totals():
    """Return the counts of all scenes together, by Counts' fields."""
    skin = Skin(texture_share=0.005)
    found = [
        compared(Scene(anatomy.anatomy(site, seed=seed, depth_mm=1.5), skin=skin, seed=seed))
        for site in anatomy.SITES
        for seed in SEEDS
    ]
    sums = {name: np.sum([getattr(row, name) for row in found], axis=0) for name in Counts._fields}
    print({name: f"{a} of {b}: {a / b:.3f}" for name, (a, b) in sums.items()})
    return sums


@pytest.mark.parametrize(
    ("what", "least"),
    [("listed_line", 2000), ("measured_line", 2000), ("listed_forks", 40), ("measured_forks", 40)],
)
def test_what_is_measured_and_what_is_listed_agree_to_95_percent(totals, what, least):
    agreed, all_of_them = totals[what]
    assert all_of_them >= least
    assert agreed / all_of_them >= 0.95


def test_a_vein_missing_from_the_truth_or_too_much_in_it_would_be_noticed():
    person = anatomy.anatomy("forearm", seed=300, depth_mm=1.5)
    scene = Scene(person, skin=Skin(texture_share=0.005), seed=300)
    image = picture.light(scene).astype(float)
    small = image.reshape(240, 2, 320, 2).mean(axis=(1, 3))
    lines, _, _ = measure(small, 0.4)
    bare = picture.background(scene).astype(float).reshape(240, 2, 320, 2).mean(axis=(1, 3))
    nothing, no_forks, _ = measure(bare, 0.4)
    assert lines.sum() > 500
    assert nothing.sum() < 0.02 * lines.sum()
    assert len(no_forks) == 0
