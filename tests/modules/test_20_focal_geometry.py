"""The lesson on focal geometry: every number it states, and what it says in words."""

import pytest

from cubital import calc, tables
from cubital.explore.focus.holding import HandOrStand
from cubital.explore.focus.polarity import LightOrDarkLines
from cubital.explore.focus.registration import ShownAndTrue
from cubital.explore.focus.room_light import PictureAndRoom
from cubital.explore.focus.target_check import TRUE_MM, CheckOnTarget
from cubital.explore.focus.tilted_skin import TiltedSkin
from cubital.explore.focus.view_tables import LIMBS_MM
from cubital.explore.focus.working_distance import WorkingDistance
from cubital.tables.focus import holdings, room_light

from .stated import assert_written, pairs, unchecked, words_of

NAME = "20-focal-geometry"
DEVICE = calc.scenario_device()
WORKING, WINDOW = DEVICE.working_distance_mm, DEVICE.window_mm
WIDE, HIGH = DEVICE.picture_width_mm, DEVICE.picture_height_mm
PLANES = {"baseline_mm": DEVICE.baseline_mm, "reference_distance_mm": WORKING}
HAND, RESTED, STAND = (holdings()[key] for key in ("hand-held", "braced", "fixed-stand"))


def distance(mm, vein=3):
    return WorkingDistance(object_distance_mm=mm, vein_diameter_mm=vein).show().numbers


def tilt(**state):
    return TiltedSkin(**state).show().numbers


def shift(error, **state):
    return ShownAndTrue(distance_error_mm=error, **state).show().numbers


def room(key, width=WIDE):
    return PictureAndRoom(room=key, picture_width_mm=width).show().numbers


def lines(key, way):
    return LightOrDarkLines(room=key, lines=way).show().numbers


def edge(width, tilt_deg=10):
    ends = (-width / 2, width / 2)
    return max(
        abs(calc.registration_error_on_slope_mm(end, tilt_deg=tilt_deg, **PLANES)) for end in ends
    )


def hold(holding, setting):
    return HandOrStand(holding=holding, setting_error_mm=setting, hold=4).show().numbers


def target(**state):
    return CheckOnTarget(**state).show().numbers


def beside(radius):
    drop = calc.limb_drop_mm(20, limb_radius_mm=radius)
    return drop, calc.registration_error_mm(drop, **PLANES)


def budget(holding, **state):
    where = {"room_lx": 500, "place_mm": 20, "tilt_deg": 10} | state
    return calc.view_budget(DEVICE, holding=holding, **where)


FAR, NEAR = distance(WORKING + WINDOW), distance(WORKING - WINDOW)
TILTED = tilt(tilt_deg=30)

