"""The short lesson on children: every number it states, and that it names no dose and no age."""

import pytest

from cubital import calc, tables
from cubital.explore.complications.limb_swelling import SwellingAndLimb
from cubital.explore.focus.view_tables import LIMBS_MM
from cubital.tables.reading import vein_sizes

from .stated import assert_written, pairs, unchecked, words_of

NAME = "86-children"
SIZES = vein_sizes()
HAND, SMALL_HAND = SIZES["child-hand"], SIZES["small-child-hand"]
ADULT_MM, MELANIN_PERCENT = 3.0, 5  # the vein and the skin of the lesson on light and depth
LIGHT = {"picture_wavelength_nm": 850.0, "epidermal_melanin_fraction": MELANIN_PERCENT / 100}
FIRST, SECOND = (
    tables.constant(f"{which}-attempt-success-children").value for which in ("first", "second")
)
POINTS = {"unseen": 2, "unfelt": 2, "infant": 3, "one-to-two": 1, "preterm": 3}  # riker-2011
HARD, TRIED_ON = 4, 366
DEVICE = calc.scenario_device()
PLANES = {
    "baseline_mm": DEVICE.baseline_mm,
    "reference_distance_mm": DEVICE.working_distance_mm,
}


def percent(depth_mm, diameter_mm):
    return 100 * calc.skin_vein_contrast(depth_mm, lumen_diameter_mm=diameter_mm, **LIGHT)


def taken(gauge, vein_mm):
    outer = calc.gauge(gauge).outer_upper_mm
    return 100 * calc.catheter_to_vein_ratio(outer, vein_diameter_mm=vein_mm)


WIDE = calc.skin_apparent_width_mm(HAND.depth_mm, lumen_diameter_mm=HAND.diameter_mm, **LIGHT)
ASIDE = calc.registration_error_mm(
    calc.limb_drop_mm(20, limb_radius_mm=LIMBS_MM["a child's forearm"]), **PLANES
)

# cell: (words in it, ..., each with the numbers in it); those of studies as the abstracts have them
STATED = {
    "small-and-shallow": {
        "of 60 children up to three years the vein was 1.8 mm wide and 1.4 mm deep": (
            60,
            HAND.diameter_mm,
            HAND.depth_mm,
        ),
        "is 3.0 mm wide and 3.0 mm deep, in the same skin, with 5 % melanin": (
            ADULT_MM,
            ADULT_MM,
            MELANIN_PERCENT,
        ),
    },
    "read-small-and-shallow": {
        "with a contrast of 17 % against 10 %": (
            percent(HAND.depth_mm, HAND.diameter_mm),
            percent(ADULT_MM, ADULT_MM),
        ),
        "its band is 5.2 mm wide": (WIDE,),
        "its contrast is 9.7 %": (percent(HAND.depth_mm + 1, HAND.diameter_mm),),
        "A 24 gauge takes 41.6 % of 1.8 mm, within our limit of 45 %": (
            24,
            taken(24, HAND.diameter_mm),
            HAND.diameter_mm,
            100 * tables.profile().ratio_limit,
        ),
        "found veins of 1.5 mm on the back": (SMALL_HAND.diameter_mm,),
        "takes 49.9 % of those, and a 26 gauge 43.3 %": (
            taken(24, SMALL_HAND.diameter_mm),
            26,
            taken(26, SMALL_HAND.diameter_mm),
        ),
        "At 20 mm beside the highest line of a child's forearm the projected line falls 1.1 mm": (
            20,
            ASIDE,
        ),
    },
    "holding": {"118 children of 9 months to 4 years": (118, 9, 4)},  # upright-2007
    "site-and-skin": {
        "the ankle's vein 2.8 mm wide": (SIZES["child-saphenous"].diameter_mm,),
        "another 1.5 mm": (SIZES["small-child-saphenous"].diameter_mm,),
        # evans-1986
        "Before 30 weeks of pregnancy": (30,),
        "by 34 weeks it has largely matured": (34,),
    },
    "hand-on": {
        "86 % of children's first attempts succeeded, and 68 % of second": (
            100 * FIRST,
            100 * SECOND,
        ),
    },
    "read-hand-on": {
        "4.5 % (0.14 × 0.32, as a share of 100)": (
            100 * (1 - FIRST) * (1 - SECOND),
            1 - FIRST,
            1 - SECOND,
            100,
        ),
        "One score counts 2 points": (POINTS["unseen"],),
        "2 for one that is not felt": (POINTS["unfelt"],),
        "3 for a child below one year or 1 from one to two years": (
            POINTS["infant"],
            POINTS["one-to-two"],
        ),
        "and 3 for a child born preterm": (POINTS["preterm"],),
        "tried on 366 children: with 4 points or more": (TRIED_ON, HARD),
        "has 1 point": (POINTS["one-to-two"],),
        "she has 5:": (POINTS["one-to-two"] + POINTS["unseen"] + POINTS["unfelt"],),
    },
}


@pytest.fixture(scope="module")
def words(lessons):
    return words_of(lessons[NAME])


@pytest.mark.parametrize(("cell", "stated"), pairs(STATED))
def test_number_in_the_prose_is_the_computed_one(words, cell, stated):
    assert_written(words[cell], stated, STATED[cell][stated])


def test_no_number_in_the_prose_is_left_unchecked(lessons):
    assert unchecked(lessons[NAME], STATED) == {}


def test_numbers_of_studies_are_those_that_the_bibliography_notes():
    noted = {key: row.text for key, row in tables.bibliography().items()}
    assert "60 children of 0 to 3 years" in noted["riera-2011"]
    assert "118 children of 9 months to 4 years" in noted["upright-2007"]
    assert f"{TRIED_ON} children" in noted["riker-2011"]


def test_what_the_prose_says_without_digits_holds(words):
    assert "almost three times the vein" in words["read-small-and-shallow"]
    assert 2.8 < WIDE / HAND.diameter_mm < 3
    assert HAND.diameter_mm / 2 < ASIDE  # "more than half the width"
    assert "[ten times as much](60-complications.ipynb)" in words["read-hand-on"]
    adult, infant = (
        SwellingAndLimb(leaked_volume_ml=10, whose=whose).show().numbers.volume_share
        for whose in ("adult", "infant")
    )
    assert infant / adult == pytest.approx(10, abs=0.5)


def test_it_names_no_dose_no_strength_and_no_age_for_a_drug(words):
    assert "no dose, no strength and no age for a drug" in words["objectives"]
    said = " ".join(words[cell] for cell in ("pain-relief", "read-pain-relief"))
    assert not any(letter.isdigit() for letter in said.replace("[harrison-2023]", ""))
    skin = words["site-and-skin"]
    assert "the neonatal unit's policy sets the agent" in skin
    assert not any(unit in skin for unit in (" mg", " mL", "%"))


def test_force_is_the_last_resort_and_the_limit_is_the_local_rules(words):
    assert "restraint is the last resort, by local policy" in words["read-holding"]
    assert "nobody makes them hold her down" in words["consent-and-assent"]
    assert "Local policy sets the limit of attempts" in words["read-hand-on"]
    assert "as the device's instructions say" in words["site-and-skin"]
