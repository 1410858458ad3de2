"""The lesson on reading the vein: every number it states, and its run from top to bottom."""

import re

import pytest

from cubital import calc, tables
from cubital.explore.reading import refill_steps
from cubital.explore.reading.arm_by_cause import ArmByCause
from cubital.explore.reading.processed import ProcessedTwice
from cubital.explore.reading.refill_steps import RefillSteps
from cubital.explore.reading.stretch import StraightStretch
from cubital.explore.reading.valve_depth import ValveUnderSkin
from cubital.tables.scene import vessel_sizes

from .stated import assert_written, pairs, unchecked, words_of

NAME = "30-reading-the-vein"
LENGTH_MM, LONGER_MM, FREE_MM, DEPTH_MM, ANGLE_DEG = 32, 48, 35, 3, 25
PUSH_N = tables.constant("scene-push").value
LOOSE_MM, HELD_MM = (calc.sideways_shift_mm(PUSH_N, skin=skin) for skin in ("loose", "stretched"))
STUDY = tables.bibliography()["vein-visibility-2013"]
FOREARM = vessel_sizes()["forearm", "adult", "vein"]
ARM_MM = tables.profile().working_distance_mm


def ratios(**cause):
    return tuple(ArmByCause(**cause).show().numbers.ratios.values())


def darker_percent(**cause):
    return 100 * ArmByCause(**cause).show().numbers.contrasts["slanting band"]


def refill(**state):
    return RefillSteps(**state).show().numbers


def valve(depth_mm):
    return ValveUnderSkin(depth_mm=depth_mm, diameter_mm=4).show().numbers


def processed(**state):
    return ProcessedTwice(**state).show().numbers


def stretch(**state):
    return StraightStretch(**state).show().numbers