# cell: (words in it, ..., each with the numbers in it, in order, as the package computes them)
STATED = {
    "working-distance": {
        "working distance is 220 mm and its window 18 mm": (WORKING, WINDOW),
        "from 202 to 238 mm": (NEAR.near_mm, FAR.far_mm),
        "from 220 to 238 mm": (WORKING, WORKING + WINDOW),
        "a vein of 3.0 mm": (3,),
    },
    "read-the-distance": {
        "at 238 mm the vein measures 2.77 mm, at 202 mm, the near end, 3.27 mm": (
            WORKING + WINDOW,
            FAR.shown_mm,
            WORKING - WINDOW,
            NEAR.shown_mm,
        ),
    },
    "size-and-light": {
        "smears a point to only 0.23 mm": (FAR.blur_mm,),
        "85 % is left at 238 mm": (100 * FAR.light_share, WORKING + WINDOW),
    },
    "tilt-and-turn": {
        "picture is 96 by 72 mm": (WIDE, HIGH),
        "a tilt of 20 degrees": (20,),
        "at 30 degrees": (30,),
    },
    "read-the-tilt": {
        "at 30 degrees 75 % of the long side": (30, 100 * TILTED.sharp_share),
        "24 mm too near and 24 mm too far": (-TILTED.ends_mm[0], TILTED.ends_mm[1]),
        "Turned by 90 degrees": (90,),
        "set the middle 9 mm too far: the largest tilt falls from 22 to 11 degrees": (
            9,
            TILTED.largest_tilt_deg,
            tilt(distance_error_mm=9).largest_tilt_deg,
        ),
    },
    "stretched": {
        "side stays in the window up to 30 degrees": (tilt(side="short").largest_tilt_deg,),
        "A tilt of 30 degrees stretches the picture to 115 % along the slope and leaves 87 %": (
            30,
            100 * TILTED.stretch,
            100 * TILTED.light_share,
        ),
    },
    "registration": {
        "the baseline is 24 mm": (DEVICE.baseline_mm,),
        "tolerate a shift of 1 mm": (DEVICE.registration_tolerance_mm,),
        "the skin is 18 mm too far": (WINDOW,),
        "the first slider to 18": (WINDOW,),
    },
    "read-the-shift": {
        "2.0 mm beside the vein": (shift(WINDOW).sideways_mm,),
        "A shift of 1 mm comes at 9.2 mm": (
            DEVICE.registration_tolerance_mm,
            shift(WINDOW).allowed_mm,
        ),
        "Leave the skin 18 mm too far": (WINDOW,),
        "the device to 90 degrees": (90,),
        "a fork is shown 2.0 mm farther along": (shift(WINDOW, rotation_deg=90).along_mm,),
    },
    "other-baselines": {
        "Leave the skin 18 mm too far": (WINDOW,),
        "of 0 mm, where camera": (0,),
        "With 48 mm it is 3.9 mm": (48, shift(WINDOW, baseline_mm=48).size_mm),
        "−18 mm": (WINDOW,),
        "tilted by 20 degrees along the baseline, a vein 30 mm from the middle gets a line "
        "1.2 mm off": (
            20,
            30,
            calc.registration_error_on_slope_mm(30, tilt_deg=20, **PLANES),
        ),
    },
    "read-the-limbs": {
        "20 mm to the side of a forearm's highest line the skin is 5.4 mm farther "
        "and the line 0.6 mm off": (20, *beside(LIMBS_MM["forearm"])),
        "it is 10.0 mm and 1.1 mm": beside(LIMBS_MM["a child's forearm"]),
    },
    "room-light": {
        "From 0.5 on": (DEVICE.weber_needed,),
        "puts 2,025 lx": (room("ward").projected_lx,),
        "about 500 lx": (room_light()["examination-room"].illuminance_lx,),
        "of 20,000 lx": (room_light()["procedure-lamp"].illuminance_lx,),
    },
    "read-the-room": {
        "4.05 in the examination room": (room("examination-room").weber,),
        "0.81 beside a window": (room("window").weber,),
        "0.10 under the procedure lamp": (room("procedure-lamp").weber,),
        "a room light of 4,051 lx": (room("ward").limit_lx,),
    },
    "light-or-dark-lines": {
        "the lamp of 20,000 lx": (room_light()["procedure-lamp"].illuminance_lx,),
    },
    "read-the-lines": {
        "a light line stands out 4.6 times as much as the eye needs to notice it, a dark line "
        "4.2 times": (
            lines("procedure-lamp", "light").times,
            lines("procedure-lamp", "dark").times,
        ),
        "stands out 4,879 times and the dark line 44 times": (
            lines("night", "light").times,
            lines("night", "dark").times,
        ),
    },
    "eye-in-numbers": {
        "from the skin beside them by about 10 %": (
            100 * lines("procedure-lamp", "light").contrast,
        ),
        "is 0.5, lit skin": (DEVICE.weber_needed,),
        "can never exceed 100 %": (100,),
        "8 % for a line of 1 mm at night, and 2 % on skin that the picture lights": (
            100 * lines("night", "light").least,
            tables.constant("projected-line-width").value,
            100 * lines("night", "dark").least,
        ),
        "a ratio below 0.05": (tables.constant("contrast-just-noticed").value - 1,),
        "about 1,000 lx": (room_light()["treatment"].illuminance_lx,),
        "14 lumens into 96 by 72 mm, and that is 0.096 m × 0.072 m": (
            DEVICE.light_output_lm,
            WIDE,
            HIGH,
            WIDE / 1000,
            HIGH / 1000,
        ),
    },
    "larger-picture": {
        "192 mm wide instead of 96 mm, in the same shape; how much of its 2,025 lx": (
            2 * WIDE,
            WIDE,
            room("ward").projected_lx,
        ),
    },
    "read-the-sizes": {
        "25 %, or 506 lx": (
            100 * room("ward", 2 * WIDE).projected_lx / room("ward").projected_lx,
            room("ward", 2 * WIDE).projected_lx,
        ),
        "only up to 1,013 lx": (room("ward", 2 * WIDE).limit_lx,),
        "tilted by 10 degrees, the line is up to 1.9 mm off, not 0.9 mm": (
            10,
            edge(2 * WIDE),
            edge(WIDE),
        ),
    },
    "holding": {
        "by about 5 mm either way. On a stand the device drifts by 0.4 mm": (
            HAND.drift_sd_mm,
            STAND.drift_sd_mm,
        ),
        "6 mm too far away": (HAND.setting_error_mm,),
    },
    "read-the-holds": {
        "sharp 99 % of the time, but the line is on the vein only 74 %": (
            100 * hold("hand-held", 6).window_share,
            100 * hold("hand-held", 6).tolerance_share,
        ),
        "set it 3 mm too far: 100 % and 100 %": (
            STAND.setting_error_mm,
            100 * hold("fixed-stand", 3).window_share,
            100 * hold("fixed-stand", 3).tolerance_share,
        ),
        "set it 12 mm too far: the picture is still sharp 100 %": (
            12,
            100 * hold("fixed-stand", 12).window_share,
        ),
        "the line is on the vein 0 % of the time": (100 * hold("fixed-stand", 12).tolerance_share,),
        "4 mm too far away, the line is then on the vein 99.5 %": (
            RESTED.setting_error_mm,
            100 * hold("braced", 4).tolerance_share,
        ),
    },
    "tremor": {
        "by about 0.05 mm at 7 times a second": (
            calc.tremor_amplitude_mm(
                tables.constant("tremor-acceleration").value,
                tremor_hz=tables.constant("tremor-frequency").value,
            ),
            tables.constant("tremor-frequency").value,
        ),
        "shifts the line by 0.10 mm": (hold("hand-held", 6).tremor_lag_mm,),
        "the line is on the vein 76 %": (100 * hold("hand-held", 6).this_tolerance_share,),
    },
    "all-together": {
        "a vein 20 mm from the middle of the picture, on skin tilted by 10 degrees": (20, 10),
    },
    "read-the-budgets": {
        "19.5 mm off and the line 2.2 mm beside": (
            budget("hand-held").window_used_mm,
            budget("hand-held").registration_error_mm,
        ),
        "on the stand it is 7.3 mm and 0.8 mm": (
            budget("fixed-stand").window_used_mm,
            budget("fixed-stand").registration_error_mm,
        ),
    },
    "check-before-use": {
        "a target 15 mm too far": (15,),
        "the picture by 2 degrees": (2,),
    },
    "read-the-checks": {
        "at 15 mm, with the farthest mark 1.8 mm off": (
            15,
            target(distance_error_mm=15).farthest_mm,
        ),
        "turned by 2 degrees": (2,),
        "up to 1.5 mm off": (target(rotation_deg=2).farthest_mm,),
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
    assert "two millimetres beside the line" in words["question"]
    assert shift(WINDOW).size_mm == pytest.approx(2, abs=0.05)
    assert "twice what is tolerated" in words["read-the-shift"]
    assert shift(WINDOW).size_mm / DEVICE.registration_tolerance_mm == pytest.approx(2, abs=0.05)
    assert "about half way to the end of the window" in words["read-the-shift"]
    assert shift(WINDOW).allowed_mm / WINDOW == pytest.approx(0.5, abs=0.02)
    assert "one and a half times as bright" in words["eye-in-numbers"]
    assert DEVICE.weber_needed + 1 == 1.5
    assert "four times the area, and a quarter of the light" in words["read-the-sizes"]
    assert room("ward", 2 * WIDE).area_cm2 == pytest.approx(4 * room("ward").area_cm2)
    assert room("ward").projected_lx / room("ward", 2 * WIDE).projected_lx == 4


def test_what_the_prose_says_of_window_and_tilt_is_so(words):
    assert "Both are inside the window" in words["read-the-distance"]
    assert FAR.is_inside
    assert NEAR.is_inside
    assert "the long side just stays in the window" in words["tilt-and-turn"]
    assert tilt(tilt_deg=20).sharp_share == 1 > tilt(tilt_deg=23).sharp_share
    assert "so that the short side lies along the slope, all of it is" in words["read-the-tilt"]
    assert tilt(tilt_deg=30, side="short").sharp_share == pytest.approx(1)


def test_what_the_prose_says_of_the_shift_is_so(words):
    assert "The line is on the vein again" in words["read-the-shift"]
    assert shift(WINDOW, rotation_deg=90).sideways_mm == pytest.approx(0, abs=1e-9)
    assert "no shift at any distance" in words["other-baselines"]
    assert shift(30, baseline_mm=0).size_mm == 0
    assert "the same shift, to the other side" in words["other-baselines"]
    assert shift(-WINDOW).offset_mm[0] == -shift(WINDOW).offset_mm[0]
    assert "over what is tolerated" in words["read-the-limbs"]
    assert beside(LIMBS_MM["a child's forearm"])[1] > DEVICE.registration_tolerance_mm


def test_what_the_prose_says_of_rooms_and_holding_is_so(words):
    assert "beside a window by day, still enough" in words["read-the-room"]
    assert room("window").weber >= DEVICE.weber_needed
    assert "too little to rely on" in words["read-the-room"]
    assert room("procedure-lamp").verdict == "Too little to rely on."
    assert "Only the stand is steady enough." in words["read-the-budgets"]
    assert [key for key in holdings() if budget(key).holds] == ["fixed-stand"]
    assert "a rested hand is steady enough too" in words["read-the-budgets"]
    assert budget("braced", place_mm=0, tilt_deg=0).holds


def test_what_the_prose_says_of_light_and_dark_lines_is_so(words):
    said = words["read-the-lines"]
    assert "**In a bright room it does not help to change from light lines to dark" in said
    light, dark = (lines("procedure-lamp", way).times for way in ("light", "dark"))
    assert 1 < dark / light < 1.15 or 1 < light / dark < 1.15
    assert "both plenty" in said
    assert min(lines("night", way).times for way in ("light", "dark")) > 40


def test_verdicts_of_the_check_are_the_packages(words):
    assert "*fail* at 15 mm" in words["read-the-checks"]
    assert target(distance_error_mm=15).verdict == "Fail"
    assert "the same device passes" in words["read-the-checks"]
    assert target().verdict == "Pass"
    assert "leaves the middle mark in place" in words["read-the-checks"]
    middle = len(TRUE_MM) // 2
    assert target(rotation_deg=2).is_in_place[middle]
    assert "No distance mends it." in words["read-the-checks"]
    assert {
        target(rotation_deg=2, distance_error_mm=error).verdict for error in range(-24, 25)
    } == {"Fail"}


def test_lesson_names_no_device_of_its_own_and_leads_on(lessons, words):
    assert "The device of this course is invented." in words["working-distance"]
    (onwards,) = (cell for cell in lessons[NAME].cells if cell.id == "worksheet")
    assert "(30-reading-the-vein.ipynb)" in onwards.source
