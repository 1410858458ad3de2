"""French scale, catheter bands and needle tubes against published sizes."""

import pytest
from fluids.piping import t_from_gauge

from cubital import calc, tables

# The French scale is one third of a millimetre a step. From memory of catheter packs:
# 6 Fr 2.0 mm, 12 Fr 4.0 mm, 14 Fr 4.7 mm, 18 Fr 6.0 mm, printed to a tenth.
FRENCH_ON_PACKS = {3: 1.0, 6: 2.0, 8: 2.7, 12: 4.0, 14: 4.7, 16: 5.3, 18: 6.0, 24: 8.0}

# ISO 10555-5:2013 (iso-10555-5), table of the colour code, from memory: the standard itself was
# not opened. Gauge: nominal outer diameters, range of actual ones in mm, colour.
ISO_CATHETERS = {
    26: ((0.6,), 0.550, 0.649, "violet"),
    24: ((0.7,), 0.650, 0.749, "yellow"),
    22: ((0.8, 0.9), 0.750, 0.949, "deep blue"),
    20: ((1.0, 1.1), 0.950, 1.149, "pink"),
    18: ((1.2, 1.3), 1.150, 1.349, "deep green"),
    17: ((1.4, 1.5), 1.350, 1.549, "white"),
    16: ((1.6, 1.7, 1.8), 1.550, 1.849, "medium grey"),
    14: ((1.9, 2.0, 2.1, 2.2), 1.850, 2.249, "orange"),
}

# van Loon 2021 (van-loon-2021, abstract), the table of outcomes by gauge seen beside the abstract:
# median catheter-to-vein ratio and median vein diameter in mm. Their product is about the outer
# diameter that was used.
VAN_LOON = {22: (0.50, 2.0), 20: (0.46, 2.6), 18: (0.38, 3.4), 16: (0.40, 4.3), 14: (0.43, 4.8)}


@pytest.mark.parametrize(("french", "millimetres"), FRENCH_ON_PACKS.items())
def test_french_sizes_are_those_printed_on_packs(french, millimetres):
    assert calc.outer_diameter_mm(french) == pytest.approx(millimetres, abs=0.05)
    assert calc.french_size(millimetres) == pytest.approx(french, abs=0.15)


def test_the_catheter_table_is_the_standards():
    table = {
        row.gauge: (row.outer_nominal_mm, row.outer_lower_mm, row.outer_upper_mm, row.hub_colour)
        for row in tables.gauges()
    }
    assert table == ISO_CATHETERS


@pytest.mark.parametrize(("gauge", "medians"), VAN_LOON.items())
def test_the_bands_hold_the_diameters_behind_a_published_study(gauge, medians):
    ratio, vein_mm = medians
    row = calc.gauge(gauge)
    # a product of two rounded medians: the band widened by a tenth
    assert 0.9 * row.outer_lower_mm <= ratio * vein_mm <= 1.1 * row.outer_upper_mm


def test_success_where_the_catheter_is_wide_for_the_vein_is_the_published_share():
    """van-loon-2021 (abstract): catheter over vein above 0.41, first attempts 65 % successful."""
    row = tables.constant("first-attempt-tight")
    assert (row.value, row.kind, row.source, row.seen) == (
        0.65,
        "measured",
        "van-loon-2021",
        "abstract",
    )


@pytest.mark.parametrize("row", tables.needle_tubes(), ids=lambda row: f"{row.gauge}G")
def test_steel_needles_follow_the_wire_gauge(row):
    """Birmingham wire gauge from the fluids library: an independent table of the same gauges."""
    wire_mm = 1000 * t_from_gauge(row.gauge, SI=True, schedule="BWG")
    assert row.outer_lower_mm <= wire_mm <= row.outer_upper_mm


@pytest.mark.parametrize("gauge", [24, 22, 20])
def test_a_thin_catheter_is_wider_than_the_wire_of_its_gauge(gauge):
    wire_mm = 1000 * t_from_gauge(gauge, SI=True, schedule="BWG")
    assert calc.gauge(gauge).outer_lower_mm > wire_mm
