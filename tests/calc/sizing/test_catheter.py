"""Laws of size and share."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc, tables

OUTER = st.floats(0.3, 5)
VEIN = st.floats(0.5, 20)
LIMIT = st.floats(0.1, 1)


@given(OUTER)
def test_french_and_millimetres_invert_each_other(outer):
    assert calc.outer_diameter_mm(calc.french_size(outer)) == pytest.approx(outer)


@given(OUTER, VEIN, LIMIT)
def test_a_catheter_fits_exactly_when_its_vein_is_no_smaller_than_the_smallest(outer, vein, limit):
    smallest = calc.smallest_vein_diameter_mm(outer, ratio_limit=limit)
    if vein != pytest.approx(smallest):
        ratio = calc.catheter_to_vein_ratio(outer, vein_diameter_mm=vein)
        assert (ratio <= limit) == (vein >= smallest)


@given(OUTER, LIMIT)
def test_the_widest_catheter_of_the_smallest_vein_is_the_catheter(outer, limit):
    vein = outer / limit
    assert calc.smallest_vein_diameter_mm(outer, ratio_limit=limit) == pytest.approx(vein)
    if vein <= tables.limits()["vein_diameter_mm"].high:
        assert calc.largest_outer_diameter_mm(vein, ratio_limit=limit) == pytest.approx(outer)


def test_a_catheter_of_half_the_veins_width_fills_a_quarter_of_its_cross_section():
    assert calc.catheter_to_vein_ratio(1.5, vein_diameter_mm=3) == 0.5
    assert calc.area_share(0.5) == 0.25


def test_a_larger_gauge_number_is_a_thinner_catheter():
    diameters = [calc.gauge(number).outer_upper_mm for number in (26, 24, 22, 20, 18, 17, 16, 14)]
    assert diameters == sorted(diameters)


@pytest.mark.parametrize("number", [19, 0, -20, 20.5, True, "20", None])
def test_an_unknown_gauge_raises_with_the_gauges_there_are(number):
    with pytest.raises(ValueError, match="it has 26, 24, 22, 20, 18, 17, 16, 14"):
        calc.gauge(number)
