"""One arm by cause: its numbers against the truth of its picture, and what each cause must do."""

import numpy as np
import pytest

from cubital.explore.reading import arm_by_cause
from cubital.explore.reading.arm_by_cause import ArmByCause, ArmState
from cubital.scene.truth import truth

CAUSES = [
    {},
    {"focus_mm": 120},
    {"tilt_deg": 30},
    {"room_light_percent": 40},
    {"room_light_percent": 80},
    {"hair_number": 8},
    {"melanin_percent": 43},
]
NAMES = {"basilic": "left band", "link-1": "slanting band", "cephalic": "right band"}


def numbers(**state):
    return ArmByCause(**state).show().numbers


@pytest.mark.parametrize("cause", CAUSES)
def test_ratios_are_those_that_the_truth_of_the_picture_tells(cause):
    """The truth measures noise at every width and both ways: an independent, slower route."""
    state = ArmByCause(**cause).state()
    record = truth.truth(arm_by_cause.scene_of(ArmState(**state)))
    longest = {}
    for row in record["segments"]:
        name = NAMES[row["vessel"]]
        if row["length_mm"] > longest.get(name, {"length_mm": 0})["length_mm"]:
            longest[name] = row
    for name, ratio in numbers(**cause).ratios.items():
        assert ratio == pytest.approx(longest[name]["contrast_to_noise"], rel=0.27), name


def test_the_contrast_is_that_of_the_frame_itself():
    """Grey levels read off the frame: on the band, and to both sides of it."""
    n, frame = arm_by_cause.arm_numbers(ArmState(**ArmByCause().state()))
    vessel = arm_by_cause.arm().vessel("basilic")
    way = np.linspace(70, 100, 61)
    columns = np.interp(way, vessel.along_mm, vessel.x_mm) / 0.28 + 159.5
    rows = np.interp(way, vessel.along_mm, vessel.y_mm) / 0.28 + 119.5

    def grey(shift):
        return frame[rows.round().astype(int), (columns + shift).round().astype(int)].mean()

    beside = (grey(-23) + grey(23)) / 2  # 6.4 mm away, more than the band's width
    assert 1 - grey(0) / beside == pytest.approx(n.contrasts["left band"], abs=0.03)


@pytest.mark.parametrize("share", [20, 40, 60, 80])
def test_room_light_takes_at_least_its_share_of_the_contrast(share):
    clear, lit = numbers().contrasts, numbers(room_light_percent=share).contrasts
    for name, contrast in lit.items():
        assert 0.5 * (1 - share / 100) * clear[name] < contrast
        assert contrast <= (1 - share / 100) * clear[name] * 1.001


def test_hair_leaves_the_contrast_and_raises_the_noise():
    clear, hairy = numbers(), numbers(hair_number=15)
    for name in clear.ratios:
        assert hairy.contrasts[name] == pytest.approx(clear.contrasts[name], abs=1e-3)
        assert hairy.ratios[name] < 0.5 * clear.ratios[name]


def test_blur_takes_more_from_the_narrow_band_and_melanin_from_all():
    clear, blurred = numbers().contrasts, numbers(focus_mm=80).contrasts
    left = {name: blurred[name] / clear[name] for name in clear}
    assert left["slanting band"] == min(left.values()) < 0.9
    dark = numbers(melanin_percent=43).contrasts
    assert all(0.5 < dark[name] / clear[name] < 0.9 for name in clear)


@pytest.mark.parametrize("cause", CAUSES)
def test_a_band_counts_as_seen_from_the_needed_ratio_and_the_words_say_so(cause):
    figure = ArmByCause(**cause)
    n = figure.show().numbers
    seen = [name for name, ratio in n.ratios.items() if ratio >= 3]
    assert list(n.seen) == seen
    assert f"{len(seen)} of 3 dark bands are seen" in figure.picture["alt"]
    assert figure.picture["alt"].count("lost in the noise") == 3 - len(seen)


def test_no_ratio_is_rounded_up_to_seen():
    assert arm_by_cause.short(2.97) == "2.9"
    assert arm_by_cause.short(3.0) == "3.0"
    assert arm_by_cause.short(2.64) == "2.6"


def test_a_picture_of_the_same_state_is_the_same_and_others_differ():
    one, other = ArmByCause(hair_number=3), ArmByCause(hair_number=4)
    assert (one.show().frame == ArmByCause(hair_number=3).show().frame).all()
    assert (one.show().frame != other.show().frame).any()
    assert one.show().frame.shape == (240, 320)
