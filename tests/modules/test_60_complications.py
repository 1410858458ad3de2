"""The lesson on complications: every number it states, and its run from top to bottom."""

import re

import pytest

from cubital import calc, tables
from cubital.explore.complications.haematoma_series import NEVER, OFF, ON, HaematomaGrowing
from cubital.explore.complications.leak_series import SeenAndUnseen
from cubital.explore.complications.limb_swelling import SwellingAndLimb
from cubital.explore.complications.site_grades import OneSiteFourScales
from cubital.explore.complications.site_signs import SignsAndCandidates
from cubital.items.complications.site_judgement import NOT_KNOWN
from cubital.tables import complications as rows

from .stated import NUMBER, assert_written, pairs, unchecked, words_of

NAME = "60-complications"
RATES = rows.rates()
SALINE = "sodium chloride 0.9 %"
PATIENT = {
    "swelling": "runs",
    "touch": "cool",
    "pain": "burning",
    "skin_colour": "hidden",
    "flow": "returns",
    "drug": "noradrenaline",
}
SITE = {"oedema_mm": 40, "swelling": "mild", "pain": "slight", "site": "cool", "drug": SALINE}
PALE = SITE | {"site": "pale"}
CORD = {"pain": "moderate", "site": "cord"}
GRAVE = {"oedema_mm": 100, "swelling": "marked", "pain": "severe", "site": "tight"}


def signs(**state):
    return SignsAndCandidates(**PATIENT | state).show().numbers


def leak(minute, where="over the vein"):
    return SeenAndUnseen(minute=minute, leak=where).show().numbers


def blood(tourniquet=ON, pressing=NEVER):
    return HaematomaGrowing(minute=10, tourniquet=tourniquet, pressing=pressing).show().numbers


def swelling(whose):
    return SwellingAndLimb(leaked_volume_ml=10, whose=whose).show().numbers


def grades(**state):
    found = OneSiteFourScales(**state).show().numbers.grades
    return {key: row.grade for key, row in found.items()}


def percent(key):
    return 100 * RATES[key].share


def noted(key):
    """The numbers in a row's note or a scale's standing; a space parts thousands there."""
    text = RATES[key].note if key in RATES else rows.scales()[key].standing
    return [
        float(each) for each in re.findall(r"\d+(?:\.\d+)?", re.sub(r"(?<=\d) (?=\d{3})", "", text))
    ]


ADULT, INFANT = swelling("adult"), swelling("infant")
SEEN, UNSEEN = leak(20), leak(20, "deep")
PRESSURE = tables.constant("scene-haematoma-pressure")
WORST, BEST = blood(), blood(OFF, 1)

