"""The lesson on reaching the vein: every number it states, and its run from top to bottom."""

import math

import pytest

from cubital import calc, tables
from cubital.explore.reaching.after_flow import FlowAfterPlacement
from cubital.explore.reaching.anchoring import AnchoredVein
from cubital.explore.reaching.flashback import BOTH, NEEDLE_ONLY, THROUGH, TipsAtTheVein
from cubital.tables import reaching as evidence
from cubital.tables.light import skin_layers
from cubital.tables.scene import vessel_sizes

from .stated import assert_written, pairs, unchecked, words_of

NAME = "50-reaching-the-vein"
DEPTH_MM, VEIN_MM, ANGLE_DEG, LENGTH_MM, LONGER_MM = 6.0, 3.0, 25, 32, 48
HAND, FAT = vessel_sizes()["back-of-hand", "adult", "vein"], skin_layers()["fat"]
REACH_MM = tables.profile().depth_reach_mm
BANDS = [row for row in evidence.survival() if row.measure == "fraction"]
GUIDE = 100 * BANDS[-1].low


def share_percent(length=LENGTH_MM, *, depth=DEPTH_MM, angle=ANGLE_DEG):
    return 100 * calc.fraction_in_vein(length, near_wall_depth_mm=depth, insertion_angle_deg=angle)


def in_vein_mm(length, *, depth=DEPTH_MM, angle=ANGLE_DEG):
    return calc.length_in_vein_mm(length, near_wall_depth_mm=depth, insertion_angle_deg=angle)


def way_mm(wall="near", *, depth=DEPTH_MM, angle=ANGLE_DEG):
    deep = calc.depth_to_wall_mm(depth, vein_diameter_mm=VEIN_MM, wall=wall)
    return calc.track_length_mm(deep, insertion_angle_deg=angle)


def room_mm(angle=ANGLE_DEG):
    return way_mm("far", angle=angle) - way_mm("near", angle=angle)


def sure_room_mm(angle=ANGLE_DEG):
    return calc.reach_along_needle(
        DEPTH_MM, vein_diameter_mm=VEIN_MM, insertion_angle_deg=angle
    ).sure_room_mm


def flattest_deg(length):
    return calc.angle_for_fraction_deg(GUIDE / 100, length_mm=length, near_wall_depth_mm=DEPTH_MM)


def shift_mm(skin, push=0.5):
    return calc.sideways_shift_mm(push, skin=skin)


def rolls_from_n(skin):
    return AnchoredVein(skin=skin, vein_diameter_mm=VEIN_MM).show().numbers.rolls_from_n


def tips(needle_in_mm):
    return TipsAtTheVein(needle_in_mm=needle_in_mm).show().numbers


def drip(**state):
    return FlowAfterPlacement(**state).show().numbers


def constant(key):
    return tables.constant(key).value


HAZARD = tables.constant("hazard-ratio-per-step")
LONGER_HAZARD = calc.failure_hazard_ratio(
    share_percent(LONGER_MM) / 100, reference_fraction=share_percent() / 100
)
ON = drip(cuff_mmhg=40)
FULLY_ON = drip(cuff_mmhg=80)

