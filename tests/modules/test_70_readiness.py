"""The lesson on readiness: every number it states, and its run from top to bottom."""

import math

import pytest

from cubital import calc, tables
from cubital.explore.readiness.battery_day import BatteryDay
from cubital.explore.readiness.pre_use import PreUseCheck
from cubital.tables.readiness import pre_use_check

from .stated import assert_written, pairs, unchecked, words_of

NAME = "70-readiness"
PROFILE = tables.profile()
RUN_H, CHARGE_H = PROFILE.run_time_h, PROFILE.charge_time_h
STORE = PROFILE.stored_pictures
RATE, KEEP = 40, 60
TOLERANCE_MM = tables.constant("view-registration-tolerance").value
READING_MM = tables.constant("mark-reading-error").value
SHIFT_MM = 1.2


def farthest_mm(**state):
    return PreUseCheck(**state).show().numbers.largest_error_mm


def verdict(**state):
    return PreUseCheck(**state).show().readings[0].value


def day(**state):
    return BatteryDay(**state).show().numbers


def chance(shifts):
    """The chance in per cent, by calc alone."""
    return 100 * calc.chance_of_loss(RATE * shifts, stored_pictures=STORE - KEEP + 1)


def eye(distance_mm, time_s):
    found = calc.exposure_margins(exposure_time_s=time_s, source_distance_mm=distance_mm)
    (row,) = (row for row in found.margins if row.hazard == "cornea and lens")
    return row


