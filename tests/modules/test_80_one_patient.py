"""The lesson on one patient: every number it states, and its run from top to bottom."""

import pytest

from cubital import calc, tables
from cubital.explore.patient.assessment import PatientAssessment
from cubital.explore.patient.choices import OnePatient
from cubital.explore.patient.follow_up import PatientFollowUp
from cubital.explore.patient.insertion import PatientInsertion
from cubital.explore.patient.read_back import read_back_table
from cubital.items.patient.case_insertion import CATHETERS
from cubital.tables.patient import patient
from cubital.tables.reaching import survival

from .stated import assert_written, pairs, unchecked, words_of

NAME = "80-one-patient"
WHO, POLICY = patient(), tables.profile()
LIMIT = 100 * POLICY.ratio_limit
BANDS = {row.low: row for row in survival() if row.measure == "fraction"}
FIRST, SECOND = (
    100 * tables.constant(f"{which}-attempt-success-children").value
    for which in ("first", "second")
)
CUT_OFF = next(row.ratio for row in tables.ratio_evidence() if row.source == "van-loon-2021")
CUFF_MMHG = 40  # a tourniquet left on, as in the lesson on reaching the vein


def ratio_percent(gauge, vein):
    outer = calc.gauge(gauge).outer_upper_mm
    wide = WHO.veins[vein].diameter_mm
    return 100 * calc.catheter_to_vein_ratio(outer, vein_diameter_mm=wide)


def inserted(catheter="24-19", angle=25, attempt=1):
    figure = PatientInsertion(
        vein="B", catheter=catheter, insertion_angle_deg=angle, attempt=attempt
    )
    return figure.show().numbers


def share(catheter, angle):
    return 100 * inserted(catheter, angle).share


def chance(attempt):
    return 100 * inserted(attempt=attempt).chance_here


def followed(**state):
    return PatientFollowUp(**state).show().numbers


def haematoma(pressed):
    return calc.haematoma_volume_ml(pressed, vein_pressure_mmhg=CUFF_MMHG)


HOUR, QUARTER = followed(look_every_min=60), followed(look_every_min=15)