# cell: (words in it, ..., each with the numbers in it, in order, as the package computes them)
STATED = {
    "question": {"a 20 gauge catheter, 32 mm long": (20, LENGTH_MM)},
    "why-bands-fade": {
        "From 3 on a band is seen": (tables.constant("contrast-to-noise-needed").value,)
    },
    "read-the-arm": {
        "the three bands have 13.6, 10.9 and 13.9. Room": ratios(),
        "at 80 % leaves 2.6, 2.2 and 2.4": (80, *ratios(room_light_percent=80)),
        "at 20 leaves 2.7, 2.0 and 2.7": (20, *ratios(hair_number=20)),
    },
    "arm-in-numbers": {
        "At 43 % melanin, the darkest skin here, the three bands have 9.9, 8.2 and 9.9": (
            43,
            *ratios(melanin_percent=43),
        ),
        "With 40 % room light they have 7.9, 6.5 and 7.7": (40, *ratios(room_light_percent=40)),
        "sharp at 80 mm, while the arm lies at 220 mm, they have 13.7, 11.0 and 13.9": (
            80,
            ARM_MM,
            *ratios(focus_mm=80),
        ),
        "11 % and not 14 % darker": (darker_percent(focus_mm=80), darker_percent()),
        "of 45 degrees it is 13.0, 10.8 and 13.9": (45, *ratios(tilt_deg=45)),
    },
    "read-the-valve": {
        "at 0.4 mm the valve stands out from the noise by 9.0, at 1.0 mm by 3.3": (
            0.4,
            valve(0.4).ratio,
            1,
            valve(1).ratio,
        ),
        "At 1.5 mm it is 2.1": (1.5, valve(1.5).ratio),
        "At 2.0 mm it is 1.5, and the vein itself is still 17 % darker": (
            2,
            valve(2).ratio,
            100 * valve(2).darker,
        ),
    },
    "read-the-refill": {
        "from frame 8 to frame 12, 37.3 mm of the vein stay pale": (
            8,
            12,
            refill(frame_number=10).empty_length_mm,
        ),
        "From frame 13 on the finger is off": (13,),
    },
    "refill-in-numbers": {
        "In 20 women, the veins that could be seen lay 2.7 mm deep": (
            float(re.search(r"(\d+) women", STUDY.text)[1]),
            float(re.search(r"visible veins of ([\d.]+) mm", FOREARM.note)[1]),
        ),
        "at 23.6 mm/s. The blood itself runs at 20 mm/s": (
            refill().front_velocity_mm_per_s,
            20,
        ),
        "go to frame 9: 28.4 mm are pale": (
            9,
            refill(frame_number=9, valves="leak").empty_length_mm,
        ),
        "from the heart, at 24.0 mm/s": (refill(valves="leak").front_velocity_mm_per_s,),
        "Choose 6 mm/s and the front takes 5.3 s, not 1.6 s": (
            6,
            refill(velocity_mm_per_s=6).front_lasts_s,
            refill().front_lasts_s,
        ),
    },
    "movement-in-numbers": {
        "a push of 0.8 N moves a vein by 2.6 mm in loose skin and by 0.4 mm in skin held": (
            PUSH_N,
            LOOSE_MM,
            HELD_MM,
        ),
    },
    "look-feel-compare": {
        "30 to 60 seconds": (30, 60),  # sasaki-2012 (abstract)
    },
    "tourniquet-sources": {
        # lenhardt-2002 (abstract)
        "after 15 minutes under a warming mitt 3 of 50 first attempts failed": (15, 3, 50),
        "without the warmth 14 of 50": (14, 50),
        # sasaki-2012 (abstract)
        "In 20 volunteers the vein hardly widened after 30 seconds": (20, 30),
    },
    "which-limb": {
        "at least 12 cm above the styloid": (12,),  # vialle-2001 (abstract)
    },
    "limb-in-numbers": {
        "In 3,041 measurements of 632 women": (3041, 632),  # ferguson-2016 (abstract)
        "in 33 specimens": (33,),  # vialle-2001 (abstract)
        # kim-2014 (abstract): 9.35 and 6.29 cm
        "in 51 volunteers, the nerve joined the vein 9.4 cm above the styloid process, and left it "
        "at 6.3 cm": (
            51,
            9.35,
            6.29,
        ),
    },
    "which-band": {
        "straight for 35 mm from the place of entry": (FREE_MM,),
        "its near wall is 3.0 mm deep. We go in at 25 degrees": (DEPTH_MM, ANGLE_DEG),
        "does the 32 mm catheter stay short of the valve, and would one of 48 mm": (
            LENGTH_MM,
            LONGER_MM,
        ),
    },
    "read-the-stretch": {
        "of the 32 mm catheter 24.9 mm lie in the vein, and its end stays 10.1 mm short": (
            LENGTH_MM,
            stretch().in_vein_mm,
            stretch().spare_mm,
        ),
        "Of the 48 mm one it would be 40.9 mm, 5.9 mm too long": (
            LONGER_MM,
            stretch(length_mm=LONGER_MM).in_vein_mm,
            -stretch(length_mm=LONGER_MM).spare_mm,
        ),
    },
    "deeper-stretch": {
        "the depth to 6.0 mm: now 17.8 mm of the 32 mm catheter": (
            6,
            stretch(near_wall_depth_mm=6).in_vein_mm,
            LENGTH_MM,
        ),
    },
    "what-processing-does": {
        "with a filter width of 1.0 mm and a gain of 8.0": (1, 8),
        "does a filter width of 15.0 mm leave": (15,),
    },
    "read-the-processing": {
        "at first all 7 real bands are shown": (processed().shown,),
        "a filter width of 1.0 mm and a gain of 8.0 all 7 are still shown, among 59 that": (
            1,
            8,
            processed(filter_mm=1, gain_times=8).shown,
            processed(filter_mm=1, gain_times=8).invented,
        ),
        "With a gain of 2.0 again and a filter width of 15.0 mm none of the 7 is left": (
            2,
            15,
            processed(filter_mm=15).hidden,
        ),
    },
    "processing-in-numbers": {
        "a filter width of 2.0 mm, a gain of 2.0 and hair on the skin, 17 bands are invented": (
            2,
            2,
            processed(filter_mm=2, hair=8).invented,
        ),
        "of 15.0 mm, even a gain of 30.0 brings back no vein": (15, 30),
        "the filter width at 4.0 mm and the gain at 16.0": (4, 16),
    },
}


@pytest.fixture(scope="module")
def words(lessons):
    return words_of(lessons[NAME])


@pytest.mark.parametrize(("cell", "stated"), pairs(STATED))
def test_stated_numbers_are_in_the_lesson_and_are_what_the_package_computes(words, cell, stated):
    assert_written(words[cell], stated, STATED[cell][stated])


def test_no_number_in_the_prose_goes_unchecked(lessons):
    assert unchecked(lessons[NAME], STATED) == {}


