"""End on: the ratio, what it leaves, and circles to one scale."""

from xml.etree import ElementTree

import pytest

from cubital.explore.sizing.fit import EndOnFit

SVG = "{http://www.w3.org/2000/svg}"
# Upper outer diameters in mm of ISO 10555-5 (from memory; tests/published holds the check)
UPPER_MM = {
    26: 0.649,
    24: 0.749,
    22: 0.949,
    20: 1.149,
    18: 1.349,
    17: 1.549,
    16: 1.849,
    14: 2.249,
}
LOCAL_LIMIT = 0.45  # the profile that ships


@pytest.mark.parametrize("gauge", UPPER_MM)
@pytest.mark.parametrize("vein", [2.3, 3.7, 6.0])
def test_numbers_are_those_of_plain_arithmetic(gauge, vein):
    numbers = EndOnFit(gauge=gauge, vein_diameter_mm=vein).show().numbers
    ratio = UPPER_MM[gauge] / vein
    assert numbers.ratio == pytest.approx(ratio, rel=1e-12)
    assert numbers.area_share == pytest.approx(ratio * ratio, rel=1e-12)
    assert numbers.smallest_vein_mm == pytest.approx(UPPER_MM[gauge] / 0.45, rel=1e-12)


@pytest.mark.parametrize(
    ("ratio", "share"), [(0.25, 0.36210), (1 / 3, 0.26845), (0.45, 0.16250), (0.6, 0.06856)]
)
def test_flow_beside_the_catheter_is_the_annulus_formula(ratio, share):
    # worked out apart from the package: 1 - k^4 - (1 - k^2)^2 / ln(1 / k)
    state = {"gauge": 20, "vein_diameter_mm": 1.149 / ratio}
    assert EndOnFit.compute(state).numbers.annulus_flow_share == pytest.approx(share, abs=1e-5)


@pytest.mark.parametrize("gauge", UPPER_MM)
def test_the_limit_itself_is_within_and_a_hair_more_is_over(gauge):
    # for some gauges the quotient of these two floats lies a rounding error above 0.45
    smallest = UPPER_MM[gauge] / LOCAL_LIMIT
    at = EndOnFit.compute({"gauge": gauge, "vein_diameter_mm": smallest})
    over = EndOnFit.compute({"gauge": gauge, "vein_diameter_mm": smallest - 0.001})
    assert at.numbers.verdict.startswith("Within the local limit")
    assert over.numbers.verdict.startswith("Over the local limit")


def test_the_smallest_vein_is_written_so_that_it_still_fits():
    readings = {r.label: r.value for r in EndOnFit(gauge=20).show().readings}
    written = readings["Smallest vein for 20 gauge at 45\N{NO-BREAK SPACE}%"]
    assert written == "2.56\N{NO-BREAK SPACE}mm"
    assert 1.149 / 2.56 <= LOCAL_LIMIT < 1.149 / 2.55


def test_a_catheter_wider_than_the_vein_cannot_go_in():
    picture = EndOnFit(gauge=14, vein_diameter_mm=2).show()
    assert picture.numbers.ratio == pytest.approx(2.249 / 2)
    assert picture.numbers.annulus_flow_share == 0
    assert "cannot go in" in picture.numbers.verdict
    assert "larger than a vein 2.0 mm across" in picture.alt


def test_alt_says_what_the_figure_shows_now():
    figure = EndOnFit(gauge=20, vein_diameter_mm=2.6)
    assert "20 gauge catheter, 1.15 mm across, inside a vein 2.6 mm across" in figure.picture["alt"]
    assert "44.2 % of the vein's diameter" in figure.picture["alt"]
    assert "Within the local limit of 45 %" in figure.picture["alt"]
    figure.gauge = 18
    assert "18 gauge catheter, 1.35 mm across" in figure.picture["alt"]
    assert "51.9 % of the vein's diameter" in figure.picture["alt"]
    assert "Over the local limit of 45 %" in figure.picture["alt"]


def test_circles_have_one_centre_and_one_scale():
    root = ElementTree.fromstring(EndOnFit(gauge=16, vein_diameter_mm=5.2).show().svg)
    vein, catheter = root.findall(f"{SVG}circle")
    assert (vein.get("cx"), vein.get("cy")) == (catheter.get("cx"), catheter.get("cy"))
    scale = float(vein.get("r")) / float(catheter.get("r"))
    assert scale == pytest.approx(5.2 / 1.849, rel=0.005)


def test_ratio_bar_ends_where_its_scale_says():
    svg = EndOnFit(gauge=20, vein_diameter_mm=2.6).show().svg
    root = ElementTree.fromstring(svg)
    labels = {t.text.replace("\N{NO-BREAK SPACE}", " "): t for t in root.iter(f"{SVG}text")}
    nought, hundred = (float(labels[key].get("x")) for key in ("0 %", "100 %"))
    outline = root.find(f"{SVG}polyline").get("points")
    end = max(float(pair.split(",")[0]) for pair in outline.split())
    assert (end - nought) / (hundred - nought) == pytest.approx(1.149 / 2.6, abs=0.001)


def test_all_three_figures_and_the_local_limit_are_marked_in_words():
    words = EndOnFit().show().svg.replace("\N{NO-BREAK SPACE}", " ")
    for label in ("33 %", "41 %", "45 %", "local limit, 45 %"):
        assert f">{label}<" in words