# cell: (words in it, ..., each with the numbers in it, in order, as the package computes them)
STATED = {
    "question": {
        "an antibiotic, 100 mL in 30 minutes": (WHO.order_ml, WHO.order_min),
    },
    "assessment": {"30 to 60 seconds": (30, 60)},  # sasaki-2012 (abstract), as lesson 30 has it
    "read-the-assessment": {
        "*Stop: 2 not acceptable*": (PatientAssessment().show().numbers.stops,),
        "it is 1.6 mm wide": (WHO.veins["A"].diameter_mm,),
        "takes 46.8 % of it, over the local limit of 45 %": (ratio_percent(24, "A"), LIMIT),
        "2.8 mm wide and 3.0 mm deep": (WHO.veins["B"].diameter_mm, WHO.veins["B"].depth_mm),
        "takes 26.8 % of it": (ratio_percent(24, "B"),),
    },
    "insertion": {
        # cdc-hub (as quoted) and magic-2015 (abstract)
        "will likely take more than 6 days": (6,),
        "needs 3.3 mL/min": (WHO.order_ml / WHO.order_min,),
        "with 65 % of its length": (100 * max(BANDS),),
        "19 mm long, at 25 degrees": (dict(CATHETERS)[24], 25),
    },
    "read-the-insertion": {
        "62.6 % at 25 degrees, below the 65 %": (share("24-19", 25), 25, 100 * max(BANDS)),
        "At 30 degrees it is 68.4 %": (30, share("24-19", 30)),
        "25 mm, at 25 degrees: 71.6 %": (dict(CATHETERS)[22], 25, share("22-25", 25)),
        "a chance of 70 %, the second of 55 %": (chance(1), chance(2)),
        "ward allows, the chance is 87 %": (100 * inserted().chance_allowed,),
        "The third has 43 %": (chance(3),),
    },
    "numbers-of-the-attempts": {
        "none failed from 65 % in the vein": (100 * max(BANDS),),
        "down to 30 %, 32 % failed": (30, 100 * BANDS[0.30].failed_share),
        "first for 6 to 14 days": (6, 14),
        "still 2 mm behind": (tables.constant("needle-lead").value,),
        "In 610 adults": (610,),
        "below 41 % of the vein 92 % succeeded, and above it 65 %": (
            100 * CUT_OFF,
            *(
                100 * tables.constant(f"first-attempt-{which}").value
                for which in ("roomy", "tight")
            ),
        ),
        "48 mm, at 25 degrees 40.9 mm would lie in the vein, and only 40 mm": (
            48,
            25,
            inserted("20-48").in_vein_mm,
            WHO.veins["B"].straight_mm,
        ),
        "of 14 to 22 gauge": (14, 22),
        "with the 22 gauge it was 66 %, in veins of 2.0 mm": (22, 66, 2),
        "count of the invented ward: 70 %": (100 * tables.constant("first-attempt-ward").value,),
        "86 % of first and 68 % of second": (FIRST, SECOND),
        "at 30 degrees takes less of the vein, 26.8 %, and has 13.0 mm in it": (
            30,
            100 * inserted().ratio,
            inserted("24-19", 30).in_vein_mm,
        ),
        "let the order through in 4.8 minutes": (inserted().order_time_min,),
        "set to the 30 minutes of the order": (WHO.order_min,),
        "at 25 degrees takes 33.9 %, within the limit, and has 17.9 mm": (
            25,
            100 * inserted("22-25", 25).ratio,
            inserted("22-25", 25).in_vein_mm,
        ),
        "catheters with at least 27.5 mm in the vein": (
            max(row.low for row in survival() if row.source == "bahl-2022"),
        ),
    },
    "when-it-fails": {
        "narrower than 3 mm": (3,),  # van-loon-2019, items seen
    },
    "numbers-of-pressing": {
        "0.7 mL of blood comes out": (haematoma(1),),
        "presses after 1 minute, and 2.9 mL after 5 minutes": (1, haematoma(5), 5),
    },
    "follow-up": {
        "at 60 mL/h, and you look every 60 minutes": (HOUR.rate_ml_per_h, HOUR.look_every_min),
        "at every 15 minutes": (QUARTER.look_every_min,),
    },
    "read-the-follow-up": {
        "60 mL, a swelling 91 mm across, the arm 15.9 mm thicker": (
            HOUR.volume_ml,
            HOUR.diameter_mm,
            HOUR.girth_rise_mm,
        ),
        "At every 15 minutes it is 15 mL, and still 58 mm across": (
            QUARTER.look_every_min,
            QUARTER.volume_ml,
            QUARTER.diameter_mm,
        ),
    },
    "numbers-of-the-leak": {
        "both are grade 2": (HOUR.grade,),
        "any amount is grade 4": (followed(drug="noradrenaline", look_every_min=5).grade,),
        "120 mL would lie outside after as long again": (2 * HOUR.volume_ml,),
    },
    "numbers-of-lasting": {
        "its edition of 2015 found no difference": (2015,),
        # replacement-2015 (as quoted), replacement-2019 (opening of the abstract)
        "The edition of 2019 has nine trials with 7,412 people": (2019, 7412),
        "replaced within 24 to 48 hours": (24, 48),  # replacement-page (read)
    },
    "read-the-table": {"the attempt to 3": (POLICY.attempt_limit + 1,)},
}


@pytest.mark.parametrize(("cell", "words"), pairs(STATED))
def test_number_in_the_prose_is_the_computed_one(lessons, cell, words):
    assert_written(words_of(lessons[NAME])[cell], words, STATED[cell][words])


def test_no_number_in_the_prose_is_left_unchecked(lessons):
    assert unchecked(lessons[NAME], STATED) == {}