# cell: (words in it, ..., each with the numbers in it, in order, as the package computes them)
STATED = {
    "numbers-of-drying": {
        # rnao-skin (its table read): seconds, and minutes
        "chlorhexidine 2 % with alcohol dry for 30 seconds": (2, 30),
        "without alcohol 2 minutes": (2,),
    },
    "question": {
        "near wall of a forearm vein is 6.0 mm deep and the vein is 3.0 mm wide": (
            DEPTH_MM,
            VEIN_MM,
        ),
        "at 25 degrees with a 20 gauge catheter, 32 mm long": (ANGLE_DEG, 20, LENGTH_MM),
    },
    "two-walls": {
        '"The vein is 6 mm deep"': (DEPTH_MM,),
        "near wall is 6.0 mm deep, its far wall 9.0 mm": tuple(
            calc.depth_to_wall_mm(DEPTH_MM, vein_diameter_mm=VEIN_MM, wall=wall)
            for wall in ("near", "far")
        ),
        "At 30 degrees it is twice the depth": (30,),
        "For our 6.0 mm at 25 degrees it is 14.2 mm, and 21.3 mm to the far wall": (
            DEPTH_MM,
            ANGLE_DEG,
            way_mm(),
            way_mm("far"),
        ),
        ": 7.1 mm of room for the tip": (room_mm(),),
        "you go in at 45 degrees": (45,),
    },
    "read-the-side": {
        "at 45 degrees 73.5 % of the catheter lies in the vein, not 55.6 %": (
            45,
            share_percent(angle=45),
            share_percent(),
        ),
        "shrinks from 7.1 to 4.2 mm": (room_mm(), room_mm(45)),
    },
    "numbers-of-the-room": {
        "leaves a flat needle 9.3 mm of room and a steep one 4.8 mm": (
            HAND.diameter_mm / math.sin(math.radians(15)),
            2 * HAND.diameter_mm,  # the sine of 30 degrees is a half
        ),
        "To the deeper vein the flat needle goes 23.2 mm, the steep needle 12.0 mm": (
            DEPTH_MM / math.sin(math.radians(15)),
            2 * DEPTH_MM,
        ),
        "near wall is 1.6 mm deep": (HAND.depth_mm,),
        "is 1 to 30 mm thick": (FAT.thickness_low_mm, FAT.thickness_high_mm),
        "6.0 mm deep, the centre of the vein 7.5 mm, and the far wall 9.0 mm": tuple(
            calc.depth_to_wall_mm(DEPTH_MM, vein_diameter_mm=VEIN_MM, wall=wall)
            for wall in ("near", "centre", "far")
        ),
        "Say the needle is 15.0 mm in": (15,),
        "the far wall is then 6.3 mm away; with the needle lowered to 10 degrees it is 15.3 mm": (
            way_mm("far") - 15,
            constant("lowered-angle"),
            tips(15).room_lowered_mm,
        ),
        "is 4.0 mm at 25 degrees and 2.4 mm at 45": (
            sure_room_mm(),
            ANGLE_DEG,
            sure_room_mm(45),
            45,
        ),
        "wrong by 0.5 mm and the width by 0.3 mm": (
            constant("vein-depth-error"),
            constant("vein-diameter-error"),
        ),
        "In 64 blood draws": (float(tables.constant("venepuncture-angle").note.split()[2]),),
        "a mean of 15.2 degrees": (constant("venepuncture-angle"),),
        "At 15 degrees the way to our vein is 23.2 mm": (15, way_mm(angle=15)),
        "veins down to 7 mm, at best": (REACH_MM,),
        "Put the depth at 7.0 mm and choose the 25 mm catheter, at 25 degrees: 8.4 mm of it lie "
        "in the vein, 33.7 %": (
            REACH_MM,
            25,
            ANGLE_DEG,
            in_vein_mm(25, depth=REACH_MM),
            share_percent(25, depth=REACH_MM),
        ),
    },
    "share-in-the-vein": {
        "86 patients": (BANDS[0].patients,),
        "less than 30 % of their length in the vein. From 65 % on, none failed": (
            100 * BANDS[0].high,
            GUIDE,
        ),
        "We use **65 % as our guide**": (GUIDE,),
        "at 25 degrees, down to about what depth does a 32 mm catheter keep 65 %": (
            ANGLE_DEG,
            LENGTH_MM,
            GUIDE,
        ),
    },
    "read-the-share": {
        "at 4.5 mm it is 66.7 %, at 5.0 mm 63.0 %": (
            4.5,
            share_percent(depth=4.5),
            5,
            share_percent(depth=5),
        ),
        "Our vein at 6.0 mm is too deep for this catheter at this angle: 55.6 %": (
            DEPTH_MM,
            share_percent(),
        ),
    },
    "read-the-studies": {
        "each extra 5 % in the vein cut the hazard of failing by about 29 % (17 to 40 %)": (
            100 * constant("hazard-step"),
            *(100 * (1 - left) for left in (HAZARD.value, HAZARD.high, HAZARD.low)),
        ),
        "From 55.6 to 70.4 % that would leave 0.36 times": (
            share_percent(),
            share_percent(LONGER_MM),
            LONGER_HAZARD,
        ),
    },
    "read-the-choice": {
        "at 25 degrees the 32 mm catheter leaves 56 % in the vein, the 48 mm catheter 70 %": (
            ANGLE_DEG,
            LENGTH_MM,
            share_percent(),
            LONGER_MM,
            share_percent(LONGER_MM),
        ),
        "the 48 mm catheter at 25 degrees": (LONGER_MM, ANGLE_DEG),
        "It needs 33.8 mm of straight vein": (in_vein_mm(LONGER_MM),),
    },
    "numbers-of-the-share": {
        "At 35 degrees 32 mm would do, with 67 %": (35, LENGTH_MM, share_percent(angle=35)),
        "is then 5.2 mm": (room_mm(35),),
        "With 25 mm only 45 degrees does": (25, 45),
        "for 65 %: 32.4 degrees with 32 mm": (GUIDE, flattest_deg(LENGTH_MM), LENGTH_MM),
        "With 48 mm, 20.9 degrees is enough": (LONGER_MM, flattest_deg(LONGER_MM)),
        "takes up 38.3 % of this vein, and the invented ward's limit is 45 %": (
            100
            * calc.catheter_to_vein_ratio(calc.gauge(20).outer_upper_mm, vein_diameter_mm=VEIN_MM),
            100 * tables.profile().ratio_limit,
        ),
        "For 65 % in the vein, 35 % of the length may be used on the way: 11.2 mm of 32 mm": (
            GUIDE,
            100 - GUIDE,
            LENGTH_MM * (100 - GUIDE) / 100,
            LENGTH_MM,
        ),
        "6.0 ÷ 11.2 = 0.536": (
            DEPTH_MM,
            LENGTH_MM * (100 - GUIDE) / 100,
            math.sin(math.radians(flattest_deg(LENGTH_MM))),
        ),
        "makes it 32.4 degrees": (flattest_deg(LENGTH_MM),),
    },
    "hold-the-vein": {"Does a 3.0 mm vein roll away": (VEIN_MM,)},
    "read-the-anchoring": {
        "in loose skin the vein moves 1.8 mm": (shift_mm("loose"),),
        "In held skin it moves 0.2 mm": (shift_mm("stretched"),),
    },
    "numbers-of-rolling": {
        "In loose skin it rolls away from 0.45 N on, in firm skin from 0.95 N on": (
            rolls_from_n("loose"),
            rolls_from_n("resting"),
        ),
    },
    "blood-in-the-chamber": {
        "here by 2 mm": (constant("needle-lead"),),
        "our vein, at 25 degrees": (ANGLE_DEG,),
        "The needle is 15.0 mm in": (15,),
        "Move the needle to 15.0 mm, then 16.5 mm, then 21.5 mm": (15, 16.5, 21.5),
    },
    "read-the-tips": {
        "at 15.0 mm, *needle in the vein, catheter not yet*": (15,),
        "At 16.5 mm both are in": (16.5,),
        "At 21.5 mm, *at the far wall or through it*": (21.5,),
        "wrong at 15.0 mm, and at 21.5 mm": (15, 21.5),
    },
    "afterwards": {
        "Take a 10 mL syringe": (10,),  # flush-physics (opening read)
    },
    "slow-drip": {
        "a review of 39 studies found no consensus": (39,),  # flushing-2025 (abstract)
        "the bag hangs 800 mm above the vein": (800,),
        "the catheter is our 48 mm one": (calc.gauge(20).lengths_mm[-1],),
        "left on at 40 mmHg": (40,),
    },
    "read-the-drip": {
        "54.1 mL/min becomes 31.0 to 34.3 mL/min": (
            drip().flow_off_ml_per_min,
            ON.flow_low_ml_per_min,
            ON.flow_high_ml_per_min,
        ),
        "lower than 379 to 433 mm": ON.stands_still_mm,
        "At 80 mmHg hardly anything runs even from 800 mm: 0.0 to 4.9 mL/min": (
            80,
            800,
            FULLY_ON.flow_low_ml_per_min,
            FULLY_ON.flow_high_ml_per_min,
        ),
        "was 70 to 80 % of the tourniquet's own": (
            100 * constant("vein-pressure-share-low"),
            100 * constant("vein-pressure-share-high"),
        ),
        # Mercury is 13.595 g/cm3, saline at 22 degrees 1.0046 g/cm3.
        "each mmHg of it holds up 13.5 mm of saline": (13.595 / 1.0046,),
    },
    "what-we-have-done": {"32 mm might not have lasted": (LENGTH_MM,)},
}