# cell: (words in it, ..., each with the numbers in it, in order, as the package computes them)
STATED = {
    "read-look-and-feel": {
        "in children from 4.4 % to 0.9 %": (
            percent("infiltration-children-before"),
            percent("infiltration-children-after"),
        ),
        "3.5 in 100 fewer, or one fewer for every 29 catheters (100 ÷ 3.5 = 28.6, rounded up)": (
            percent("infiltration-children-before") - percent("infiltration-children-after"),
            100,
            1000 / 35,
            100,
            3.5,
            1000 / 35,
        ),
    },
    "numbers-of-how-often": {
        "one review of 103 studies": noted("phlebitis-defined")[:1],
        "was found in 13.7 % of catheters and occlusion in 8 %": (
            percent("infiltration"),
            percent("occlusion"),
        ),
        "Phlebitis was found in 19.3 % where the study said what it meant by it, and in 4.5 %": (
            percent("phlebitis-defined"),
            percent("phlebitis-undefined"),
        ),
    },
    "read-the-signs": {
        "with 6 signs for it and none against": (len(signs().first.speaks_for),),
        "choose sodium chloride 0.9 %": (0.9,),
    },
    "always-recognised": {
        "In 12 arterial punctures in blood donors, it came fast in 11, was bright in 9, and "
        "**pulsated in only 4**": (
            RATES["arterial-puncture"].events,
            RATES["arterial-fast"].events,
            RATES["arterial-bright"].events,
            RATES["arterial-pulsating"].events,
        ),
        "5 to 10 minutes or longer": [
            float(text) for text in NUMBER.findall(calc.first_actions("arterial_puncture").steps[1])
        ],
    },
    "numbers-of-nerves": {
        "about 1 in 21,000 to 26,700, and a public register 1 in 3,125 to 6,250": (
            *noted("nerve-low"),
            1,
            1 / RATES["nerve-high"].high,
            1 / RATES["nerve-high"].low,
        ),
    },
    "numbers-of-bodies": {
        # mikuni-2013 (abstract): 124, 94 and 27 of 128
        "in 128 cadaver arms, a nerve ran along the cephalic vein, deeper than the vein, in 97 %. "
        "Another ran along the basilic vein in 73 %. In 21 % a second artery": (
            128,
            100 * 124 / 128,
            100 * 94 / 128,
            100 * 27 / 128,
        ),
        "A nerve crossed *over* that vein in 21 %": (100 * 27 / 128,),  # yamada-2008 (abstract)
        "about 9 cm above the tip of the radius": (9.0,),  # radial-branch-1992 (abstract)
    },
    "no-picture-rules-out": {
        "On the left 30 mL/h leak from minute 2 on": (
            60 * (leak(20).volume_ml - leak(10).volume_ml) / 10,
            max(minute for minute in range(21) if not leak(minute).volume_ml),
        ),
        "At minute 3, how dark": (3,),
        "Step to minute 3, then to minute 20": (3, 20),
    },
    "read-seen-and-unseen": {
        "over the vein, 0.5 mL are enough": (leak(3).volume_ml,),
        "at minute 3 the band of the vein has gone from 18.7 % to 0.1 % darker": (
            3,
            100 * leak(3).at_first,
            100 * leak(3).contrast,
        ),
        "at minute 20: 9.0 mL outside the vein, the band at 18.9 %": (
            20,
            UNSEEN.volume_ml,
            100 * UNSEEN.contrast,
        ),
        "**0 of 76,800 points differ**": (UNSEEN.differing, UNSEEN.pixels),
    },
    "numbers-of-pictures": {
        "at minute 20 the two pictures differ in 29,227 of 76,800 points": (
            20,
            SEEN.differing,
            SEEN.pixels,
        ),
        "hardly shows it yet: 2.5 mm": (UNSEEN.girth_rise_mm,),
    },
    "leak-in-an-infant": {"10 mL lie outside the vein": (ADULT.leaked_volume_ml,)},
    "read-small-arm": {
        "0.8 % of the adult's forearm, 8.0 % of the infant's": (
            100 * ADULT.volume_share,
            100 * INFANT.volume_share,
        ),
        "50 mm across, takes up 20 % of the length of the adult's forearm and 56 % of the "
        "infant's": (
            ADULT.diameter_mm,
            100 * ADULT.length_share,
            100 * INFANT.length_share,
        ),
    },
    "haematoma-series": {
        "is about 40 mmHg, against 10 mmHg without": (PRESSURE.value, PRESSURE.low),
        "How much blood lies outside after 10 minutes": (10,),
        "you press after 1 minute": (1,),
    },
    "read-haematoma": {
        "4.4 mL and a patch 44 mm across, against 0.2 mL and 15 mm": (
            WORST.volume_ml,
            WORST.patch_mm,
            BEST.volume_ml,
            BEST.patch_mm,
        ),
    },
    "read-the-drugs": {"on Ward 4's list": (float(tables.profile().department.split()[1]),)}
    | {"Ward 4 lists it as a vesicant": (float(tables.profile().department.split()[1]),)},
    "numbers-of-policies": {
        "at its grades 1 and 2 and leaves it at 3 and 4": sorted(
            rows.complications()["extravasation"].by_grade
        ),
    },
    "read-the-scales": {
        "was taken out of the standards in 2011": (rows.scales()["infiltration"].left,),
        "a swelling 40 mm long": (SITE["oedema_mm"],),
        "Sodium chloride 0.9 % runs in. Do the scales agree": (0.9,),
    },
    "read-the-grades": {
        "all four give 2, the phlebitis scale too": (grades(**SITE)["phlebitis"],),
        "With noradrenaline the infiltration scale gives 4": (
            grades(**SITE | {"drug": "noradrenaline"})["infiltration"],
        ),
        "The table of extravasation still gives 2": (
            grades(**SITE | {"drug": "noradrenaline"})["extravasation"],
        ),
        "the phlebitis scale gives 3 and the visual score 3": (
            grades(**CORD)["phlebitis"],
            grades(**CORD)["vip"],
        ),
        "**the same vein gets 1 and 2**": (
            grades(**CORD, skin_tone="hides")["phlebitis"],
            grades(**CORD, skin_tone="hides")["vip"],
        ),
    },
    "numbers-of-scales": {
        "Of 233 studies of phlebitis, 53 did not say": noted("phlebitis")[1:],
        "it is 3 on the table of extravasation, and with marked swelling 4": (
            grades(**PALE)["extravasation"],
            grades(**PALE | {"swelling": "marked"})["extravasation"],
        ),
        "is a sign of a leak, and no grade 4": (rows.scales()["extravasation"].grades[-1].grade,),
        "Set 100 mm, *marked* swelling": (GRAVE["oedema_mm"],),
        "Where blanching shows, the table of extravasation gives 4": (
            grades(**GRAVE)["extravasation"],
        ),
        "the figure says **3 to 4**": (
            grades(**GRAVE, skin_tone="hides")["extravasation"],
            OneSiteFourScales(**GRAVE, skin_tone="hides")
            .show()
            .numbers.grades["extravasation"]
            .up_to,
        ),
        "severe pain are at least 3 by themselves": (
            calc.extravasation_grade({"numb": True}).grade,
        ),
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


def test_the_patient_s_signs_are_read_as_the_prose_says(words):
    assert "*Think first of extravasation*" in words["read-the-signs"]
    first = signs().first
    assert (signs().verdict, first.speaks_against) == ("Think first of extravasation", ())
    assert first.says_nothing == ("blood can be drawn back",)
    assert "the leak is now called infiltration" in words["read-the-signs"]
    assert signs(drug=SALINE).verdict == "Think first of infiltration"
    readings = SignsAndCandidates(**PATIENT | {"drug": NOT_KNOWN}).show().readings
    (step,) = (row for row in readings if row.label == "First, by local policy")
    assert "Leave the catheter where it is" in step.note
    assert "phlebitis gets one more sign against it" in words["numbers-of-signs"]
    hidden, shown = (
        next(row for row in signs(skin_colour=colour).candidates if row.key == "phlebitis")
        for colour in ("hidden", "none")
    )
    assert len(shown.speaks_against) == len(hidden.speaks_against) + 1


def test_electric_pain_and_bright_blood_alone_lead_to_the_two(words):
    assert "*bright and fast, not pulsating*" in words["read-the-signs"]
    for state, key in (({"pain": "electric"}, "nerve_contact"), ({"blood": "bright"}, None)):
        numbers = SignsAndCandidates(**state).show().numbers
        assert numbers.first.key == (key or "arterial_puncture")
        assert numbers.verdict.startswith("Stop: act as for ")


def test_numbers_in_words_are_what_the_package_computes(words):
    assert "seven complications" in words["objectives"]
    assert "for each of the seven" in words["from-signs"].replace("against each", "for each")
    assert len(rows.complications()) == 7
    assert "ten times" in words["read-small-arm"]
    assert INFANT.volume_share / ADULT.volume_share == pytest.approx(10, abs=0.1)
    assert "a swelling twice as wide holds eight times the volume" in words["small-arm"]
    one, eight = (calc.swelling_diameter_mm(volume) for volume in (1, 8))
    assert eight == pytest.approx(2 * one)
    assert "Taking off the tourniquet prevents most of the bleeding" in words["read-haematoma"]
    saved_by_taking_off = WORST.volume_ml - blood(OFF).volume_ml
    assert saved_by_taking_off > 0.5 * (WORST.volume_ml - BEST.volume_ml)


def test_the_local_list_is_as_the_prose_says(words):
    potassium, adrenaline = (
        calc.local_drug(drug) for drug in ("potassium chloride, concentrated", "adrenaline")
    )
    assert (potassium.class_tissue, potassium.is_listed) == ("irritant", True)
    assert (adrenaline.tissue, adrenaline.is_listed) == ("vesicant", False)
    assert adrenaline.drug_class == calc.local_drug("noradrenaline").drug_class
    assert "**the local list decides.**" in words["read-the-drugs"]


def test_all_four_scales_agree_on_the_cool_site_and_the_drug_parts_them():
    assert set(grades(**SITE).values()) == {2}
    found = grades(**SITE | {"drug": "noradrenaline"})
    assert (found["infiltration"], found["extravasation"]) == (4, 2)


def test_cool_skin_is_the_highest_grade_only_with_the_rest_of_its_row(words):
    """extravasation-table (read): coolness stands in row 4, beside marked swelling."""
    text = words["numbers-of-scales"]
    assert "coolness stands *with* marked swelling, blanching and less circulation" in text
    assert "the course's own reading" in words["how-scales-work"]
    row = rows.scales()["extravasation"]
    assert "the course reads it so" in row.rule
    assert "The course's own rules" in row.rule


def test_phlebitis_comes_out_now_and_what_the_patient_needs_starts_elsewhere_now(words):
    """vip-cards (read): the catheter is resited from two signs on."""
    text = words["read-first-steps"]
    assert "**Phlebitis: from two signs on the catheter comes out now.**" in text
    assert "Only if the therapy cannot pause" in text
    assert "Start noradrenaline **elsewhere now**" in text
    first = rows.complications()
    assert "take the catheter out now" in " ".join(first["phlebitis"].first)
    assert "start it elsewhere now" in " ".join(first["extravasation"].first)


def test_cautions_are_there(words):
    assert (
        "*Stop. Inject nothing. Tourniquet off. Take the needle out and press firmly"
        in (words["always-recognised"])
    )
    assert "*Tourniquet off and needle out at once. Do not probe" in words["always-recognised"]
    assert "A weak hand, or one that stays numb: a doctor now" in words["always-recognised"]
    assert "weakness, or numbness that stays, is seen by a doctor now" in " ".join(
        rows.complications()["nerve_contact"].first
    )
    assert "If the programme is the reason" in words["read-look-and-feel"]
    assert "prevents most of the bleeding in this model" in words["read-haematoma"]
    assert "**After a vesicant it stays in, not flushed" in words["first-actions"]
    assert "A vein that stays is no reason to go on" in words["read-seen-and-unseen"]
    assert "A sign that you cannot see may still be there" in words["where-colour-hides"]
    for thing in ("**Temperature.**", "**Firmness.**", "**Swelling.**", "**Pain.**", "**Light.**"):
        assert thing in words["where-colour-hides"]
