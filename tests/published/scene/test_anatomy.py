"""Simulated veins against measured ones: 1,000 persons of a site, one vein measured in each.

Published spreads are standard deviations. Sizes cannot be below zero and lean to the right, so a
mean and a deviation are read as those of a logarithmic normal spread, which gives the median and
the percentiles that are compared.
"""

import math

import numpy as np
import pytest

from cubital.scene.anatomy.person import anatomy
from cubital.tables.scene import vessel_sizes

PERSONS = 1000
MEDIAN_WITHIN, PERCENTILE_WITHIN = 0.10, 0.20  # shares of the published figure


def percentiles(mean, sd):
    """Return the 5th, 50th and 95th percentile of a logarithmic normal spread."""
    sigma = math.sqrt(math.log(1 + (sd / mean) ** 2))
    median = mean / math.sqrt(1 + (sd / mean) ** 2)
    return [median * math.exp(1.645 * sign * sigma) for sign in (-1, 0, 1)]


def measured(site, age_group, keys, *, y_share=0.0, persons=PERSONS):
    """Return diameter and depth of a named vein of each person, at a way along the limb [mm]."""
    found, shapes = [], []
    for seed in range(persons):
        person = anatomy(site, seed=seed, age_group=age_group, artery=False, valves=0)
        shapes.append({vessel.key for vessel in person.vessels})
        named = [vessel for vessel in person.vessels if vessel.key in keys]
        vessel = named[seed % len(named)]
        at = np.abs(vessel.y_mm - y_share * person.vessels[0].y_mm[0]).argmin()
        found.append((vessel.diameter_mm[at], vessel.depth_mm[at]))
    return *np.array(found).T, shapes


def agrees(values, mean, sd):
    low, middle, high = np.percentile(values, [5, 50, 95])
    wanted = percentiles(mean, sd)
    assert middle == pytest.approx(wanted[1], rel=MEDIAN_WITHIN)
    assert low == pytest.approx(wanted[0], rel=PERCENTILE_WITHIN)
    assert high == pytest.approx(wanted[2], rel=PERCENTILE_WITHIN)


def test_adult_forearm():
    """mollison-2006 (abstract): 8.22 mm2 (SD 3.09) at the wrist, so 3.24 mm (SD 0.61).

    vein-visibility-2013 (abstract): depth of visible veins 2.7 mm (SD 0.7), of invisible ones 4.6
    mm (SD 1.8); which share is visible is not in the abstract.
    """
    diameter, depth, _ = measured("forearm", "adult", {"cephalic", "basilic"}, y_share=0.8)
    mean = math.sqrt(8.22 * 4 / math.pi)
    agrees(diameter, mean, mean * 3.09 / 8.22 / 2)
    assert 2.7 < np.median(depth) < 4.6
    low, high = np.percentile(depth, [5, 95])
    assert low == pytest.approx(2.7 - 1.645 * 0.7, rel=PERCENTILE_WITHIN)
    assert 2.7 + 1.645 * 0.7 < high < 4.6 + 1.645 * 1.8


def test_adult_elbow():
    """park-2023 (abstract): 461 persons, depth 4.81 mm (SD 2.17), 3.01 (1.10) by 4.46 (1.60) mm.

    The shares of the patterns: yammine-2016 (abstract), N 44 to 60 %, M 20 to 25 % of 9924 arms;
    vucinic-2016 (abstract), M 34 % of 338. A simulated vein ends before 8 mm, where the contrast of
    vessels is no longer known, so the upper percentile of the depth falls short by up to a fifth.
    """
    keys = {"cephalic", "basilic", "median-cubital"}
    diameter, depth, shapes = measured("elbow-crease", "adult", keys)
    agrees(diameter, math.sqrt(3.01 * 4.46), math.sqrt(1.10 * 1.60))
    agrees(depth, 4.81, 2.17)
    assert 0.44 < np.mean(["median-cubital" in shape for shape in shapes]) < 0.60
    assert 0.20 < np.mean(["median-cephalic" in shape for shape in shapes]) < 0.34


def test_childs_hand():
    """riera-2011 (abstract): 60 children of 0 to 3 years, hand 1.8 mm wide and 1.4 mm deep.

    No spread is in the abstract: the means are compared, and the spread is as assumed.
    """
    keys = {"cephalic", "basilic"}
    diameter, depth, _ = measured("back-of-hand", "child", keys, y_share=0.1)
    assert diameter.mean() == pytest.approx(1.8, rel=MEDIAN_WITHIN)
    assert depth.mean() == pytest.approx(1.4, rel=MEDIAN_WITHIN)
    row = vessel_sizes()["back-of-hand", "child", "vein"]
    assert depth.std() == pytest.approx(row.depth_sd_mm, rel=PERCENTILE_WITHIN)


def test_infants_saphenous_vein():
    """Width: riera-2011 2.8 mm, takeshita-2015 1.5 mm; depth: riera-2011 1.9 mm (abstracts).

    saphenous-2012 (abstract): cross-section 2.85 mm2 (SD 1.9) at 1 to 12 years.
    """
    diameter, depth, _ = measured("foot-of-infant", "infant", {"great-saphenous"}, y_share=-0.5)
    assert 1.5 < np.median(diameter) < 2.8
    assert depth.mean() == pytest.approx(1.9, rel=MEDIAN_WITHIN)
    assert (math.pi / 4 * diameter**2).mean() == pytest.approx(2.85, rel=0.25)


def test_childs_elbow_and_forearm():
    """riera-2011 (abstract): elbow 2.8 and 1.6 mm; takeshita-2015 (abstract): cephalic 1.8 mm."""
    keys = {"cephalic", "basilic", "median-cubital"}
    diameter, depth, _ = measured("elbow-crease", "child", keys, persons=300)
    assert diameter.mean() == pytest.approx(2.8, rel=MEDIAN_WITHIN)
    assert depth.mean() == pytest.approx(1.6, rel=MEDIAN_WITHIN)
    diameter, _, _ = measured("forearm", "child", {"cephalic"}, persons=300)
    assert diameter.mean() == pytest.approx(1.8, rel=MEDIAN_WITHIN)


def test_an_adults_artery_at_the_wrist():
    """kang-2013 (abstract): 2.61 by 2.21 mm, 4.67 mm deep (SD 1.74), 30 volunteers.

    Other means of the diameter: pancholy-2015 2.03 mm, radial-survey-2023 3.0 mm (abstracts).
    """
    found = []
    for seed in range(150):
        artery = anatomy("forearm", seed=seed, artery=True).vessel("artery")
        found.append((np.median(artery.diameter_mm), np.median(artery.depth_mm)))
    diameter, depth = np.array(found).T
    assert 2.03 < diameter.mean() < 3.0
    assert depth.mean() == pytest.approx(4.67, rel=0.15)
