"""The lesson on light and depth: every number it states, and its run from top to bottom."""

from math import exp, radians, sin

import pytest

from cubital import calc, items, tables
from cubital.explore.light.photon_walk import PHOTONS, PhotonsOneByOne
from cubital.explore.light.two_veins import LEFT_DEPTH_MM, LEFT_DIAMETER_MM, TwoVeins
from cubital.tables import light

from .stated import assert_written, pairs, unchecked, words_of

NAME = "10-light-and-depth"
NM, DEPTH_MM, VEIN_MM, MELANIN, NOISE = 850, 3.0, 3.0, 5, 1.0
STATED_MM = tables.profile().depth_reach_mm
LENGTH_MM, ANGLE_DEG, FAR_MM = 25, 30, STATED_MM
PER_MM, SCATTERED = 0.03, 1.7  # absorption and reduced scattering of some skin
HAEMATOCRIT, FEWER = 45, 30  # per cent, of the worked example
VENOUS, ARTERIAL = calc.named_blood("venous"), calc.named_blood("arterial")
PAIR_MM = {1.0: 1.5, 2.5: 2.8, 4.0: 3.2}  # right veins of the match: diameter and depth


def fit(**changed):
    return {
        "lumen_diameter_mm": VEIN_MM,
        "picture_wavelength_nm": NM,
        "epidermal_melanin_fraction": MELANIN / 100,
        **changed,
    }


def contrast(depth=DEPTH_MM, **changed):
    return 100 * calc.skin_vein_contrast(depth, **fit(**changed))


def lost_mm(noise=NOISE, **changed):
    return calc.skin_deepest_visible_mm(noise / 100, **fit(**changed))


def brightness(melanin):
    return 100 * calc.skin_brightness_share(NM, epidermal_melanin_fraction=melanin)


def width(depth=DEPTH_MM, vein=VEIN_MM):
    return calc.skin_apparent_width_mm(depth, **fit(lumen_diameter_mm=vein))


def left_mm(depth=FAR_MM):
    return calc.length_in_vein_mm(
        LENGTH_MM, near_wall_depth_mm=depth, insertion_angle_deg=ANGLE_DEG
    )


def track_mm(depth=FAR_MM):
    return calc.track_length_mm(depth, insertion_angle_deg=ANGLE_DEG)


def vessel(blood, nm=NM, *, depth=DEPTH_MM, saturation=None):
    absorbed = calc.blood_absorption_per_mm(
        nm,
        oxygen_saturation=blood.oxygen_saturation if saturation is None else saturation,
        haematocrit=blood.haematocrit,
    )
    return contrast(
        depth,
        lumen_diameter_mm=VEIN_MM,
        picture_wavelength_nm=nm,
        vessel_absorption_per_mm=absorbed,
    )


def blood_over(layer):
    absorbed = calc.blood_absorption_per_mm(
        NM, oxygen_saturation=VENOUS.oxygen_saturation, haematocrit=VENOUS.haematocrit
    )
    layers = dict(
        zip(light.skin_layers(), calc.skin_layers(NM, melanin_fraction=0.05), strict=True)
    )
    return absorbed / layers[layer].medium.absorption_per_mm


def blood(saturation, haematocrit=HAEMATOCRIT):
    """Absorption per mm, haematocrit in per cent."""
    return calc.blood_absorption_per_mm(
        NM, oxygen_saturation=saturation, haematocrit=haematocrit / 100
    )


def penetration_mm():
    return calc.penetration_depth_mm(PER_MM, reduced_scattering_per_mm=SCATTERED)


def left_over(way_mm):
    fades = calc.effective_attenuation_per_mm(PER_MM, reduced_scattering_per_mm=SCATTERED)
    return 100 * exp(-fades * way_mm)


def match(diameter, depth):
    return contrast(depth, lumen_diameter_mm=diameter)


FRACTIONS = {row.words: row for row in light.melanin_fractions()}
WAVELENGTHS = tables.bibliography()["vein-wavelengths-2014"]
BEST = {"lumen_diameter_mm": 5.0, "epidermal_melanin_fraction": 0.01}

