"""Processing beside vein-free skin: what is counted as hidden and invented, by other routes."""

import numpy as np
import pytest

from cubital.explore.reading import processed
from cubital.explore.reading.processed import ProcessedTwice
from cubital.scene.light import processing

STATES = [{}, {"filter_mm": 1, "gain_times": 8}, {"filter_mm": 2, "hair": 8}, {"filter_mm": 12}]
LEFT, GAP, RIGHT = slice(0, 230), slice(230, 250), slice(250, 480)


def shown(**state):
    return ProcessedTwice(**state).show()


def test_there_is_no_vessel_in_the_skin_on_the_right_and_the_rest_is_the_same():
    for hair in (0, 8):
        veins, bare = processed.scenes(hair)
        assert bare.anatomy.vessels == ()
        assert len(veins.anatomy.vessels) > 3
        assert (veins.skin, veins.view, veins.seed) == (bare.skin, bare.view, bare.seed)
        first, second = processed.raw_frames(hair)
        assert first.mean() < second.mean()  # veins only darken


def test_the_two_frames_are_processed_alike_with_a_plain_gap_between():
    frame = shown(filter_mm=3, gain_times=5).frame
    assert frame.shape == (240, 480)
    assert set(np.unique(frame[:, GAP])) == {225}
    for part, raw in zip((LEFT, RIGHT), processed.raw_frames(0), strict=True):
        alone = processing.process(raw, filter_mm=3, mm_per_px=0.25, gain=5)
        assert (frame[:, part] == alone).all()


def test_a_bands_step_is_its_contrast_times_the_share_that_passes_and_the_gain():
    """By the formula of a straight band: the longest one, before anything is clipped."""
    (number, band) = max(enumerate(processed.real_bands()), key=lambda pair: len(pair[1].row))
    for kernel, gain in ((4, 1), (3, 0.5), (6, 1), (2, 1)):
        passed = processing.passed_share(band.width_mm, filter_mm=kernel)
        wanted = gain * passed * band.contrast
        step = shown(filter_mm=kernel, gain_times=gain).numbers.steps[number]
        assert step == pytest.approx(wanted, rel=0.35), (kernel, gain)


@pytest.mark.parametrize("state", STATES)
def test_shown_and_hidden_make_all_and_the_words_tell_them(state):
    figure = ProcessedTwice(**state)
    n = figure.show().numbers
    assert n.shown + n.hidden == n.real == 7
    assert n.shown == sum(step >= 0.05 for step in n.steps.values())
    alt = figure.picture["alt"]
    assert f"{n.shown} of 7 real bands are shown and {n.hidden} are hidden" in alt
    assert f"{n.invented} bands are invented" in alt


def test_narrow_filters_invent_wide_ones_hide_and_hair_invents_more():
    fit = shown().numbers
    assert (fit.shown, fit.invented) == (7, 0)
    narrow, wide = shown(filter_mm=1, gain_times=8).numbers, shown(filter_mm=15).numbers
    assert narrow.invented > 40
    assert (wide.shown, wide.invented) == (0, 0)
    assert shown(filter_mm=2).numbers.invented == 0 < shown(filter_mm=2, hair=8).numbers.invented


def test_the_range_of_widths_is_where_half_is_left():
    n = shown(filter_mm=5).numbers
    for width in (n.narrow_mm, n.wide_mm):
        assert processing.passed_share(width, filter_mm=5) == pytest.approx(0.5)


def test_the_step_that_the_notice_names_is_the_one_that_counts():
    assert f"a step of {100 * processed.least_step():g} % of full scale" in ProcessedTwice().notice
