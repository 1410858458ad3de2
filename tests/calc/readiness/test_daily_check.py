"""The daily check: the fit gives back what was put in, with errors that are what they say."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import least_squares

from cubital import calc, tables
from cubital.tables.readiness import pre_use_check

TARGET = np.array([[-30.0, -20.0], [30.0, -20.0], [30.0, 20.0], [-30.0, 20.0], [0.0, 0.0]])
OFFSET = st.floats(-3, 3)


def moved(true, offset, scale, turn_deg):
    """Scale and turn the marks about their middle, mark by mark, and shift them."""
    turn, middle = np.radians(turn_deg), true.mean(axis=0)
    rows = []
    for x, y in true - middle:
        rows.append(
            [
                middle[0] + offset[0] + scale * (x * np.cos(turn) - y * np.sin(turn)),
                middle[1] + offset[1] + scale * (x * np.sin(turn) + y * np.cos(turn)),
            ]
        )
    return np.array(rows)


@given(OFFSET, OFFSET, st.floats(0.5, 2), st.floats(-170, 170), st.floats(-50, 50))
def test_the_fit_gives_back_shift_scale_and_turn(x, y, scale, turn, away):
    true = np.add(TARGET, (away, -away / 2))
    fit = calc.fit_registration(moved(true, (x, y), scale, turn), true_mm=true)
    assert (fit.offset_x_mm, fit.offset_y_mm) == pytest.approx((x, y), abs=1e-9)
    assert fit.scale == pytest.approx(scale)
    assert fit.rotation_deg == pytest.approx(turn, abs=1e-9)
    assert fit.scatter_mm == pytest.approx(0, abs=1e-9)


@given(st.integers(0, 10_000))
def test_no_other_shift_scale_and_turn_leaves_smaller_squares(seed):
    generator = np.random.default_rng(seed)
    true = generator.uniform(-40, 40, (6, 2))
    projected = moved(true, (0.5, -0.2), 1.02, 1.5) + generator.normal(0, 0.4, true.shape)
    fit = calc.fit_registration(projected, true_mm=true)
    best = least_squares(
        lambda p: (moved(true, p[:2], p[2], p[3]) - projected).ravel(), [0, 0, 1, 0]
    )
    assert [fit.offset_x_mm, fit.offset_y_mm, fit.scale, fit.rotation_deg] == pytest.approx(
        best.x, rel=1e-4, abs=1e-5
    )
    assert fit.scatter_mm == pytest.approx(np.sqrt(2 * best.cost / (2 * 6 - 4)), rel=1e-6)


def test_the_standard_errors_are_the_scatter_of_repeated_checks():
    """4000 checks with a reading error of 0.3 mm: a scatter is known to 1 in sqrt(8000), 1.1 %."""
    generator = np.random.default_rng(9)
    fits = [
        calc.fit_registration(
            moved(TARGET, (0.4, 0.1), 1.03, 2.0) + generator.normal(0, 0.3, TARGET.shape),
            true_mm=TARGET,
        )
        for _ in range(4000)
    ]
    assert np.sqrt(np.mean([fit.scatter_mm**2 for fit in fits])) == pytest.approx(0.3, rel=0.034)
    for value, error in (
        ("offset_x_mm", "offset_se_mm"),
        ("offset_y_mm", "offset_se_mm"),
        ("scale", "scale_se"),
        ("rotation_deg", "rotation_se_deg"),
    ):
        scatter = np.std([getattr(fit, value) for fit in fits])
        stated = np.sqrt(np.mean([getattr(fit, error) ** 2 for fit in fits]))
        assert scatter == pytest.approx(stated, rel=0.05), value


@given(OFFSET, OFFSET)
def test_a_skin_too_far_away_shows_as_a_shift_that_names_the_distance(x, y):
    """A device 24 mm apart at 220 mm: the shift over 24 / 220 is how far off the target was."""
    shift = np.hypot(x, y)
    fit = calc.fit_registration(np.add(TARGET, (x, y)), true_mm=TARGET)
    found = np.hypot(fit.offset_x_mm, fit.offset_y_mm)
    assert found == pytest.approx(shift, abs=1e-9)
    if found > 0.01:
        allowed = calc.distance_error_allowed_mm(found, baseline_mm=24, reference_distance_mm=220)
        assert allowed == pytest.approx(shift * 220 / 24)


def test_two_marks_fit_without_standard_errors():
    fit = calc.fit_registration([[0, 0], [0, 10]], true_mm=[[0, 0], [10, 0]])
    assert (fit.rotation_deg, fit.scale) == pytest.approx((90, 1))
    assert fit.scale_se is fit.offset_se_mm is fit.rotation_se_deg is fit.scatter_mm is None


@pytest.mark.parametrize(("shift", "verdict"), [(0.4, "pass"), (0.999, "pass"), (1.001, "fail")])
def test_the_verdict_follows_the_farthest_mark(shift, verdict):
    projected = TARGET.copy()
    projected[2] += [0, shift]
    assert calc.check_registration(projected, true_mm=TARGET).verdict == verdict
    loose = calc.check_registration(projected, true_mm=TARGET, registration_tolerance_mm=1.5)
    assert (loose.verdict, loose.tolerance_mm) == ("pass", 1.5)


def test_a_mark_exactly_at_the_limit_passes():
    assert calc.check_registration(np.add(TARGET, (1, 0)), true_mm=TARGET).verdict == "pass"


@pytest.mark.parametrize(
    ("offset", "scale", "turn", "words"),
    [
        ((1.2, 0), 1, 0, "shifted by 1.2 mm"),
        ((0, 0), 1.05, 0, "% too large"),
        ((0, 0), 0.95, 0, "% too small"),
        ((0, 0), 1, -3, "turned by 3.0 degrees"),
    ],
)
def test_what_is_wrong_with_the_picture_is_said(offset, scale, turn, words):
    noise = np.random.default_rng(2).normal(0, 0.05, TARGET.shape)
    checked = calc.check_registration(moved(TARGET, offset, scale, turn) + noise, true_mm=TARGET)
    assert checked.verdict == "fail"
    assert len(checked.remarks) == 1
    assert words in checked.remarks[0]


def test_what_moves_no_mark_by_half_the_tolerance_is_not_remarked_on():
    noise = np.random.default_rng(2).normal(0, 0.02, TARGET.shape)
    for offset, scale, turn in (((0.3, 0), 1, 0), ((0, 0), 1.008, 0), ((0, 0), 1, 0.5)):
        projected = moved(TARGET, offset, scale, turn) + noise
        assert calc.check_registration(projected, true_mm=TARGET).remarks == ()
        strict = calc.check_registration(projected, true_mm=TARGET, registration_tolerance_mm=0.2)
        assert len(strict.remarks) == 1


def test_a_good_picture_has_no_remarks_and_a_close_one_says_so():
    noise = np.random.default_rng(2).normal(0, 0.1, TARGET.shape)
    assert calc.check_registration(TARGET + noise, true_mm=TARGET).remarks == ()
    close = calc.check_registration(TARGET + noise + np.array([0.85, 0]), true_mm=TARGET)
    assert any("close to the limit" in text for text in close.remarks)


def test_marks_read_in_another_order_are_asked_about():
    swapped = TARGET[[1, 2, 3, 0, 4]]
    assert "in the same order" in calc.check_registration(swapped, true_mm=TARGET).remarks[0]


@pytest.mark.parametrize(
    ("projected", "true", "message"),
    [
        (TARGET[:3], TARGET, "3 projected marks do not match 5 true ones"),
        (TARGET[:3], TARGET[:3], "3 marks were read: it must be at least 4"),
        (TARGET, np.zeros((5, 2)), "all marks at one place"),
        (np.zeros((5, 2)), TARGET, "no likeness"),
        (TARGET[:, 0], TARGET[:, 0], "projected_mm must be a row of x and y"),
        (TARGET * np.nan, TARGET, "place across the picture is nan mm"),
        (TARGET * 100, TARGET, "place across the picture is -3000 mm: it must be from -1000"),
    ],
)
def test_impossible_input_raises(projected, true, message):
    with pytest.raises(ValueError, match=message):
        calc.check_registration(projected, true_mm=true)


STEPS = {step.key: step for step in pre_use_check()}


def test_the_pre_use_check_is_data_with_sources():
    assert len(STEPS) >= 6
    for step in STEPS.values():
        assert step.ask.endswith("?")
        assert step.why.endswith(".")
        assert step.if_not.endswith(".")
        assert step.kind in tables.KINDS
        assert step.seen in tables.SEEN
        assert step.source in tables.bibliography()
    assert {step.stops for step in STEPS.values()} == {True, False}


@pytest.mark.parametrize("key", STEPS)
def test_a_no_that_stops_stops_and_every_no_has_something_to_do(key):
    answers = dict.fromkeys(STEPS, True)
    assert calc.judge_pre_use(answers) == ("ready", (), (), calc.judge_pre_use(answers).caution)
    found = calc.judge_pre_use(answers | {key: False})
    assert found.verdict == ("do not use" if STEPS[key].stops else "ready")
    assert found.to_do == (STEPS[key].if_not,)
    del answers[key]
    unfinished = calc.judge_pre_use(answers)
    assert unfinished.verdict == "not finished"
    assert unfinished.open_questions == (STEPS[key].ask,)


def test_a_no_that_stops_counts_before_the_check_is_finished():
    assert calc.judge_pre_use({"clean": False}).verdict == "do not use"
    assert "For training" in calc.judge_pre_use({}).caution


def test_answers_must_be_yes_or_no_to_known_questions():
    with pytest.raises(ValueError, match="no question is called 'colour'"):
        calc.judge_pre_use({"colour": True})
    with pytest.raises(ValueError, match="the answer to 'clean' is 1: it must be yes or no"):
        calc.judge_pre_use({"clean": 1})