def test_what_the_prose_says_without_digits_holds():
    start = OnePatient().state()
    first = PatientAssessment(**{k: start[k] for k in PatientAssessment.inputs})
    assert [r.value == "as it should be" for r in first.show().readings].count(True) == 1
    assert (start["felt"], start["vein"]) == ("no", "C")
    assert start["arm"] != WHO.restricted_arm
    assert WHO.allergy == "chlorhexidine" == start["cleaned"]
    assert WHO.veins["C"].pulsates
    assert WHO.veins["B"].depth_mm == max(row.depth_mm for row in WHO.veins.values())
    assert POLICY.attempt_limit == 2  # "within the two that the ward allows"
    assert QUARTER.grade == HOUR.grade
    for choice in (("24-19", 30), ("22-25", 25)):  # "Either of the two will do"
        fits = inserted(*choice)
        assert fits.ratio <= POLICY.ratio_limit
        assert fits.in_vein_mm <= fits.straight_mm
        assert fits.share >= max(BANDS)
        assert fits.flow_ml_per_min >= WHO.order_ml / WHO.order_min


def test_the_first_choice_is_left_open_between_two_that_fit(lessons):
    words = words_of(lessons[NAME])["read-the-insertion"]
    assert "Either of the two will do" in words
    assert "Our choice" not in words


def test_chances_of_a_size_that_the_study_did_not_have_are_the_invented_wards(lessons):
    """van-loon-2021 (abstract and table of sizes): 14 to 22 gauge, of the 22 gauge 50 of 76."""
    words = words_of(lessons[NAME])["numbers-of-the-attempts"]
    assert "The study says nothing of a 24 gauge" in words
    assert "a count of the invented ward" in words
    thin = tables.constant("first-attempt-thin")
    assert thin.value == pytest.approx(50 / 76, abs=0.005)
    assert chance(1) == 100 * tables.constant("first-attempt-ward").value
    assert inserted("22-25").chance_here == inserted("24-19").chance_here


def test_the_device_is_asked_for_before_the_first_needle(lessons):
    words = words_of(lessons[NAME])
    first = words["insertion"].partition("The order needs")[0]
    assert "A short catheter suits a few days" in first
    assert "A drug that harms tissue belongs in a central line" in first
    assert "before the first needle" in first


def test_replacement_follows_local_policy_and_unclean_insertions_are_changed_early(lessons):
    removal = words_of(lessons[NAME])["removal"]
    assert "**Changed for a reason, or by the clock?** Local policy decides." in removal
    assert "a catheter that was put in without clean technique" in removal


def test_handing_on_early_is_right_and_the_ladder_is_named(lessons):
    words = words_of(lessons[NAME])["when-it-fails"]
    assert "Hand on earlier if you expect to fail" in words
    assert "a team has a total as well" in words
    for rung in ("ultrasound", "midline", "central line", "bone"):
        assert rung in words, rung


def test_each_attempt_has_a_new_catheter_above_the_failed_one_and_a_needlestick_is_reported(
    lessons,
):
    words = words_of(lessons[NAME])["when-it-fails"]
    assert "Take a new catheter, and another place, nearer to the heart" in words
    assert "After a needlestick give first aid by local policy and report it" in words


def test_uses_the_words_of_the_three_phases_and_says_that_the_patient_is_invented(lessons):
    words = words_of(lessons[NAME])
    for cell in ("assessment", "insertion", "follow-up"):
        assert words[cell].startswith(f"## {cell.capitalize()} ")
    assert "**invented**: no such person exists" in words["objectives"]


def test_lesson_shows_its_explorers_and_the_read_back(ran):
    shown = {
        cell.id: output.data
        for cell in ran(NAME).cells
        if cell.cell_type == "code"
        for output in cell.outputs
    }
    starts = {
        "assess-the-patient": PatientAssessment(),
        "insert-the-catheter": PatientInsertion(),
        "follow-the-site": PatientFollowUp(),
    }
    for cell, explorer in starts.items():
        assert "application/vnd.jupyter.widget-view+json" in shown[cell]
        assert shown[cell]["text/plain"] == explorer.picture["alt"]
        assert '<img alt="' in shown[cell]["text/html"]
    table = read_back_table(OnePatient().state())
    assert shown["your-choices"]["text/html"] == table._repr_html_()
    assert "application/vnd.jupyter.widget-view+json" in shown["your-choices"]