def test_room_light_and_hair_are_the_two_causes_that_make_all_bands_vanish():
    worst = {
        "focus_mm": 80,
        "tilt_deg": 45,
        "room_light_percent": 80,
        "hair_number": 20,
        "melanin_percent": 43,
    }
    lost = {cause for cause, end in worst.items() if max(ratios(**{cause: end})) < 3}
    assert lost == {"room_light_percent", "hair_number"}
    kept = {cause for cause, end in worst.items() if min(ratios(**{cause: end})) >= 3}
    assert lost | kept == set(worst)
    left = [lit / clear for lit, clear in zip(ratios(room_light_percent=40), ratios(), strict=True)]
    assert left == pytest.approx([3 / 5] * 3, abs=0.05)  # "costs about two fifths"
    ends = {c["name"]: (c["low"], c["high"]) for c in ArmByCause().controls}
    assert all(end in ends[cause] for cause, end in worst.items())


def test_the_valve_is_lost_before_the_vein():
    assert valve(1).is_seen
    assert not valve(1.5).is_seen
    assert valve(2.7).darker > 2 * 0.05
    assert not valve(2.7).is_seen


def test_the_refill_in_the_prose_is_the_one_in_the_frames():
    held = [refill(frame_number=frame) for frame in range(8, 13)]
    assert {round(n.empty_length_mm, 1) for n in held} == {37.3}
    assert refill(frame_number=12).stage.startswith("Held")
    assert refill(frame_number=13).stage.startswith("The finger is off")
    run = [refill(frame_number=frame, valves="leak") for frame in (9, 10, 11, 12)]
    lengths = [n.empty_length_mm for n in run]
    assert lengths == sorted(lengths, reverse=True)
    assert all(n.time_s < n.lifted_s for n in run)
    finger, end = refill_steps.FINGER_MM, refill_steps.STROKED_TO_MM
    passed = [place for place in refill_steps.valve_places_mm() if finger < place < end]
    assert len(passed) == 2  # "passes two valves"


def test_what_processing_does_in_words_is_what_it_does():
    assert (processed().shown, processed().invented) == (7, 0)
    assert processed(filter_mm=15).shown == 0
    assert processed(filter_mm=15, gain_times=30).shown == 0
    assert processed(filter_mm=2).invented == 0
    assert processed(gain_times=16).invented == 0


def test_the_choice_in_the_prose_is_the_one_that_the_numbers_make():
    assert stretch().spare_mm > 0 > stretch(length_mm=LONGER_MM).spare_mm
    assert LENGTH_MM in calc.gauge(20).lengths_mm
    assert LONGER_MM in calc.gauge(20).lengths_mm


def test_the_tourniquet_is_off_while_the_skin_is_cleaned_and_its_time_has_a_source(words):
    """sasaki-2012 (abstract); hlthps009 (read): criteria 1.8 and 1.9, let go, then clean."""
    text = words["look-feel-compare"]
    assert "Clean the skin with it off, and let the skin dry. Then put it on again" in text
    assert "30 to 60 seconds [sasaki-2012]" in text
    assert "Release it before you flush or give anything." in text


def test_the_wrist_is_warned_of_with_its_sources(words):
    """vialle-2001 and kim-2014 (abstracts)."""
    text = words["which-limb"]
    assert "**Keep away from the wrist,**" in text
    for key in ("vialle-2001", "nursing-skills-text"):
        assert f"[{key}]" in text
    assert "[kim-2014]" in words["limb-in-numbers"]


def test_a_swollen_arm_stays_barred_and_removed_nodes_alone_are_for_policy_and_patient(words):
    """ferguson-2016 (abstract): no link between punctures and a larger arm."""
    text = words["which-limb"]
    assert "**Lymphoedema, an arm that is swollen already:** not that arm, and you do not" in text
    assert "local policy and the patient decide" in text
    assert "[ferguson-2016]" in text


@pytest.mark.parametrize(("name", "cell"), [(NAME, "which-limb"), ("80-one-patient", "assessment")])
def test_a_barred_limb_is_lifted_by_the_same_people_everywhere(lessons, name, cell):
    text = words_of(lessons[name])[cell].lower()
    assert "only the renal team or the person in charge can decide" in text


def test_cautions_are_there(words):
    assert "kdoqi-veins" in words["which-limb"]
    assert "**Local policy decides**" in words["which-limb"]
    assert "Both arms ruled out? Stop" in words["which-limb"]
    assert "Do not force it" in words["bifurcations-and-refill"]
    assert "*before* the tourniquet goes on" in words["look-feel-compare"]
    assert "**no agreed time**" in words["read-the-refill"]
    for limb in ("fistula", "Lymphoedema", "weak or numb", "central line in that arm", "Infected"):
        assert limb in words["which-limb"]