# cell: (words in it, ..., each with the numbers in it, in order, as the package computes them)
STATED = {
    "question": {"The device sees 7 mm deep": (STATED_MM,)},
    "what-light-sees": {
        "48 % in her skin, with 5 % melanin": (brightness(MELANIN / 100), MELANIN),
        "At a wavelength of 850 nm (nanometres), a millimetre of a vein's blood absorbs 39 times "
        "as much light as a millimetre of the skin around it, and 81 times as much as fat": (
            NM,
            blood_over("dermis"),
            blood_over("fat"),
        ),
    },
    "two-formulas": {
        # 800 to 850 nm: the summary as read; the 80 is in the bibliography's entry
        "In one study of 80 people, wavelengths from 800 to 850 nm": (
            float(WAVELENGTHS.text.partition(" subjects")[0].split()[-1]),
            800,
            850,
        ),
        "light falls to 37 % over each penetration depth": (left_over(penetration_mm()),),
        # what stands before a and s, found back from a depth
        "1 / √(3 × a × (a + s))": (1, 1 / (PER_MM * (PER_MM + SCATTERED) * penetration_mm() ** 2)),
    },
    "stated-depth": {
        "it shows veins down to 7 mm": (STATED_MM,),
        "the contrast must be at least 3 times the noise": (
            tables.constant("contrast-to-noise-needed").value,
        ),
        "her vein is 3.0 mm across, and its upper wall lies 3.0 mm deep": (VEIN_MM, DEPTH_MM),
        "the noise is 1.0 %": (NOISE,),
    },
    "read-the-contrast": {
        "at 1.0 mm deep the contrast is 28 %; at 3.0 mm, where her vein lies, it is 10 %; at 6.0 "
        "mm it is 3 %": (
            1,
            contrast(1),
            DEPTH_MM,
            contrast(),
            6,
            contrast(6),
        ),
        "lost below 4.8 mm, not at 7 mm": (lost_mm(), STATED_MM),
        "Put the depth back to 3.0 mm": (DEPTH_MM,),
        "down to 1.0 mm: lost below 3.0 mm": (1, lost_mm(lumen_diameter_mm=1.0)),
        "up to 2.0 %, as in a brighter room or with a hand that moves: lost below 3.2 mm": (
            2,
            lost_mm(2),
        ),
        "The maker's 7 mm holds": (STATED_MM,),
        "1 % melanin and a noise of 0.5 %: a vein of 5.0 mm shows to 7.8 mm": (
            1,
            0.5,
            5,
            lost_mm(0.5, **BEST),
        ),
    },
    "skin-tone": {
        "From 2 % to 40 % melanin, the light that comes back falls from 58 % to 12 %": (
            2,
            40,
            brightness(0.02),
            brightness(0.4),
        ),
        "for her vein, from 10 % to 7 %": (
            contrast(epidermal_melanin_fraction=0.02),
            contrast(epidermal_melanin_fraction=0.4),
        ),
        "goes from 5.2 to 2.7 mm": (
            lost_mm(epidermal_melanin_fraction=0.02),
            lost_mm(epidermal_melanin_fraction=0.4),
        ),
        "her vein, at 3.0 mm, would not show": (DEPTH_MM,),
        "With half the noise it would: the limit is then 4.2 mm": (
            lost_mm(0.5, epidermal_melanin_fraction=0.4),
        ),
        "At 850 nm it hardly matters: with 50 % or with 90 % saturation, the band over her vein "
        "has the same contrast, 10 %": (NM, 50, 90, vessel(VENOUS, saturation=0.5)),
    },
    "skin-in-numbers": {
        "anything from 2 % to 43 %": (
            100 * FRACTIONS["all skin phototypes"].high,
            100 * FRACTIONS["deeply pigmented"].high,
        ),
        "a haematocrit of 45 % absorbs 0.49 per mm with oxygen and 0.42 without": (
            HAEMATOCRIT,
            blood(1),
            blood(0),
        ),
        "At 70 % saturation that is 0.7 × 0.49 + 0.3 × 0.42 = 0.469 per mm": (
            70,
            0.7,
            blood(1),
            0.3,
            blood(0),
            blood(0.7),
        ),
        "With a haematocrit of 30 % it is 0.469 × 30 / 45 = 0.313 per mm": (
            FEWER,
            blood(0.7),
            FEWER,
            HAEMATOCRIT,
            blood(0.7, FEWER),
        ),
        "blood takes light down to 37 %": (left_over(penetration_mm()),),
        "one over its absorption: 1 / 0.313 = 3.20 mm": (
            1,
            blood(0.7, FEWER),
            1 / blood(0.7, FEWER),
        ),
    },
    "where-numbers-come-from": {
        "with 2,000 photons, then choose 8,000": PHOTONS[:2],
    },
    "read-the-photons": {
        "the quick formula says 10 % at 3 mm deep": (contrast(3), 3),
    },
    "width": {
        "her vein is 3.0 mm across and lies 3.0 mm deep": (VEIN_MM, DEPTH_MM),
    },
    "read-the-width": {
        "8.6 mm, almost three times the vein": (width(),),
        "At 1.0 mm deep it is 5.2 mm": (1, width(1)),
        "at 3.0 mm deep a vein of 1.0 mm still looks 7.4 mm wide": (3, 1, width(vein=1.0)),
        "lesson 40": (40,),
    },
    "seen-is-not-reachable": {
        "At 30 degrees it is twice the depth": (ANGLE_DEG,),
        "a catheter of 25 mm at 30 degrees": (LENGTH_MM, ANGLE_DEG),
        "On the way to her vein 6 mm of it lie in the skin, and 19 mm come to lie in the vein": (
            track_mm(DEPTH_MM),
            left_mm(DEPTH_MM),
        ),
        "as deep as the device states, 7 mm": (FAR_MM,),
        "14 mm lie in the skin and only 11 mm in the vein": (track_mm(), left_mm()),
    },
    "read-the-reach": {"Lesson 50": (50,)},
    "depth-from-the-picture": {
        "is her vein, 3.0 mm across and 3.0 mm deep": (LEFT_DIAMETER_MM, LEFT_DEPTH_MM),
        "on the right is 1.0 mm across and 1.0 mm deep": (1.0, 1.0),
    },
    "read-the-match": {
        "at 1.5 mm the thin vein has the same contrast as hers, 10 %": (
            PAIR_MM[1.0],
            match(LEFT_DIAMETER_MM, LEFT_DEPTH_MM),
        ),
        "A vein of 2.5 mm matches at 2.8 mm, one of 4.0 mm at 3.2 mm": (
            2.5,
            PAIR_MM[2.5],
            4,
            PAIR_MM[4.0],
        ),
        "the depths go from 1.5 to 3.2 mm": (PAIR_MM[1.0], PAIR_MM[4.0]),
        "it does, 4.8 mm beside 8.6 mm": (
            width(PAIR_MM[1.0], 1.0),
            width(LEFT_DEPTH_MM, LEFT_DIAMETER_MM),
        ),
        "The vein of 4.0 mm looks 9.3 mm wide": (4, width(PAIR_MM[4.0], 4.0)),
    },
    "vein-or-artery": {
        "97 % saturation, that of a vein about 70 %": (
            100 * ARTERIAL.oxygen_saturation,
            100 * VENOUS.oxygen_saturation,
        ),
        "both 3.0 mm wide and 3.0 mm deep, as her vein is; at 850 nm": (VEIN_MM, DEPTH_MM, NM),
        "And at 760 nm?": (760,),
    },
    "read-the-vessels": {
        "at 850 nm both have a contrast of 10 %": (NM, vessel(VENOUS)),
        "At 760 nm the artery is paler, 7 % against 8 %": (
            760,
            vessel(ARTERIAL, 760),
            vessel(VENOUS, 760),
        ),
        "half a millimetre deeper, with 6 %": (vessel(VENOUS, 760, depth=DEPTH_MM + 0.5),),
        "lesson 60": (60,),
    },
    "blood-by-wavelength": {
        # the table has two decimals: the crossing is known to some nanometres
        "They cross near 820 nm, close to 850 nm": (
            round(calc.isosbestic_wavelength_nm(), -1),
            NM,
        ),
    },
    "not-shown": {"lesson 30": (30,)},
    "what-we-have-done": {
        "a vein of 3.0 mm was lost below 4.8 mm where 7 mm was stated": (
            VEIN_MM,
            lost_mm(),
            STATED_MM,
        ),
        "8.6 from 3.0 mm": (width(), VEIN_MM),
    },
}