@pytest.fixture(scope="module")
def words(lessons):
    return words_of(lessons[NAME])


@pytest.mark.parametrize(("cell", "stated"), pairs(STATED))
def test_stated_numbers_are_in_the_lesson_and_are_what_the_package_computes(words, cell, stated):
    assert_written(words[cell], stated, STATED[cell][stated])


def test_no_number_in_the_prose_goes_unchecked(lessons):
    assert unchecked(lessons[NAME], STATED) == {}


def test_numbers_in_words_are_what_the_package_computes(words):
    assert "At 30 degrees it is twice the depth" in words["two-walls"]
    assert way_mm(angle=30) == pytest.approx(2 * DEPTH_MM)
    assert "Half a millimetre decides it" in words["read-the-share"]
    assert share_percent(depth=5) < GUIDE < share_percent(depth=4.5)
    assert "half a newton" in words["hold-the-vein"]
    assert "more than half its width" in words["read-the-anchoring"]
    assert shift_mm("stretched") < VEIN_MM / 2 < shift_mm("loose")
    assert "in held skin it stays up to the end of the scale" in words["numbers-of-rolling"]
    assert rolls_from_n("stretched") is None
    assert "one person has at most two attempts" in words["attempts-and-ladder"]
    assert tables.profile().attempt_limit == 2


