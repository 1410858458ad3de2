"""Difficulty: what is asked for is had, what is measured follows what makes a vein hard to see."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import spearmanr

from cubital.scene.anatomy.vessels import (
    Anatomy,
    Camera,
    Confluence,
    Limb,
    Line,
    Scene,
    Skin,
    Vessel,
    View,
)
from cubital.scene.light import picture
from cubital.scene.truth import difficulty

SMALL = View(320, 240, 0.4)
FLAT = Limb(half_width_mm=90.0, sag_mm=0.0)


def straight(key, x_mm, depth_mm=2.0, diameter_mm=3.0):
    """A straight vein along the limb."""
    y_mm = np.linspace(60, -60, 61)
    even = np.ones(61)
    return Vessel(key, "vein", x_mm * even, y_mm, depth_mm * even, diameter_mm * even)


def scene(*vessels, skin=None, camera=None, **anatomy):
    who = Anatomy("forearm", "adult", 1, FLAT, vessels or (straight("a", 0.0),), **anatomy)
    return Scene(who, skin or Skin(), SMALL, camera or Camera(0.01), seed=1)


def test_scenes_have_the_difficulty_they_are_asked_for():
    asked = np.linspace(0.1, 0.75, 14)
    found = [difficulty.found(level, seed=at, view=SMALL) for at, level in enumerate(asked)]
    measured = [some.difficulty.level for some in found]
    assert spearmanr(asked, measured).statistic > 0.98
    assert np.abs(asked - measured).max() <= difficulty.WITHIN
    # contrast over noise and what competes, as the truth tells them, say the same
    ratios = [some.difficulty.contrast_to_noise / (1 + some.difficulty.competing) for some in found]
    assert spearmanr(asked, ratios).statistic < -0.98


def test_the_same_person_is_harder_the_more_is_asked():
    person = difficulty.found(0.4, seed=3, site="forearm", age_group="adult", view=SMALL)
    levels = [
        difficulty.found(level, seed=5, person=person.scene.anatomy, view=SMALL).difficulty.level
        for level in (0.3, 0.4, 0.5, 0.6)
    ]
    assert levels == sorted(levels)
    assert levels[-1] - levels[0] > 0.2


@pytest.mark.parametrize("kind", ["bifurcation", "artery"])
def test_other_structures_can_be_asked_for(kind):
    some = difficulty.found(0.55, seed=2, kind=kind, site="back-of-hand", view=SMALL)
    assert some.difficulty.what == kind
    assert abs(some.difficulty.level - 0.55) <= difficulty.WITHIN


def test_a_valve_can_be_asked_for():
    some = difficulty.found(0.6, seed=1, kind="valve", site="back-of-hand")
    valves = {row["key"]: row for row in some.truth["valves"]}
    assert abs(some.difficulty.level - 0.6) <= difficulty.WITHIN
    told = some.difficulty.contrast_to_noise
    assert told == valves[some.difficulty.structure]["contrast_to_noise"]


@pytest.mark.parametrize(
    "harder",
    [
        {"camera": Camera(0.05)},
        {"skin": Skin(texture_share=0.06)},
        {"skin": Skin(hairs_per_cm2=10)},
        {"skin": Skin(melanin_fraction=0.4)},
    ],
)
def test_noise_texture_hair_and_melanin_make_a_vein_harder_to_see(harder):
    assert difficulty.measure(scene(**harder)).level > difficulty.measure(scene()).level + 0.01


def test_a_deeper_or_thinner_vein_is_harder_to_see():
    usual = difficulty.measure(scene()).level
    assert difficulty.measure(scene(straight("a", 0.0, depth_mm=4.0))).level > usual + 0.1
    assert difficulty.measure(scene(straight("a", 0.0, diameter_mm=1.5))).level > usual + 0.1


def test_bands_near_it_compete_with_a_vein_and_bands_far_from_it_do_not():
    alone = difficulty.measure(scene())
    far = difficulty.measure(scene(straight("a", 0.0), straight("b", 40.0)))
    near = difficulty.measure(scene(straight("a", 0.0), straight("b", 8.0)))
    assert (alone.bands_near, far.bands_near) == (0, 0)
    assert near.bands_near == pytest.approx(1, abs=0.1)
    assert near.level > alone.level + 0.02


def test_tendons_near_it_compete_with_a_vein_and_creases_do_not():
    def shown(kind):
        line = Line(kind, (6.0, 6.0), (-60.0, 60.0), (0.06, 0.06), 1.5)
        return difficulty.measure(replace(scene(), surface=(line,)))

    alone = difficulty.measure(scene()).bands_near
    assert shown("tendon").bands_near > alone + 0.1
    assert shown("crease").bands_near == alone


def test_hairs_across_a_band_are_as_many_as_a_count_of_them():
    # needles of length l, d of them on a square centimetre, cross a line 2 l d / pi times a cm
    chance = np.random.default_rng(1)
    length, density, side = 0.8, 5, 30.0
    middle = chance.uniform(0, side, (int(density * side**2), 2))
    angle = chance.uniform(0, np.pi, len(middle))
    across = np.abs(middle[:, 0] - side / 2) < length / 2 * np.abs(np.cos(angle))
    counted = across.sum() / side
    assert difficulty.hairs_per_cm(Skin(hairs_per_cm2=density)) == pytest.approx(counted, rel=0.1)


def test_measured_difficulty_follows_how_often_the_darker_place_is_the_vein():
    """A second way: in noisy frames, compare the band with places beside it."""
    told, won = [], []
    for noise in (0.01, 0.08, 0.25):
        # a vein so deep that noise decides; texture off
        some = scene(
            straight("a", 0.0, depth_mm=6.0), skin=Skin(texture_share=0), camera=Camera(noise)
        )
        frames = np.array([picture.frame(some, number=at) for at in range(12)], float)
        even = picture.background(some) * 255
        share = frames[:, 30:210] / even[30:210]
        blocks = share.reshape(12, 18, 10, 320).mean(axis=2)
        band, beside = blocks[..., 156:164].mean(-1), blocks[..., 100:108].mean(-1)
        won.append((band < beside).mean())
        told.append(difficulty.measure(some).level)
    assert told == sorted(told)
    assert won == sorted(won, reverse=True)
    assert won[0] > 0.9 > won[-1]


def test_a_difficulty_out_of_reach_says_the_nearest_that_can_be_had():
    deep = scene(straight("a", 0.0, depth_mm=7.0)).anatomy
    with pytest.raises(ValueError, match=r"nearest that can be is (0\.\d\d|1\.00)") as refused:
        difficulty.scene_of(0.05, seed=1, person=deep, view=SMALL)
    assert "difficulty 0.05 cannot be met for a vein of the forearm" in str(refused.value)
    nearest = float(str(refused.value).rsplit(" ", 1)[1])
    some = difficulty.found(nearest, seed=1, person=deep, view=SMALL)
    assert some.difficulty.level == pytest.approx(nearest, abs=difficulty.WITHIN)


def test_the_same_seed_gives_the_same_scene_and_another_seed_another():
    first, again, other = (
        difficulty.scene_of(0.4, seed=seed, site="back-of-hand", view=SMALL) for seed in (7, 7, 8)
    )
    assert (picture.frame(first) == picture.frame(again)).all()
    assert (picture.frame(first) != picture.frame(other)).any()


def test_what_is_not_in_the_picture_cannot_be_measured():
    for what in ("valve", "artery", "bifurcation"):
        with pytest.raises(ValueError, match=f"shows no {what}"):
            difficulty.measure(scene(), what)


def test_the_faintest_arm_decides_how_hard_a_fork_is_to_see():
    main = straight("a", 0.0)
    levels = []
    for depth_mm in (2.0, 4.0):
        way = np.linspace(0, 1, 31)
        even = np.ones(31)
        arm = Vessel("b", "vein", 40 - 40 * way, 40 - 40 * way, depth_mm * even, 3 * even, into="a")
        fork = (Confluence(0.0, 0.0, "b", "a"),)
        levels.append(difficulty.measure(scene(main, arm, confluences=fork), "bifurcation").level)
    assert levels[1] > levels[0] + 0.1


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"level": 1.2}, "difficulty is 1.2: it must be from 0 to 1"),
        ({"level": float("nan")}, "difficulty is nan"),
        ({"kind": "bone"}, "no structure is called 'bone': choose one of vein, valve"),
        ({"site": "nose"}, "no site is called 'nose': choose one of forearm"),
        ({"site": "foot-of-infant", "age_group": "adult"}, "no age group 'adult': choose one of"),
    ],
)
def test_impossible_requests_say_what_can_be_asked(asked, said):
    with pytest.raises(ValueError, match=said):
        difficulty.scene_of(**{"level": 0.5, "seed": 1} | asked)


@pytest.mark.parametrize(("ratio", "level"), [(1000, 0), (30, 0), (30**0.5, 0.5), (1, 1), (-3, 1)])
def test_the_scale_has_its_ends_and_its_middle(ratio, level):
    assert difficulty.level_of(ratio) == pytest.approx(level)


def test_all_that_is_measured_is_plain_data():
    told = difficulty.measure(replace(scene(), camera=Camera(0.02))).plain()
    assert told["notice"] == "simulated, not clinically validated"
    assert told["noise_share"] == 0.02
