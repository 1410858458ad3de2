"""The smallest catheter that does the job, and whether the vein takes it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc, tables
from cubital.calc.sizing.size_choice import CANNOT_SIZE, FITS, MEASURED_BY, NO_FLOW, TOO_LARGE


def size(flow=50.0, vein=3.0, measured_by="ultrasound", limit=0.45, **more):
    return calc.size_catheter(
        flow_needed_ml_per_min=flow,
        vein_diameter_mm=vein,
        measured_by=measured_by,
        ratio_limit=limit,
        **more,
    )


# By hand from the table: 22G gives 36 mL/min and 20G 61, upper outer diameter of 20G 1.149 mm;
# 1.149 / 3.0 = 0.383 and 1.149 / 2.4 = 0.479.
def test_the_thinnest_catheter_that_gives_the_flow_is_chosen():
    result = size(flow=50, vein=3.0)
    assert (result.verdict, result.gauge) == (FITS, 20)
    assert result.ratio == pytest.approx(0.383)


def test_a_vein_too_narrow_for_it_is_said_and_no_other_catheter_offered():
    result = size(flow=50, vein=2.4)
    assert (result.verdict, result.gauge) == (TOO_LARGE, 20)
    assert result.ratio == pytest.approx(0.47875)
    assert "find a wider vein by ultrasound, or ask about a central line" in result.reason


def test_a_ratio_exactly_at_the_limit_fits():
    """0.949 / (0.949 / 0.45) comes out a hair above 0.45 in floating point."""
    assert size(flow=30, vein=0.949 / 0.45).gauge == 22
    assert size(flow=30, vein=0.949 / 0.45).verdict == FITS
    assert size(flow=30, vein=0.949 / 0.451).verdict == TOO_LARGE


@pytest.mark.parametrize("how", sorted(set(MEASURED_BY) - {"ultrasound"}))
@pytest.mark.parametrize("vein", [0.5, 3.0, 10.0])
def test_no_catheter_is_sized_without_ultrasound_free_of_a_tourniquet(how, vein):
    result = size(vein=vein, measured_by=how)
    assert (result.verdict, result.gauge, result.ratio) == (CANNOT_SIZE, None, None)
    assert "ultrasound without a tourniquet" in result.reason


def test_no_catheter_is_sized_without_a_diameter():
    assert size(vein=None).verdict == CANNOT_SIZE


def test_a_flow_beyond_every_catheter_is_said():
    assert size(flow=800).verdict == NO_FLOW
    assert size(flow=50, allowed_gauges=[24, 22]).verdict == NO_FLOW
    assert size(flow=50, allowed_gauges=[]).verdict == NO_FLOW


def test_only_allowed_gauges_are_chosen():
    assert size(flow=10, vein=5, allowed_gauges=[18, 20]).gauge == 20


def test_a_gauge_without_a_flow_figure_is_passed_over():
    assert size(flow=10, vein=5, allowed_gauges=[17]).verdict == NO_FLOW


def test_a_need_that_some_makers_do_not_meet_is_remarked():
    assert any("read the pack" in text for text in size(flow=200, vein=6).remarks)
    assert not any("read the pack" in text for text in size(flow=160, vein=6).remarks)


def test_an_implausible_vein_is_remarked():
    assert any("vein diameter 20 mm" in text for text in size(vein=20).remarks)


@given(st.floats(0.5, 290), st.floats(0.5, 10), st.floats(0.1, 1))
def test_no_thinner_catheter_gives_the_flow_and_the_verdict_follows_the_ratio(flow, vein, limit):
    result = size(flow=flow, vein=vein, limit=limit)
    rows = {row.gauge: row for row in tables.gauges()}
    chosen = rows[result.gauge]
    assert chosen.nominal_flow_ml_per_min >= flow
    for row in rows.values():
        if row.outer_upper_mm < chosen.outer_upper_mm and row.nominal_flow_ml_per_min:
            assert row.nominal_flow_ml_per_min < flow
    if chosen.outer_upper_mm / vein != pytest.approx(limit):
        assert (result.verdict == FITS) == (chosen.outer_upper_mm / vein <= limit)


@given(st.floats(0.5, 290), st.floats(0.5, 9), st.floats(0.1, 1))
def test_a_wider_vein_never_turns_a_fit_into_a_misfit(flow, vein, limit):
    if size(flow=flow, vein=vein, limit=limit).verdict == FITS:
        assert size(flow=flow, vein=vein + 1, limit=limit).verdict == FITS


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"vein": 0}, "vein diameter is 0 mm"),
        ({"vein": 0, "measured_by": "picture"}, "vein diameter is 0 mm"),
        ({"flow": -1}, "flow needed is -1 mL/min"),
        ({"limit": 2}, "limit of the catheter-to-vein ratio is 2"),
        ({"measured_by": "ruler"}, "measured_by is 'ruler'"),
        ({"allowed_gauges": [19]}, "no catheter of gauge 19"),
    ],
)
def test_impossible_input_raises(change, message):
    with pytest.raises(ValueError, match=message):
        size(**change)
