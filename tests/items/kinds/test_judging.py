"""An answer is right, a known slip, wrong, or refused with what to do."""

import pytest

from cubital import items
from cubital.items import UnreadableAnswerError
from cubital.items.typed.quantity import read_quantity


@pytest.mark.parametrize(
    ("typed", "unit", "number"),
    [
        ("2.5 mm", "mm", 2.5),
        ("0.25 cm", "mm", 2.5),
        ("2500 µm", "mm", 2.5),
        ("2,5mm", "mm", 2.5),
        ("  2.5  MM. ", "mm", 2.5),
        ("45 %", "", 0.45),
        ("0.45", "", 0.45),
        ("0,450", "", 0.45),
        ("2 h 30 min", "h", 2.5),
        ("150 minutes", "h", 2.5),
        ("41.7 gtt/min", "drops/min", 41.7),
        ("42 drops per minute", "drops/min", 42),
        ("6 L/h", "mL/min", 100),
        ("1 250 mL/h", "mL/h", 1250),
        ("3.9 Fr", "Fr", 3.9),
        ("٣٫٥ mm", "mm", 3.5),
        ("\u200f٣٫٥ mm\u200f", "mm", 3.5),  # with the marks that right-to-left writing puts in
        ("۳٫۵ mm", "mm", 3.5),
        ("२.५ mm", "mm", 2.5),
        ("２．５\u3000mm", "mm", 2.5),
        ("\u200b2.5\u00a0mm\ufeff", "mm", 2.5),  # as pasted from a formatted text
        ("-3 mm", "mm", -3),
        ("25 degrees", "degrees", 25),
        ("25,5°", "degrees", 25.5),
        ("25º", "degrees", 25),
        ("0.5 rad", "degrees", 28.64789),  # 90 / pi
    ],
)
def test_one_quantity_however_it_is_written(typed, unit, number):
    assert read_quantity(typed, unit).number == pytest.approx(number)


@pytest.mark.parametrize(
    ("typed", "unit", "words"),
    [
        ("", "mm", "Nothing is typed yet"),
        ("wide", "mm", "is not a number"),
        ("2.5", "mm", "The unit is missing"),
        ("5h46", "h", "“5h46” ends in a number without a unit. Type every unit, as in 2 h 30 min."),
        ("8 h 20", "h", "ends in a number without a unit"),
        ("2.5 mL", "mm", "does not measure this. The answer is a length"),
        ("3.3 mm", "Fr", "The answer is a French size"),
        ("0.4 mm", "", "The answer is a ratio"),
        ("2.5 furlong", "mm", "is not known here"),
        ("25", "degrees", "The unit is missing"),
        ("25 %", "degrees", "The answer is an angle"),
        ("25 degrees", "", "The answer is a ratio"),
        ("1,250 mL/h", "mL/h", "can mean 1.250 or 1250"),
        ("1.2-1.3 mm", "mm", "cannot be read"),
        ("1/3", "", "cannot be read"),
        ("1.2.3 mm", "mm", "cannot be read"),
        ("nan mm", "mm", "is not a number"),
        ("inf mm", "mm", "is not a number"),
        ("2.5 mm<script>", "mm", "is not known here"),
        ("<b>2.5</b> mm", "mm", "is not a number"),
        ("二・五 mm", "mm", "is not a number"),
        ("9" * 70, "mm", "longer than 60 characters"),
    ],
)
def test_what_cannot_be_read_is_refused_with_what_to_type(typed, unit, words):
    with pytest.raises(UnreadableAnswerError) as refused:
        read_quantity(typed, unit)
    assert words in str(refused.value)


def test_an_impossible_number_is_refused_with_quantity_value_unit_and_range():
    form = items.find("sizing-smallest-vein").form({"gauge": 20, "ratio_limit": 0.45})
    with pytest.raises(ValueError, match=r"vein diameter is 0 mm: .* from 0\.1 to 30 mm"):
        form.read("0 mm")
    with pytest.raises(ValueError, match=r"vein diameter is 4500 mm"):
        form.read("4.5 m")


VALUES = {"gauge": 20, "vein_diameter_mm": 3.0}  # largest outer diameter 1.149 mm


@pytest.mark.parametrize(
    ("number", "outcome", "slip"),
    [
        (0.383, "right", None),  # 1.149 / 3.0
        (0.38, "right", None),  # two decimals are enough
        (0.37, "wrong", None),
        (2.611, "slip", "ratio-upside-down"),  # 3.0 / 1.149
        (0.1915, "wrong", None),  # 0.5745 / 3.0: nobody is told what they meant
        (0.1467, "slip", "area-for-diameter"),  # 0.383 squared
        (0.2667, "slip", "inner-for-outer"),  # bore 0.80 mm
        (0.4497, "slip", "gauge-order-reversed"),  # 18 G, 1.349 mm
    ],
)
def test_a_ratio_is_told_from_its_slips(number, outcome, slip):
    judgement = items.find("sizing-ratio").judge(VALUES, {"number": number})
    assert (judgement.outcome, judgement.slip) == (outcome, slip)
    assert judgement.points == (2 if outcome == "right" else 0)


@pytest.mark.parametrize(
    "answer",
    [{}, {"number": "0.383"}, {"number": True}, {"number": float("nan")}, {"number": None}],
)
def test_an_answer_of_another_form_is_refused_without_points(answer):
    judgement = items.find("sizing-ratio").judge(VALUES, answer)
    assert (judgement.outcome, judgement.points) == ("refused", 0)


def test_no_answer_is_blank():
    assert items.find("sizing-ratio").judge(VALUES, None).outcome == "blank"


CASES = [
    {"outer_diameter_mm": 1.0, "vein_diameter_mm": 4.0},
    {"outer_diameter_mm": 1.2, "vein_diameter_mm": 3.0},
]


@pytest.mark.parametrize(
    ("results", "outcome", "slip"),
    [
        ([0.25, 0.4], "right", None),
        ([0.25, 0.25], "wrong", None),  # right on the values that were shown only
        ([4.0, 2.5], "slip", "ratio-upside-down"),
        ([0.0625, 0.16], "slip", "area-for-diameter"),
        ([0.125, 0.2], "slip", "radius-for-diameter"),
        ([25.0, 40.0], "slip", "percent-for-ratio"),
        ([0.25], "refused", None),
        ([True, 0.4], "refused", None),
        (["0.25", 0.4], "refused", None),
        ([float("inf"), 0.4], "refused", None),
    ],
)
def test_a_function_is_judged_on_all_its_results(results, outcome, slip, own_code):
    judgement = own_code.judge_results(CASES, results)
    assert (judgement.outcome, judgement.slip) == (outcome, slip)


def test_a_text_waits_for_a_person():
    item, values = items.find("sizing-reasons"), {"gauge": 20, "picture_width_mm": 3.0}
    judgement = item.judge(values, {"text": "Because it is a shadow."})
    assert (judgement.outcome, judgement.points) == ("waiting", 0)
    with pytest.raises(UnreadableAnswerError, match="Nothing is written"):
        item.read("  \n ", values)


def test_an_unknown_item_names_those_there_are():
    with pytest.raises(ValueError, match="sizing-french"):
        items.find("sizing-frensh")