def test_the_ladder_is_named_in_its_order_and_handing_on_early_is_right(words):
    text = words["attempts-and-ladder"]
    rungs = [text.index(rung) for rung in ("under ultrasound**", "**midline**", "**central line**")]
    assert rungs == sorted(rungs)
    assert "**Bone** (intraosseous), in an emergency. Do not keep bone for last" in text
    assert "you need not use up the limit" in text
    assert "a total for the whole team" in text
    assert "A barred arm is barred for every kind of line" in text
    assert "A midline is not for drugs that harm tissue" in text
    assert "the renal team decides on any line in an arm" in text
    assert "it runs by a good vein, closely watched, while you ask for the central line" in text
    assert "go up the ladder" in words["read-the-choice"]


def test_the_skin_is_cleaned_with_the_tourniquet_off(words):
    text = words["usual-cautions"]
    assert "**Clean the skin** with the tourniquet off." in text
    assert "let it dry by itself. Only then put the tourniquet on." in text


def test_cleaning_says_agent_friction_and_drying_and_what_is_not_touched(words):
    text = words["usual-cautions"]
    assert "the antiseptic that your local policy names, unless the patient is allergic" in text
    assert "Rub it in with friction, for as long as policy says, and let it dry by itself" in text
    newborn = "A newborn's skin needs an antiseptic of its own, which this course does not"
    assert newborn in words["numbers-of-drying"]
    for untouched in ("the cleaned skin", "the catheter", "the open hub", "the tip of the syringe"):
        assert untouched in text.partition("**Aseptic technique.**")[2], untouched
    assert "Before each connection rub its end with an antiseptic wipe" in words["afterwards"]


def test_the_choice_in_the_prose_is_the_one_that_the_numbers_make():
    enough = {
        (length, angle)
        for length in calc.gauge(20).lengths_mm
        for angle in (15, 25, 35, 45)
        if share_percent(length, angle=angle) >= GUIDE
    }
    assert {pair for pair in enough if pair[0] == 25} == {(25, 45)}
    assert {pair for pair in enough if pair[0] == LENGTH_MM} == {(LENGTH_MM, 35), (LENGTH_MM, 45)}
    assert (LONGER_MM, ANGLE_DEG) in enough
    assert (LONGER_MM, 15) not in enough


def test_the_tips_are_where_the_prose_says():
    assert [tips(way).stage for way in (15, 16.5, 21.5)] == [NEEDLE_ONLY, BOTH, THROUGH]
    # and by plain trigonometry: walls at 14.20 and 21.30 mm, the catheter's end 2 mm behind
    near, far = (depth / math.sin(math.radians(25)) for depth in (6, 9))
    assert near < 15 < near + 2 < 16.5 < far < 21.5


def test_a_forgotten_tourniquet_slows_the_drip_and_does_not_stop_it():
    assert 0 < ON.flow_low_ml_per_min < ON.flow_high_ml_per_min < ON.flow_off_ml_per_min
    assert ON.stands_still_mm[1] < 800


def test_cautions_are_there(words):
    assert "Never put the needle back into the catheter" in words["lower-and-advance"]
    assert "sharps box" in words["lower-and-advance"]
    assert "hand hygiene" in words["usual-cautions"]
    assert "Never force a flush" in words["afterwards"]
    assert "feel before cleaning, enter by eye" in words["moment-of-entry"]
    assert "*no resistance, no swelling, no pain*" in words["afterwards"]
    assert "](20-focal-geometry.ipynb)" in words["moment-of-entry"]
    for thing in ("**deep**", "**open**", "**nerve**", "**artery**"):
        assert thing in words["picture-confirms"]
