"""Whose skin shows what: by site and age group, as often as is assumed, and by nothing else."""

import functools
import math
from dataclasses import replace

import numpy as np
import pytest

from cubital.scene.anatomy import surface
from cubital.scene.anatomy.person import SITES, age_groups, anatomy
from cubital.scene.anatomy.vessels import View
from cubital.scene.truth import difficulty

SMALL = View(320, 240, 0.4)
SEEDS = range(400)
# site, age group, kind: how often it is there, from the table read by hand
SHARES = [
    ("elbow-crease", "adult", "crease", 0.95),
    ("elbow-crease", "infant", "crease", 0.95),
    ("forearm", "adult", "crease", 0.0),
    ("forearm", "infant", "crease", 0.5),
    ("foot-of-infant", "infant", "crease", 0.8),
    ("back-of-hand", "adult", "tendon", 0.65),
    ("back-of-hand", "child", "tendon", 0.4),
    ("back-of-hand", "infant", "tendon", 0.0),
    ("forearm", "adult", "tendon", 0.0),
    # at the wrist or at the knuckles: 1 - 0.2 x 0.2
    ("back-of-hand", "adult", "crease", 0.96),
]


@functools.cache
def limb_of(site, age_group):
    return anatomy(site, seed=0, age_group=age_group).limb


def shown(site, age_group, seed):
    return surface.drawn(site, age_group, limb_of(site, age_group), seed=seed)


@pytest.mark.parametrize(("site", "age_group", "kind", "share"), SHARES)
def test_skin_shows_what_it_is_assumed_to_as_often(site, age_group, kind, share):
    found = np.mean([any(line.kind == kind for line in shown(site, age_group, s)) for s in SEEDS])
    # of 400 persons: within three standard deviations
    assert abs(found - share) <= 3 * math.sqrt(share * (1 - share) / len(SEEDS))


def test_the_same_seed_shows_the_same_and_another_one_other_things():
    assert shown("elbow-crease", "adult", 1) == shown("elbow-crease", "adult", 1)
    assert shown("elbow-crease", "adult", 1) != shown("elbow-crease", "adult", 2)


def test_creases_run_across_and_tendons_along_and_none_leaves_the_limb():
    for site in SITES:
        for age_group in age_groups(site):
            limb = limb_of(site, age_group)
            for seed in range(60):
                for line in shown(site, age_group, seed):
                    x, y = np.array(line.x_mm), np.array(line.y_mm)
                    across, along = np.ptp(x), np.ptp(y)
                    assert (across > along) == (line.kind == "crease"), line
                    assert (np.abs(x) < limb.half_width_at_mm(y)).all()
                    assert min(line.strength) >= 0
                    assert max(line.strength[0], line.strength[-1]) < 1e-9  # they fade away


@pytest.mark.parametrize(
    "kind", ["vein", "bifurcation", pytest.param("artery", marks=pytest.mark.long)]
)
def test_what_the_skin_shows_depends_on_nothing_that_is_looked_for(kind):
    """Targets and catch trials have it alike: it is drawn by person and seed, never by the kind."""
    for seed in range(2):
        scene = difficulty.found(0.4, seed=seed, kind=kind, site="back-of-hand", view=SMALL).scene
        who = scene.anatomy
        other = anatomy("back-of-hand", seed=who.seed, age_group=who.age_group, artery=False)
        assert scene.surface == surface.drawn(who.site, who.age_group, other.limb, seed=scene.seed)


def test_what_the_skin_shows_moves_no_vein():
    scene = next(
        found
        for found in (difficulty.scene_of(0.3, seed=n, site="elbow-crease") for n in range(9))
        if found.surface
    )
    alone = anatomy("elbow-crease", seed=scene.anatomy.seed, age_group=scene.anatomy.age_group)
    assert [v.key for v in scene.anatomy.vessels] == [v.key for v in alone.vessels]
    assert all(
        np.array_equal(one.x_mm, other.x_mm)
        for one, other in zip(scene.anatomy.vessels, alone.vessels, strict=True)
    )
    assert replace(scene, surface=()).anatomy is scene.anatomy
