"""Vein and artery: absorption by the printed table, and contrast by the saturations of each."""

from xml.etree import ElementTree

import numpy as np
import pytest

from cubital import calc
from cubital.explore.light.vein_artery import ABSORPTION, VeinAndArteryByLight

SVG = "{http://www.w3.org/2000/svg}"


def numbers(**state):
    return VeinAndArteryByLight(**state).show().numbers


@pytest.mark.parametrize(
    ("wavelength", "full", "none"),
    # bosschaart-2014 as printed, whole blood, haematocrit 0.45, per mm: full of oxygen, without
    [(700, 0.14, 1.00), (760, 0.27, 0.84), (850, 0.49, 0.42), (940, 0.65, 0.43)],
)
@pytest.mark.parametrize("saturation", [40, 70, 97])
def test_absorption_is_mixed_from_the_printed_table(wavelength, full, none, saturation):
    n = numbers(picture_wavelength_nm=wavelength, saturation_percent=saturation)
    share = saturation / 100
    assert n.vein_absorption == pytest.approx(share * full + (1 - share) * none)


@pytest.mark.parametrize("wavelength", [700, 760, 850, 940, 1000])
def test_contrasts_are_those_of_named_blood(wavelength):
    n = numbers(picture_wavelength_nm=wavelength, saturation_percent=70)
    named = calc.vein_and_artery_contrast(
        1.5,
        lumen_diameter_mm=2,
        picture_wavelength_nm=wavelength,
        epidermal_melanin_fraction=0.05,
    )
    assert n.vein_contrast == pytest.approx(named.vein, rel=0.01)
    assert n.artery_contrast == pytest.approx(named.artery, rel=0.01)


def test_an_artery_looks_the_same_at_850_and_paler_at_700():
    assert numbers(picture_wavelength_nm=850).verdict == "They look the same."
    assert numbers(picture_wavelength_nm=700).verdict.startswith("The artery looks paler")


def test_a_vein_with_the_artery_s_oxygen_is_the_artery():
    n = numbers(saturation_percent=97)
    assert np.allclose(n.vein_contrasts, n.artery_contrasts)


def test_one_may_be_paler_than_the_other_by_less_than_a_millimetre_does():
    n = numbers(picture_wavelength_nm=760)
    shallower = numbers(picture_wavelength_nm=760, upper_wall_depth_mm=0.8)
    deeper = numbers(picture_wavelength_nm=760, upper_wall_depth_mm=2.5)
    assert shallower.artery_contrast > n.vein_contrast > n.artery_contrast
    assert n.artery_contrast > deeper.vein_contrast


@pytest.mark.parametrize("shown", ["contrast", "absorption"])
def test_ring_and_diamond_stand_on_their_curves(shown):
    figure = VeinAndArteryByLight(picture_wavelength_nm=760, show_curves=shown)
    root = ElementTree.fromstring(figure.show().svg)
    lines = [
        [tuple(map(float, pair.split(","))) for pair in line.get("points").split()]
        for line in root.iter(f"{SVG}polyline")
    ]
    artery, vein, diamond = lines
    (ring,) = root.iter(f"{SVG}circle")
    x = float(ring.get("cx"))
    assert float(ring.get("cy")) == pytest.approx(np.interp(x, *zip(*vein, strict=True)), abs=0.2)
    middle = (diamond[0][1] + diamond[2][1]) / 2
    assert middle == pytest.approx(np.interp(x, *zip(*artery, strict=True)), abs=0.2)
    assert diamond[0][0] == x


def test_alt_says_what_the_figure_shows_now():
    figure = VeinAndArteryByLight()
    assert "curves of contrast in the picture" in figure.picture["alt"]
    figure.show_curves = ABSORPTION
    assert "curves of absorption of the blood" in figure.picture["alt"]
    assert "the vein has 0.47 per mm and the artery 0.49 per mm" in figure.picture["alt"]