# cell: (words in it, ..., each with the numbers in it, in order, as the package computes them)
STATED = {
    "question": {"falls 1.2 mm to the right of the marks": (SHIFT_MM,)},
    "read-the-questions": {
        "220 mm for the device of this course": (PROFILE.working_distance_mm,),
        "This course tolerates 1.0 mm": (TOLERANCE_MM,),
        "falls 1.2 mm to the right, always": (SHIFT_MM,),
        "move the first slider to 1.2": (SHIFT_MM,),
    },
    "read-the-check": {
        "The farthest mark is 1.30 mm off (1.2 mm and a reading error of 0.1 mm)": (
            farthest_mm(projected_shift_mm=SHIFT_MM),
            SHIFT_MM,
            READING_MM,
        ),
        "does not know of your 1.2 mm": (SHIFT_MM,),
    },
    "numbers-of-the-check": {
        "back to 0.2 mm, which passes with 0.30 mm": (0.2, farthest_mm(projected_shift_mm=0.2)),
        "make the picture 3 % too large: the farthest mark is 1.60 mm off": (
            3,
            farthest_mm(projected_shift_mm=0.2, projected_size_percent=3),
        ),
        "keep the shift at 1.2 mm, and raise what is tolerated to 1.4 mm": (SHIFT_MM, 1.4),
        "put the limit back to 1.0 mm, the shift to 0.2 mm": (TOLERANCE_MM, 0.2),
    },
    "batteries-and-chargers": {
        "runs for 3.5 h when it is full, and takes 2.5 h to charge": (RUN_H, CHARGE_H),
        "a shift of 12 h": (tables.constant("shift-length").value,),
    },
    "read-the-battery-day": {
        "the first gap comes 3.5 h into the shift, and 5.0 of the 12 h are without": (
            day().first_gap_h,
            day().shift_h - calc.on_time_h(day().shift_h, run_time_h=RUN_H, charge_time_h=CHARGE_H),
            day().shift_h,
        ),
        "on for 25 % of the time: a full unit lasts 14.0 h": (25, RUN_H / 0.25),
        "leave it at 25 % and choose *all units are empty*: 2.5 h without a device": (
            25,
            day(use_percent=25, at_start="empty").gap_h,
        ),
    },
    "numbers-of-units": {
        "= 3.5 ÷ 6.0 = 58 % of the time": (
            RUN_H,
            RUN_H + CHARGE_H,
            100 * calc.charge_availability(RUN_H, charge_time_h=CHARGE_H),
        ),
        "6.0 ÷ 3.5 = 1.7, so two": (RUN_H + CHARGE_H, RUN_H, (RUN_H + CHARGE_H) / RUN_H),
        "2.5 ÷ 3.5 = 0.71, so one": (CHARGE_H, RUN_H, CHARGE_H / RUN_H),
    },
    "stored-pictures": {
        "The device of this course keeps 340 pictures": (STORE,),
    },
    "when-the-oldest-goes": {
        "takes 40 pictures a shift, and the latest 60 in": (RATE, KEEP),
        "goes with new picture number 281. At 40 a shift that is after 7.0 shifts": (
            STORE - KEEP + 1,
            RATE,
            calc.time_to_loss_h(RATE, stored_pictures=STORE - KEEP + 1),
        ),
        "are copied after 7 shifts": (7,),
    },
    "read-the-store": {
        "after 7 shifts the chance that the oldest is gone is 48.4 %": (7, chance(7)),
        "After 6 shifts it is 0.5 %": (6, chance(6)),
        "after 5 below 0.1 %; after 8 it is 98.8 %": (5, 0.1, 8, chance(8)),
        "with 60 a shift the average is 4.7 shifts, not 7.0": (
            60,
            calc.time_to_loss_h(60, stored_pictures=STORE - KEEP + 1),
            calc.time_to_loss_h(RATE, stored_pictures=STORE - KEEP + 1),
        ),
    },
    "eyes-and-light": {
        "down to 100 W/m² from 1,000 s on": (
            tables.constant("eye-limit-long").value,
            tables.constant("eye-limit-long-from").value,
        ),
        "at 220 mm and for 10 minutes the lamp is 16.0 times below the limit": (
            PROFILE.working_distance_mm,
            10,
            eye(220, 10 * 60).margin,
        ),
        "half the distance, 110 mm": (PROFILE.working_distance_mm / 2,),
    },
    "read-the-light": {
        "3.99 times, a quarter": (eye(110, 600).margin,),
    },
    "numbers-of-the-light": {
        "grows from 9.3 to 37.2 W/m²": (eye(220, 600).exposure, eye(110, 600).exposure),
        "back at 220 mm, 8 hours added up leave 10.8 times": (220, 8, eye(220, 8 * 3600).margin),
        "At 30 mm an hour is too long: the light is 5.00 times the limit": (
            30,
            1 / eye(30, 3600).margin,
        ),
        "no limit in numbers from 10 s on": (tables.limits()["skin_exposure_time_s"].high,),
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


def test_numbers_in_words_are_what_the_package_computes(words):
    assert "six of the eight questions stop" in words["read-the-questions"]
    assert [step.stops for step in pre_use_check()].count(True) == 6
    assert len(pre_use_check()) == 8
    assert "The fourth question is often skipped" in words["read-the-questions"]
    assert pre_use_check()[3].key == "daily-check-passed"
    assert "**half the distance, four times the light**" in words["read-the-light"]
    assert eye(110, 600).exposure == pytest.approx(4 * eye(220, 600).exposure)
    assert "about fifty-fifty" in words["read-the-store"]
    assert 45 < chance(7) < 55
    assert chance(5) < 0.1


def test_units_and_chargers_in_words_are_those_that_leave_no_gap(words):
    text = words["read-the-battery-day"]
    assert "With a second unit there is no gap, and one charger is enough" in text
    assert "two units and one charger keep one device" in words["what-we-have-done"]
    times = {"charge_time_h": CHARGE_H}
    assert calc.units_for_always_on(RUN_H, **times) == 2
    assert calc.chargers_for_always_on(RUN_H, **times) == 1
    assert day(units=2).first_gap_h is None
    assert "the figure asks for four units and two chargers" in words["numbers-of-units"]
    assert (day(stations=2).units_needed, day(stations=2).chargers_needed) == (4, 2)
    assert "one does for the shift" in text
    assert day(use_percent=25).first_gap_h is None
    assert "at once, however many units there are" in text
    assert {
        day(use_percent=25, at_start="empty", units=units, chargers=4).gap_h
        for units in range(1, 7)
    } == {CHARGE_H}


def test_the_answer_to_the_check_is_the_one_that_the_figure_gives(words):
    assert "*do not use it*" in words["read-the-check"]
    assert verdict(projected_shift_mm=SHIFT_MM) == "Do not use it"
    assert verdict(projected_shift_mm=0.2, projected_size_percent=3) == "Do not use it"
    assert verdict(projected_shift_mm=SHIFT_MM, registration_tolerance_mm=1.4) == "Ready for use"
    assert verdict(other="charged") == "Ready, with something to do first"
    assert verdict(other="clean") == "Do not use it"
    # and by hand: 3 % of the corner's place, the shift and the reading error added to it
    x, y = 36 * 0.03 + 0.2, 27 * 0.03
    assert math.hypot(x + READING_MM, y) == pytest.approx(1.60, abs=0.005)


def test_what_the_ward_says_of_cleaning_is_its_profile(words):
    assert f'"{PROFILE.cleaning}"' in words["between-patients"]


def test_cautions_are_there(words):
    assert "Never look into the source" in words["read-the-light"]
    assert "Nothing presses on the eyes, nose and mouth stay free" in words["read-the-light"]
    assert "A margin is not a permission" in words["read-the-light"]
    assert "Local policy and the instructions for use say how" in words["read-the-light"]
    for thing in ("not been checked", "an open wound", "The patient refuses", "In an emergency"):
        assert f"{thing}" in words["when-not-to-use-it"]
    for thing in ("a tattoo", "a room number", "Consent for the picture", "By local policy"):
        assert thing in words["privacy"]
    assert "instructions for use and local policy say which agent" in words["between-patients"]
