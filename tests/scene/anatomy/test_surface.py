"""Whose skin shows what: by site and age group, as often as is assumed, and by nothing else."""

import functools
import math
from dataclasses import replace

import numpy as np
import pytest

from cubital.scene.anatomy import surface
from cubital.scene.anatomy.person import SITES, age_groups, anatomy
from cubital.scene.anatomy.vessels import View
from cubital.scene.chance import generator
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
    ("forearm", "adult", "mole", 0.3),
    ("back-of-hand", "infant", "mole", 0.05),
    ("elbow-crease", "child", "scar", 0.08),
    ("forearm", "infant", "scar", 0.0),
    ("forearm", "adult", "glare", 0.15),
    ("foot-of-infant", "infant", "glare", 0.1),
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
                    if line.kind in ("crease", "tendon", "glare"):
                        assert (across > along) == (line.kind == "crease"), line
                    assert (np.abs(x) < limb.half_width_at_mm(y)).all()
                    assert min(line.strength) >= 0
                    if line.kind != "mole":  # they fade away; a mole has an edge of its own
                        assert max(line.strength[0], line.strength[-1]) < 1e-9


def test_a_picture_has_one_mole_or_scar_or_glare_at_most():
    for seed in SEEDS:
        kinds = [line.kind for line in shown("back-of-hand", "adult", seed)]
        assert sum(kinds.count(kind) for kind in ("mole", "scar", "glare")) <= 1


def test_a_mole_takes_less_light_in_dark_skin_and_all_else_is_alike():
    found = 0
    for seed in range(40):
        pale, dark = (
            surface.drawn(
                "forearm", "adult", limb_of("forearm", "adult"), seed=seed, melanin_fraction=m
            )
            for m in (0.02, 0.3)
        )
        assert [line.x_mm for line in pale] == [line.x_mm for line in dark]
        for one, other in zip(pale, dark, strict=True):
            if one.kind == "mole":
                # 1 - 0.3 / 0.5 over 1 - 0.02 / 0.5
                assert other.strength[0] / one.strength[0] == pytest.approx(0.4 / 0.96)
                found += 1
            else:
                assert one == other
    assert found > 3


@pytest.mark.parametrize(
    "kind", ["vein", "bifurcation", pytest.param("artery", marks=pytest.mark.long)]
)
def test_what_the_skin_shows_depends_on_nothing_that_is_looked_for(kind):
    """Targets and catch trials have it alike: it is drawn by person and seed, never by the kind."""
    for seed in range(2):
        scene = difficulty.found(0.4, seed=seed, kind=kind, site="back-of-hand", view=SMALL).scene
        who = scene.anatomy
        other = anatomy("back-of-hand", seed=who.seed, age_group=who.age_group, artery=False)
        assert scene.surface == surface.drawn(
            who.site,
            who.age_group,
            other.limb,
            seed=scene.seed,
            melanin_fraction=scene.skin.melanin_fraction,
        )


def test_a_mole_of_a_scene_is_as_dark_as_its_skin_lets_it_be():
    limb, moles = limb_of("forearm", "adult"), 0
    who = anatomy("forearm", seed=0)
    for number in range(12):
        dials = difficulty._drawn(0.4, generator("test", number), "forearm", ("adult",), SMALL)
        scene = dials.scene(who, 0.5)
        melanin = scene.skin.melanin_fraction
        assert scene.surface == surface.drawn(
            "forearm", "adult", limb, seed=scene.seed, melanin_fraction=melanin
        )
        moles += sum(line.kind == "mole" for line in scene.surface)
    assert moles


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
