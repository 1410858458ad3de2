"""What a calculation cannot take is named: quantity, value in short, unit and what is allowed."""

import math

import numpy as np
import pytest

from cubital import calc
from cubital.calc.light.media import Layer, Medium, Vein

SKIN, BLOOD = Medium(0.03, 9.0, 0.8, 1.4), Medium(0.5, 9.0, 0.8, 1.4)
OPEN = [Layer(SKIN, math.inf)]
PLAIN = (0.03, 9.0, 0.8, 1.4)  # a medium's numbers without its name


def shadows(layers=OPEN, **given):
    usual = {
        "vein_medium": BLOOD,
        "depths_mm": [1.0],
        "diameters_mm": [2.0],
        "photons": 1_000,
        "seed": 1,
    }
    return calc.vein_shadows(layers, **(usual | given))


def run(layers=OPEN, **given):
    return calc.photon_run(layers, **({"photons": 1_000, "seed": 1} | given))


def paths(**given):
    return calc.photon_paths(OPEN, **({"photons": 1_000, "seed": 1} | given))


DEPTH = "it must be one or more numbers, each from 0.01 to 100 mm"
LAYER = "it must be a Layer of a Medium and a thickness in mm"
MEDIUM = "it must be a Medium: absorption and scattering in 1/mm, anisotropy and refractive index"
WIDTH = "it must be one or more numbers, each from 0.1 to 30 mm"


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: shadows(depths_mm=[]), f"depth of the vein is []: {DEPTH}"),
        (lambda: shadows(depths_mm=2.0), f"depth of the vein is 2: {DEPTH}"),
        (
            lambda: shadows(depths_mm=[[1.0], [2.0]]),
            f"depth of the vein is [[1], [2]]: {DEPTH}",
        ),
        (lambda: shadows(diameters_mm=()), f"vein diameter is (): {WIDTH}"),
        (lambda: shadows(vein_medium=PLAIN), f"the medium is (0.03, 9, 0.8, 1.4): {MEDIUM}"),
        (lambda: shadows([(SKIN, 2.0)]), LAYER),
        (lambda: run([(SKIN, 2.0)]), LAYER),
        (lambda: run(OPEN[0]), "layer 1 is Medium(absorp"),
        (lambda: run([Layer(PLAIN, math.inf)]), f"the medium is (0.03, 9, 0.8, 1.4): {MEDIUM}"),
        (
            lambda: run(veins=[(BLOOD, 1.0, 2.0)]),
            "it must be a Vein of a Medium, depth and diameter in mm",
        ),
        (
            lambda: calc.followed_contrast(OPEN, vein=(BLOOD, 1.0, 2.0), photons=1_000, seed=1),
            "it must be a Vein of a Medium, depth and diameter in mm",
        ),
        (
            lambda: shadows(photons=1000.7),
            "number of photons is 1000.7: it must be a whole number from 1000 to 1000000000000",
        ),
        (
            lambda: run(photons=1000.7),
            "number of photons is 1000.7: it must be a whole number from 1000 to 1000000000000",
        ),
        (
            lambda: run(photons=[]),
            "number of photons is []: it must be a single number from 1000 to 1000000000000",
        ),
        (
            lambda: run(radial_bin_mm=1.0, radial_bins=3.6),
            "number of rings is 3.6: it must be a whole number from 0 to 10000",
        ),
        (
            lambda: paths(keep=2000.5),
            "number of exits to keep is 2000.5: it must be a whole number from 1000 to 100000000",
        ),
        (
            lambda: run(cores=1.5),
            "number of cores is 1.5: it must be a whole number from 1 to 1024",
        ),
        (
            lambda: run(exit_angle_deg=[10, 20]),
            "largest exit angle that counts is [10, 20]: it must be a single number from 0.1 to 90 "
            "degrees",
        ),
        (
            lambda: calc.wilson_interval(3, 5, confidence=[]),
            "confidence level is []: it must be a single number from 0.5 to 0.999999",
        ),
        (
            lambda: calc.insertions_needed(0.9, allowed_failures=[1, 2]),
            "number of allowed failures is [1, 2]: it must be a single number from 0 to 1000",
        ),
    ],
)
def test_what_cannot_be_taken_is_named(call, message):
    with pytest.raises(ValueError) as caught:  # noqa: PT011 - the message is compared
        call()
    assert message in str(caught.value)


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (10**400, "about 1e+400"),
        (-(10**5000), "about -1e+5000"),
        (10**30, "about 1e+30"),
        ([1.0, 10**400], "inf"),
        ("x" * 1000, "'xxxxxxxxxxxx...xxxxxxxxxxxxx', which is not a number"),
        ([10**5000, None], "[about 1e+5000, None], which is not a number"),
        (
            list(map(str, range(10**4))),
            "['0', '1', '2', '3', '4', '5', ...], which is not a number",
        ),
    ],
    ids=["400", "5000", "30", "list", "text", "list of two", "long list"],
)
def test_a_long_value_is_shown_short(value, shown):
    with pytest.raises(ValueError) as caught:  # noqa: PT011 - the message is compared
        calc.check("vein_diameter_mm", value)
    assert str(caught.value).startswith(f"vein diameter is {shown}")
    assert str(caught.value).endswith(": it must be from 0.1 to 30 mm")
    assert len(str(caught.value)) < 200


def test_whole_numbers_written_as_floats_are_taken():
    found = run(photons=1000.0, radial_bin_mm=np.float32(1), radial_bins=np.int64(2))
    assert found.photons == 1000
    assert found.radial_mm.tolist() == [0.5, 1.5]


def test_a_vein_needs_its_name_and_not_only_its_numbers():
    assert run(veins=[Vein(BLOOD, 1.0, 2.0)]).photons == 1000
