"""Scales of infiltration, extravasation and phlebitis, row by row as printed.

infiltration: ins-2006, from memory; its standing infiltration-scale-note (read).
extravasation: extravasation-table (read). phlebitis: ins-2011, S47 (read as quoted).
visual score: vip-cards, two printed cards (read), which differ in rows 2 and 3.
"""

import pytest

from cubital import calc
from cubital.tables import complications as rows

INFILTRATION = [
    ({}, 0),
    ({"blanched": True, "oedema_mm": 24, "cool": True}, 1),
    ({"blanched": True, "oedema_mm": 24, "cool": True, "pain": "slight"}, 1),
    ({"blanched": True, "oedema_mm": 26, "cool": True}, 2),
    ({"blanched": True, "oedema_mm": 149, "cool": True, "pain": "slight"}, 2),
    ({"blanched": True, "translucent": True, "oedema_mm": 160, "cool": True}, 3),
    ({"translucent": True, "oedema_mm": 160, "pain": "moderate", "numb": True}, 3),
    ({"tight": True, "leaking": True, "bruised": True, "oedema_mm": 160}, 4),
    ({"oedema_mm": 200, "deep_pitting": True, "poor_circulation": True, "pain": "severe"}, 4),
]
EXTRAVASATION = [
    ({}, 0),
    ({"swelling": "minimal", "pain": "slight"}, 1),
    ({"swelling": "mild", "pain": "slight", "redness": "slight", "refill": "normal"}, 2),
    ({"swelling": "moderate", "pain": "slight", "blanched": True, "refill": "sluggish"}, 3),
    ({"swelling": "moderate", "blanched": True, "hard_to_flush": True}, 3),
    ({"swelling": "marked", "blanched": True, "cool": True, "refill": "reduced"}, 4),
    ({"swelling": "marked", "cool": True, "arterial_block": True, "blister": True}, 4),
    ({"pain": "slight", "swelling": "mild", "cool": True}, 2),  # coolness stands in row 4 alone
    ({"swelling": "marked", "cool": True}, 2),  # neither blanching nor less circulation
    ({"swelling": "mild", "blanched": True, "cool": True, "refill": "reduced"}, 3),
]
PHLEBITIS = [
    ({}, 0),
    ({"redness": "slight"}, 1),
    ({"redness": "slight", "pain": "slight"}, 2),
    ({"pain": "slight", "swelling": "mild"}, 2),
    ({"pain": "slight", "redness": "clear", "swelling": "mild"}, 2),
    ({"pain": "slight", "redness": "clear", "streak": True, "cord_mm": 20}, 3),
    ({"pain": "slight", "swelling": "mild", "streak": True, "cord_mm": 20}, 3),
    ({"pain": "slight", "redness": "clear", "streak": True, "cord_mm": 40, "pus": True}, 4),
]
ROW_3 = {"pain_along_vein": True, "redness": "clear", "induration": True}
VISUAL = [
    ({}, 0),
    ({"pain": "slight"}, 1),
    ({"redness": "slight"}, 1),
    ({"pain": "moderate", "redness": "clear"}, 2),
    ({"pain": "moderate", "swelling": "mild"}, 2),
    ({"redness": "clear", "swelling": "mild"}, 2),
    (ROW_3, 3),
    ({"pain_along_vein": True, "redness": "clear", "swelling": "mild"}, 3),  # the other card
    (ROW_3 | {"extensive": True, "cord_mm": 30}, 4),
    (ROW_3 | {"extensive": True, "cord_mm": 30, "fever": True}, 5),
]


@pytest.mark.parametrize(("found", "grade"), INFILTRATION)
def test_the_older_infiltration_scale(found, grade):
    assert calc.infiltration_grade(found).grade == grade


@pytest.mark.parametrize(("found", "grade"), EXTRAVASATION)
def test_the_extravasation_table(found, grade):
    assert calc.extravasation_grade(found).grade == grade


@pytest.mark.parametrize(("found", "grade"), PHLEBITIS)
def test_the_phlebitis_scale_of_the_standards(found, grade):
    assert calc.phlebitis_grade(found).grade == grade


@pytest.mark.parametrize(("found", "grade"), VISUAL)
def test_the_visual_phlebitis_score(found, grade):
    assert calc.visual_phlebitis_score(found).grade == grade


def test_redness_with_pain_is_row_1_and_row_2_of_the_standards_and_the_higher_counts():
    """Row 1 prints "with or without pain", row 2 pain with redness: the rows overlap."""
    result = calc.phlebitis_grade({"redness": "slight", "pain": "slight"})
    assert (result.grade, result.by_own_rule) == (2, False)


@pytest.mark.parametrize(
    ("grade", "found"),
    [
        (calc.visual_phlebitis_score, {"swelling": "mild"}),
        (calc.phlebitis_grade, {"pain": "slight"}),
        (calc.phlebitis_grade, {"swelling": "mild"}),
        (calc.infiltration_grade, {"swelling": "minimal"}),
        (calc.extravasation_grade, {"cool": True}),
        (calc.extravasation_grade, {"pain": "moderate"}),
        (calc.extravasation_grade, {"redness": "clear"}),
    ],
)
def test_a_sign_that_no_row_prints_is_1_and_marked_as_our_rule(grade, found):
    result = grade(found)
    assert (result.grade, result.by_own_rule) == (1, True)


@pytest.mark.parametrize(
    ("found", "grade"),
    [({"blanched": True}, 3), ({"poor_circulation": True}, 3), ({"arterial_block": True}, 4)],
)
def test_what_threatens_the_tissue_counts_without_its_pattern_by_a_rule_named_as_ours(found, grade):
    result = calc.extravasation_grade(found)
    assert (result.grade, result.by_own_rule) == (grade, True)
    assert "The course's own rules" in result.rule


def test_cool_skin_alone_is_told_as_a_sign_of_a_higher_row():
    result = calc.extravasation_grade({"pain": "slight", "swelling": "mild", "cool": True})
    assert result.not_placed == ("cool skin",)


@pytest.mark.parametrize(("oedema_mm", "grade"), [(0, 0), (24.9, 1), (25, 2), (150, 2), (150.1, 3)])
def test_oedema_by_its_length(oedema_mm, grade):
    assert calc.infiltration_grade({"oedema_mm": oedema_mm}).grade == grade


@pytest.mark.parametrize("drug_class", ["irritant", "binding", "vasopressor", "blood"])
def test_any_amount_of_blood_irritant_or_vesicant_is_the_worst(drug_class):
    result = calc.infiltration_grade({"oedema_mm": 5}, drug_class=drug_class)
    assert result.grade == 4
    assert calc.infiltration_grade({}, drug_class=drug_class).grade == 0


def test_the_older_infiltration_scale_is_not_called_a_current_standard():
    """infiltration-scale-note (read): moved out of the standards of 2011, into the policy book."""
    scale = rows.scales()["infiltration"]
    assert scale.left == 2011
    assert "Not a current standard" in scale.standing