@pytest.fixture(scope="module")
def words(lessons):
    return words_of(lessons[NAME])


@pytest.mark.parametrize(("cell", "stated"), pairs(STATED))
def test_stated_numbers_are_computed(words, cell, stated):
    assert_written(words[cell], stated, STATED[cell][stated])


def test_no_number_goes_unchecked(lessons):
    assert unchecked(lessons[NAME], STATED) == {}


def test_what_is_said_in_words_holds():
    # about half, almost three times, less than half, and the same for arteries and veins
    assert 0.4 < brightness(MELANIN / 100) / 100 < 0.6
    assert 2.6 < width() / VEIN_MM < 3
    assert 0.4 < left_mm() / LENGTH_MM < 0.5
    assert calc.survival_band(left_mm() / LENGTH_MM, measure="fraction").failed_share > 0
    assert track_mm() == pytest.approx(2 * FAR_MM)
    # the way is the depth divided by the sine
    assert track_mm() == pytest.approx(FAR_MM / sin(radians(ANGLE_DEG)))
    assert vessel(ARTERIAL) == pytest.approx(vessel(VENOUS), rel=0.05)
    assert vessel(VENOUS, saturation=0.9) == pytest.approx(vessel(VENOUS, saturation=0.5), abs=0.5)
    assert f"{vessel(ARTERIAL):.0f}" == f"{vessel(VENOUS):.0f}"
    assert vessel(VENOUS, 760, depth=DEPTH_MM + 0.5) < vessel(ARTERIAL, 760)
    # in the darker skin her vein would not show, and with half the noise it would
    darker = {"epidermal_melanin_fraction": 0.4}
    assert lost_mm(**darker) < DEPTH_MM < lost_mm(0.5, **darker)


def test_what_is_said_of_formulas_holds():
    layer = {"wavelength_nm": NM, "melanin_fraction": 0.2}
    once, twice = (calc.epidermis_double_pass(epidermis_mm=mm, **layer) for mm in (0.05, 0.1))
    assert twice == pytest.approx(once**2)
    gloss = calc.reflectance_share(0, refractive_index=1, refractive_index_beyond=1.42)
    assert gloss == pytest.approx(((1.42 - 1) / (1.42 + 1)) ** 2)
    full, half = (
        calc.blood_absorption_per_mm(NM, oxygen_saturation=0.7, haematocrit=h) for h in (0.44, 0.22)
    )
    assert full == pytest.approx(2 * half)
    frames = items.find("light-frames").answer({"noise_percent": 2.0, "wanted_percent": 1.0})
    assert frames == pytest.approx(4)


@pytest.mark.parametrize(("diameter", "depth"), PAIR_MM.items())
def test_the_depths_that_match_are_the_figures_nearest(diameter, depth):
    wide = match(LEFT_DIAMETER_MM, LEFT_DEPTH_MM)
    apart = {d: abs(match(diameter, d / 10) - wide) for d in range(5, 61)}
    assert min(apart, key=apart.get) == pytest.approx(10 * depth, abs=1)
    figure = TwoVeins(lumen_diameter_mm=diameter, upper_wall_depth_mm=depth)
    assert figure.show().numbers.verdict == "Equally dark: matched."


def test_four_times_the_photons_halve_the_error():
    errors = []
    for photons in PHOTONS[:2]:
        figure = PhotonsOneByOne(photons=photons)
        figure._pressed(figure, "act", [])
        errors.append(figure.run.errors[2])
        quick, found = figure.show().numbers.formula[2], figure.run.contrasts[2]
        assert abs(quick - found) < 3 * figure.run.errors[2]
    assert errors[0] / errors[1] == pytest.approx(2, rel=0.25)


def test_cautions_are_there(words):
    assert "**Feel for a pulse first, every time.**" in words["read-the-vessels"]
    assert (
        "**That you see nothing does not mean that nothing is there.**"
        in words["read-the-contrast"]
    )
    assert "*teaching assumption*" in words["stated-depth"]
    assert "Nothing here has been tried on patients." in words["read-the-photons"]
    assert "nothing here has been tried on patients." in words["read-the-contrast"]
    for thing in ("**Nerves.**", "**Whether the vein is open.**"):
        assert thing in words["not-shown"]
